//! Figures that answer what an instructor asks about jobs that were run.

use super::Run;
use crate::circuit::species::NEW_FLUID;
use crate::job::record::{Opening, PartLeft, Record};
use crate::sorting;
use crate::study::ranking::Ranked;

/// How much of what the far wheel took came from the reservoir.
#[derive(Debug, Clone, PartialEq)]
pub struct FromReservoir {
    /// Index of the run.
    pub run: usize,
    /// The far wheel.
    pub bleeder: String,
    /// Its turn among the openings, from 1.
    pub turn: usize,
    /// Drained there in its first opening, mL.
    pub drained_ml: f64,
    /// Old fluid that lay in the reservoir, mL.
    pub reservoir_ml: f64,
    /// Old fluid that lay anywhere else, mL.
    pub elsewhere_ml: f64,
    /// New fluid that ran out again, mL.
    pub new_ml: f64,
}

/// "Looks clean" beside "is clean" at the close of an opening.
#[derive(Debug, Clone, PartialEq)]
pub struct LooksClean {
    /// The bleeder.
    pub bleeder: String,
    /// Pass, from 1.
    pub pass: u32,
    /// From which millilitre on the hose looked clean.
    pub looks_at_ml: Option<f64>,
    /// From which millilitre on the whole path was as clean as that.
    pub is_at_ml: Option<f64>,
    /// Drained, mL.
    pub drained_ml: f64,
    /// Old fraction seen in the hose at the close.
    pub seen_old_fraction: f64,
    /// Old fraction on the whole path at the close.
    pub path_old_fraction: f64,
    /// What counts as clean.
    pub threshold: f64,
}

/// What stays where nobody looks.
#[derive(Debug, Clone, PartialEq)]
pub struct Stays {
    /// Old fluid in the whole system, mL.
    pub old_ml: f64,
    /// Parts by the old fluid they keep, most first.
    pub parts: Vec<StaysIn>,
}

/// What stays in one part.
#[derive(Debug, Clone, PartialEq)]
pub struct StaysIn {
    /// Its name.
    pub part: String,
    /// Its volume, mL.
    pub volume_ml: f64,
    /// Old fluid in it, mL.
    pub old_ml: f64,
    /// Old fraction in it.
    pub old_fraction: f64,
    /// Boiling point at its worst place, °C.
    pub lowest_boiling_c: f64,
    /// Whether no volume drained at any bleeder would ever remove it.
    pub unreached: bool,
}

/// What came from one origin, mL.
pub(in crate::study) fn origin(opening: &Opening, name: &str) -> f64 {
    opening.origins_ml.iter().find(|o| o.0 == name).map_or(0.0, |o| o.1)
}

/// The farthest bleeder in each run that opened it.
pub(super) fn from_reservoir(runs: &[Run], far_first: &[Ranked]) -> Vec<FromReservoir> {
    let Some(far) = far_first.first() else { return Vec::new() };
    let answer = |(run, r): (usize, &Run)| {
        let openings = &r.record.openings;
        let opening = openings.iter().find(|o| o.bleeder == far.bleeder)?;
        let earlier = openings.iter().filter(|o| o.opened_s < opening.opened_s);
        let (reservoir_ml, new_ml) = (origin(opening, "reservoir"), origin(opening, NEW_FLUID));
        Some(FromReservoir {
            run,
            bleeder: far.bleeder.clone(),
            turn: earlier.count() + 1,
            drained_ml: opening.drained_ml,
            reservoir_ml,
            elsewhere_ml: opening.drained_ml - reservoir_ml - new_ml,
            new_ml,
        })
    };
    runs.iter().enumerate().filter_map(answer).collect()
}

pub(super) fn looks_clean(run: &Run) -> Vec<LooksClean> {
    let openings = run.record.openings.iter().zip(&run.is_clean_at_ml);
    openings
        .map(|(o, is_at_ml)| LooksClean {
            bleeder: o.bleeder.clone(),
            pass: o.pass,
            looks_at_ml: o.clean_at_ml,
            is_at_ml: *is_at_ml,
            drained_ml: o.drained_ml,
            seen_old_fraction: o.seen_old_fraction,
            path_old_fraction: o.path_old_fraction,
            threshold: o.threshold,
        })
        .collect()
}

pub(super) fn stays(record: &Record) -> Stays {
    let kept = |p: &PartLeft| StaysIn {
        part: p.part.clone(),
        volume_ml: p.volume_ml,
        old_ml: p.old_fraction * p.volume_ml,
        old_fraction: p.old_fraction,
        lowest_boiling_c: p.lowest_boiling_c,
        unreached: !p.reached,
    };
    let mut parts: Vec<StaysIn> = record.left.parts.iter().map(kept).collect();
    sorting::by(&mut parts, |a, b| b.old_ml.total_cmp(&a.old_ml));
    Stays { old_ml: record.left.old_ml, parts }
}
