//! A job run once, and the record of it.

use super::{left, on_the_road, shortage};
use crate::job::error::JobError;
use crate::job::record::{FluidBook, Numerics, Opening, Record, ScenarioName, Totals, WarningKind};
use crate::job::run::procedure::{begin, procedure};
use crate::job::state::{Setting, State};
use crate::job::survey::cautions;
use crate::measures::to_ml;

/// Runs once, without an error estimate.
pub(crate) fn once(setting: Setting) -> Result<Record, JobError> {
    let mut state = begin(&setting)?;
    let openings = procedure(&setting, &mut state)?;
    if state.dry {
        shortage::foretell(&setting, &mut state)?;
    }
    record(&setting, state, openings)
}

fn record(setting: &Setting, mut state: State, openings: Vec<Opening>) -> Result<Record, JobError> {
    state.balance(setting);
    let b = &state.books;
    let reservoir = state.system.reservoir.volume();
    let fluid = state.supply.loaded().map(|load| {
        let left = load.fluid_m3 - setting.extra_m3();
        let raised = reservoir - b.start_reservoir + b.removed - b.by_hand;
        FluidBook {
            loaded_ml: to_ml(b.loaded),
            bled_ml: to_ml(b.loaded - left - b.hose - raised),
            reservoir_ml: to_ml(raised),
            feed_hose_ml: to_ml(b.hose),
            left_ml: to_ml(left),
            least_load_ml: match state.dry {
                true => state.least_load_m3.map(to_ml),
                false => Some(to_ml(b.loaded - left + load.heel_m3)),
            },
        }
    });
    let totals = Totals {
        drained_ml: to_ml(b.drained),
        removed_ml: to_ml(b.removed),
        new_fluid_ml: to_ml(b.come_volume),
        flow_seconds: state.flow_s,
        bay_seconds: state.clock_s,
        repumps: state.repumps,
        strokes: state.supply.strokes().is_some().then_some(state.strokes),
        fluid,
    };
    let max = setting.circuit.reservoir.max_m3;
    // Half a millilitre is not worth a word.
    if reservoir > max + 0.5e-6 {
        state.warn(
            WarningKind::ReservoirAboveMax,
            format!(
                "the reservoir ends at {:.0} mL, {:.0} mL above MAX: take the excess out with a syringe once the pressure is off",
                to_ml(reservoir),
                to_ml(reservoir - max)
            ),
        );
    } else if reservoir < setting.circuit.reservoir.min_m3 * (1.0 - 1e-9) {
        state.warn(
            WarningKind::ReservoirBelowMin,
            format!("the reservoir ends at {:.0} mL, below MIN: top it up", to_ml(reservoir)),
        );
    }
    let of_flow = cautions::of_job(setting, &state, &openings);
    state.warnings.extend(of_flow);
    let left = left::left(setting, &state);
    let if_modulator_works = on_the_road::once(setting, &state)?;
    Ok(Record {
        farwheel: env!("CARGO_PKG_VERSION"),
        scenario: ScenarioName {
            title: setting.scenario.title.clone(),
            file: setting.scenario.file.clone(),
        },
        seed: setting.options.seed,
        steps: state.steps,
        totals,
        left,
        if_modulator_works,
        balance: state.books.worst,
        numerics: Numerics::default(),
        warnings: state.warnings,
        supply: setting.described_supply()?.name.clone(),
        supply_curve: state.supply_curve,
        film: state.film.map(|f| f.into_film()),
        openings,
    })
}
