//! Nothing is lost: volume, old fluid, every origin and water, over random circuits and procedures.
//!
//! The bound is that of the design: 1e-9 of what is in the system, at every step. What each part holds
//! is integrated afresh for the check, not carried over from the steps.

use crate::common;
use crate::common::random::car;
use farwheel::{parts, supply};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{RngSeed, TestRunner};
use std::collections::BTreeSet;

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, ..ProptestConfig::default() })]

    #[test]
    fn random_circuits_and_procedures_lose_nothing(car in car()) {
        common::conserves(&car.toml())?;
    }
}

/// Parts and supplies of every kind there is are among the cars, so that a kind added later is, too.
#[test]
fn every_kind_is_among_the_cars() {
    let mut runner = TestRunner::new(ProptestConfig {
        rng_seed: RngSeed::Fixed(1),
        failure_persistence: None,
        ..ProptestConfig::default()
    });
    let (mut parts, mut supplies) = (BTreeSet::new(), BTreeSet::new());
    for _ in 0..300 {
        let text = car().new_tree(&mut runner).expect("a car").current().toml();
        let s = farwheel::read(&text, "random.toml").unwrap_or_else(|m| panic!("{text}\n{m}"));
        parts.extend(s.parts.iter().map(|p| p.word()));
        let pushes = s.supply(None).expect("it is named");
        supplies.extend([pushes.kind.word()]);
    }
    let missed = |all: Vec<&'static str>, seen: &BTreeSet<&str>| -> Vec<&str> {
        all.into_iter().filter(|word| !seen.contains(word)).collect()
    };
    let all = parts::Kind::all().iter().map(|k| k.spec().name).collect();
    assert_eq!(missed(all, &parts), [""; 0], "no part of these kinds");
    let all = supply::Kind::all().iter().map(|k| k.word()).collect();
    assert_eq!(missed(all, &supplies), [""; 0], "no supply of these kinds pushes");
}
