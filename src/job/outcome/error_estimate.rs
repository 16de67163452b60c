//! How far the answers may be off through finite steps and lanes.
//!
//! The job is run twice more, once with steps twice as long and once with half the lanes. Both
//! errors fall about with the square, so each difference should be some three times the error that
//! remains. One halving can come out small by chance, and close to the noise floor of the lanes (0.1 to
//! 0.2 mL on a bare line) the rule does not hold; so the two are added and no discount is taken: the
//! safety factor of 3 on two grids (P. J. Roache 1994, J. Fluids Eng. 116, 405; from memory).

use super::once::once;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::record::{Numerics, Record, Totals, Warning, WarningKind};
use crate::job::state::Setting;
use crate::transport::lanes::Lanes;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Error that is stated at the least, mL: of millilitres to clean, for which the clearing curve is met by a threshold, and
/// of anything else.
const CLEAN_FLOOR_ML: f64 = 0.03;
const FLOOR_ML: f64 = 0.02;
/// Millilitres to clean are promised within this share or, if that is more, this volume.
pub const PROMISE: (f64, f64) = (5e-3, 0.5);

/// How far millilitres to clean may be off at most without a warning, mL.
pub fn promised_ml(clean_at_ml: f64) -> f64 {
    (PROMISE.0 * clean_at_ml).max(PROMISE.1)
}

/// Runs the job and the two coarser ones, side by side.
pub(crate) fn with_error_estimate(mut setting: Setting) -> Result<Record, JobError> {
    let not_wanted = Arc::new(AtomicBool::new(false));
    setting.not_wanted = Arc::clone(&not_wanted);
    let mut longer = setting.clone();
    longer.options.steps_per_path *= 0.5;
    bare(&mut longer.options);
    let mut fewer = setting.clone();
    fewer.lanes = Arc::new(Lanes::laminar((setting.lanes.n() / 2).max(4)));
    bare(&mut fewer.options);
    // What the job itself fails by is told; until then nobody knows, and the others go on.
    let itself = || once(setting).inspect_err(|_| not_wanted.store(true, Ordering::Relaxed));
    let (record, (longer, fewer)) =
        rayon::join(itself, || rayon::join(|| once(longer), || once(fewer)));
    let (mut record, longer, fewer) = (record?, longer?, fewer?);
    let of_totals = |of: fn(&Totals) -> f64| {
        both(sum(&record, &longer, of), sum(&record, &fewer, of), FLOOR_ML)
    };
    record.numerics = Numerics {
        clean_at_error_ml: both(
            clean_at(&record, &longer),
            clean_at(&record, &fewer),
            CLEAN_FLOOR_ML,
        ),
        old_left_error_ml: both(old_left(&record, &longer), old_left(&record, &fewer), FLOOR_ML),
        drained_error_ml: of_totals(|t| t.drained_ml),
        new_fluid_error_ml: of_totals(|t| t.new_fluid_ml),
    };
    if let Some(error) = beyond_the_promise(&record, &longer, &fewer) {
        record.warnings.push(Warning::new(
            WarningKind::LessExact,
            format!(
                "the millilitres to clean may be off by {error:.1} mL through the computation itself: a small difference decides something in this job, for instance a top-up that falls before or after a stroke"
            ),
        ));
    }
    Ok(record)
}

/// Of a coarser run only sums are asked for.
fn bare(options: &mut Options) {
    options.check_every_step = false;
    options.detail = false;
}

fn both(a: Option<f64>, b: Option<f64>, floor_ml: f64) -> Option<f64> {
    Some(a? + b? + floor_ml)
}

/// Largest error of a bleeder's millilitres to clean that is more than promised of it.
fn beyond_the_promise(record: &Record, longer: &Record, fewer: &Record) -> Option<f64> {
    let errors = clean_at_errors(record, longer)?.into_iter().zip(clean_at_errors(record, fewer)?);
    errors
        .map(|((stated, a), (_, b))| (stated, a + b + CLEAN_FLOOR_ML))
        .filter(|(stated, error)| *error > promised_ml(*stated))
        .map(|(_, error)| error)
        .reduce(f64::max)
}

/// Largest difference among the millilitres to clean that the record `a` states. Where the coarser run
/// turned clean but closed before it had held, that is compared; `None` if it did not turn clean at
/// all, or if the record states nothing.
fn clean_at(a: &Record, b: &Record) -> Option<f64> {
    clean_at_errors(a, b)?.into_iter().map(|(_, difference)| difference).reduce(f64::max)
}

/// Each of these millilitres with its difference.
fn clean_at_errors(a: &Record, b: &Record) -> Option<Vec<(f64, f64)>> {
    if a.openings.len() != b.openings.len() {
        return None;
    }
    let both = a.openings.iter().zip(&b.openings);
    both.filter_map(|(x, y)| Some((x.clean_at_ml?, y.clean_at_ml.or(y.clean_since_ml))))
        .map(|(stated, other)| Some((stated, (stated - other?).abs())))
        .collect()
}

fn old_left(a: &Record, b: &Record) -> Option<f64> {
    (a.openings.len() == b.openings.len()).then(|| (a.left.old_ml - b.left.old_ml).abs())
}

fn sum(a: &Record, b: &Record, of: fn(&Totals) -> f64) -> Option<f64> {
    let difference = (of(&a.totals) - of(&b.totals)).abs();
    (a.openings.len() == b.openings.len()).then_some(difference)
}
