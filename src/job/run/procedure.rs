//! The procedure from its first step to its last.

use super::opening::Opened;
use super::{modulator, pushing};
use crate::job::error::JobError;
use crate::job::record::{Does, WarningKind, at_line};
use crate::job::state::{Job, Position, Setting, overturn_s};
use crate::job::survey::{cautions, check, likely_mistakes, valves};
use crate::keys::Place;
use crate::measures::to_ml;
use crate::portable;
use crate::scenario::procedure::{Action, Step};
use crate::supply::Loaded;
use std::sync::Arc;

/// The job before its first step, with what is to be warned of beforehand.
pub(crate) fn begin(setting: Arc<Setting>) -> Result<Job, JobError> {
    let mut job = Job::new(Arc::clone(&setting))?;
    cautions::warn_of_pressure(&mut job);
    job.warnings.extend(cautions::never_opened(&setting));
    job.warnings.extend(likely_mistakes::warnings(&setting.scenario, &setting.circuit));
    job.warnings.extend(cautions::warnings(&setting, job.supply.as_ref()));
    valves::warn_of_states(&mut job);
    cautions::remark(&mut job);
    // Studies that set jobs side by side do not tell what holds for all of them.
    if setting.options.detail && setting.options.origins {
        let (lines, _) = check::lines(&job)?;
        job.warnings.extend(check::less_sure(&lines));
    }
    Ok(job)
}

/// Goes through all passes and steps; ends early if the supply ran dry.
pub(crate) fn procedure(job: &mut Job) -> Result<(), JobError> {
    let setting = Arc::clone(&job.setting);
    for (place, step) in setting.scenario.procedure.in_turn() {
        one_step(job, step, Position { pass: place.0, step: place.1 })?;
        if job.dry {
            return Ok(());
        }
    }
    job.clock_s += job.setting.tasks().finish.value;
    Ok(())
}

/// One step of the procedure.
pub(crate) fn one_step(job: &mut Job, step: &Step, place: Position) -> Result<(), JobError> {
    let Some(mut opened) = begin_step(job, step, place)? else { return Ok(()) };
    while opened.step(job)? {}
    end_opening(job, opened)
}

/// Begins a step: does it, or opens the bleeders that it opens.
pub(crate) fn begin_step(
    job: &mut Job,
    step: &Step,
    place: Position,
) -> Result<Option<Opened>, JobError> {
    let opened = match &step.action {
        Action::Open { bleeders, until } => Some(Opened::new(job, bleeders, until, place)),
        action @ Action::WorkModulator { .. } => modulator::begin(job, action, place)?,
        action => {
            other_step(job, action, step.line, place)?;
            None
        }
    };
    if opened.is_none() {
        job.within_limits(place)?;
    }
    Ok(opened)
}

/// Ends a step that opened bleeders, once all are closed.
pub(crate) fn end_opening(job: &mut Job, opened: Opened) -> Result<(), JobError> {
    let place = opened.place();
    opened.end(job);
    match job.working.take() {
        Some(work) => modulator::end(job, &work)?,
        None => {
            job.clock_s += job.setting.tasks().per_bleeder.value;
        }
    }
    job.within_limits(place)
}

/// A step that is not an opening.
fn other_step(
    job: &mut Job,
    action: &Action,
    line: Place,
    place: Position,
) -> Result<(), JobError> {
    let number = place.step;
    let level = job.system.reservoir.volume();
    match action {
        // Done by the caller: they make openings.
        Action::Open { .. } | Action::WorkModulator { .. } => {}
        Action::Syringe { leave } => {
            let change = (leave.value - level).min(0.0);
            by_hand(job, change, Does::Syringe, (number, line));
        }
        Action::TopUp { to } => {
            by_hand(job, (to.value - level).max(0.0), Does::TopUp, (number, line));
        }
        Action::SetLevel { to } => {
            by_hand(job, to.value - level, Does::SetLevel, (number, line));
        }
        Action::Load { volume } => match job.supply.loaded() {
            Some(Loaded { room_m3, .. }) if volume.value > room_m3 && !job.setting.endless => {
                return Err(JobError::CannotBeDone {
                    what: format!(
                        "step {number} loads {:.0} mL{}, but the vessel has room for {:.0} mL beside its air cushion: load less at a time",
                        to_ml(volume.value),
                        at_line(line),
                        to_ml(room_m3.max(0.0))
                    ),
                });
            }
            Some(_) => {
                job.supply.load(volume.value);
                job.books.loaded += volume.value;
                job.note_step(number, Does::Load, volume.value);
            }
            None => without_effect(job, "load", line),
        },
        Action::RePump { gauge } => {
            if !pushing::pump_to(job, gauge.value, number) {
                without_effect(job, "re_pump", line);
            }
            cautions::warn_of_pressure(job);
        }
        Action::Relieve => {
            if !job.supply.pump_to(0.0) {
                without_effect(job, "relieve", line);
            }
            job.cap_air = None;
            job.note_step(number, Does::Relieve, 0.0);
        }
        Action::Wait { time, remix } => {
            // For each link once: a line has hundreds of cells.
            let links = 0..job.setting.circuit.links.len();
            let degrees: Vec<f64> = match remix {
                Some(r) => vec![r.value; links.len()],
                None => links
                    .map(|link| {
                        overturn_s(&job.setting, link)
                            .map_or(0.0, |overturn| 1.0 - portable::exp(-time.value / overturn))
                    })
                    .collect(),
            };
            let degree = |link: usize| degrees[link];
            job.taken
                .before_snapshots(&job.setting, &job.system, place, |link| degree(link) > 0.0)?;
            job.system.stand(time.value, degree);
            job.clock_s += time.value;
            job.note_step(number, Does::Wait, 0.0);
        }
    }
    job.note_supply();
    job.balance();
    Ok(())
}

/// Says that a step has nothing to act on.
fn without_effect(job: &mut Job, step: &str, line: Place) {
    job.warn(
        WarningKind::StepWithoutEffect,
        format!(
            "`{step}` acts on a pressure bleeder, and another supply pushes: left out{}",
            at_line(line)
        ),
    );
}

/// Less than any syringe takes, m³: a thousandth of a microlitre.
const NOTHING_M3: f64 = 1e-12;

/// Pours new fluid into the reservoir, or takes fluid out with a syringe (`change` below 0, m³), in the `step`-th step
/// on this line of the file.
///
/// Nobody does either through a pressurised cap: the feed valve is shut and the adapter taken off, so that the air
/// under it goes off, and the next opening presses it anew. The valve sits at the adapter (common practice, no source):
/// the feed hose stays full behind it, nothing is spilt, and what has risen in the reservoir stays there. With nothing
/// to pour or to take, nothing is done.
fn by_hand(job: &mut Job, change: f64, does: Does, (step, line): (usize, Place)) {
    // A level is a sum of what came and went: it stands at what it was brought to but for rounding, which is no fluid.
    let change = if change.abs() < NOTHING_M3 { 0.0 } else { change };
    if change < 0.0 {
        job.draw(-change);
        job.clock_s += job.setting.tasks().per_syringe.value;
        job.warn_of_bare_outlets(&at_line(line));
    } else if change > 0.0 {
        job.pour(change);
        job.books.by_hand += change;
        job.clock_s += job.setting.tasks().per_top_up.value;
    }
    if change != 0.0 {
        job.cap_air = None;
    }
    job.note_step(step, does, change);
}
