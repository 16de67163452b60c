//! Why a study gives no answer.

use super::chance::unknowns::NOTHING_UNCERTAIN;
use super::order::OrderError;
use crate::job::error::JobError;
use std::fmt;

/// A study that cannot be made.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum StudyError {
    /// A job cannot be run.
    Job(JobError),
    /// The openings cannot be put into an order.
    Order(OrderError),
    /// What is asked for makes no sense: what, and what to ask for.
    Asked(String),
    /// More is asked for than a study takes on: what, and how much it takes.
    TooMuch(String),
    /// Draws are asked for, and nothing is uncertain.
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
    /// One of several jobs: which, and why.
    Of(String, Box<StudyError>),
    /// Several at once.
    All(Vec<StudyError>),
}

/// A target that is missed.
#[derive(Debug, Clone, PartialEq)]
pub struct Miss {
    /// Which, in words.
    pub target: String,
    /// What was reached, in words.
    pub reached: String,
}

impl StudyError {
    /// The same, and what it is about: a file, a supply.
    pub(super) fn of(self, what: impl Into<String>) -> Self {
        Self::Of(what.into(), Box::new(self))
    }

    /// Whether the computation failed, so that asking for something else would not help for certain.
    pub fn computation_failed(&self) -> bool {
        match self {
            Self::Job(JobError::Flow(_) | JobError::RunsInACircle) => true,
            Self::Of(_, why) => why.computation_failed(),
            Self::All(each) => each.iter().all(Self::computation_failed),
            _ => false,
        }
    }
}

impl fmt::Display for StudyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Job(why) => why.fmt(f),
            Self::Order(why) => why.fmt(f),
            Self::Asked(why) | Self::TooMuch(why) => f.write_str(why),
            Self::NothingUncertain => f.write_str(NOTHING_UNCERTAIN),
            Self::Unreachable { tried, misses } => {
                write!(f, "no plan meets the targets: {tried}")?;
                misses.iter().try_for_each(|m| write!(f, "; {}, reached {}", m.target, m.reached))
            }
            Self::Interrupted => f.write_str("interrupted before any plan was found"),
            Self::Of(what, why) => write!(f, "{what}: {why}"),
            Self::All(each) => {
                let told: Vec<String> = each.iter().map(Self::to_string).collect();
                f.write_str(&told.join("\n"))
            }
        }
    }
}

impl std::error::Error for StudyError {}

impl From<JobError> for StudyError {
    fn from(why: JobError) -> Self {
        Self::Job(why)
    }
}

impl From<OrderError> for StudyError {
    fn from(why: OrderError) -> Self {
        Self::Order(why)
    }
}
