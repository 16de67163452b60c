//! How far the answers may be off through finite steps and lanes.
//!
//! The job is run twice more, once with steps twice as long and once with half the lanes. Both
//! errors fall about with the square, so each difference should be some three times the error that
//! remains. One halving can come out small by chance, and close to the noise floor of the lanes (0.1 to
//! 0.2 mL) the rule does not hold; so the two are added and no discount is taken.

use super::error::JobError;
use super::record::{Numerics, Record};
use super::run::once;
use super::state::Setting;
use crate::transport::lanes::Lanes;
use std::sync::Arc;

/// Error that is stated at the least, mL: reading the clearing curve between two steps.
const FLOOR_ML: f64 = 0.02;

/// Runs the job and the two coarser ones, side by side.
pub(super) fn with_error_estimate(setting: Setting) -> Result<Record, JobError> {
    let mut longer = setting.clone();
    longer.options.steps_per_path *= 0.5;
    longer.options.check_every_step = false;
    let mut fewer = setting.clone();
    fewer.lanes = Arc::new(Lanes::laminar((setting.lanes.n() / 2).max(4)));
    fewer.options.check_every_step = false;
    let (record, (longer, fewer)) =
        rayon::join(|| once(setting), || rayon::join(|| once(longer), || once(fewer)));
    let (mut record, longer, fewer) = (record?, longer?, fewer?);
    record.numerics = Numerics {
        clean_at_error_ml: both(clean_at(&record, &longer), clean_at(&record, &fewer)),
        old_left_error_ml: both(old_left(&record, &longer), old_left(&record, &fewer)),
    };
    Ok(record)
}

fn both(a: Option<f64>, b: Option<f64>) -> Option<f64> {
    Some(a? + b? + FLOOR_ML)
}

/// Largest difference among the millilitres to clean; `None` if one run became clean where the other
/// did not, or none did at all.
fn clean_at(a: &Record, b: &Record) -> Option<f64> {
    let mut worst = None;
    if a.openings.len() != b.openings.len() {
        return None;
    }
    for (x, y) in a.openings.iter().zip(&b.openings) {
        match (x.clean_at_ml, y.clean_at_ml) {
            (Some(x), Some(y)) => worst = Some((x - y).abs().max(worst.unwrap_or(0.0))),
            (None, None) => {}
            _ => return None,
        }
    }
    worst
}

fn old_left(a: &Record, b: &Record) -> Option<f64> {
    (a.openings.len() == b.openings.len()).then(|| (a.left.old_ml - b.left.old_ml).abs())
}
