//! How a verb ends, and the exit status that says so.

use super::interrupt::INTERRUPTED;
use crate::job::error::JobError;
use crate::report::Report;
use crate::report::write::WriteError;
use crate::study::StudyError;
use std::fmt;
use std::io::Write as _;
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

/// A verb that could not do its work, and what to tell the user.
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
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unusable(why)
            | Self::Interrupted(why)
            | Self::Unreachable(why)
            | Self::Failed(why) => f.write_str(why),
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
    message: Option<String>,
}

impl Ending {
    /// Exit status: 0 done, 1 failed, 2 the input cannot be used, 3 the job ran with a warning to stop it,
    /// 130 interrupted, a study with a partial answer.
    pub fn status(&self) -> u8 {
        self.status
    }

    /// Tells the user on standard error what went wrong, if anything, and gives the exit status.
    pub fn report(self) -> ExitCode {
        if let Some(message) = &self.message {
            tell(message);
        }
        ExitCode::from(self.status)
    }
}

impl From<Result<Done, Failure>> for Ending {
    fn from(end: Result<Done, Failure>) -> Self {
        let (status, message) = match end {
            Ok(Done::Well) => (0, None),
            Ok(Done::Stopped) => (3, None),
            Ok(Done::Partial) => (
                INTERRUPTED,
                Some("interrupted: what was finished is written and marked as partial".to_owned()),
            ),
            Err(Failure::Unusable(why)) => (2, Some(why)),
            Err(Failure::Unreachable(why)) => (3, Some(why)),
            Err(Failure::Interrupted(why)) => (INTERRUPTED, Some(why)),
            Err(Failure::Failed(why)) => (1, Some(why)),
        };
        Self { status, message }
    }
}

/// A message on standard error, styles left out where they are not wanted.
pub(super) fn tell(message: &str) {
    // If nobody can hear it, there is nobody to tell that either.
    let _ = writeln!(anstream::stderr(), "{}", message.trim_end());
}
