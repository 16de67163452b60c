//! What a modulator's pump and accumulators cannot do at the pressure there is.

use super::cautions::highest_gauge_pa;
use crate::job::record::{Warning, WarningKind, in_both_units};
use crate::job::state::{Job, Work};
use crate::measures::to_kpa;
use crate::scenario::procedure::Action;

/// Gauge pressure before a pump below which fluid tears off, Pa: a tenth of an atmosphere is left, at which dissolved air
/// comes out in quantity (from memory).
const TEARS_OFF_PA: f64 = -90e3;

/// Of a step that works a modulator: the accumulators stay shut that open at this pressure, Pa.
pub(crate) fn accumulators_stay_shut(modulator: &str, opens_pa: f64) -> Warning {
    Warning::new(
        WarningKind::AccumulatorStaysShut,
        format!(
            "the supply stays below {}, at which the accumulators of {modulator} open (`accumulator_opens`): working it moves nothing into them, and nothing that is trapped comes out; a foot on the pedal opens them (a supply of kind `pedal`), or the pump of an ESC unit, which builds pressure itself",
            in_both_units(opens_pa),
        ),
    )
}

/// The same before the job, at the highest gauge there will be.
pub(crate) fn foreseen(job: &Job) -> Vec<Warning> {
    let (setting, supply) = (&job.setting, job.supply.as_ref());
    let pressure_pa = highest_gauge_pa(setting, supply).unwrap_or_else(|| supply.push_pa());
    let steps = setting.scenario.procedure.steps.iter();
    let warnings = steps.filter_map(|step| {
        let Action::WorkModulator { modulator, channels, pump, .. } = &step.action else {
            return None;
        };
        let number = setting.circuit.modulators.iter().position(|m| m.name == *modulator)?;
        let work = Work::of(setting, number, channels, (*pump, pressure_pa));
        Some(accumulators_stay_shut(modulator, work.stay_shut_below_pa(setting)?))
    });
    warnings.collect()
}

/// Of a pump that draws harder than fluid can follow; `lowest_pa` is the gauge pressure before it.
pub(crate) fn starved(lowest_pa: f64) -> Option<Warning> {
    (lowest_pa < TEARS_OFF_PA).then(|| {
        Warning::new(
            WarningKind::PumpStarved,
            format!(
                "the modulator's pump would have to draw at {:.0} kPa below the atmosphere, where fluid tears off: it delivers less than it is taken to, and the millilitres at its bleeders are too many; lower `cycle_volume` or `suction_share`, or push with pressure",
                -to_kpa(lowest_pa)
            ),
        )
    })
}
