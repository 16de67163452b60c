//! The library calls behind the verbs, in one place.

use super::outcome::Failure;
use crate::circuit::Scenario;
use crate::job;
use crate::job::check::CheckReport;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::record::Record;
use crate::report::mistakes;
use crate::scenario::{self, limits::LARGEST_FILE};
use crate::study::job_card::{self, CardError, JobCard};
use crate::study::layouts::{self, LayoutError, Layouts, Why};
use crate::study::lesson::{self, Lesson, LessonError};
use crate::study::orders::{self, Orders, OrdersError};
use crate::study::plan::{self, Plan, PlanError};
use crate::study::pressures::{self, Pressures, PressuresError};
use crate::study::progress::Onlooker;
use crate::study::ranking;
use crate::study::spread::{self, Spread, SpreadError};
use std::io::Read as _;
use std::path::Path;

/// What a flush is asked for beside the scenario.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Wishes {
    /// Supply to use instead of the procedure's own.
    pub supply: Option<String>,
    /// Whether to estimate the error of the computation.
    pub error_estimate: bool,
    /// Whether to keep what each part held over time.
    pub film: bool,
    /// Seed, kept in the record.
    pub seed: u64,
}

/// Reads and checks a scenario; `-` is standard input.
pub(super) fn read(path: &Path) -> Result<Scenario, Failure> {
    let read = if path == Path::new("-") {
        let mut bytes = Vec::new();
        std::io::stdin()
            .take(LARGEST_FILE + 1)
            .read_to_end(&mut bytes)
            .map_err(|e| Failure::Failed(format!("standard input can't be read: {e}")))?;
        crate::read_bytes(&bytes, "-")
    } else {
        crate::read_file(path)
    };
    read.map_err(|m| Failure::Unusable(mistakes::render(&m, true)))
}

/// Reads and checks a scenario and keeps its text; `-` is standard input.
pub(super) fn read_with_text(path: &Path) -> Result<(Scenario, String), Failure> {
    let mut bytes = Vec::new();
    let name = path.display().to_string();
    if path == Path::new("-") {
        std::io::stdin()
            .take(LARGEST_FILE + 1)
            .read_to_end(&mut bytes)
            .map_err(|e| Failure::Failed(format!("standard input can't be read: {e}")))?;
    } else {
        let opened = std::fs::File::open(path);
        if opened.and_then(|f| f.take(LARGEST_FILE + 1).read_to_end(&mut bytes)).is_err() {
            // Says why.
            read(path)?;
        }
    }
    let scenario = crate::read_bytes(&bytes, &name)
        .map_err(|m| Failure::Unusable(mistakes::render(&m, true)))?;
    Ok((scenario, String::from_utf8_lossy(&bytes).into_owned()))
}

/// Plans a flush; `None` with a message if no plan meets the targets.
pub(super) fn plan(
    (scenario, text): (&Scenario, &str),
    wishes: &plan::Wishes,
    onlooker: &dyn Onlooker,
) -> Result<Result<Plan, String>, Failure> {
    match plan::study(scenario, text, wishes, onlooker) {
        Ok(plan) => Ok(Ok(plan)),
        Err(why @ PlanError::Unreachable { .. }) => Ok(Err(why.to_string())),
        Err(PlanError::Job(why)) => Err(unusable(why)),
        Err(why @ PlanError::Interrupted) => Err(Failure::Interrupted(why.to_string())),
        Err(why) => Err(Failure::Unusable(why.to_string())),
    }
}

/// Runs the scenario's procedure.
pub(super) fn flush(scenario: &Scenario, wishes: &Wishes) -> Result<Record, Failure> {
    let options = Options {
        supply: wishes.supply.clone(),
        estimate_error: wishes.error_estimate,
        film: wishes.film,
        seed: wishes.seed,
        ..Options::default()
    };
    job::flush(scenario, &options).map_err(unusable)
}

/// Looks the circuit over, with another supply than the procedure's own if one is named.
pub(super) fn check(scenario: &Scenario, supply: Option<&str>) -> Result<CheckReport, Failure> {
    let options = Options { supply: supply.map(str::to_owned), ..Options::default() };
    job::check(scenario, &options).map_err(unusable)
}

/// Sets scenarios side by side; what cannot be run is told with its file.
pub(super) fn layouts(
    scenarios: &[Scenario],
    seed: u64,
    onlooker: &dyn Onlooker,
) -> Result<Layouts, Failure> {
    let options = Options { origins: false, seed, ..Options::default() };
    layouts::compare(scenarios, &options, onlooker).map_err(|errors| {
        let told: Vec<String> = errors.iter().map(ToString::to_string).collect();
        let ours = |e: &LayoutError| match &e.why {
            Why::Job(why) => matches!(unusable(why.clone()), Failure::Failed(_)),
            Why::Order(_) => false,
        };
        match errors.iter().all(ours) {
            true => Failure::Failed(told.join("\n")),
            false => Failure::Unusable(told.join("\n")),
        }
    })
}

/// Films the job in its own order and in others, and answers what an instructor asks.
pub(super) fn lesson(
    scenario: &Scenario,
    supply: Option<&str>,
    seed: u64,
) -> Result<Lesson, Failure> {
    let options = Options { supply: supply.map(str::to_owned), seed, ..Options::default() };
    lesson::prepare(scenario, &options).map_err(|why| match why {
        LessonError::Job(why) => unusable(why),
        why @ LessonError::Order(_) => Failure::Unusable(why.to_string()),
    })
}

/// Ranks the orders of a scenario's procedure.
pub(super) fn orders(
    scenario: &Scenario,
    wishes: &orders::Wishes,
    onlooker: &dyn Onlooker,
) -> Result<Orders, Failure> {
    orders::study(scenario, wishes, onlooker).map_err(|why| match why {
        OrdersError::Job(why) => unusable(why),
        why => Failure::Unusable(why.to_string()),
    })
}

/// Orders as named on the command line: bleeders with commas between, `far first` or `near first`.
pub(super) fn named_orders(
    scenario: &Scenario,
    named: &[String],
) -> Result<Vec<Vec<String>>, Failure> {
    let names = |ranked: Vec<ranking::Ranked>| ranked.into_iter().map(|r| r.bleeder).collect();
    let order = |text: &String| match text.trim().to_ascii_lowercase().as_str() {
        "far first" => names(ranking::far_first(scenario)),
        "near first" => names(ranking::near_first(scenario)),
        _ => text.split(',').map(|name| name.trim().to_owned()).collect(),
    };
    Ok(named.iter().map(order).collect())
}

/// Runs the job over a range of gauge pressures and with every other supply.
pub(super) fn pressures(
    scenario: &Scenario,
    wishes: &pressures::Wishes,
    seed: u64,
    onlooker: &dyn Onlooker,
) -> Result<Pressures, Failure> {
    let options = Options { origins: false, seed, ..Options::default() };
    pressures::study(scenario, wishes, &options, onlooker).map_err(|why| {
        let told = why.to_string();
        match why {
            PressuresError::Job(_, _, why)
                if matches!(unusable(why.clone()), Failure::Failed(_)) =>
            {
                Failure::Failed(told)
            }
            _ => Failure::Unusable(told),
        }
    })
}

/// Draws what is uncertain at random.
pub(super) fn spread(
    scenario: &Scenario,
    wishes: &spread::Wishes,
    onlooker: &dyn Onlooker,
) -> Result<Spread, Failure> {
    spread::study(scenario, wishes, onlooker).map_err(|why| match why {
        SpreadError::Job(why) => unusable(why),
        why => Failure::Unusable(why.to_string()),
    })
}

/// Everything that a job card says.
pub(super) fn card(scenario: &Scenario, wishes: &job_card::Wishes) -> Result<JobCard, Failure> {
    job_card::study(scenario, wishes).map_err(|why| match why {
        CardError::Job(why) | CardError::Spread(SpreadError::Job(why)) => unusable(why),
        why => Failure::Unusable(why.to_string()),
    })
}

/// The JSON Schema of the scenario file.
pub(super) fn schema() -> serde_json::Value {
    scenario::schema()
}

fn unusable(e: JobError) -> Failure {
    match e {
        JobError::Flow(_) | JobError::RunsInACircle => Failure::Failed(e.to_string()),
        _ => Failure::Unusable(e.to_string()),
    }
}
