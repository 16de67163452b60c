//! What a job takes is told beforehand by a sketch of it, and never as more than it does take: nothing is refused
//! beforehand that would run within the limits.

use crate::common::random::{Car, car};
use farwheel::Scenario;
use farwheel::job::limits::{CLEARLY, Cost, MOST_READINGS};
use farwheel::job::options::Options;
use farwheel::job::{cost, least_cost};
use proptest::prelude::*;
use std::path::{Path, PathBuf};

/// What the sketch tells and what the job takes.
fn both(scenario: &Scenario, options: &Options) -> Result<(Cost, Cost), String> {
    let said = |e: farwheel::job::error::JobError| e.to_string();
    Ok((least_cost(scenario, options).map_err(said)?, cost(scenario, options).map_err(said)?))
}

/// Whether a job that takes this much is refused beforehand only if it takes more than is allowed.
fn no_more(least: &Cost, taken: &Cost) -> bool {
    least.readings as f64 <= CLEARLY * taken.readings as f64
        && least.numbers as f64 <= CLEARLY * taken.numbers as f64
}

fn shipped() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let of = |folder: &Path| {
        let entries = std::fs::read_dir(folder).expect("the scenarios").map(|e| e.unwrap().path());
        entries.filter(|p| p.extension().is_some_and(|e| e == "toml")).collect::<Vec<_>>()
    };
    [of(&folder), of(&folder.join("splits"))].concat()
}

/// No more than it takes, and not so much less that it would tell nothing: a third at the least. Found by a small part of
/// the computing, and the smaller the finer the job is.
#[test]
fn a_sketch_tells_what_a_shipped_job_takes_at_the_least() {
    let files = shipped();
    assert!(files.len() > 15, "{files:?}");
    for file in files {
        let scenario = farwheel::read_file(&file).expect("a scenario");
        for lanes in [None, Some(4), Some(200)] {
            let options = Options { lanes, ..Options::default() };
            let (least, taken) = both(&scenario, &options).expect("it runs");
            let what = format!("{}, {lanes:?} lanes: {least:?}, {taken:?}", file.display());
            assert!(no_more(&least, &taken), "{what}");
            assert!(3 * least.readings > taken.readings, "{what}");
            assert!(3 * least.numbers > taken.numbers, "{what}");
            let part = if lanes == Some(200) { 10 } else { 2 };
            assert!(part * least.found_by < taken.found_by, "{what}");
            assert!(taken.found_by == taken.readings && taken.readings < MOST_READINGS / 100);
        }
    }
}

fn is_told_as_no_more(car: &Car, threshold_percent: f64) -> Result<(), TestCaseError> {
    // What else a car says of its clear hose stays.
    let threshold = format!("threshold = \"{threshold_percent:.4} %\"\n");
    let text = car.toml();
    let text = match text.contains("[clear_hose]\n") {
        true => text.replacen("[clear_hose]\n", &format!("[clear_hose]\n{threshold}"), 1),
        false => text.replacen("[vehicle]", &format!("[clear_hose]\n{threshold}[vehicle]"), 1),
    };
    let scenario = farwheel::read(&text, "random.toml")
        .map_err(|m| TestCaseError::fail(format!("not read:\n{text}\n{m}")))?;
    let (least, taken) = both(&scenario, &Options::default()).map_err(TestCaseError::fail)?;
    prop_assert!(no_more(&least, &taken), "{least:?}, {taken:?}:\n{text}");
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, ..ProptestConfig::default() })]

    /// Down to thresholds that take most lanes, and that some cars never meet.
    #[test]
    fn no_random_job_is_told_as_more_than_it_takes(
        car in car(),
        ln_threshold in -4.6..3.4_f64,
    ) {
        is_told_as_no_more(&car, ln_threshold.exp())?;
    }
}
