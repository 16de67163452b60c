//! What pushes, and how much new fluid to have.

use crate::circuit::Scenario;
use crate::fluid::grade::Family;
use crate::job::error::JobError;
use crate::job::record::{Does, Record};
use crate::measures::{to_kpa, to_ml};
use crate::study::spread::{Spread, bottles};

/// What pushes, and between which marks.
#[derive(Debug, Clone, PartialEq)]
pub enum Push {
    /// A pressure bleeder.
    Pressure {
        /// Gauge to pump to, kPa.
        gauge_kpa: f64,
        /// Gauge at which it is pumped up again, kPa.
        low_kpa: Option<f64>,
        /// Times that it falls to that in this job once fluid flows.
        again: usize,
        /// Share of the draws in which it does; `None` without draws.
        again_share: Option<f64>,
        /// Loaded in the job as simulated, mL.
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
    /// What is needed, mL.
    pub need: Need,
    /// Bottles to open for that.
    pub open: u64,
    /// Share of the draws for which these are not enough; `None` without draws.
    pub short_share: Option<f64>,
    /// Left over of what is opened, mL, after the job as simulated.
    pub left_over_ml: f64,
}

/// New fluid that a job needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Need {
    /// Whether it is enough in 95 of 100 draws; otherwise it is what the job as simulated takes.
    pub sure: bool,
    /// In all, mL.
    pub have_ml: f64,
    /// To be loaded, mL; `None` for a supply that is not loaded.
    pub load_ml: Option<f64>,
    /// Poured in by hand in the job as simulated, mL.
    pub by_hand_ml: f64,
}

pub(super) fn push(
    scenario: &Scenario,
    record: &Record,
    spread: Option<&Spread>,
) -> Result<Push, JobError> {
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
            again: set.low_mark_pa.map_or(0, |mark| record.pumped_up_again(to_kpa(mark))),
            again_share: spread.and_then(|s| s.pumped_up_again_share),
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

/// What is needed, as the draws tell it, or without them as the job as simulated does; and bottles for that.
pub(super) fn fluid(
    scenario: &Scenario,
    record: &Record,
    spread: Option<&Spread>,
    bottle_ml: f64,
) -> FluidToOpen {
    let book = record.totals.fluid;
    let took_ml = record.totals.new_fluid_ml;
    let by_hand_ml = if book.is_some() { record.poured_by_hand_ml() } else { took_ml };
    let drawn = spread.and_then(|s| s.have_ml_p95.zip(s.load_ml_p95));
    // Where no load that the vessel takes is enough, what is loaded.
    let least_ml = book.map(|f| f.least_load_ml.unwrap_or(f.loaded_ml));
    let (have_ml, load_ml) = match drawn {
        Some((have_ml, load_ml)) => (have_ml, book.map(|_| load_ml)),
        None => (least_ml.map_or(took_ml, |load_ml| load_ml + by_hand_ml), least_ml),
    };
    let open = spread.and_then(|s| s.bottles_p95).unwrap_or_else(|| bottles(have_ml, bottle_ml));
    // The feed hose stays full.
    let used_ml =
        book.map_or(took_ml, |f| f.bled_ml + f.reservoir_ml + f.feed_hose_ml + by_hand_ml);
    let [old, new] = [scenario.old_fluid.grade, scenario.new_fluid.grade];
    FluidToOpen {
        glycol: new.family == Family::Glycol,
        grade: new.name.to_owned(),
        old_grade: old.name.to_owned(),
        bottle_ml,
        need: Need { sure: drawn.is_some(), have_ml, load_ml, by_hand_ml },
        open,
        short_share: spread.and_then(|s| s.bottles_short_share),
        left_over_ml: (open as f64 * bottle_ml - used_ml).max(0.0),
    }
}
