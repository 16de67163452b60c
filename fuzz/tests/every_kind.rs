//! Whether the generator draws every kind there is, in scenarios that are read.

use farwheel::{parts, supply};
use farwheel_fuzz::scenario::{Job, SmallJob};
use libfuzzer_sys::arbitrary::{Arbitrary, Unstructured};
use std::collections::BTreeSet;

const DRAWS: u64 = 400;

/// Bytes without any order, the same every time (splitmix64, S. Vigna, in the public domain; from memory).
fn noise(seed: u64) -> Vec<u8> {
    let word = |i: u64| {
        let z = (seed << 32 | i).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        let z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)).to_le_bytes()
    };
    (1..=512).flat_map(word).collect()
}

fn every_kind_is_among(name: &str, draw: fn(Unstructured<'_>) -> String) {
    let (mut parts, mut supplies, mut read) = (BTreeSet::new(), BTreeSet::new(), 0);
    for seed in 0..DRAWS {
        let text = draw(Unstructured::new(&noise(seed)));
        match farwheel::read(&text, name) {
            Ok(s) => {
                read += 1;
                parts.extend(s.parts.iter().map(|p| p.word()));
                supplies.extend(s.supplies.iter().map(|s| s.kind.word()));
            }
            Err(m) => println!("{}", m.list[0].what),
        }
    }
    println!("{name}: {read} of {DRAWS} read");
    assert!(2 * read > DRAWS, "{name}: only {read} of {DRAWS} are read");
    for kind in parts::Kind::all() {
        assert!(parts.contains(kind.spec().name), "{name}: no {}", kind.spec().name);
    }
    for kind in supply::Kind::all() {
        assert!(supplies.contains(kind.word()), "{name}: no {}", kind.word());
    }
}

#[test]
fn every_kind_is_among_the_jobs() {
    every_kind_is_among("job", |u| Job::arbitrary_take_rest(u).expect("bytes enough").text);
}

#[test]
fn every_kind_is_among_the_small_jobs() {
    every_kind_is_among("small", |u| SmallJob::arbitrary_take_rest(u).expect("bytes enough").text);
}
