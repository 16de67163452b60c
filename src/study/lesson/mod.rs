//! A lesson: the job in its own order and in a few others, and the questions that an instructor would
//! put, answered by jobs.

pub(super) mod next;
pub(super) mod orders;
pub(super) mod questions;

pub use next::{Candidate, NextWheel};
pub use orders::Named;
pub use questions::{FromReservoir, LooksClean, Stays, StaysIn};

use super::StudyError;
use super::difference::Difference;
use super::order::{Rules, reordered};
use super::ranking::{self, Ranked};
use crate::circuit::Scenario;
use crate::job::flush_whole;
use crate::job::options::Options;
use crate::job::record::{Opening, Record};
use crate::scenario::spoken::Spoken;
use rayon::prelude::*;

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Lesson {
    /// Title as written.
    pub title: String,
    /// What was set over the values of the file, as given.
    pub set: Vec<String>,
    /// What the vehicle and its controls are called.
    pub spoken: &'static Spoken,
    /// What stop rules do when openings change places.
    pub rules: Rules,
    /// The bleeders that are opened, farthest first.
    pub far_first: Vec<Ranked>,
    /// Jobs in orders that differ, the scenario's own first.
    pub runs: Vec<Run>,
    /// Which wheel to open next, place by place; empty if there is nothing to choose.
    pub next: Vec<NextWheel>,
    /// How much of what the far wheel takes comes from the reservoir, run by run.
    pub from_reservoir: Vec<FromReservoir>,
    /// "Looks clean" beside "is clean", opening by opening of the scenario's own order.
    pub looks_clean: Vec<LooksClean>,
    /// What stays where, after the scenario's own order.
    pub stays: Stays,
}

/// The job in one order.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// What the order is; several where they come to the same.
    pub named: Vec<Named>,
    /// Bleeders in this order.
    pub order: Vec<String>,
    /// The job.
    pub record: Record,
    /// For each opening the drained volume from which its whole path was clean, by the threshold that held for
    /// the eye, and stayed so, mL; `None` if it was not at the close.
    pub is_clean_at_ml: Vec<Option<f64>>,
    /// This order beside the scenario's own; `None` for that itself.
    pub against_own: Option<Against>,
}

/// Two orders beside one another: the second less the scenario's own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Against {
    /// Drained at all bleeders.
    pub drained: Difference,
    /// Old fluid left.
    pub old_left: Difference,
    /// New fluid used.
    pub new_fluid: Difference,
    /// Time with a bleeder open, s.
    pub flow_seconds: f64,
}

impl Against {
    /// `other` less `own`.
    pub(in crate::study) fn new(own: &Record, other: &Record) -> Self {
        let known = |r: &Record, error: Option<f64>| error.filter(|_| !r.stopped());
        let drained = |r: &Record| (r.totals.drained_ml, known(r, r.numerics.drained_error_ml));
        let new = |r: &Record| (r.totals.new_fluid_ml, known(r, r.numerics.new_fluid_error_ml));
        let left = |r: &Record| (r.left.old_ml, known(r, r.numerics.old_left_error_ml));
        Self {
            drained: Difference::new(drained(own), drained(other)),
            old_left: Difference::new(left(own), left(other)),
            new_fluid: Difference::new(new(own), new(other)),
            flow_seconds: other.totals.flow_seconds - own.totals.flow_seconds,
        }
    }
}

/// Runs the job in its own order and in those that a lesson sets beside it.
///
/// # Errors
/// [`StudyError`] if the scenario cannot be simulated.
///
/// ```
/// use farwheel::job::options::Options;
/// use farwheel::study::lesson::{self, Named};
///
/// let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios/motorcycle-front.toml"));
/// let lesson = lesson::prepare(&farwheel::read(text, "motorcycle-front.toml")?, &Options::default())?;
/// assert!(lesson.runs[0].named.contains(&Named::Own));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn prepare(scenario: &Scenario, options: &Options) -> Result<Lesson, StudyError> {
    let rules = Rules::of(&scenario.procedure);
    let far_first = ranking::far_first(scenario);
    let options = Options { origins: true, ..options.clone() };
    let chosen = orders::chosen(scenario)?;
    let records = chosen
        .par_iter()
        .map(|c| match c.named[0] {
            Named::Own => Ok(flush_whole(scenario, &options)?),
            _ => Ok(flush_whole(&reordered(scenario, &c.order, rules)?, &options)?),
        })
        .collect::<Result<Vec<Record>, StudyError>>()?;
    let against: Vec<Option<Against>> = records
        .iter()
        .enumerate()
        .map(|(i, r)| (i > 0).then(|| Against::new(&records[0], r)))
        .collect();
    let runs: Vec<Run> = (chosen.into_iter().zip(records).zip(against))
        .map(|((orders::Chosen { named, order }, record), against_own)| Run {
            named,
            order,
            is_clean_at_ml: record.openings.iter().map(is_clean_at).collect(),
            record,
            against_own,
        })
        .collect();
    let own = &runs[0].record;
    Ok(Lesson {
        title: scenario.title.clone(),
        set: scenario.set.clone(),
        spoken: scenario.vehicle.spoken(),
        rules,
        next: next::at_each_place(scenario, &far_first, rules, &options, own)?,
        from_reservoir: questions::from_reservoir(&runs, &far_first),
        looks_clean: questions::looks_clean(&runs[0]),
        stays: questions::stays(own),
        far_first,
        runs,
    })
}

/// From where on the whole path of an opening stayed at or below the threshold, mL.
pub(super) fn is_clean_at(opening: &Opening) -> Option<f64> {
    let (curve, threshold) = (&opening.curve, opening.threshold);
    let Some(last) = curve.iter().rposition(|p| p.path_old_fraction > threshold) else {
        return curve.first().map(|p| p.drained_ml);
    };
    let (dirty, clean) = (&curve[last], curve.get(last + 1)?);
    let share =
        (dirty.path_old_fraction - threshold) / (dirty.path_old_fraction - clean.path_old_fraction);
    Some(dirty.drained_ml + share * (clean.drained_ml - dirty.drained_ml))
}
