//! The step that works a hydraulic modulator.

use super::opening::Opened;
use crate::job::error::JobError;
use crate::job::record::Does;
use crate::job::state::{Job, Position, Work};
use crate::job::survey::pumps;
use crate::keys::quantity::Quantity;
use crate::scenario::procedure::{Action, StopRule};

/// Begins the step of a procedure; with bleeders shut it is done at once, else they are open now.
pub(crate) fn begin(
    job: &mut Job,
    action: &Action,
    place: Position,
) -> Result<Option<Opened>, JobError> {
    let Action::WorkModulator { modulator, channels, time, pump, bleeders } = action else {
        return Ok(None);
    };
    let Some(number) = job.setting.circuit.modulators.iter().position(|m| m.name == *modulator)
    else {
        return Err(JobError::CannotBeDone {
            what: format!("there is no modulator \"{modulator}\""),
        });
    };
    let pressure_pa = job.supply.push_pa();
    let work = Work::of(&job.setting, number, channels, (*pump, pressure_pa));
    if let Some(opens_pa) = work.stay_shut_below_pa(&job.setting) {
        let warning = pumps::accumulators_stay_shut(modulator, opens_pa);
        job.warn(warning.kind, warning.text);
    }
    let before = job.system.reservoir.volume();
    if bleeders.iter().all(|b| job.setting.circuit.bleeder(b).is_none()) {
        let Job { setting, system, books, taken, .. } = &mut *job;
        taken.cycles(setting, time.value / work.cycle_s(setting));
        work.shut(setting, system, time.value, |system| {
            if setting.options.check_every_step {
                books.compare(&setting.species, system);
            }
        })?;
        job.clock_s += time.value;
        let moved = job.system.reservoir.volume() - before;
        job.note_step(place.step, Does::WorkModulator, moved);
        job.note_supply();
        job.balance();
        return Ok(None);
    }
    let until = StopRule { time: Some(Quantity::known(time.value)), ..StopRule::default() };
    work.begin(&job.setting, &mut job.system, time.value)?;
    job.note_step(place.step, Does::WorkModulator, job.system.reservoir.volume() - before);
    job.working = Some(work);
    Ok(Some(Opened::new(job, bleeders, &until, place)))
}

/// Ends a step with bleeders open, once they are closed.
pub(crate) fn end(job: &mut Job, work: &Work) -> Result<(), JobError> {
    work.end(&job.setting, &mut job.system)?;
    job.note_supply();
    job.balance();
    Ok(())
}
