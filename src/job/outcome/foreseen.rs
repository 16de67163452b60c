//! Whether a job is too large, told before it is run.
//!
//! The limits of `state/limits` are those of a job as it runs, and one that goes beyond them comes there only after a
//! minute. So a job is first run as a sketch: the same steps, stop rules and supply, but with few lanes and in long steps
//! (`run/sketch`). Each of them counts as what the job itself would read and keep meanwhile, at the least. A job whose
//! sketch goes beyond the limits is refused; one whose sketch does not still may be, when it gets there.

use crate::circuit::Scenario;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::run::procedure::procedure;
use crate::job::state::limits::Cost;
use crate::job::state::{Job, Setting};
use std::sync::Arc;

/// Refuses a job that is certain to go beyond a limit.
///
/// # Errors
/// [`JobError::TooLarge`] if it is.
pub(crate) fn within_limits(setting: &Setting) -> Result<(), JobError> {
    if sketch_runs_dry(setting)? && !setting.endless {
        // Then the job runs once more, out of a supply that holds enough.
        sketch_runs_dry(&Setting { endless: true, ..setting.clone() })?;
    }
    Ok(())
}

/// What else than its size may be wrong with it, the job itself says.
fn sketch_runs_dry(setting: &Setting) -> Result<bool, JobError> {
    let run = || {
        let mut job = Job::new(Arc::new(setting.sketch()))?;
        procedure(&mut job).map(|()| job.dry)
    };
    match run() {
        Err(too_large @ JobError::TooLarge { .. }) => Err(too_large),
        ended => Ok(ended.unwrap_or(false)),
    }
}

/// What a job takes at the least, told by a sketch of it; of one that goes beyond a limit, up to there.
///
/// # Errors
/// [`JobError`] if the scenario cannot be simulated.
pub fn least_cost(scenario: &Scenario, options: &Options) -> Result<Cost, JobError> {
    cost_of(Setting::new(scenario, options)?.sketch())
}

/// What a job takes, found by running it once; of one that goes beyond a limit, up to there.
///
/// # Errors
/// [`JobError`] if the scenario cannot be simulated.
pub fn cost(scenario: &Scenario, options: &Options) -> Result<Cost, JobError> {
    cost_of(Setting::new(scenario, options)?)
}

fn cost_of(setting: Setting) -> Result<Cost, JobError> {
    let mut job = Job::new(Arc::new(setting))?;
    match procedure(&mut job) {
        Err(why) if !matches!(why, JobError::TooLarge { .. } | JobError::GivenUp) => Err(why),
        _ => Ok(job.taken.cost(&job.system)),
    }
}
