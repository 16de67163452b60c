//! Which rules are compared, and which is better for a fleet.

use super::{Car, Closing, First, Rule};
use crate::study::difference::LEAST_ML;
use serde::Serialize;

/// From one cap to the next, mL.
pub const STEP_ML: f64 = 50.0;
/// No cap beyond that is tried unless the standard has one, mL.
pub(super) const MOST_CAP_ML: f64 = 1000.0;

/// A rule on the whole fleet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Judged {
    /// The rule.
    #[serde(flatten)]
    pub rule: Rule,
    /// Cars that must be stopped under it, or stay dirtier, by their places from 0.
    pub failing: Vec<usize>,
    /// The largest regret, mL.
    pub worst_regret_ml: f64,
    /// The car that has it, by its place from 0.
    pub worst: usize,
    /// Regrets of all cars together, mL.
    pub regret_ml: f64,
    /// Fluid that all cars together take, mL.
    pub fluid_ml: f64,
}

/// All rules that are compared, the standard itself among them.
pub(super) fn rules(asked: Rule, most_ml: f64) -> Vec<Rule> {
    let mut caps: Vec<f64> = (1..)
        .map(|n: u32| STEP_ML * f64::from(n))
        .take_while(|cap| *cap < most_ml + STEP_ML)
        .collect();
    if !caps.contains(&asked.at_most_ml) {
        caps.push(asked.at_most_ml);
    }
    caps.sort_by(f64::total_cmp);
    let mut all = Vec::new();
    for first in First::ALL {
        for closing in Closing::ALL {
            all.extend(caps.iter().map(|&at_most_ml| Rule { first, closing, at_most_ml }));
        }
    }
    all
}

/// Which of two rules is better for the fleet. Differences that the computation cannot tell are none.
pub(super) fn better(a: &Judged, b: &Judged) -> std::cmp::Ordering {
    let by = |of: fn(&Judged) -> f64| rounded(of(a)).total_cmp(&rounded(of(b)));
    (a.failing.len().cmp(&b.failing.len()))
        .then(by(|j| j.worst_regret_ml))
        .then(by(|j| j.regret_ml))
        .then(by(|j| j.fluid_ml))
        .then(a.rule.at_most_ml.total_cmp(&b.rule.at_most_ml))
}

/// To half a millilitre, so that equally good rules are equal whatever the order in which they are compared.
fn rounded(ml: f64) -> f64 {
    (ml / LEAST_ML).round()
}

pub(super) fn judge(rule: Rule, cars: &[Car]) -> Judged {
    let of_all = |of: fn(&Car) -> f64| cars.iter().map(of).sum();
    let by = |a: &usize, b: &usize| cars[*a].regret_ml.total_cmp(&cars[*b].regret_ml);
    // The first of several equal ones.
    let worst = (0..cars.len()).rev().max_by(by).unwrap_or(0);
    Judged {
        rule,
        failing: (0..cars.len()).filter(|&i| cars[i].fails()).collect(),
        worst_regret_ml: cars.get(worst).map_or(0.0, |c| c.regret_ml),
        worst,
        regret_ml: of_all(|c| c.regret_ml),
        fluid_ml: of_all(|c| c.fluid_ml),
    }
}
