//! The library calls behind the verbs, in one place.

use super::outcome::Failure;
use crate::job::check::CheckReport;
use crate::job::record::Record;
use crate::scenario::model::Scenario;
use std::path::Path;

/// What a flush is asked for beside the scenario.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Wishes {
    /// Supply to use instead of the procedure's own.
    pub supply: Option<String>,
    /// Whether to estimate the error of the computation.
    pub error_estimate: bool,
    /// Seed, kept in the record.
    pub seed: u64,
}

/// Reads and checks a scenario; `-` is standard input.
pub(super) fn read(path: &Path) -> Result<Scenario, Failure> {
    Err(missing(&format!("reading {}", path.display())))
}

/// Runs the scenario's procedure.
pub(super) fn flush(scenario: &Scenario, wishes: &Wishes) -> Result<Record, Failure> {
    Err(missing(&format!(
        "flush of {} with {wishes:?}",
        scenario.file
    )))
}

/// Looks the circuit over.
pub(super) fn check(scenario: &Scenario) -> Result<CheckReport, Failure> {
    Err(missing(&format!("check of {}", scenario.file)))
}

/// The JSON Schema of the scenario file.
pub(super) fn schema() -> Result<serde_json::Value, Failure> {
    Err(missing("schema"))
}

/// PLACEHOLDER of this branch only: every call above is to be wired to the library.
fn missing(what: &str) -> Failure {
    Failure::Failed(format!("not wired yet: {what}"))
}
