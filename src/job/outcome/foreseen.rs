//! Whether a job is too large, told before it is run.
//!
//! The limits of `state/limits` are those of a job as it runs, and one that goes beyond them comes there only after a
//! minute. So a job that may is first run as a sketch: the same steps, stop rules and supply, but with few lanes and in
//! long steps (`run/sketch`). Each of them counts as what the job itself would read and keep meanwhile, at the least. A
//! job whose sketch goes beyond the limits is refused; one whose sketch does not still may be, when it gets there.

use crate::circuit::Scenario;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::run::clear_hose::{BOUND_CAPACITIES, Rule};
use crate::job::run::path::Path;
use crate::job::run::procedure::{one_step, procedure};
use crate::job::state::limits::{
    self, CLEARLY, Cost, MOST_FILMED, MOST_NUMBERS, MOST_READINGS, Taken,
};
use crate::job::state::recorder::{cells_of_a_frame, most_frames};
use crate::job::state::{Job, Position, Setting, Work};
use crate::keys::Role;
use crate::scenario::procedure::{Action, StopRule};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A job that comes to this share of a limit by the most that its stop rules let it drain is sketched.
const SKETCHED_FROM: f64 = 0.25;
/// Steps of an opening beside those of the usual length: short ones at first, and on coming to a close.
const SHORT_STEPS: f64 = 100.0;

/// The setting with what a sketch tells of the computing to come, if the job was worth one.
///
/// # Errors
/// [`JobError::TooLarge`] if the job is certain to go beyond a limit.
pub(crate) fn within_limits(setting: Setting) -> Result<Setting, JobError> {
    limits::before_filling(&setting)?;
    let sketch = setting.sketch();
    // What else may be wrong the job itself says.
    let Ok(mut job) = Job::new(Arc::new(sketch.clone())) else { return Ok(setting) };
    if !may_be_too_large(&job) {
        return Ok(setting);
    }
    let Some(to_come) = run(&mut job)? else { return Ok(setting) };
    if job.dry && !setting.endless {
        // Then the job runs once more, out of a supply that holds enough.
        let endless = Setting { endless: true, ..setting.clone() };
        if let Ok(mut whole) = Job::new(Arc::new(endless.sketch())) {
            run(&mut whole)?;
        }
    }
    Ok(Setting { to_come: Arc::new(to_come), ..setting })
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

/// Runs a sketch; gives what is to come at the least after each step, or nothing if it could not be run to its end.
fn run(job: &mut Job) -> Result<Option<BTreeMap<(u32, usize), u64>>, JobError> {
    let setting = Arc::clone(&job.setting);
    let mut taken = BTreeMap::new();
    for ((pass, step), action) in setting.scenario.procedure.in_turn() {
        match one_step(job, action, Position { pass, step }) {
            Ok(()) => taken.insert((pass, step), job.taken.readings(&job.system)),
            Err(too_large @ JobError::TooLarge { .. }) => return Err(too_large),
            Err(_) => return Ok(None),
        };
        if job.dry {
            break;
        }
    }
    let all = job.taken.readings(&job.system);
    // As clearly as all of a sketch must go beyond a limit.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // less than before
    taken.values_mut().for_each(|it| *it = ((all - *it) as f64 / CLEARLY) as u64);
    Ok(Some(taken))
}

/// Whether the job is so large, by the most that its stop rules let it drain, that a sketch of it is worth its while. A
/// rough figure: none of it is ever said.
fn may_be_too_large(sketch: &Job) -> bool {
    let setting = &sketch.setting;
    let Some(sketched) = &setting.sketched else { return false };
    let (c, scenario) = (&setting.circuit, &setting.scenario);
    let bound_m3 = BOUND_CAPACITIES * c.capacity_m3();
    let all = || scenario.procedure.in_turn().map(|(_, step)| &step.action);
    let waits = all().any(|action| matches!(action, Action::Wait { .. }));
    // What has stood is read lane by lane and species by species.
    let standing = if waits { 1.0 + 2.0 * sketched.grain.species as f64 } else { 1.0 };
    let of_bleeders: Vec<_> = (0..c.bleeders.len())
        .map(|b| {
            let (readings, numbers) = sketch.system.a_step_through(&c.bleeders[b].path);
            let usual = Path::new(setting, b).pace_m3 / sketched.steps_per_path;
            (usual, standing * readings as f64, numbers as f64)
        })
        .collect();
    let stroke_m3 = sketch.supply.strokes().map(|pedal| {
        let masters = c.nodes.iter().filter(|n| n.role == Role::MasterCylinder);
        let chambers = masters.filter_map(|n| n.chamber.as_ref());
        let each = chambers.map(|ch| pedal.sweep_m3(ch) - pedal.port_closing.value);
        each.fold(f64::INFINITY, f64::min)
    });
    let cycle_s = (0..c.modulators.len())
        .map(|m| Work::all(setting, m).cycle_s(setting))
        .fold(f64::INFINITY, f64::min);
    let (a_step, a_network) = Taken::each(setting);
    let (mut readings, mut numbers, mut frames) = (0.0, 0.0, 0);
    for action in all() {
        frames += most_frames(setting);
        let (bleeders, until, cycles) = match action {
            Action::Open { bleeders, until } => (bleeders, *until, 0.0),
            Action::WorkModulator { bleeders, time, .. } => {
                (bleeders, StopRule::default(), time.value / cycle_s)
            }
            _ => continue,
        };
        readings += cycles * a_step;
        let rule = Rule::new(&until, &scenario.clear_hose, bound_m3);
        let by_volume = rule.volume.filter(|_| !rule.clean).map(|v| v.max(rule.at_least));
        let most_m3 = by_volume.unwrap_or(f64::INFINITY).min(rule.at_most);
        for b in bleeders.iter().filter_map(|name| c.bleeder(name)) {
            let (usual, read, kept) = of_bleeders[b];
            let steps = most_m3 / usual + SHORT_STEPS + cycles;
            readings +=
                steps * (read + a_step) + stroke_m3.map_or(0.0, |v| most_m3 / v * a_network);
            numbers += steps * (kept + Taken::points(sketched.detail, 1) as f64);
        }
    }
    let film = if sketched.film { frames * cells_of_a_frame(setting) } else { 0 };
    readings > SKETCHED_FROM * MOST_READINGS as f64
        || numbers > SKETCHED_FROM * MOST_NUMBERS as f64
        || film > MOST_FILMED
}
