//! The procedure from its first step to its last.

use super::clear_hose::{BOUND_CAPACITIES, Rule};
use super::{modulator, opening, pushing};
use crate::job::error::JobError;
use crate::job::record::wording::at_line;
use crate::job::record::{Does, Opening, WarningKind};
use crate::job::state::mixing::overturn_s;
use crate::job::state::{Place, Setting, State};
use crate::job::survey::{cautions, likely_mistakes, valves};
use crate::measures::to_ml;
use crate::portable;
use crate::scenario::procedure::{Action, Step};
use crate::supply::Loaded;

/// The job before its first step, with what is to be warned of beforehand.
pub(crate) fn begin(setting: &Setting) -> Result<State, JobError> {
    let mut state = State::new(setting)?;
    cautions::warn_of_pressure(setting, &mut state);
    state.warnings.extend(cautions::never_opened(setting));
    state.warnings.extend(likely_mistakes::warnings(&setting.scenario, &setting.circuit));
    state.warnings.extend(cautions::warnings(setting, state.supply.as_ref()));
    valves::warn_of_states(setting, &mut state);
    cautions::remark(&mut state);
    Ok(state)
}

/// Goes through all passes and steps; ends early if the supply ran dry.
pub(crate) fn procedure(setting: &Setting, state: &mut State) -> Result<Vec<Opening>, JobError> {
    let mut openings = Vec::new();
    for (place, step) in setting.scenario.procedure.in_turn() {
        one_step(setting, state, step, Place { pass: place.0, step: place.1 }, &mut openings)?;
        if state.dry {
            return Ok(openings);
        }
    }
    state.clock_s += setting.tasks().finish.value;
    Ok(openings)
}

/// One step of the procedure; its openings come behind those that are there.
pub(crate) fn one_step(
    setting: &Setting,
    state: &mut State,
    step: &Step,
    place: Place,
    openings: &mut Vec<Opening>,
) -> Result<(), JobError> {
    state.film_step(setting);
    match &step.action {
        Action::Open { bleeders, until } => {
            let bound = BOUND_CAPACITIES * setting.circuit.capacity_m3();
            let rule = Rule::new(until, &setting.scenario.clear_hose, bound);
            let numbers: Vec<usize> =
                bleeders.iter().filter_map(|name| setting.circuit.bleeder(name)).collect();
            openings.extend(opening::run(setting, state, &numbers, rule, place)?);
            state.film_step(setting);
            state.clock_s += setting.tasks().per_bleeder.value;
        }
        action @ Action::WorkModulator { .. } => {
            openings.extend(modulator::step(setting, state, action, place)?);
        }
        action => other_step(setting, state, action, step.line, place)?,
    }
    state.film_step(setting);
    state.within_limits(setting, place)
}

/// A step that is not an opening.
fn other_step(
    setting: &Setting,
    state: &mut State,
    action: &Action,
    line: usize,
    place: Place,
) -> Result<(), JobError> {
    let number = place.step;
    let level = state.system.reservoir.volume();
    match action {
        // Done by the caller: they make openings.
        Action::Open { .. } | Action::WorkModulator { .. } => {}
        Action::Syringe { leave } => {
            let change = (leave.value - level).min(0.0);
            by_hand(setting, state, change, Does::Syringe, (number, line));
        }
        Action::TopUp { to } => {
            by_hand(setting, state, (to.value - level).max(0.0), Does::TopUp, (number, line));
        }
        Action::SetLevel { to } => {
            by_hand(setting, state, to.value - level, Does::SetLevel, (number, line));
        }
        Action::Load { volume } => match state.supply.loaded() {
            Some(Loaded { room_m3, .. }) if volume.value > room_m3 && !setting.endless => {
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
                state.supply.load(volume.value);
                state.books.loaded += volume.value;
                state.note_step(number, Does::Load, volume.value);
            }
            None => without_effect(state, "load", line),
        },
        Action::RePump { gauge } => {
            if !pushing::pump_to(setting, state, gauge.value, number) {
                without_effect(state, "re_pump", line);
            }
            cautions::warn_of_pressure(setting, state);
        }
        Action::Relieve => {
            if !state.supply.pump_to(0.0) {
                without_effect(state, "relieve", line);
            }
            state.cap_air = None;
            state.note_step(number, Does::Relieve, 0.0);
        }
        Action::Wait { time, remix } => {
            let degree = |link: usize| match remix {
                Some(r) => r.value,
                None => overturn_s(setting, link)
                    .map_or(0.0, |overturn| 1.0 - portable::exp(-time.value / overturn)),
            };
            state
                .taken
                .before_snapshots(setting, &state.system, place, |link| degree(link) > 0.0)?;
            state.system.stand(time.value, degree);
            state.clock_s += time.value;
            state.note_step(number, Does::Wait, 0.0);
        }
    }
    state.note_supply(setting);
    state.balance(setting);
    Ok(())
}

/// Says that a step has nothing to act on.
fn without_effect(state: &mut State, step: &str, line: usize) {
    state.warn(
        WarningKind::StepWithoutEffect,
        format!(
            "`{step}` acts on a pressure bleeder, and another supply pushes: left out{}",
            at_line(line)
        ),
    );
}

/// Pours new fluid into the reservoir, or takes fluid out with a syringe (`change` below 0, m³), in the `step`-th step
/// on this line of the file.
///
/// Nobody does either through a pressurised cap: the feed valve is shut and the adapter taken off, so that the air
/// under it goes off, and the next opening presses it anew. The valve sits at the adapter (common practice, no source):
/// the feed hose stays full behind it, nothing is spilt, and what has risen in the reservoir stays there. With nothing
/// to pour or to take, nothing is done.
fn by_hand(
    setting: &Setting,
    state: &mut State,
    change: f64,
    does: Does,
    (step, line): (usize, usize),
) {
    if change < 0.0 {
        state.draw(-change);
        state.clock_s += setting.tasks().per_syringe.value;
        state.warn_of_bare_outlets(setting, &at_line(line));
    } else if change > 0.0 {
        state.pour(setting, change);
        state.books.by_hand += change;
        state.clock_s += setting.tasks().per_top_up.value;
    }
    if change != 0.0 {
        state.cap_air = None;
    }
    state.note_step(step, does, change);
}
