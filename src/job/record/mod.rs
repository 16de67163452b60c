//! What a job leaves behind: everything reports and pictures show, and nothing they must compute.
//!
//! The serialised names and their order are the promise made to users of `--json`.

pub mod check;
pub mod film;
pub mod warning;
mod wording;

use crate::keys::worded::worded;
use crate::scenario::model::Tables;
use film::{Film, Frame, HeldAt, PartOverTime};
use serde::Serialize;

pub use warning::{Warning, WarningKind};
pub(crate) use wording::{at_line, in_both_units, which};
pub use wording::{with_set, without_line};

/// Why a bleeder was closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum ClosedBy {
    /// What was seen counted as clean.
    Clean,
    /// The volume asked for had been drained.
    Volume,
    /// The time asked for had passed.
    Time,
    /// The upper bound (`at most`, or the program's own) was met first.
    Bound,
    /// The supply ran dry.
    Supply,
    /// Nothing flowed.
    #[serde(rename = "no flow")]
    NoFlow,
}

impl ClosedBy {
    /// The reason in the words of tables and pictures.
    pub fn words(self) -> &'static str {
        match self {
            Self::Clean => "looked clean",
            Self::Volume => "volume reached",
            Self::Time => "time was up",
            Self::Bound => "upper bound met",
            Self::Supply => "supply ran dry",
            Self::NoFlow => "nothing flowed",
        }
    }
}

/// How the opening ended by the eye.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub enum CleanState {
    /// It became clean during this opening and stayed so.
    #[serde(rename = "reached")]
    Reached,
    /// It was never above the threshold.
    #[serde(rename = "already")]
    Already,
    /// It never became clean.
    #[serde(rename = "not reached")]
    NotReached,
    /// It had become clean and was dirty again at the close.
    #[serde(rename = "lost")]
    Lost,
}

/// What keeps a bleeder open though what is seen has stayed clean for as long as it must.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub enum WaitedFor {
    /// The watched length of the clear hose had not been displaced yet.
    #[serde(rename = "watched length")]
    WatchedLength,
    /// What is seen was still getting darker.
    #[serde(rename = "rising")]
    Rising,
    /// It had not been looked at for `least_look` yet.
    #[serde(rename = "least look")]
    LeastLook,
}

impl WaitedFor {
    /// What it was, in the words of tables.
    pub fn words(self) -> &'static str {
        match self {
            Self::WatchedLength => "hose run through",
            Self::Rising => "no darker",
            Self::LeastLook => "least look",
        }
    }
}

/// Volume that came from one origin.
pub type Origins = Vec<(&'static str, f64)>;

fn as_map<S: serde::Serializer>(origins: &Origins, s: S) -> Result<S::Ok, S::Error> {
    s.collect_map(origins.iter().map(|(k, v)| (k, v)))
}

/// One bleeder opened once. Bleeders opened together have a record each.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Opening {
    /// Name of the bleeder.
    pub bleeder: String,
    /// Pass, from 1.
    pub pass: u32,
    /// Step of the procedure, from 1.
    pub step: usize,
    /// Time at which it was opened, s from the start of the job.
    pub opened_s: f64,
    /// Time at which it was closed, s.
    pub closed_s: f64,
    /// Why it was closed.
    pub closed_by: ClosedBy,
    /// Drained volume, mL.
    pub drained_ml: f64,
    /// Drained volume from which on what is seen counted as clean, mL: it had fallen to the threshold, and had been
    /// watched for long enough.
    pub clean_at_ml: Option<f64>,
    /// How it ended by the eye.
    pub clean_state: CleanState,
    /// Old fraction in the watched length of the clear hose at the close ("looked clean").
    pub seen_old_fraction: f64,
    /// Old fraction over the whole path from the reservoir to this bleeder at the close ("is clean").
    pub path_old_fraction: f64,
    /// Drained volume over flow time, mL/s.
    pub mean_flow_ml_per_s: f64,
    /// Largest Reynolds number met in a line or hose on the path.
    pub reynolds: f64,
    /// Gauge pressure of the supply when opened, kPa.
    pub gauge_start_kpa: f64,
    /// Gauge pressure of the supply when closed, kPa.
    pub gauge_end_kpa: f64,
    /// Where the drained millilitres came from.
    #[serde(serialize_with = "as_map")]
    pub origins_ml: Origins,
    /// The clearing curve, one point a step.
    // Not in the JSON: bulk, told on request as `curves` (`--also curves`).
    #[serde(skip)]
    pub curve: Vec<CurvePoint>,
    /// For how much it had to stay clean, as things stood at the close, mL; `None` while it is dirty.
    pub hold_ml: Option<f64>,
    /// What it was kept open for beyond that and `at least`, if it was closed as clean; `None` if for nothing.
    pub waited_for: Option<WaitedFor>,
    /// Time in which fluid flowed, s: from opening to closing without pauses for pumping up the supply.
    pub flow_seconds: f64,
    /// Drained volume since which what is seen was clean at the close, whether or not it had stayed so
    /// for long enough, mL.
    pub clean_since_ml: Option<f64>,
    /// Strokes of the pedal begun while it was open; `None` where no pedal pushes.
    pub strokes: Option<u32>,
    /// Threshold of the old fraction seen that was in force.
    pub threshold: f64,
}

/// A point of the clearing curve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CurvePoint {
    /// Time, s from the start of the job.
    pub at_s: f64,
    /// Drained so far in this opening, mL.
    pub drained_ml: f64,
    /// Old fraction in the watched length of the clear hose.
    pub seen_old_fraction: f64,
    /// Old fraction of what leaves the bleeder.
    pub leaving_old_fraction: f64,
    /// Old fraction over the whole path.
    pub path_old_fraction: f64,
    /// Flow rate, mL/s.
    pub flow_ml_per_s: f64,
}

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
    /// top-up by hand).
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
    /// no load that the vessel takes is enough.
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

/// What stays behind in one part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartLeft {
    /// Name of the part.
    pub part: String,
    /// Its kind.
    pub kind: &'static str,
    /// Its volume, mL.
    pub volume_ml: f64,
    /// Old fraction in it.
    pub old_fraction: f64,
    /// Water in it, mass %.
    pub water_percent: f64,
    /// Boiling point of all that is in it, mixed, °C (equilibrium reflux).
    pub boiling_c: f64,
    /// Boiling point at its worst place, °C: each stage and each pocket of a chamber and each compartment of
    /// the reservoir counts by itself, a line or hose as a whole. Never above `boiling_c`.
    pub lowest_boiling_c: f64,
    /// Boiling point in its pocket (the worst of them where it has several stages), °C; `None` without a
    /// pocket. The pocket is what lies at the piston, which is where a brake gets hot.
    pub pocket_boiling_c: Option<f64>,
    /// Whether a bleeder reaches it: whether what flows to some bleeder, with all valves at rest, can pass it.
    pub reached: bool,
}

/// What no bleeder reaches, all of it together. It leaves its place only where a hydraulic modulator works:
/// what that brings to the wheels stands in [`IfModulatorWorks`].
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TrappedLeft {
    /// Its volume, mL.
    pub volume_ml: f64,
    /// Its old fraction.
    pub old_fraction: f64,
    /// Its water, mass %.
    pub water_percent: f64,
    /// Boiling point at its worst place, °C.
    pub lowest_boiling_c: f64,
    /// The part that has it.
    pub lowest_boiling_part: String,
}

/// A part with less, mL, is empty but for rounding: it has no composition and no boiling point.
const NOTHING_ML: f64 = 1e-3;

impl PartLeft {
    /// Whether there is any fluid in it; a reservoir that ran dry holds none.
    pub fn holds_some(&self) -> bool {
        self.volume_ml > NOTHING_ML
    }
}

impl Left {
    /// The parts that hold fluid at the end.
    pub fn holding(&self) -> impl Iterator<Item = &PartLeft> {
        self.parts.iter().filter(|p| p.holds_some())
    }
}

fn those_that_hold_some<S: serde::Serializer>(parts: &[PartLeft], s: S) -> Result<S::Ok, S::Error> {
    s.collect_seq(parts.iter().filter(|p| p.holds_some()))
}

/// What stays behind.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Left {
    /// Old fluid in the whole system, mL.
    pub old_ml: f64,
    /// Old fraction of the whole system.
    pub old_fraction: f64,
    /// Water in the whole system, mass %.
    pub water_percent: f64,
    /// Lowest [`PartLeft::lowest_boiling_c`] of all parts that a bleeder reaches, °C.
    pub lowest_boiling_c: f64,
    /// The part that has it.
    pub lowest_boiling_part: String,
    /// Part by part, reservoir first, then along the circuit. What holds nothing at the end is not told.
    #[serde(serialize_with = "those_that_hold_some")]
    pub parts: Vec<PartLeft>,
    /// What no bleeder reaches; `None` if there is nothing of the kind.
    pub trapped: Option<TrappedLeft>,
}

impl Left {
    /// Whether the lowest boiling point lies in a pocket, the part as a whole being better.
    pub fn lowest_in_pocket(&self) -> bool {
        let part = self.parts.iter().find(|p| p.part == self.lowest_boiling_part);
        part.is_some_and(|p| {
            let rounding = 1e-6;
            p.pocket_boiling_c == Some(p.lowest_boiling_c)
                && p.boiling_c > p.lowest_boiling_c + rounding
        })
    }
}

/// What reaches the wheels if the hydraulic modulators work once on the road after the job: all channels
/// for a few seconds, pump on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct IfModulatorWorks {
    /// For how long they work, s.
    pub seconds: f64,
    /// Fluid in accumulators, pumps and dampers after the job, mL. (`left.trapped` counts it too, and dead ends
    /// of lines beside it.)
    pub trapped_ml: f64,
    /// Its old fraction.
    pub trapped_old_fraction: f64,
    /// Its water, mass %.
    pub trapped_water_percent: f64,
    /// Boiling point at its worst place, °C.
    pub trapped_boiling_c: f64,
    /// What each channel then gets.
    pub channels: Vec<ChannelThen>,
}

/// What one channel gets if its modulator works.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ChannelThen {
    /// Name of the modulator.
    pub modulator: String,
    /// Name of the line that starts from it.
    pub channel: String,
    /// Old fraction of the mix with the most water that is sent toward the wheel.
    pub sent_old_fraction: f64,
    /// Its water, mass %.
    pub sent_water_percent: f64,
    /// Its boiling point, °C.
    pub sent_boiling_c: f64,
    /// The wheel brake behind it, the smallest where there are several.
    pub wheel: String,
    /// Boiling point at the worst place in that brake after the job, its pocket included, °C.
    pub wheel_boiling_now_c: f64,
    /// The same if as much of that mix as the channel's passage holds gets all the way into it, °C. A place that
    /// boils lower without the mix counts as if none came there.
    pub wheel_boiling_then_c: f64,
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
}
