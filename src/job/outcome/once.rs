//! A job run once, and the record of it.

use super::{left, on_the_road, shortage};
use crate::job::error::JobError;
use crate::job::record::{FluidBook, Numerics, Record, ScenarioName, Totals, WarningKind};
use crate::job::run::procedure::{begin, procedure};
use crate::job::state::{Job, Setting};
use crate::job::survey::cautions;
use crate::measures::to_ml;
use std::sync::Arc;

/// Runs once, without an error estimate.
pub(crate) fn once(setting: Setting) -> Result<Record, JobError> {
    let mut job = begin(Arc::new(setting))?;
    procedure(&mut job)?;
    if job.dry {
        shortage::foretell(&mut job)?;
    }
    record(job)
}

/// The record of a job that has ended.
pub(crate) fn record(mut job: Job) -> Result<Record, JobError> {
    job.balance();
    let b = &job.books;
    let reservoir = job.system.reservoir.volume();
    // Sums that come to nothing do so but for rounding.
    let beyond_rounding = |m3: f64| if m3.abs() <= job.rounding_m3() { 0.0 } else { m3 };
    let fluid = job.supply.loaded().map(|load| {
        let left = load.fluid_m3 - job.setting.extra_m3();
        let raised = beyond_rounding(reservoir - b.start_reservoir + b.removed - b.by_hand);
        FluidBook {
            loaded_ml: to_ml(b.loaded),
            bled_ml: to_ml(beyond_rounding(b.loaded - left - b.hose - raised)),
            reservoir_ml: to_ml(raised),
            feed_hose_ml: to_ml(b.hose),
            left_ml: to_ml(left),
            least_load_ml: match job.dry {
                true => job.least_load_m3.map(to_ml),
                false => Some(to_ml(b.loaded - left + load.heel_m3)),
            },
        }
    });
    let totals = Totals {
        drained_ml: to_ml(b.drained),
        removed_ml: to_ml(b.removed),
        new_fluid_ml: to_ml(b.come_volume),
        flow_seconds: job.flow_s,
        bay_seconds: job.clock_s,
        repumps: job.repumps,
        strokes: job.supply.strokes().is_some().then_some(job.strokes),
        fluid,
    };
    let max = job.setting.circuit.reservoir.max_m3;
    // Half a millilitre is not worth a word.
    if reservoir > max + 0.5e-6 {
        job.warn(
            WarningKind::ReservoirAboveMax,
            format!(
                "the reservoir ends at {:.0} mL, {:.0} mL above MAX: take the excess out with a syringe once the pressure is off",
                to_ml(reservoir),
                to_ml(reservoir - max)
            ),
        );
    } else if reservoir < job.setting.circuit.reservoir.min_m3 * (1.0 - 1e-9) {
        job.warn(
            WarningKind::ReservoirBelowMin,
            format!("the reservoir ends at {:.0} mL, below MIN: top it up", to_ml(reservoir)),
        );
    }
    let of_flow = cautions::of_job(&job);
    job.warnings.extend(of_flow);
    let left = left::left(&job);
    let if_modulator_works = on_the_road::once(&job)?;
    Ok(Record {
        farwheel: env!("CARGO_PKG_VERSION"),
        scenario: ScenarioName::of(&job.setting.scenario),
        seed: job.setting.options.seed,
        steps: job.steps,
        totals,
        left,
        if_modulator_works,
        balance: job.books.worst,
        numerics: Numerics::default(),
        warnings: job.warnings,
        supply: job.setting.described_supply()?.name.clone(),
        supply_curve: job.supply_curve,
        parts_over_time: None,
        openings: job.openings,
    })
}
