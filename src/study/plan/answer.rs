//! The answer of the study.

use super::targets::Targets;
use crate::job::record::{
    Balance, IfModulatorWorks, Left, Numerics, Opening, Record, StepDone, Totals, Warning,
};
use crate::job::resume::Sums;
use serde::Serialize;

/// A point of the trade-off curve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Point {
    /// Drained at all bleeders, mL.
    pub drained_ml: f64,
    /// Old fraction of the whole system.
    pub left_old_fraction: f64,
    /// New fluid brought in, mL.
    pub new_fluid_ml: f64,
}

impl Point {
    /// The point that a job comes to.
    pub(super) fn of(sums: &Sums) -> Self {
        Self {
            drained_ml: sums.drained_ml,
            left_old_fraction: sums.left_old_fraction,
            new_fluid_ml: sums.new_fluid_ml,
        }
    }
}

/// The plan.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Plan {
    /// What was to be reached.
    pub targets: Targets,
    /// How it is known that nothing takes less, and what is not known.
    pub proof: String,
    /// The same in a sentence: for which plans it is proved, and for which not.
    pub proved: String,
    /// Openings of the plan, run as `flush` runs the file.
    pub openings: Vec<Opening>,
    /// Sums.
    pub totals: Totals,
    /// What stays behind.
    pub left: Left,
    /// The least fluid for less or more old fluid left, the reservoir syringed first or not as in the plan.
    pub curve: Vec<Point>,
    /// Seed of the draws.
    pub seed: u64,
    /// Share of the draws in which the plan meets the targets; left out if none were asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub met_share: Option<f64>,
    /// True if the study was ended early. Left out otherwise.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub partial: bool,
    /// The wheel brake that boils first in the plan, and from where, if a boiling point was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub first_to_boil: Option<FirstToBoil>,
    /// The plan as a scenario file.
    // Not in the JSON: a file, written on request (`-o FILE`).
    #[serde(skip)]
    pub text: String,
    /// Whether the reservoir is emptied by syringe first.
    pub syringed: bool,
    /// What the scenario's own procedure drains and leaves.
    pub own: Point,
    /// What it takes out of the reservoir with a syringe, mL.
    pub own_removed_ml: f64,
    /// Parts that no bleeder of the procedure reaches.
    pub unreached: Vec<String>,
    /// The whole record of the run; the JSON has at its end what of it doesn't stand above.
    #[serde(flatten, serialize_with = "the_rest")]
    pub record: Record,
    /// Time in the bay that the scenario's own procedure takes, s.
    pub own_bay_seconds: f64,
}

impl Plan {
    /// The point of the curve that leaves clearly less than the plan, two thirds at most, for least fluid.
    pub fn cleaner(&self) -> Option<&Point> {
        let clearly = 2.0 / 3.0 * self.left.old_fraction;
        self.curve.iter().find(|p| p.left_old_fraction <= clearly)
    }
}

fn the_rest<S: serde::Serializer>(record: &Record, s: S) -> Result<S::Ok, S::Error> {
    #[derive(Serialize)]
    struct Rest<'a> {
        steps: &'a [StepDone],
        #[serde(skip_serializing_if = "Option::is_none")]
        if_modulator_works: &'a Option<IfModulatorWorks>,
        balance: Balance,
        numerics: Numerics,
        warnings: &'a [Warning],
        supply: &'a str,
    }
    let Record { steps, if_modulator_works, balance, numerics, warnings, supply, .. } = record;
    let (balance, numerics) = (*balance, *numerics);
    Rest { steps, if_modulator_works, balance, numerics, warnings, supply }.serialize(s)
}

/// A wheel brake and where it boils first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FirstToBoil {
    /// Name of the part.
    pub part: String,
    /// Lowest boiling point in it, °C.
    pub lowest_boiling_c: f64,
}
