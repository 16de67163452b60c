//! Old fluid that is no other than the new, and fluid without water.

use super::cases;
use super::compare::difference;
use super::job::run_text;
use crate::common::random::{Car, car};
use proptest::prelude::*;

const OLD: &str = "water = \"2 %\"\n[new_fluid]\ngrade = \"DOT 4\"\n";

/// The car with this water in both fluids.
fn with_water(text: &str, water: &str) -> String {
    let both =
        format!("water = \"{water}\"\n[new_fluid]\ngrade = \"DOT 4\"\nwater = \"{water}\"\n");
    assert!(text.contains(OLD), "the generator writes other fluids: {text}");
    text.replacen(OLD, &both, 1)
}

fn one_fluid(car: &Car, percent: f64) -> Result<(), TestCaseError> {
    let text = with_water(&car.toml(), &format!("{percent} %"));
    let left = run_text(&text)?.left;
    // A reservoir that ran dry holds no fluid that could be any.
    let filled: Vec<_> = left.parts.iter().filter(|p| p.volume_ml > 1e-6).collect();
    let boiling_c = filled[0].boiling_c;
    let off = |percents: f64| (percents - percent).abs() > 1e-9 * percent.max(1.0);
    for p in &filled {
        let same = !off(p.water_percent) && (p.boiling_c - boiling_c).abs() < 1e-6;
        prop_assert!(same, "{p:?}, where the first boils at {boiling_c} °C, in\n{text}");
    }
    prop_assert!(!off(left.water_percent), "{} % in\n{text}", left.water_percent);
    Ok(())
}

fn without_water(car: &Car) -> Result<(), TestCaseError> {
    let text = car.toml();
    let dry_text = with_water(&text, "0 %");
    let (wet, mut dry) = (run_text(&text)?, run_text(&dry_text)?);
    for p in &dry.left.parts {
        prop_assert!(p.water_percent == 0.0, "{p:?} in\n{dry_text}");
    }
    // A wait without a `remix` of its own asks how much heavier the wet fluid is.
    if text.lines().any(|l| l.contains("wait") && !l.contains("remix")) {
        return Ok(());
    }
    for (d, w) in dry.left.parts.iter_mut().zip(&wet.left.parts) {
        (d.water_percent, d.boiling_c) = (w.water_percent, w.boiling_c);
    }
    let found = difference(&wet, &dry, str::to_owned, 1e-9);
    prop_assert!(found.is_none(), "{} without water, in\n{text}", found.unwrap_or_default());
    Ok(())
}

proptest! {
    #![proptest_config(cases(80))]

    /// Whatever is done, the same fluid is everywhere.
    #[test]
    fn old_fluid_like_the_new_stays_what_it_is(car in car(), percent in 0.1..5.0_f64) {
        one_fluid(&car, percent)?;
    }

    /// No water comes from nowhere, and millilitres do not ask for water.
    #[test]
    fn without_water_there_is_none_and_the_job_is_the_same(car in car()) {
        without_water(&car)?;
    }
}
