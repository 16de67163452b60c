//! What the test programs share. Each has it once; here what tests of random cars share.
#![allow(dead_code)] // each program that includes this module uses a part of it

pub mod cars;
pub mod held;
#[cfg(all(unix, feature = "program", feature = "pictures"))]
pub mod interrupt;
pub mod kinds;
pub mod laws;
#[cfg(feature = "program")]
pub mod program;
pub mod random;

use farwheel::Scenario;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::job::record::Record;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

/// The same cases every time, so that a change is judged by what it changes; `PROPTEST_RNG_SEED=n` tries
/// others, `PROPTEST_CASES=n` more of them.
pub fn cases(cases: u32) -> ProptestConfig {
    let mut config = ProptestConfig::default();
    if std::env::var_os("PROPTEST_CASES").is_none() {
        config.cases = cases;
    }
    if std::env::var_os("PROPTEST_RNG_SEED").is_none() {
        config.rng_seed = RngSeed::Fixed(1);
    }
    config
}

pub fn read(text: &str) -> Result<Scenario, TestCaseError> {
    farwheel::read(text, "random.toml")
        .map_err(|m| TestCaseError::fail(format!("not read:\n{text}\n{m}")))
}

pub fn run(scenario: &Scenario, text: &str, options: &Options) -> Result<Record, TestCaseError> {
    flush(scenario, options).map_err(|e| TestCaseError::fail(format!("not run:\n{text}\n{e}")))
}

/// Few steps and lanes, books compared at every step.
pub fn few_steps() -> Options {
    Options {
        steps_per_path: 10.0,
        lanes: Some(6),
        estimate_error: false,
        check_every_step: true,
        ..Options::default()
    }
}

/// Volume, old fluid, origins and water to 1e-9 of what is in the system, and no share beyond what shares can be.
pub fn conserves(text: &str) -> Result<(), TestCaseError> {
    let record = run(&read(text)?, text, &few_steps())?;
    let holds: f64 = record.left.parts.iter().map(|p| p.volume_ml).sum::<f64>()
        + record.totals.drained_ml
        + record.totals.removed_ml;
    let bound = 1e-9 * holds;
    let b = record.balance;
    prop_assert!(
        b.volume_error_ml < bound,
        "volume {} of {holds} mL in\n{text}",
        b.volume_error_ml
    );
    prop_assert!(b.old_error_ml < bound, "old fluid {} of {holds} mL in\n{text}", b.old_error_ml);
    prop_assert!(b.water_error_g < bound, "water {} of {holds} mL in\n{text}", b.water_error_g);
    for part in &record.left.parts {
        prop_assert!((0.0..=1.0).contains(&part.old_fraction), "{part:?}");
        prop_assert!(part.water_percent >= 0.0 && part.boiling_c.is_finite(), "{part:?}");
        prop_assert!(part.lowest_boiling_c <= part.boiling_c, "{part:?}");
        let of_pocket = part.pocket_boiling_c.unwrap_or(f64::INFINITY);
        prop_assert!(part.lowest_boiling_c <= of_pocket, "{part:?}");
    }
    for o in &record.openings {
        let sum: f64 = o.origins_ml.iter().map(|x| x.1).sum();
        prop_assert!((sum - o.drained_ml).abs() < 1e-9 * (1.0 + o.drained_ml), "{o:?}");
        // Nor is rounding shown as fluid: what has not come is nothing.
        prop_assert!(o.origins_ml.iter().all(|x| x.1.is_sign_positive()), "{:?}", o.origins_ml);
        for p in &o.curve {
            prop_assert!((-1e-9..=1.0 + 1e-9).contains(&p.seen_old_fraction), "{p:?}");
            prop_assert!(
                (-1e-9..=1.0 + 1e-9).contains(&p.leaving_old_fraction),
                "{p:?} in\n{text}"
            );
        }
    }
    Ok(())
}
