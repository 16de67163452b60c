//! The promise on the answer over random circuits and procedures with everything in them: valves, loops,
//! modulators and their routines, every supply, pedal strokes. Held against the same jobs with far more
//! lanes and steps.

mod common;

use common::random::{Car, car};
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::job::record::{CleanState, Record};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

fn run(text: &str, options: &Options) -> Result<Record, TestCaseError> {
    let scenario = farwheel::read(text, "random.toml")
        .map_err(|m| TestCaseError::fail(format!("not read:\n{text}\n{m}")))?;
    flush(&scenario, options).map_err(|e| TestCaseError::fail(format!("not run:\n{text}\n{e}")))
}

fn keeps_the_promise(car: &Car) -> Result<(), TestCaseError> {
    let text = car.toml();
    let usual = Options { origins: false, estimate_error: false, ..Options::default() };
    let fine = Options { steps_per_path: 200.0, lanes: Some(100), ..usual.clone() };
    let (here, there) = (run(&text, &usual)?, run(&text, &fine)?);
    // A rule that is met by a hair may be met in one run and not in the other: from there on they are
    // two different jobs.
    for (a, b) in here.openings.iter().zip(&there.openings) {
        if a.clean_state != b.clean_state || a.closed_by != b.closed_by {
            break;
        }
        if let (CleanState::Reached, Some(x), Some(y)) =
            (a.clean_state, a.clean_at_ml, b.clean_at_ml)
        {
            let promise = (5e-3 * y).max(0.5);
            prop_assert!(
                (x - y).abs() <= promise,
                "{}: {x} mL, finer {y} mL in\n{text}",
                a.bleeder
            );
        }
    }
    Ok(())
}

// The same cases every time, so that a change is judged by what it changes; `PROPTEST_RNG_SEED=n` tries
// others.
fn config() -> ProptestConfig {
    let mut config = ProptestConfig { cases: 120, ..ProptestConfig::default() };
    if std::env::var_os("PROPTEST_RNG_SEED").is_none() {
        config.rng_seed = RngSeed::Fixed(1);
    }
    config
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn random_jobs_keep_the_promise(car in car()) {
        keeps_the_promise(&car)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 8, ..config() })]

    /// The seeds beside this file are of such cars.
    #[test]
    fn random_jobs_without_parts_of_any_kind_keep_the_promise(car in car()) {
        keeps_the_promise(&car.plain())?;
    }
}
