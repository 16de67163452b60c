//! Questions about the same job with one thing done otherwise.

use super::words::{gauge, ml, percent, question, seconds};
use super::{Answer, Asking, Choice, Known, Question};
use crate::circuit::Scenario;
use crate::job::record::Record;
use crate::measures::{to_kpa, to_ml};
use crate::study::StudyError;
use crate::study::controls;
use crate::study::decides::SYRINGE;
use crate::study::decides::dials::{EYE, LEVEL, looks};
use crate::study::difference::Difference;
use crate::study::pressures::at_gauge;
use rand_chacha::ChaCha8Rng;

pub(super) const ALL: &[(&str, Asking)] = &[
    ("syringe", syringe),
    ("strict eye", strict_eye),
    ("lax eye", lax_eye),
    ("low reservoir", low_reservoir),
    ("half the gauge", half_the_gauge),
    ("half the gauge, time", half_the_gauge_time),
];

/// The car with a control at one of its ends.
fn at_end(k: &Known<'_>, what: &str, least: bool) -> Option<(Scenario, f64)> {
    let all = controls::controls(k.scenario, k.options);
    let c = all.iter().find(|c| c.what == what)?;
    let to = if least { c.least } else { c.most };
    // Nothing is asked of a change that is none.
    let far = (to - c.own).abs() > 0.1 * (c.most - c.least).abs();
    let car = controls::set(k.scenario, k.options, what, to).ok().filter(|_| far)?;
    Some((car, to))
}

/// What leaves the system, at the bleeders and by syringe: as much new fluid as the job takes if the reservoir ends as full.
fn gone(r: &Record) -> (f64, Option<f64>) {
    (r.totals.drained_ml + r.totals.removed_ml, r.numerics.drained_error_ml)
}

/// Of jobs in which nothing is syringed, what they use is what runs out.
const RUNS_OUT: &str = "runs out of all bleeders";

fn drained(r: &Record) -> (f64, Option<f64>) {
    (r.totals.drained_ml, r.numerics.drained_error_ml)
}

/// By how much the fluid used differs, asked with the right direction.
fn fluid_question(
    k: &Known<'_>,
    about: &'static str,
    (change, verb, why): (&str, &str, impl Fn(&Record) -> String),
    other: &Scenario,
    rng: &mut ChaCha8Rng,
) -> Result<Option<Question>, StudyError> {
    let Some(then) = k.run(other)? else { return Ok(None) };
    let used = |r: &Record| if verb == RUNS_OUT { drained(r) } else { gone(r) };
    let apart = Difference::new(used(&k.own), used(&then));
    let more = if apart.ml > 0.0 { "more" } else { "less" };
    let asks = format!("{change} how much {more} {verb}?");
    let reason = format!("{} instead of {}: {}", ml(gone(&then).0), ml(gone(&k.own).0), why(&then));
    Ok(question(about, asks, Some(Answer::apart(apart, rng)), reason))
}

fn syringe(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Result<Option<Question>, StudyError> {
    let Some((car, leave)) = at_end(k, SYRINGE, true) else { return Ok(None) };
    let why = |then: &Record| {
        format!(
            "the bleeders save {}, but {} went into the syringe and new fluid came in for it.",
            ml(k.own.totals.drained_ml - then.totals.drained_ml),
            ml(then.totals.removed_ml),
        )
    };
    let change = format!(
        "The reservoir is emptied with a syringe down to {} and filled again first. Counting what is in the syringe:",
        ml(to_ml(leave))
    );
    fluid_question(k, "syringe", (&change, "fluid does the whole job use", why), &car, rng)
}

fn strict_eye(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Result<Option<Question>, StudyError> {
    let Some((car, to)) = at_end(k, EYE, true) else { return Ok(None) };
    let why = |then: &Record| {
        format!(
            "it takes longer to look that clean, and {} of old fluid stay instead of {}.",
            ml(then.left.old_ml),
            ml(k.own.left.old_ml),
        )
    };
    let change = format!("The eye takes the hose for clean only at {} old:", percent(to));
    fluid_question(k, "strict eye", (&change, RUNS_OUT, why), &car, rng)
}

fn lax_eye(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Result<Option<Question>, StudyError> {
    let Some((car, to)) = at_end(k, EYE, false) else { return Ok(None) };
    let Some(then) = k.run(&car)? else { return Ok(None) };
    Ok(question(
        "lax eye",
        format!(
            "The eye takes the hose for clean at {} old already. What share of the fluid in the whole system is still old in the end?",
            percent(to)
        ),
        Answer::amount(100.0 * then.left.old_fraction, "%", 0.5, rng),
        format!(
            "{} instead of {}: {} less run out.",
            percent(then.left.old_fraction),
            percent(k.own.left.old_fraction),
            ml(drained(&k.own).0 - drained(&then).0),
        ),
    ))
}

fn low_reservoir(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Result<Option<Question>, StudyError> {
    // Where it is emptied first, what it was found with is in the syringe.
    let emptied = k.own.totals.removed_ml > 1.0;
    if emptied || !looks(k.scenario) {
        return Ok(None);
    }
    let Some((car, level)) = at_end(k, LEVEL, true) else { return Ok(None) };
    let (own_ml, min_ml) = (to_ml(k.scenario.reservoir.level.value), to_ml(level));
    let why = |_: &Record| {
        format!("{} of old fluid less have to be washed out of the reservoir.", ml(own_ml - min_ml),)
    };
    let change =
        format!("The reservoir is found at MIN, {} instead of {}:", ml(min_ml), ml(own_ml));
    fluid_question(k, "low reservoir", (&change, RUNS_OUT, why), &car, rng)
}

/// The car with half the pressure on its gauge, and that, kPa.
fn with_half_the_gauge(k: &Known<'_>) -> Option<(Scenario, f64)> {
    let supply = k.scenario.supply(k.options.supply.as_deref()).ok()?;
    let own = supply.kind.vessel()?.gauge.value;
    let car = at_gauge(k.scenario, &supply.name, 0.5 * own).ok()?;
    Some((car, to_kpa(0.5 * own)))
}

fn half_the_gauge(k: &Known<'_>, _: &mut ChaCha8Rng) -> Result<Option<Question>, StudyError> {
    let Some((car, half)) = with_half_the_gauge(k).filter(|_| looks(k.scenario)) else {
        return Ok(None);
    };
    let Some(then) = k.run(&car)? else { return Ok(None) };
    let apart = Difference::new(drained(&k.own), drained(&then));
    let choice = Choice {
        options: vec!["more fluid".to_owned(), "less fluid".to_owned()],
        right: usize::from(apart.ml < 0.0),
        too_close: !apart.told_apart(),
    };
    Ok(question(
        "half the gauge",
        format!(
            "The supply is pumped up to {} only, half of its gauge. What runs out of all bleeders?",
            gauge(half)
        ),
        Some(Answer::Choice(choice)),
        format!(
            "{} instead of {}, but it takes {} instead of {} with a bleeder open.",
            ml(drained(&then).0),
            ml(drained(&k.own).0),
            seconds(then.totals.flow_seconds),
            seconds(k.own.totals.flow_seconds),
        ),
    ))
}

fn half_the_gauge_time(
    k: &Known<'_>,
    rng: &mut ChaCha8Rng,
) -> Result<Option<Question>, StudyError> {
    let Some((car, half)) = with_half_the_gauge(k) else { return Ok(None) };
    let Some(then) = k.run(&car)? else { return Ok(None) };
    let s = k.own.totals.flow_seconds;
    Ok(question(
        "half the gauge, time",
        format!(
            "The supply is pumped up to {} only, half of its gauge. For how many seconds is a bleeder open in all?",
            gauge(half)
        ),
        Answer::amount(then.totals.flow_seconds, "s", 1.0, rng),
        format!(
            "{} instead of {}: half the pressure, {:.1} times the time.",
            seconds(then.totals.flow_seconds),
            seconds(s),
            then.totals.flow_seconds / s.max(1e-9),
        ),
    ))
}
