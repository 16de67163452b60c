//! A job shown whole, though what the supply holds is not enough for it.

use super::error::JobError;
use super::flush;
use super::options::Options;
use super::record::{Record, Warning, WarningKind};
use crate::circuit::Scenario;

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
