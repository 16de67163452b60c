//! How a verb ends, and the exit status that says so.

use super::interrupt::INTERRUPTED;
use crate::job::error::JobError;
use crate::report::Report;
use crate::report::mistakes;
pub(super) use crate::report::terminal::tell;
use crate::report::terminal::{self, Shown};
use crate::report::write::WriteError;
use crate::scenario::Mistakes;
use crate::study::StudyError;
use std::process::ExitCode;

/// A verb that did its work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Done {
    /// Nothing to add.
    Well,
    /// The job ran, but with a warning that stops it.
    Stopped,
    /// It was interrupted and has written what was finished.
    Partial,
}

impl Done {
    /// How a verb ends that has delivered this answer.
    pub(super) fn of(answer: &impl Report) -> Self {
        match (answer.partial(), answer.stopped()) {
            (true, _) => Self::Partial,
            (false, true) => Self::Stopped,
            (false, false) => Self::Well,
        }
    }
}

/// A verb that could not do its work, and what to tell the user: each text a line, whatever it holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Failure {
    /// The input cannot be used.
    Unusable(String),
    /// It was interrupted before anything was finished.
    Interrupted(String),
    /// What is asked for cannot be reached.
    Unreachable(String),
    /// Anything else.
    Failed(String),
    /// The scenario cannot be used.
    Mistaken(Mistakes),
    /// Several at once, never none.
    Several(Vec<Failure>),
}

impl Failure {
    /// The exit status that says it; of several the highest.
    fn status(&self) -> u8 {
        match self {
            Self::Unusable(_) | Self::Mistaken(_) => 2,
            Self::Unreachable(_) => 3,
            Self::Interrupted(_) => INTERRUPTED,
            Self::Failed(_) => 1,
            Self::Several(each) => each.iter().map(Self::status).max().unwrap_or(1),
        }
    }

    fn shown(&self) -> Shown {
        match self {
            Self::Unusable(why)
            | Self::Interrupted(why)
            | Self::Unreachable(why)
            | Self::Failed(why) => Shown::line(why),
            Self::Mistaken(mistakes) => Shown::drawn(&mistakes::render(mistakes, true)),
            Self::Several(each) => Shown::stacked(each.iter().map(Self::shown)),
        }
    }
}

impl From<WriteError> for Failure {
    fn from(why: WriteError) -> Self {
        Self::Failed(why.to_string())
    }
}

impl From<crate::plot::PlotError> for Failure {
    fn from(why: crate::plot::PlotError) -> Self {
        Self::Failed(why.to_string())
    }
}

impl From<StudyError> for Failure {
    fn from(why: StudyError) -> Self {
        let told = why.to_string();
        match why {
            StudyError::All(each) if !each.is_empty() => {
                Self::Several(each.into_iter().map(Self::from).collect())
            }
            StudyError::Interrupted => Self::Interrupted(told),
            StudyError::Unreachable { .. } => Self::Unreachable(told),
            why if why.computation_failed() => Self::Failed(told),
            _ => Self::Unusable(told),
        }
    }
}

impl From<JobError> for Failure {
    fn from(why: JobError) -> Self {
        StudyError::from(why).into()
    }
}

/// How the program ends.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ending {
    status: u8,
    message: Option<Shown>,
}

impl Ending {
    /// Exit status: 0 done, 1 failed, 2 the input cannot be used, 3 the job ran with a warning to stop it,
    /// 130 interrupted, a study with a partial answer.
    pub fn status(&self) -> u8 {
        self.status
    }

    /// With this status, after these words if there are any.
    pub(super) fn saying(status: u8, words: Option<Shown>) -> Self {
        Self { status, message: words }
    }

    /// Tells the user on standard error what went wrong, if anything, and gives the exit status.
    pub fn report(self) -> ExitCode {
        if let Some(message) = &self.message {
            terminal::show(message);
        }
        ExitCode::from(self.status)
    }
}

impl From<Result<Done, Failure>> for Ending {
    fn from(end: Result<Done, Failure>) -> Self {
        let (status, message) = match end {
            Ok(Done::Well) => (0, None),
            Ok(Done::Stopped) => (3, None),
            Ok(Done::Partial) => {
                let partial = "interrupted: what was finished is written and marked as partial";
                (INTERRUPTED, Some(Shown::line(partial)))
            }
            Err(why) => (why.status(), Some(why.shown())),
        };
        Self::saying(status, message)
    }
}
