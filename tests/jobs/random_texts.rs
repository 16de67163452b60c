//! A hundred random scenarios as files, for whatever is to be held against the program outside of it.

use crate::common;
use crate::common::random::car;
use farwheel::job::flush;
use proptest::strategy::{Strategy as _, ValueTree as _};
use proptest::test_runner::{Config, RngSeed, TestRunner};
use std::path::Path;

/// Put down before anything was held against them.
const SEED: u64 = 18;
const HOW_MANY: usize = 100;

/// Into the folder that `FARWHEEL_RANDOM` names: `tests/browser/same.test.mjs` asks for it.
#[test]
#[ignore = "writes files for another test"]
fn written() {
    let folder = std::env::var_os("FARWHEEL_RANDOM").expect("a folder in FARWHEEL_RANDOM");
    let config = Config { rng_seed: RngSeed::Fixed(SEED), ..Config::default() };
    let mut runner = TestRunner::new(config);
    for number in 0..HOW_MANY {
        let text = car().new_tree(&mut runner).expect("a car").current().toml();
        let scenario = common::read(&text).expect("a scenario");
        flush(&scenario, &common::few_steps()).expect("a job");
        let file = Path::new(&folder).join(format!("random-{number:03}.toml"));
        std::fs::write(file, text).expect("a file");
    }
}
