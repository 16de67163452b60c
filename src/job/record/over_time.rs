//! What each part holds over a job.

use serde::Serialize;

/// What a part holds at one moment.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Held {
    /// Fluid, mL.
    pub volume_ml: f64,
    /// Old fluid, mL.
    pub old_ml: f64,
}

/// What a part holds over the job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartOverTime {
    /// Name of the part.
    pub part: String,
    /// Its kind.
    pub kind: &'static str,
    /// Moments, by time. Two of the same time mean that something was done at once.
    pub held: Vec<HeldAt>,
}

/// What a part holds, and when.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HeldAt {
    /// Time, s from the start of the job.
    pub at_s: f64,
    /// What it holds then.
    #[serde(flatten)]
    pub held: Held,
}
