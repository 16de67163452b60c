//! "Which wheel would you open next, and why?": each wheel that is left is opened next, and the rest follows in
//! the scenario's own order.

use super::Against;
use crate::circuit::Scenario;
use crate::job::flush_whole;
use crate::job::options::Options;
use crate::job::record::{Opening, Record};
use crate::study::StudyError;
use crate::study::order::{Rules, reordered, together};
use crate::study::ranking::Ranked;
use rayon::prelude::*;

/// Jobs are run for at most this many candidates; of a car with very many bleeders the first places are asked.
const MOST_JOBS: usize = 60;

/// The question at one place of the order.
#[derive(Debug, Clone, PartialEq)]
pub struct NextWheel {
    /// Bleeders that are done, in the scenario's own order; empty at the beginning.
    pub done: Vec<String>,
    /// What could come next, the scenario's own choice first.
    pub candidates: Vec<Candidate>,
}

impl NextWheel {
    /// By how much, as a share of what the scenario's own choice drains over the whole job, the candidate that is
    /// furthest off and told apart differs from it; 0 if none is told apart.
    pub fn widest_share(&self) -> f64 {
        let own_ml = self.candidates.first().map_or(0.0, |own| own.total_ml).max(1e-9);
        let told = self.candidates.iter().filter_map(|c| c.against_own).map(|a| a.drained);
        let apart = told.filter(|d| d.told_apart()).map(|d| d.ml.abs() / own_ml);
        apart.fold(0.0, f64::max)
    }
}

/// A wheel that could come next, and what comes of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// The bleeder, or those that are opened together.
    pub bleeders: Vec<String>,
    /// Volume of the (longest) path, mL.
    pub path_ml: f64,
    /// Drained there when opened next (in the first pass), mL.
    pub drained_ml: f64,
    /// Of that, what was old fluid in the reservoir when the job began, mL.
    pub reservoir_ml: f64,
    /// Drained by the whole job, mL.
    pub total_ml: f64,
    /// Old fluid that the whole job leaves, mL.
    pub old_left_ml: f64,
    /// Beside the scenario's own choice; `None` for that itself.
    pub against_own: Option<Against>,
}

/// Asks at each place where more than one wheel is left.
pub(super) fn at_each_place(
    scenario: &Scenario,
    far_first: &[Ranked],
    rules: Rules,
    options: &Options,
    own: &Record,
) -> Result<Vec<NextWheel>, StudyError> {
    let groups = together(&scenario.procedure);
    let mut asked: Vec<(usize, usize)> = Vec::new();
    for place in 0..groups.len().saturating_sub(1) {
        if asked.len() + groups.len() - place > MOST_JOBS && place > 0 {
            break;
        }
        asked.extend((place..groups.len()).map(|next| (place, next)));
    }
    at(scenario, far_first, rules, options, own, &asked)
}

/// Asks at one place: how many groups of bleeders are done.
pub(in crate::study) fn at_place(
    scenario: &Scenario,
    far_first: &[Ranked],
    options: &Options,
    own: &Record,
    place: usize,
) -> Result<Option<NextWheel>, StudyError> {
    let asked: Vec<(usize, usize)> =
        (place..together(&scenario.procedure).len()).map(|next| (place, next)).collect();
    let rules = Rules::of(&scenario.procedure);
    Ok(at(scenario, far_first, rules, options, own, &asked)?.pop())
}

/// Asks: places with what could come next there, the scenario's own choice first.
fn at(
    scenario: &Scenario,
    far_first: &[Ranked],
    rules: Rules,
    options: &Options,
    own: &Record,
    asked: &[(usize, usize)],
) -> Result<Vec<NextWheel>, StudyError> {
    let groups = together(&scenario.procedure);
    let options = Options { origins: true, ..options.clone() };
    let answered = asked
        .par_iter()
        .map(|&(place, next)| {
            let candidate = |record: &Record, against_own| {
                candidate(&groups[next], far_first, record, against_own)
            };
            if place == next {
                return Ok(candidate(own, None));
            }
            let mut turns = groups.clone();
            let pulled = turns.remove(next);
            turns.insert(place, pulled);
            let record = flush_whole(&reordered(scenario, &turns.concat(), rules)?, &options)?;
            Ok(candidate(&record, Some(Against::new(own, &record))))
        })
        .collect::<Result<Vec<Candidate>, StudyError>>()?;
    let mut places: Vec<NextWheel> = Vec::new();
    for (&(place, next), candidate) in asked.iter().zip(answered) {
        if place == next {
            places.push(NextWheel { done: groups[..place].concat(), candidates: Vec::new() });
        }
        if let Some(last) = places.last_mut() {
            last.candidates.push(candidate);
        }
    }
    Ok(places)
}

fn candidate(
    bleeders: &[String],
    far_first: &[Ranked],
    record: &Record,
    against_own: Option<Against>,
) -> Candidate {
    // The first opening of each: a later pass, or a second step, is another matter.
    let openings: Vec<&Opening> =
        bleeders.iter().filter_map(|b| record.openings.iter().find(|o| o.bleeder == *b)).collect();
    let path = |b: &String| far_first.iter().find(|r| r.bleeder == *b).map_or(0.0, |r| r.path_ml);
    Candidate {
        bleeders: bleeders.to_vec(),
        path_ml: bleeders.iter().map(path).fold(0.0, f64::max),
        drained_ml: openings.iter().map(|o| o.drained_ml).sum(),
        reservoir_ml: openings.iter().map(|o| super::questions::origin(o, "reservoir")).sum(),
        total_ml: record.totals.drained_ml,
        old_left_ml: record.left.old_ml,
        against_own,
    }
}
