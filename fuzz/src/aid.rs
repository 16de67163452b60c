//! Aids: `aid words` prints a dictionary for the target `scenario`; `aid text FILE…` prints the scenarios
//! that a finding of the target `job` stands for, `aid small FILE…` those of `studies`; `aid run FILE…` and
//! `aid study FILE…` hold scenario files against what the targets hold.

use farwheel::keys::units::UNITS;
use farwheel::scenario::schema;
use farwheel_fuzz::held;
use farwheel_fuzz::scenario::{Job, SmallJob};
use libfuzzer_sys::arbitrary::{Arbitrary, Unstructured};
use serde_json::Value;
use std::collections::BTreeSet;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let Some((verb, files)) = arguments.split_first() else {
        panic!("words, text, small, run, study")
    };
    if verb == "words" {
        return words();
    }
    for file in files {
        let bytes = std::fs::read(file).unwrap_or_else(|e| panic!("{file}: {e}"));
        let text = || String::from_utf8(bytes.clone()).unwrap_or_else(|e| panic!("{file}: {e}"));
        let started = std::time::Instant::now();
        match verb.as_str() {
            "text" => print!("{:?}", Job::arbitrary_take_rest(Unstructured::new(&bytes)).unwrap()),
            "small" => {
                print!("{:?}", SmallJob::arbitrary_take_rest(Unstructured::new(&bytes)).unwrap());
            }
            "run" => {
                if let Err(m) = farwheel::read(&text(), file) {
                    println!("{m}");
                }
                held::goes_through(&text());
                println!("{file}: {:.2} s", started.elapsed().as_secs_f64());
            }
            "study" => {
                held::is_studied(&text());
                println!("{file}: {:.2} s", started.elapsed().as_secs_f64());
            }
            other => panic!("{other}: no such aid"),
        }
    }
}

/// Keys, words and texts of the schema, and units, as a dictionary of libFuzzer.
fn words() {
    let mut words = BTreeSet::new();
    gather(&schema(), &mut words);
    words.extend(UNITS.iter().map(|u| format!(" {}", u.name)));
    words.extend(
        ["±", " = ", "\n[", "[[", "]]", "{ ", " }", "\"", "'''", "\"\"\""].map(String::from),
    );
    for word in words.iter().filter(|w| !w.trim().is_empty() && w.len() <= 60) {
        let bytes = word.bytes().map(|b| match b {
            b'"' | b'\\' => format!("\\{}", char::from(b)),
            b' '..=b'~' => char::from(b).to_string(),
            _ => format!("\\x{b:02x}"),
        });
        println!("\"{}\"", bytes.collect::<String>());
    }
}

fn gather(value: &Value, words: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => {
            for (key, inside) in map {
                // Keys of the file stand below `properties`; prose and patterns are no words of it.
                if key == "properties" {
                    words.extend(inside.as_object().into_iter().flat_map(|o| o.keys().cloned()));
                }
                if !["description", "pattern", "$ref", "$schema"].contains(&key.as_str()) {
                    gather(inside, words);
                }
            }
        }
        Value::Array(list) => list.iter().for_each(|v| gather(v, words)),
        Value::String(text) => {
            words.insert(text.clone());
        }
        _ => {}
    }
}
