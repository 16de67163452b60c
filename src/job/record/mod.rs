//! What a job leaves behind: everything reports and pictures show, and nothing they must compute.
//!
//! The serialised names and their order are the promise made to users of `--json`.

pub mod check;
pub mod film;
pub mod joined;
mod left;
mod opening;
pub mod region;
mod units;
pub mod warning;
mod wording;

use crate::keys::worded::worded;
use crate::scenario::model::Tables;
use film::{Film, Frame, HeldAt, PartOverTime};
use serde::Serialize;

pub(crate) use left::NOTHING_ML;
pub use left::{ChannelThen, IfModulatorWorks, Left, PartLeft, TrappedLeft};
pub use opening::{CleanState, ClosedBy, CurvePoint, Opening, Origins, WaitedFor};
pub use units::in_units;
pub use warning::{Warning, WarningKind};
pub(crate) use wording::{at_line, in_both_units, which};
pub use wording::{with_set, without_lines};

/// The supply and reservoir at one moment.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SupplyPoint {
    /// Time, s from the start of the job.
    pub at_s: f64,
    /// Gauge pressure of the supply, kPa.
    pub gauge_kpa: f64,
    /// Fluid left in the supply, mL (`None`: the supply holds none, as with gravity).
    pub supply_ml: Option<f64>,
    /// Fluid in the reservoir, mL.
    pub reservoir_ml: f64,
    /// Old fraction in the reservoir.
    pub reservoir_old_fraction: f64,
}

worded! {
    /// What a step that is not an opening does, in the technician's words.
    pub enum Does {
        /// Fluid is taken out of the reservoir.
        Syringe = "syringe",
        /// New fluid is poured into the reservoir.
        TopUp = "top up",
        /// New fluid is put into the supply.
        Load = "load",
        /// The supply is pumped up again.
        RePump = "re-pump",
        /// Nothing is done for a while.
        Wait = "wait",
        /// The hydraulic modulator is worked.
        WorkModulator = "work modulator",
        /// The pressure is let off.
        Relieve = "relieve",
        /// The reservoir is set to a level, from above or below.
        SetLevel = "set level",
    }
}

/// A step of the procedure that is not an opening.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StepDone {
    /// Step of the procedure, from 1; 0 for what a supply does of itself (a re-pump below the low mark, a
    /// top-up by hand), and for what is done beside the procedure in a job driven by hand.
    pub step: usize,
    /// What was done.
    pub does: Does,
    /// Time, s from the start of the job.
    pub at_s: f64,
    /// Fluid moved, mL: into the reservoir or supply positive, out of it negative.
    pub moved_ml: f64,
    /// Gauge pressure of the supply afterwards, kPa. With a pressure bleeder, after a syringe, top up or set level, that
    /// at the reservoir: 0, for its cap is off; the vessel keeps its own behind the shut feed valve.
    pub gauge_kpa: f64,
}

/// The book of the loaded fluid. The first number is the sum of the other four.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FluidBook {
    /// Loaded into the supply, mL.
    pub loaded_ml: f64,
    /// Went out at the bleeders or pushed out what went out there, mL.
    pub bled_ml: f64,
    /// Raised the reservoir, mL (negative if the reservoir fell).
    pub reservoir_ml: f64,
    /// Filled the feed hose, mL.
    pub feed_hose_ml: f64,
    /// Left in the supply, mL.
    pub left_ml: f64,
    /// The least that must be loaded for this job, what the dip tube cannot reach included, mL; `None` if
    /// no load that the vessel takes is enough, or if a job driven by hand ran dry.
    pub least_load_ml: Option<f64>,
}

/// Sums over the job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Totals {
    /// Drained at all bleeders, mL.
    pub drained_ml: f64,
    /// Taken out of the reservoir with a syringe or when setting the level, mL.
    pub removed_ml: f64,
    /// New fluid brought in, from the supply and by hand, mL.
    pub new_fluid_ml: f64,
    /// Time with a bleeder open, s.
    pub flow_seconds: f64,
    /// Time in the bay: flow, set-up, moving from wheel to wheel, waits, closing steps, s.
    pub bay_seconds: f64,
    /// Re-pumps of the supply.
    pub repumps: u32,
    /// The book of the loaded fluid; `None` for a supply that is not loaded.
    pub fluid: Option<FluidBook>,
    /// Strokes of the pedal; `None` where no pedal pushes.
    pub strokes: Option<u32>,
}

/// What the program's own book-keeping misses at most, over all openings.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Balance {
    /// Volume, mL.
    pub volume_error_ml: f64,
    /// Old fluid (and each origin), mL.
    pub old_error_ml: f64,
    /// Water, g.
    pub water_error_g: f64,
}

/// Estimated error of the answers through finite steps and lanes; `None` if not estimated.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Numerics {
    /// Of the largest error among all `clean_at_ml`, mL.
    pub clean_at_error_ml: Option<f64>,
    /// Of the old fluid left, mL.
    pub old_left_error_ml: Option<f64>,
    /// Of the sum drained at all bleeders, mL.
    pub drained_error_ml: Option<f64>,
    /// Of the new fluid brought in, mL.
    pub new_fluid_error_ml: Option<f64>,
}

/// The record of one job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Record {
    /// Version of the program.
    pub farwheel: &'static str,
    /// Title and file.
    pub scenario: ScenarioName,
    /// Seed of random draws; unused by a single flush.
    pub seed: u64,
    /// Openings in the order in which they were closed.
    pub openings: Vec<Opening>,
    /// The other steps.
    pub steps: Vec<StepDone>,
    /// Sums.
    pub totals: Totals,
    /// What stays behind.
    pub left: Left,
    /// What a hydraulic modulator would send to the wheels; absent where there is none, and without
    /// [`Options::detail`](crate::job::options::Options::detail).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub if_modulator_works: Option<IfModulatorWorks>,
    /// Conservation.
    pub balance: Balance,
    /// Accuracy.
    pub numerics: Numerics,
    /// Warnings.
    pub warnings: Vec<Warning>,
    /// The supply over time.
    // Not in the JSON: bulk, told on request as `supply_over_time` (`--also curves`).
    #[serde(skip)]
    pub supply_curve: Vec<SupplyPoint>,
    /// What lay where at moments of the job; `None` unless asked for.
    // Not in the JSON: bulk, told on request as `parts_over_time` (`--also parts`).
    #[serde(skip)]
    pub film: Option<Film>,
    /// Name of the supply that pushed.
    pub supply: String,
}

/// Which scenario a record belongs to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ScenarioName {
    /// Title as written.
    pub title: String,
    /// File name as given.
    pub file: String,
    /// What was set over its values, as given.
    // Not in the JSON: the program tells it at the end, with what else the answer comes of.
    #[serde(skip)]
    pub set: Vec<String>,
}

impl ScenarioName {
    /// The name of what these tables describe.
    pub(crate) fn of(tables: &Tables) -> Self {
        Self { title: tables.title.clone(), file: tables.file.clone(), set: tables.set.clone() }
    }
}

impl Record {
    /// Whether any warning stops the job (exit status 3).
    pub fn stopped(&self) -> bool {
        self.warnings.iter().any(|w| w.stops_the_job())
    }

    /// What each part held over time; `None` without a film. Moments between which nothing happened are one.
    pub fn parts_over_time(&self) -> Option<Vec<PartOverTime>> {
        let mut moments: Vec<&Frame> = self.film.as_ref()?.frames.iter().collect();
        moments.dedup_by(|next, last| next.at_s == last.at_s && next.held == last.held);
        let of = |(i, p): (usize, &PartLeft)| PartOverTime {
            part: p.part.clone(),
            kind: p.kind,
            held: moments.iter().map(|f| HeldAt { at_s: f.at_s, held: f.held[i] }).collect(),
        };
        Some(self.left.parts.iter().enumerate().map(of).collect())
    }

    /// New fluid that hands pour into the reservoir, mL; nothing of what a loaded supply brings.
    pub fn poured_by_hand_ml(&self) -> f64 {
        let pours = self.steps.iter().filter(|s| matches!(s.does, Does::TopUp | Does::SetLevel));
        pours.map(|s| s.moved_ml.max(0.0)).sum()
    }

    /// How often the supply had to be pumped up again once fluid flowed, where it is when the gauge falls to this mark;
    /// steps of the procedure are not counted.
    pub fn pumped_up_again(&self, low_mark_kpa: f64) -> usize {
        let pumped = self.steps.iter().filter(|s| s.step == 0 && s.does == Does::RePump).count();
        // What the first opening begins with is part of the first pumping.
        let at_first = self.openings.iter().min_by(|a, b| a.opened_s.total_cmp(&b.opened_s));
        let too_low = at_first.is_some_and(|o| o.gauge_start_kpa < low_mark_kpa);
        pumped.saturating_sub(usize::from(too_low))
    }
}
