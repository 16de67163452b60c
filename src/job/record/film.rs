//! The film of a job: how much old fluid lies where, at moments of the job.
//!
//! Recorded only if [`Options::film`](crate::job::options::Options::film) asks for it.

use serde::Serialize;

/// Cells along a line or hose.
pub const CELLS: usize = 16;

/// A part that holds fluid, the reservoir apart.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmPart {
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: &'static str,
    /// Its volume, mL.
    pub volume_ml: f64,
    /// Cells that it has in a frame: [`CELLS`] along a line or hose, one for a chamber.
    pub cells: usize,
    /// Where its cells begin in a frame.
    pub first: usize,
}

/// The way to one bleeder.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// Name of the bleeder.
    pub bleeder: String,
    /// Parts that hold fluid, from the reservoir's outlet on, as indices into [`Film::parts`].
    pub parts: Vec<usize>,
}

/// What an open bleeder has drained.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// Index into [`Film::ways`].
    pub way: usize,
    /// Drained since it was opened, mL.
    pub drained_ml: f64,
    /// Where that came from ([`Origins`](super::Origins)).
    pub origins_ml: Vec<(&'static str, f64)>,
}

/// One moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// Time, s from the start of the job.
    pub at_s: f64,
    /// Fluid in the reservoir, mL.
    pub reservoir_ml: f64,
    /// Old fraction in the reservoir.
    pub reservoir_old_fraction: f64,
    /// Old fraction in each cell of each part, in the direction of the part from its `from` on; of a line
    /// the mean over the cross-section.
    pub old_fraction: Vec<f32>,
    /// Open bleeders.
    pub drawn: Vec<Drawn>,
    /// What each part holds, the reservoir's included: as [`Left::parts`](super::Left::parts) lists them.
    pub held: Vec<Held>,
}

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

/// The film.
#[derive(Debug, Clone, PartialEq)]
pub struct Film {
    /// Parts that hold fluid: lines and hoses, then chambers.
    pub parts: Vec<FilmPart>,
    /// Ways, one a bleeder, in file order.
    pub ways: Vec<Way>,
    /// What the reservoir holds when brim-full, mL.
    pub brim_ml: f64,
    /// Moments, by time. Two of the same time mean that something was done at once.
    pub frames: Vec<Frame>,
}
