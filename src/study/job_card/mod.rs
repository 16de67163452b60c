//! Everything that a job card says: one job run, its circuit looked over, and some draws for the ranges.

mod fluid;
mod tasks;
mod trapped;

pub use fluid::{FluidToOpen, Push, TopUps};
pub use tasks::{BleederTask, OtherStep, Side, Task};
pub use trapped::Trapped;

use super::StudyError;
use super::progress::Nobody;
use super::spread::{self, Question, Spread};
use crate::circuit::Scenario;
use crate::job::check::{CheckReport, LeakTest};
use crate::job::options::Options;
use crate::job::record::{Record, Warning, WarningKind};
use crate::job::{self, flush_whole};
use crate::measures::{to_kpa, to_ml};
use crate::scenario::spoken::Spoken;

/// The card's figures.
#[derive(Debug, Clone, PartialEq)]
pub struct JobCard {
    /// The job as simulated.
    pub record: Record,
    /// What is done, in order, all passes.
    pub tasks: Vec<Task>,
    /// What is wrong enough that the job must not be done as written.
    pub stops: Vec<Warning>,
    /// What else the technician should know, once each.
    pub notes: Vec<Warning>,
    /// What pushes.
    pub push: Push,
    /// The maker's limit on the gauge pressure, kPa.
    pub gauge_limit_kpa: Option<f64>,
    /// The leak test, with a pressure bleeder only.
    pub leak_test: Option<LeakTest>,
    /// New fluid.
    pub fluid: FluidToOpen,
    /// Time in the bay.
    pub bay: BayTime,
    /// What no bleeder flushes fully.
    pub trapped: Vec<Trapped>,
    /// Old fluid at the end as a share of all that no bleeder reaches; `None` if there is nothing of the kind.
    pub unreached_old: Option<f64>,
    /// The part with the largest old fraction among those that bleeders reach, and that fraction.
    pub oldest: Option<(String, f64)>,
    /// Marks of the reservoir, mL: MIN and MAX.
    pub marks_ml: (f64, f64),
    /// Old fraction at or below which the clear hose looks clean, where no opening says otherwise.
    pub threshold: f64,
    /// Length of the clear hose that is watched, mm.
    pub watched_mm: f64,
    /// Draws behind the ranges; `None` if nothing in the scenario is uncertain.
    pub draws: Option<usize>,
    /// What the scenario declares exact, so that the ranges take it as known.
    pub taken_as_known: Vec<String>,
    /// Seed.
    pub seed: u64,
    /// What the vehicle and its controls are called.
    pub spoken: &'static Spoken,
}

/// Time in the bay, s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BayTime {
    /// All of it.
    pub all_s: f64,
    /// Set-up before the first opening.
    pub setup_s: f64,
    /// With a bleeder open.
    pub flow_s: f64,
    /// After the last opening.
    pub finish_s: f64,
}

impl JobCard {
    /// Whether the job must not be done as written.
    pub fn stopped(&self) -> bool {
        !self.stops.is_empty()
    }
}

/// Runs the job, looks the circuit over and makes the draws for the ranges, without their sensitivities.
///
/// # Errors
/// [`StudyError`].
pub fn study(
    scenario: &Scenario,
    question: &Question,
    options: &Options,
) -> Result<JobCard, StudyError> {
    question.can_bottle()?;
    let options = Options { estimate_error: false, ..options.clone() };
    let record = flush_whole(scenario, &options)?;
    let check = job::check(scenario, &options)?;
    let circuit = scenario.circuit();
    let drawn = Question { sensitivities: false, ..question.clone() };
    let spread = match spread::study(scenario, &drawn, &options, &Nobody) {
        Ok(spread) => Some(spread),
        Err(StudyError::NothingUncertain) => None,
        Err(why) => return Err(why),
    };
    let ranges = spread.as_ref().map_or(&[][..], |s| &s.bleeders);
    let push = fluid::push(scenario, &record)?;
    let needed_ml = spread.as_ref().and_then(|s| s.have_ml_p95);
    let procedure = &scenario.procedure.tasks;
    let hose = &scenario.clear_hose;
    let stays = trapped::trapped(circuit);
    let (stops, mut notes) = warnings(&record, &check);
    if let Some(dry) = spread.as_ref().and_then(may_run_dry) {
        notes.insert(0, dry);
    }
    Ok(JobCard {
        tasks: tasks::tasks(scenario, &record, ranges),
        stops,
        notes,
        fluid: fluid::fluid(scenario, &record, &push, needed_ml, question.bottle_ml),
        push,
        gauge_limit_kpa: scenario.vehicle.gauge_limit.map(|q| to_kpa(q.value)),
        leak_test: check.leak_test,
        bay: BayTime {
            all_s: record.totals.bay_seconds,
            setup_s: procedure.setup.value,
            flow_s: record.totals.flow_seconds,
            finish_s: procedure.finish.value,
        },
        oldest: trapped::oldest(&record),
        unreached_old: record.left.trapped.as_ref().map(|t| t.old_fraction),
        trapped: stays,
        marks_ml: (to_ml(circuit.reservoir.min_m3), to_ml(circuit.reservoir.max_m3)),
        threshold: hose.threshold.value,
        watched_mm: 1e3 * hose.watched.value,
        draws: spread.as_ref().map(|s| s.draws),
        taken_as_known: spread.map(|s| s.taken_as_known).unwrap_or_default(),
        seed: options.seed,
        spoken: scenario.vehicle.spoken(),
        record,
    })
}

/// A larger share of the draws in which the supply runs dry is told on the card: a supply that runs dry lets air in.
const MAY_RUN_DRY: f64 = 0.01;

fn may_run_dry(spread: &Spread) -> Option<Warning> {
    let share = spread.runs_dry_share.filter(|share| *share > MAY_RUN_DRY)?;
    Some(Warning::new(
        WarningKind::SupplyRunsDry,
        format!(
            "what is loaded runs dry in {:.0} of 100 draws over what is uncertain, and air gets into the brakes: load {:.0} mL, or look before each wheel",
            100.0 * share,
            spread.load_ml_p95?
        ),
    ))
}

/// What stops the job, and what else to know, air in the circuit before all else; what `check` says of the model alone
/// is left out.
fn warnings(record: &Record, check: &CheckReport) -> (Vec<Warning>, Vec<Warning>) {
    // Each opening tells by itself that it was closed while dirty; trapped fluid has its own place.
    const ELSEWHERE: [WarningKind; 4] = [
        WarningKind::SlowFlow,
        WarningKind::DensitiesDiffer,
        WarningKind::NoBleederReaches,
        WarningKind::ClosedWhileDirty,
    ];
    let mut all: Vec<Warning> = Vec::new();
    for w in record.warnings.iter().chain(&check.warnings) {
        if (w.stops_the_job() || !ELSEWHERE.contains(&w.kind))
            && !all.iter().any(|have| have.text == w.text)
        {
            all.push(w.clone());
        }
    }
    all.sort_by_key(|w| w.kind != WarningKind::AirInAReplacedPart);
    all.into_iter().partition(|w| w.stops_the_job())
}
