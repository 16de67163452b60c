//! What pushes, and how much new fluid to have.

use crate::circuit::Scenario;
use crate::fluid::grade::Family;
use crate::job::error::JobError;
use crate::job::record::{Does, Record};
use crate::measures::{to_kpa, to_ml};

/// What pushes, and between which marks.
#[derive(Debug, Clone, PartialEq)]
pub enum Push {
    /// A pressure bleeder.
    Pressure {
        /// Gauge to pump to, kPa.
        gauge_kpa: f64,
        /// Gauge at which it is pumped up again, kPa.
        low_kpa: Option<f64>,
        /// Times that it falls to that in this job.
        repumps: usize,
        /// Loaded, mL.
        loaded_ml: f64,
    },
    /// The head of the reservoir.
    Gravity(TopUps),
    /// Vacuum at the bleeder.
    Vacuum {
        /// Suction, kPa below the atmosphere.
        suction_kpa: f64,
        /// Topping up.
        top_ups: TopUps,
    },
    /// Pedal strokes.
    Pedal {
        /// Pressure the foot holds, kPa.
        pressure_kpa: f64,
        /// Strokes in this job.
        strokes: u32,
        /// Topping up.
        top_ups: TopUps,
    },
}

/// How an open reservoir is kept full.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TopUps {
    /// Below which level to top up and to which, mL; `None`: nobody does.
    pub between_ml: Option<(f64, f64)>,
    /// How often in this job.
    pub times: usize,
}

/// New fluid and its bottles.
#[derive(Debug, Clone, PartialEq)]
pub struct FluidToOpen {
    /// Grade of the new fluid.
    pub grade: String,
    /// Grade of the old fluid.
    pub old_grade: String,
    /// Whether new fluid is of the glycol family, which is not oily to the touch; mineral oil and silicone are.
    pub glycol: bool,
    /// What one bottle holds, mL.
    pub bottle_ml: f64,
    /// What the job takes out of bottles, mL: loaded (or, if that is not enough, the least that is) and poured in by hand.
    pub job_ml: f64,
    /// Bottles to open for that.
    pub open: u64,
    /// Further bottles to keep at hand, sealed, so that it is enough in 95 of 100 draws.
    pub at_hand: u64,
}

pub(super) fn push(scenario: &Scenario, record: &Record) -> Result<Push, JobError> {
    let described = scenario.supply(Some(&record.supply));
    let described = described.map_err(|why| JobError::no_supply(scenario, why))?;
    let supply = described.kind.ready();
    let refill = supply.topping().and_then(|t| scenario.circuit().reservoir.refill(t));
    let top_ups = TopUps {
        between_ml: refill.map(|(low, high)| (to_ml(low), to_ml(high))),
        times: record.steps.iter().filter(|s| s.step == 0 && s.does == Does::TopUp).count(),
    };
    let suction_kpa = -to_kpa(supply.at_bleeder_pa());
    Ok(match (supply.set_gauge(), supply.strokes()) {
        (Some(set), _) => Push::Pressure {
            gauge_kpa: to_kpa(set.pa),
            low_kpa: set.low_mark_pa.map(to_kpa),
            repumps: record.steps.iter().filter(|s| s.step == 0 && s.does == Does::RePump).count(),
            loaded_ml: record.totals.fluid.map_or(0.0, |f| f.loaded_ml),
        },
        (None, Some(pedal)) => Push::Pedal {
            pressure_kpa: to_kpa(pedal.pressure.value),
            strokes: record.totals.strokes.unwrap_or(0),
            top_ups,
        },
        (None, None) if suction_kpa > 0.0 => Push::Vacuum { suction_kpa, top_ups },
        (None, None) => Push::Gravity(top_ups),
    })
}

/// Bottles for what the job takes; opened fluid draws water, so what may be needed besides stays sealed.
pub(super) fn fluid(
    scenario: &Scenario,
    record: &Record,
    push: &Push,
    needed_ml: Option<f64>,
    bottle_ml: f64,
) -> FluidToOpen {
    let job_ml = match push {
        // Where the load as written is not enough, what would be.
        Push::Pressure { loaded_ml, .. } => {
            let least_ml = record.totals.fluid.and_then(|f| f.least_load_ml);
            loaded_ml.max(least_ml.unwrap_or(0.0)) + record.poured_by_hand_ml()
        }
        _ => record.totals.new_fluid_ml,
    };
    let bottles = |ml: f64| (ml / bottle_ml - 1e-6).ceil().max(0.0) as u64;
    let open = bottles(job_ml);
    let [old, new] = [scenario.old_fluid.grade, scenario.new_fluid.grade];
    FluidToOpen {
        glycol: new.family == Family::Glycol,
        grade: new.name.to_owned(),
        old_grade: old.name.to_owned(),
        bottle_ml,
        job_ml,
        open,
        at_hand: needed_ml.map_or(0, bottles).saturating_sub(open),
    }
}
