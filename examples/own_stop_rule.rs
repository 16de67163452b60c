//! A study with a stop rule of its own: close a bleeder when the colour stops changing, whatever the colour.
//!
//! Somebody with no sample of new fluid to hold beside the hose can only see that it no longer gets clearer. Here a
//! bleeder is closed once it has become clearer and the last 60 mL have brought no more than three points. The rule is read off
//! the clearing curve of a long opening, written into the procedure as so many millilitres, and so on bleeder by
//! bleeder, since each finds what the ones before it have left.
//!
//! `cargo run --example own_stop_rule` sets it beside the eye on some of the shipped cars.

use farwheel::Scenario;
use farwheel::job::record::{CurvePoint, Record};
use farwheel::job::{self, options::Options};
use farwheel::keys::quantity::Quantity;
use farwheel::scenario::procedure::{Action, StopRule};
use std::error::Error;

/// Millilitres looked back on.
const BACK_ML: f64 = 60.0;
/// Points of old fluid that they have to bring.
const LEAST_CHANGE: f64 = 0.03;
/// Longest opening, mL.
const LONG_ML: f64 = 900.0;

/// Drained volume at which the rule closes, mL.
fn closes_at(curve: &[CurvePoint]) -> Option<f64> {
    let seen_before = |ml: f64| {
        let next = curve.partition_point(|p| p.drained_ml < ml);
        curve.get(next).map(|p| p.seen_old_fraction)
    };
    let mut dirtiest = 0.0_f64;
    let settled = curve.iter().find(|now| {
        // At first nothing changes either: what comes is all old.
        dirtiest = dirtiest.max(now.seen_old_fraction);
        let clearer = now.seen_old_fraction < 0.8 * dirtiest;
        let earlier = seen_before(now.drained_ml - BACK_ML).filter(|_| now.drained_ml >= BACK_ML);
        clearer && earlier.is_some_and(|seen| seen - now.seen_old_fraction < LEAST_CHANGE)
    });
    settled.map(|p| p.drained_ml)
}

/// So many millilitres.
fn counted(ml: f64) -> StopRule {
    StopRule { volume: Some(Quantity::known(1e-6 * ml)), ..StopRule::default() }
}

/// The scenario's order, each opening closed by the rule; a supply that never runs dry, so that none is cut off.
fn by_change(mut scenario: Scenario) -> Result<Record, Box<dyn Error>> {
    let options = Options { endless: true, estimate_error: false, ..Options::default() };
    for step in 0..scenario.procedure.steps.len() {
        let set = |scenario: &Scenario, ml: f64| {
            let mut procedure = scenario.procedure.clone();
            let Action::Open { until, .. } = &mut procedure.steps[step].action else { return None };
            *until = counted(ml);
            Some(scenario.with_procedure(procedure))
        };
        let Some(long) = set(&scenario, LONG_ML) else { continue };
        let tried = job::flush(&long, &options)?;
        let opening = tried.openings.iter().find(|o| o.step == step + 1);
        let closed = opening.and_then(|o| closes_at(&o.curve)).unwrap_or(LONG_ML);
        scenario = set(&scenario, closed).unwrap_or(scenario);
    }
    Ok(job::flush(&scenario, &options)?)
}

fn main() -> Result<(), Box<dyn Error>> {
    println!("{:<42} {:>18} {:>26}", "", "by eye", "when it no longer changes");
    for file in ["compact-hatchback", "pickup-rear-drums", "van-long-lines"] {
        let path = format!("{}/scenarios/{file}.toml", env!("CARGO_MANIFEST_DIR"));
        let scenario = farwheel::read_file(path.as_ref())?;
        let eye = job::flush(&scenario, &Options::for_sums(0))?;
        let change = by_change(scenario)?;
        let say = |r: &Record| {
            format!("{:.0} mL, {:.1} % left", r.totals.drained_ml, 100.0 * r.left.old_fraction)
        };
        println!("{file:<42} {:>18} {:>26}", say(&eye), say(&change));
    }
    Ok(())
}
