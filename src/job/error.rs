//! Why a job could not be run at all.

use crate::circuit::BuildError;
use crate::flow::FlowError;
use crate::keys::Place;
use crate::scenario::model::{NoSupply, Tables};
use std::fmt;

/// A job that cannot be run.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum JobError {
    /// The parts do not join to a circuit.
    Build(BuildError),
    /// The scenario has no supply of this name.
    NoSuchSupply {
        /// What was asked for.
        wanted: String,
        /// The names there are.
        known: Vec<String>,
    },
    /// The scenario has several supplies, and neither its procedure nor the options name one.
    SupplyNotNamed {
        /// Where its procedure stands.
        line: Place,
        /// The names there are.
        known: Vec<String>,
    },
    /// A step cannot be done.
    CannotBeDone {
        /// What, and what to do about it.
        what: String,
    },
    /// It takes more time or memory than a job may.
    TooLarge {
        /// What of, where, and what would be less.
        what: String,
    },
    /// It was ended because nobody asks for its answer any more, or to be sketched first; never the answer of a flush.
    GivenUp,
    /// The flows could not be found.
    Flow(FlowError),
    /// Flows run in a circle, so that no order of mixing exists.
    RunsInACircle,
}

impl JobError {
    /// That it cannot be told which supply of a scenario pushes.
    pub(crate) fn no_supply(scenario: &Tables, why: NoSupply) -> Self {
        let known = scenario.supplies.iter().map(|s| s.name.clone()).collect();
        match why {
            NoSupply::Unknown(wanted) => Self::NoSuchSupply { wanted, known },
            NoSupply::NotNamed => {
                Self::SupplyNotNamed { line: scenario.procedure.tasks.written.line, known }
            }
        }
    }
}

impl fmt::Display for JobError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Build(e) => e.fmt(f),
            Self::NoSuchSupply { wanted, known } => {
                write!(f, "there is no supply \"{wanted}\"; the scenario has: {}", known.join(", "))
            }
            Self::SupplyNotNamed { line, known } => write!(
                f,
                "the procedure{} does not say which supply pushes: add `supply = \"…\"` to it, or pick one with --supply; the scenario has: {}",
                super::record::at_line(*line),
                known.join(", ")
            ),
            Self::CannotBeDone { what } | Self::TooLarge { what } => f.write_str(what),
            Self::GivenUp => f.write_str("it was given up"),
            Self::Flow(e) => write!(f, "the flow could not be solved: {e}"),
            Self::RunsInACircle => write!(f, "the flow runs in a circle"),
        }
    }
}

impl std::error::Error for JobError {}

impl From<BuildError> for JobError {
    fn from(e: BuildError) -> Self {
        Self::Build(e)
    }
}

impl From<FlowError> for JobError {
    fn from(e: FlowError) -> Self {
        Self::Flow(e)
    }
}
