//! The answer of the study, and why there may be none.

use super::targets::{Miss, Targets};
use crate::job::error::JobError;
use crate::job::record::{Left, Opening, Record, Totals};
use crate::job::resume::Sums;
use crate::study::chance::unknowns::NOTHING_UNCERTAIN;
use serde::Serialize;
use std::fmt;

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
    /// Whether the reservoir is emptied by syringe first.
    #[serde(skip)]
    pub syringed: bool,
    /// What the scenario's own procedure drains and leaves.
    #[serde(skip)]
    pub own: Point,
    /// What it takes out of the reservoir with a syringe, mL.
    #[serde(skip)]
    pub own_removed_ml: f64,
    /// Parts that no bleeder of the procedure reaches.
    #[serde(skip)]
    pub unreached: Vec<String>,
    /// The whole record of the run.
    #[serde(skip)]
    pub record: Record,
    /// The plan as a scenario file.
    #[serde(skip)]
    pub text: String,
}

/// A wheel brake and where it boils first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FirstToBoil {
    /// Name of the part.
    pub part: String,
    /// Lowest boiling point in it, °C.
    pub lowest_boiling_c: f64,
}

/// No plan.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum PlanError {
    /// What is asked for cannot be used.
    Wishes(String),
    /// Nothing is uncertain, and a share of draws is asked for.
    NothingUncertain,
    /// No plan meets the targets.
    Unreachable {
        /// What was tried at most, in words.
        tried: String,
        /// The targets that the best of these misses.
        misses: Vec<Miss>,
    },
    /// The study was ended before a plan was found.
    Interrupted,
    /// A job cannot be run.
    Job(JobError),
}

impl fmt::Display for PlanError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Wishes(why) => f.write_str(why),
            Self::NothingUncertain => f.write_str(NOTHING_UNCERTAIN),
            Self::Unreachable { tried, misses } => {
                write!(f, "no plan meets the targets: {tried}")?;
                for m in misses {
                    write!(f, "; {}, reached {}", m.target, m.reached)?;
                }
                Ok(())
            }
            Self::Interrupted => f.write_str("interrupted before any plan was found"),
            Self::Job(why) => why.fmt(f),
        }
    }
}

impl std::error::Error for PlanError {}

impl From<JobError> for PlanError {
    fn from(why: JobError) -> Self {
        Self::Job(why)
    }
}
