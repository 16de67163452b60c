//! One bleeder opened once.

use serde::Serialize;

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
    /// Whoever drives the job closed it.
    Hand,
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
            Self::Hand => "closed by hand",
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
    /// Step of the procedure, from 1; 0 if it was opened by hand.
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
    /// The part that the bleeder is on.
    pub part: String,
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
