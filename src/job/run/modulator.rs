//! The step that works a hydraulic modulator.

use super::clear_hose::{BOUND_CAPACITIES, Rule};
use super::opening;
use crate::job::error::JobError;
use crate::job::record::{Does, Opening};
use crate::job::state::modulator::Work;
use crate::job::state::{Place, Setting, State};
use crate::keys::quantity::Quantity;
use crate::scenario::procedure::{Action, StopRule};

/// The step of a procedure; gives the openings it made.
pub(crate) fn step(
    setting: &Setting,
    state: &mut State,
    action: &Action,
    place: Place,
) -> Result<Vec<Opening>, JobError> {
    let Action::WorkModulator { modulator, channels, time, pump, bleeders } = action else {
        return Ok(Vec::new());
    };
    let Some(number) = setting.circuit.modulators.iter().position(|m| m.name == *modulator) else {
        return Err(JobError::CannotBeDone {
            what: format!("there is no modulator \"{modulator}\""),
        });
    };
    let work = Work::of(setting, number, channels, *pump);
    let before = state.system.reservoir.volume();
    let mut openings = Vec::new();
    let open: Vec<usize> =
        bleeders.iter().filter_map(|name| setting.circuit.bleeder(name)).collect();
    if open.is_empty() {
        let State { system, books, taken, .. } = &mut *state;
        taken.cycles(setting, time.value / work.cycle_s(setting));
        work.shut(setting, system, time.value, |system| {
            if setting.options.check_every_step {
                books.compare(&setting.species, system);
            }
        })?;
        state.clock_s += time.value;
        let moved = state.system.reservoir.volume() - before;
        state.note_step(place.step, Does::WorkModulator, moved);
    } else {
        let until = StopRule { time: Some(Quantity::known(time.value)), ..StopRule::default() };
        let bound = BOUND_CAPACITIES * setting.circuit.capacity_m3();
        let rule = Rule::new(&until, &setting.scenario.clear_hose, bound);
        work.begin(setting, &mut state.system, time.value)?;
        state.note_step(place.step, Does::WorkModulator, state.system.reservoir.volume() - before);
        state.working = Some(work);
        openings = opening::run(setting, state, &open, rule, place)?;
        if let Some(work) = state.working.take() {
            work.end(setting, &mut state.system)?;
        }
    }
    state.note_supply(setting);
    state.balance(setting);
    Ok(openings)
}
