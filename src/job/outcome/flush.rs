//! A job looked over; flushed, with its error estimate; and one shown whole, though what the supply holds is not enough for it.

use super::once::once;
use super::{error_estimate, foreseen};
use crate::circuit::Scenario;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::record::check::CheckReport;
use crate::job::record::{Record, Warning, WarningKind};
use crate::job::state::Setting;
use crate::job::survey;

/// Runs a scenario's procedure.
///
/// # Errors
/// [`JobError`] if the scenario cannot be simulated; whatever goes wrong in the job itself (a supply
/// that runs dry, a target not reached) is in the record's warnings.
pub fn flush(scenario: &Scenario, options: &Options) -> Result<Record, JobError> {
    let setting = Setting::new(scenario, options)?;
    match run(Setting { only_if_small: true, ..setting.clone() }) {
        Err(JobError::GivenUp) => {
            foreseen::within_limits(&setting)?;
            run(setting)
        }
        ended => ended,
    }
}

fn run(setting: Setting) -> Result<Record, JobError> {
    if !setting.options.estimate_error {
        return once(setting);
    }
    error_estimate::with_error_estimate(setting)
}

/// Surveys a scenario: volumes, paths, the gauge drop to expect, defaults in use, warnings.
///
/// # Errors
/// [`JobError`] if the scenario cannot be simulated, or if its job is certain to take more than a job may.
pub fn check(scenario: &Scenario, options: &Options) -> Result<CheckReport, JobError> {
    let setting = Setting::new(scenario, options)?;
    foreseen::within_limits(&setting)?;
    survey::check::check(setting)
}

/// As [`flush()`], but where the supply runs dry the figures are those of the same job out of a supply that holds
/// enough, with the warning that stops it as written; the book of the loaded fluid stays that of the load as
/// written. For plans and pages that show what is to be done, not where it ends.
///
/// # Errors
/// As [`flush()`].
pub fn flush_whole(scenario: &Scenario, options: &Options) -> Result<Record, JobError> {
    let record = flush(scenario, options)?;
    if options.endless || record.warnings.iter().all(|w| w.kind != WarningKind::SupplyRanDry) {
        return Ok(record);
    }
    let whole = flush(scenario, &Options { endless: true, ..options.clone() })?;
    let stops = record.warnings.into_iter().filter(|w| w.stops_the_job());
    let mut warnings: Vec<Warning> = stops.collect();
    for warning in whole.warnings {
        if !warnings.contains(&warning) {
            warnings.push(warning);
        }
    }
    let mut totals = whole.totals;
    totals.fluid = record.totals.fluid;
    Ok(Record { warnings, totals, ..whole })
}
