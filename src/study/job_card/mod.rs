//! Everything that a job card says: one job run, its circuit looked over, and some draws for the ranges.

mod fluid;
mod tasks;
mod trapped;

pub use fluid::{FluidToOpen, Need, Push, TopUps};
pub use tasks::{BleederTask, OtherStep, Side, Task};
pub use trapped::Trapped;

use super::StudyError;
use super::guesses;
use super::progress::Nobody;
use super::spread::{self, Question, Spread};
use crate::circuit::{Reservoir, Scenario};
use crate::job::check::{CheckReport, LeakTest};
use crate::job::options::Options;
use crate::job::record::{PartLeft, Record, Warning, WarningKind};
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
    /// The part with the most old fluid.
    pub most: Option<PartLeft>,
    /// Whether a hydraulic modulator holds fluid that no bleeder reaches.
    pub modulator_traps: bool,
    /// Marks of the reservoir.
    pub marks: Marks,
    /// Old fraction at or below which the clear hose looks clean, where no opening says otherwise.
    pub threshold: f64,
    /// Length of the clear hose that is watched, mm.
    pub watched_mm: f64,
    /// Draws behind the ranges; `None` if nothing in the scenario is uncertain.
    pub draws: Option<usize>,
    /// What the scenario declares exact, so that the ranges take it as known.
    pub taken_as_known: Vec<String>,
    /// Values that `describe` guessed and nobody has measured since.
    pub guesses: usize,
    /// Values that the scenario leaves to the program.
    pub defaults: usize,
    /// What the scenario says of the vehicle in free text.
    pub note: Option<String>,
    /// Seed.
    pub seed: u64,
    /// What the vehicle and its controls are called.
    pub spoken: &'static Spoken,
}

/// What can be read on a reservoir, mL from its bottom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Marks {
    /// The top of the wall between its compartments, if there is one.
    pub wall: Option<f64>,
    /// The MIN mark.
    pub min: f64,
    /// The MAX mark.
    pub max: f64,
    /// The brim.
    pub brim: f64,
}

impl Marks {
    fn of(reservoir: &Reservoir) -> Self {
        let compartments = reservoir.outlets.len();
        let wall = to_ml(reservoir.compartment_m3) * compartments as f64;
        Self {
            wall: (compartments > 1 && wall > 0.0).then_some(wall),
            min: to_ml(reservoir.min_m3),
            max: to_ml(reservoir.max_m3),
            brim: to_ml(reservoir.brim_m3),
        }
    }
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
    let push = fluid::push(scenario, &record, spread.as_ref())?;
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
        fluid: fluid::fluid(scenario, &record, spread.as_ref(), question.bottle_ml),
        push,
        gauge_limit_kpa: scenario.vehicle.gauge_limit.map(|q| to_kpa(q.value)),
        leak_test: check.leak_test,
        bay: BayTime {
            all_s: record.totals.bay_seconds,
            setup_s: procedure.setup.value,
            flow_s: record.totals.flow_seconds,
            finish_s: procedure.finish.value,
        },
        most: trapped::most(&record),
        modulator_traps: stays.iter().any(|t| !t.pocket) && !circuit.modulators.is_empty(),
        unreached_old: record.left.trapped.as_ref().map(|t| t.old_fraction),
        trapped: stays,
        marks: Marks::of(&circuit.reservoir),
        threshold: hose.threshold.value,
        watched_mm: 1e3 * hose.watched.value,
        draws: spread.as_ref().map(|s| s.draws),
        taken_as_known: spread.map(|s| s.taken_as_known).unwrap_or_default(),
        guesses: guesses::count(scenario, &options),
        defaults: check.defaults.len(),
        note: scenario.vehicle.note.clone(),
        seed: options.seed,
        spoken: spoken(scenario),
        record,
    })
}

/// What the vehicle and its controls are called, as far as the title and the bleeders tell.
fn spoken(scenario: &Scenario) -> &'static Spoken {
    let bleeders = scenario.circuit().bleeders.iter().map(|b| b.name.as_str());
    scenario.vehicle.spoken_of(bleeders.chain([scenario.title.as_str()]))
}

/// A larger share of the draws in which the supply runs dry is told on the card: a supply that runs dry lets air in.
const MAY_RUN_DRY: f64 = 0.01;

fn may_run_dry(spread: &Spread) -> Option<Warning> {
    let share = spread.runs_dry_share.filter(|share| *share > MAY_RUN_DRY)?;
    let (loaded_ml, enough_ml) = (spread.loaded_ml?, spread.load_ml_p95?);
    // What is enough for 95 of 100 may be less than what runs dry in one or two.
    let remedy = match enough_ml > loaded_ml {
        true => format!("load {:.0} mL, or look before each wheel", enough_ml.ceil()),
        false => "look before each wheel, and load more where the first takes long".to_owned(),
    };
    Some(Warning::new(
        WarningKind::SupplyRunsDry,
        format!(
            "the {loaded_ml:.0} mL that the scenario loads run dry in {:.0} of 100 draws over what is uncertain, and air gets into the brakes: {remedy}",
            100.0 * share,
        ),
    ))
}

/// What stops the job, and what else to know, air in the circuit before all else; what `check` says of the model alone
/// is left out.
fn warnings(record: &Record, check: &CheckReport) -> (Vec<Warning>, Vec<Warning>) {
    // Each opening tells by itself that it was closed while dirty; trapped fluid has its own place.
    const ELSEWHERE: [WarningKind; 3] =
        [WarningKind::SlowFlow, WarningKind::NoBleederReaches, WarningKind::ClosedWhileDirty];
    let mut all: Vec<Warning> = Vec::new();
    for w in record.warnings.iter().chain(&check.warnings) {
        if (w.stops_the_job() || !ELSEWHERE.contains(&w.kind))
            && !all.iter().any(|have| have.text == w.text)
        {
            all.push(w.clone());
        }
    }
    all.sort_by_key(|w| match w.kind {
        WarningKind::AirInAReplacedPart => 0,
        WarningKind::DensitiesDiffer => 2,
        _ => 1,
    });
    all.into_iter().partition(|w| w.stops_the_job())
}
