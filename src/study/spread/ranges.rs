//! What single draws come to, and the ranges over all of them.

use super::{BleederSpread, WholeSpread};
use crate::circuit::Scenario;
use crate::job::record::{CleanState, Opening, Record};
use crate::measures::to_kpa;
use crate::study::chance::summary::{quantile, share_that_came};

/// What the ranges need of a draw.
#[derive(Debug, Clone)]
pub(super) struct Ranges {
    clean_at_ml: Vec<f64>,
    seconds: Vec<f64>,
    drained_ml: f64,
    bay_seconds: f64,
    left_old_ml: f64,
    /// To be loaded; of a supply that is not loaded, all new fluid.
    pub need_ml: f64,
    /// Poured in by hand besides.
    pub by_hand_ml: f64,
    /// `None` for a supply that is not loaded.
    pub loaded_ml: Option<f64>,
    /// Whether the supply had to be pumped up again once fluid flowed.
    pub pumped_up_again: bool,
}

impl Ranges {
    pub(super) fn of(record: &Record, names: &[String], scenario: &Scenario) -> Self {
        let of = |name: &String| {
            let openings = record.openings.iter().filter(|o| o.bleeder == *name);
            openings.collect::<Vec<_>>()
        };
        let totals = &record.totals;
        Self {
            clean_at_ml: names.iter().map(|n| clean_at_ml(&of(n))).collect(),
            seconds: names.iter().map(|n| of(n).iter().map(|o| o.flow_seconds).sum()).collect(),
            drained_ml: totals.drained_ml,
            bay_seconds: totals.bay_seconds,
            left_old_ml: record.left.old_ml,
            need_ml: totals
                .fluid
                .map_or(Some(totals.new_fluid_ml), |f| f.least_load_ml)
                .unwrap_or(f64::INFINITY),
            by_hand_ml: totals.fluid.map_or(0.0, |_| record.poured_by_hand_ml()),
            loaded_ml: totals.fluid.map(|f| f.loaded_ml),
            pumped_up_again: low_mark_kpa(scenario, record)
                .is_some_and(|mark| record.pumped_up_again(mark) > 0),
        }
    }
}

/// The gauge at which the supply that pushed is pumped up again, if it ever is.
fn low_mark_kpa(scenario: &Scenario, record: &Record) -> Option<f64> {
    let supply = scenario.supply(Some(&record.supply)).ok()?.kind.ready();
    supply.set_gauge()?.low_mark_pa.map(to_kpa)
}

/// Millilitres through all openings of a bleeder after which it had run clean, with nothing dirty after it; +∞
/// if that never came.
fn clean_at_ml(openings: &[&Opening]) -> f64 {
    let (mut at, mut before) = (f64::INFINITY, 0.0);
    for o in openings {
        at = match (o.clean_state, o.clean_at_ml) {
            (CleanState::Already, _) if at.is_finite() => at,
            (CleanState::Already | CleanState::Reached, Some(ml)) => before + ml,
            _ => f64::INFINITY,
        };
        before += o.drained_ml;
    }
    at
}

pub(super) fn bleeders(names: &[String], outcomes: &[&Ranges]) -> Vec<BleederSpread> {
    let entry = |(i, name): (usize, &String)| {
        let clean: Vec<f64> = outcomes.iter().map(|o| o.clean_at_ml[i]).collect();
        let seconds: Vec<f64> = outcomes.iter().map(|o| o.seconds[i]).collect();
        BleederSpread {
            bleeder: name.clone(),
            clean_share: share_that_came(&clean),
            clean_at_ml_p10: quantile(&clean, 0.1),
            clean_at_ml_p50: quantile(&clean, 0.5),
            clean_at_ml_p90: quantile(&clean, 0.9),
            seconds_p10: quantile(&seconds, 0.1),
            seconds_p50: quantile(&seconds, 0.5),
            seconds_p90: quantile(&seconds, 0.9),
        }
    };
    names.iter().enumerate().map(entry).collect()
}

pub(super) fn in_all(outcomes: &[&Ranges]) -> WholeSpread {
    let of = |what: fn(&Ranges) -> f64| {
        let all: Vec<f64> = outcomes.iter().map(|r| what(r)).collect();
        [0.1, 0.5, 0.9].map(|p| quantile(&all, p))
    };
    let [drained_ml_p10, drained_ml_p50, drained_ml_p90] = of(|r| r.drained_ml);
    let [bay_seconds_p10, bay_seconds_p50, bay_seconds_p90] = of(|r| r.bay_seconds);
    let [left_old_ml_p10, left_old_ml_p50, left_old_ml_p90] = of(|r| r.left_old_ml);
    WholeSpread {
        drained_ml_p10,
        drained_ml_p50,
        drained_ml_p90,
        bay_seconds_p10,
        bay_seconds_p50,
        bay_seconds_p90,
        left_old_ml_p10,
        left_old_ml_p50,
        left_old_ml_p90,
    }
}
