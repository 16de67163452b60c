//! What can only go one way, one bleeder at a time: a stricter eye, a longer hold, more millilitres and more passes.

use super::cases;
use super::job::{one_bleeder, run_text};
use crate::common::random::{Car, car};
use farwheel::job::record::Record;
use proptest::prelude::*;

/// Two runs whose rules differ by a little take steps that differ: what that costs at most, mL (an estimate; the
/// promise on the answer is ten times as much).
const STEPS_ML: f64 = 0.05;

fn drained(car: &Car, number: usize, rule: &str) -> Result<(f64, Record, String), TestCaseError> {
    let text = one_bleeder(car, number, rule, 1)?;
    let record = run_text(&text)?;
    Ok((record.totals.drained_ml, record, text))
}

/// A figure, and by how much another is more.
type Pair = (f64, f64);

fn threshold(car: &Car, number: usize, (low, more): Pair, hold: f64) -> Result<(), TestCaseError> {
    let high = low + more;
    // Without a hold of its own the rule takes what lies before the bleeder.
    let hold = if hold.is_nan() { String::new() } else { format!("hold {hold} mL, ") };
    let rule = |percent: f64| format!("clean below {percent} %, {hold}at most 300 mL");
    let (strict, a, text) = drained(car, number, &rule(low))?;
    let (lax, b, _) = drained(car, number, &rule(high))?;
    prop_assert!(
        lax <= strict + STEPS_ML,
        "{strict} mL below {low} %, {lax} mL below {high} %, in\n{text}"
    );
    let (few, many) = (a.left.old_ml, b.left.old_ml);
    prop_assert!(
        few <= many + STEPS_ML,
        "{few} mL left below {low} %, {many} mL below {high} %, in\n{text}"
    );
    Ok(())
}

fn hold(car: &Car, number: usize, percent: f64, (hold, more): Pair) -> Result<(), TestCaseError> {
    let rule = |hold: f64| format!("clean below {percent} %, hold {hold} mL, at most 300 mL");
    let (short, _, text) = drained(car, number, &rule(hold))?;
    let (long, _, _) = drained(car, number, &rule(hold + more))?;
    prop_assert!(
        short <= long + STEPS_ML,
        "{short} mL, {long} mL with {more} mL more to hold, in\n{text}"
    );
    Ok(())
}

fn millilitres(car: &Car, number: usize, (ml, more): Pair) -> Result<(), TestCaseError> {
    let (few, a, text) = drained(car, number, &format!("{ml} mL"))?;
    let (many, b, _) = drained(car, number, &format!("{} mL", ml + more))?;
    // Air may end either.
    prop_assert!(few <= many + 1e-6, "{few} mL, then {many} mL in\n{text}");
    let (before, after) = (a.left.old_ml, b.left.old_ml);
    prop_assert!(
        after <= before + STEPS_ML,
        "{before} mL left, {after} mL after {more} mL more, in\n{text}"
    );
    Ok(())
}

fn passes(car: &Car, number: usize, rule: &str) -> Result<(), TestCaseError> {
    let run = |passes| run_text(&one_bleeder(car, number, rule, passes)?);
    let left: Vec<f64> = [run(1)?, run(2)?, run(4)?].iter().map(|r| r.left.old_ml).collect();
    let text = one_bleeder(car, number, rule, 1)?;
    prop_assert!(
        left.is_sorted_by(|a, b| *b <= a + 1e-9),
        "{left:?} mL left after 1, 2 and 4 passes in\n{text}"
    );
    Ok(())
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn a_higher_threshold_drains_no_more(
        car in car(),
        number in any::<usize>(),
        percents in (2.0..50.0_f64, 1.0..30.0_f64),
        hold in prop_oneof![2.0..20.0_f64, Just(f64::NAN)],
    ) {
        threshold(&car, number, percents, hold)?;
    }

    #[test]
    fn a_longer_hold_drains_no_less(
        car in car(),
        number in any::<usize>(),
        percent in 3.0..60.0_f64,
        holds in (0.0..20.0_f64, 0.5..20.0_f64),
    ) {
        hold(&car, number, percent, holds)?;
    }

    #[test]
    fn more_millilitres_leave_no_more(
        car in car(),
        number in any::<usize>(),
        volumes in (1.0..150.0_f64, 0.5..50.0_f64),
    ) {
        millilitres(&car, number, volumes)?;
    }

    #[test]
    fn more_passes_leave_no_more(
        car in car(),
        number in any::<usize>(),
        rule in prop_oneof![Just("clean, at most 200 mL"), Just("15 mL")],
    ) {
        passes(&car, number, rule)?;
    }
}
