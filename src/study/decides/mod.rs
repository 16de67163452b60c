//! What decides on one car: each thing that a shop may do otherwise, or find otherwise, from one end of what is usual to the
//! other, and what that does to the fluid a job takes and to the old fluid it leaves.

pub(super) mod dials;
mod order;

pub use dials::{EYE, LINES, SYRINGE, WEAR};
pub use order::ByOrder;

use super::orders::USUAL_MARGIN;
use super::progress::{Onlooker, Progress};
use super::{StudyError, for_sums};
use crate::circuit::Scenario;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::resume::{Ready, Sums};
use crate::sorting;
use rayon::prelude::*;
use serde::Serialize;

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Draws of the vehicle on which the best order is compared with the own, 0 for none.
    pub draws: usize,
    /// As [`super::orders::Question::margin`].
    pub margin: f64,
    /// Every order is tried if there are no more of them than this; of more orders, some.
    pub most_orders: usize,
}

/// Draws if nothing else is asked for: so many that "in 96 of 100" is right within three or so.
pub const USUAL_DRAWS: usize = 200;
/// As many orders as five bleeders can be opened in.
pub const USUAL_MOST_ORDERS: usize = 120;

impl Default for Question {
    fn default() -> Self {
        Self { draws: USUAL_DRAWS, margin: USUAL_MARGIN, most_orders: USUAL_MOST_ORDERS }
    }
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Decides {
    /// What the scenario's own job comes to.
    pub own: End,
    /// Whether nothing looks at the fluid, so that what changes shows in the old fluid left and not in what is used.
    pub counted: bool,
    /// What was changed, each by itself, that which moves the fluid used (if it is counted, the old fluid left) most first.
    pub levers: Vec<Lever>,
    /// What was tried and ends with a warning that stops the job, so that it is not among these.
    pub stopped: Vec<String>,
    /// What the orders come to; `None` if there is but one.
    pub order: Option<ByOrder>,
}

/// One thing from one end of what is usual to the other.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lever {
    /// What was changed.
    pub what: &'static str,
    /// Where it takes least fluid. Of the order both this and the next leave as much old fluid as the own order.
    pub least: End,
    /// Where it takes most.
    pub most: End,
    /// By how much the fluid differs between the two, mL.
    pub fluid_ml: f64,
    /// By how much the old fluid left differs between the next two, mL.
    pub old_left_ml: f64,
    /// Where it leaves least old fluid. Of the order, this and the next are by the scenario's own stop rules.
    pub cleanest: End,
    /// Where it leaves most.
    pub dirtiest: End,
}

/// One job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct End {
    /// What was changed, as a person would say it.
    pub at: String,
    /// New fluid used, the reservoir as full at the end as by the own procedure, mL.
    pub fluid_ml: f64,
    /// Old fluid left, mL.
    pub old_left_ml: f64,
    /// Time in the bay, s.
    pub bay_seconds: f64,
    /// What has left the system, at the bleeders and by syringe, mL.
    #[serde(skip)] // what it differs by is told as `fluid_ml`
    pub gone_ml: f64,
    /// Of that by syringe or when setting the level, mL.
    #[serde(skip)] // told by the page alone
    pub removed_ml: f64,
}

/// The order, compared as [`super::orders`] does.
pub const ORDER: &str = "order of the bleeders";
/// The supply.
pub const SUPPLY: &str = "supply";

/// A job to be run: what is changed, how it is called, the scenario, the supply.
struct Variant {
    what: &'static str,
    at: String,
    scenario: Scenario,
    supply: Option<String>,
}

/// Tries everything on a scenario.
///
/// # Errors
/// [`StudyError`]; [`StudyError::Interrupted`] if it was ended early.
pub fn study(
    scenario: &Scenario,
    question: &Question,
    options: &Options,
    onlooker: &dyn Onlooker,
) -> Result<Decides, StudyError> {
    let sums = for_sums(options);
    let variants = variants(scenario, &sums);
    let progress = Progress::new(onlooker, variants.len() as u64 + 2);
    let own_sums = run(scenario, &sums)?;
    let (own, counted) =
        (End::of("as it is".to_owned(), &own_sums, &own_sums), !dials::looks(scenario));
    let ends: Result<Vec<Option<End>>, JobError> = variants
        .par_iter()
        .map(|v| {
            if !progress.goes_on() {
                return Ok(None);
            }
            let supply = v.supply.clone().or_else(|| sums.supply.clone());
            let sums = run(&v.scenario, &Options { supply, ..sums.clone() })?;
            progress.finished(1);
            Ok((!sums.stopped).then(|| End::of(v.at.clone(), &sums, &own_sums)))
        })
        .collect();
    let mut levers: Vec<Lever> = Vec::new();
    let (mut named, mut stopped) = (Vec::new(), Vec::new());
    for (v, end) in variants.iter().zip(ends?) {
        match end {
            Some(end) => named.push((v.what, end)),
            None => stopped.push(format!("{}: {}", v.what, v.at)),
        }
    }
    for group in named.chunk_by(|a, b| a.0 == b.0) {
        let ends: Vec<&End> = group.iter().map(|(_, end)| end).chain([&own]).collect();
        levers.extend(lever(group[0].0, &ends, &ends));
    }
    let (lever, order) = order::compared(scenario, question, options, &own_sums, &progress)?;
    progress.finished(2);
    if progress.stopped() {
        return Err(StudyError::Interrupted);
    }
    levers.extend(lever);
    let moved = |l: &Lever| if counted { l.old_left_ml } else { l.fluid_ml };
    sorting::by(&mut levers, |a, b| moved(b).total_cmp(&moved(a)));
    Ok(Decides { own, counted, levers, stopped, order })
}

impl Decides {
    /// The lever of this name.
    pub fn lever(&self, what: &str) -> Option<&Lever> {
        self.levers.iter().find(|l| l.what == what)
    }

    /// What a lever moves: fluid used or, where that is counted, old fluid left, mL.
    pub fn moved_ml(&self, lever: &Lever) -> f64 {
        if self.counted { lever.old_left_ml } else { lever.fluid_ml }
    }
}

impl End {
    /// Of a job beside the scenario's own.
    fn of(at: String, sums: &Sums, own: &Sums) -> Self {
        Self {
            at,
            fluid_ml: own.new_fluid_ml + sums.gone_ml() - own.gone_ml(),
            old_left_ml: sums.left_old_ml,
            bay_seconds: sums.bay_seconds,
            gone_ml: sums.gone_ml(),
            removed_ml: sums.removed_ml,
        }
    }
}

/// What lies between the ends of what was tried: by the fluid used, and by the old fluid left.
fn lever(what: &'static str, by_fluid: &[&End], by_left: &[&End]) -> Option<Lever> {
    let ends = |all: &[&End], of: fn(&End) -> f64| {
        let least = all.iter().copied().min_by(|a, b| of(a).total_cmp(&of(b)))?;
        // The first of several equal ones, as above.
        let most = all.iter().rev().copied().max_by(|a, b| of(a).total_cmp(&of(b)))?;
        Some((least.clone(), most.clone()))
    };
    let (least, most) = ends(by_fluid, |e| e.fluid_ml)?;
    let (cleanest, dirtiest) = ends(by_left, |e| e.old_left_ml)?;
    let (fluid_ml, old_left_ml) =
        (most.fluid_ml - least.fluid_ml, dirtiest.old_left_ml - cleanest.old_left_ml);
    Some(Lever { what, least, most, fluid_ml, old_left_ml, cleanest, dirtiest })
}

/// Runs a scenario's own procedure.
pub(super) fn run(scenario: &Scenario, options: &Options) -> Result<Sums, JobError> {
    let mut job = Ready::new(scenario, options)?.sums_only().begin()?;
    for ((pass, number), step) in scenario.procedure.in_turn() {
        job.act(step, pass, number)?;
    }
    Ok(job.sums())
}

/// Everything that is tried but the order, what belongs together in a row; what a car cannot be is left out.
fn variants(scenario: &Scenario, options: &Options) -> Vec<Variant> {
    let mut all = Vec::new();
    for dial in dials::dials(scenario, options) {
        for end in [dial.ends.0, dial.ends.1] {
            // Nothing syringed is the job as it is.
            if let Some(scenario) =
                (dial.set)(end).filter(|_| dial.what != SYRINGE || end != dial.own)
            {
                all.push(Variant { what: dial.what, at: (dial.say)(end), scenario, supply: None });
            }
        }
    }
    for supply in scenario.supplies.iter().filter(|_| scenario.supplies.len() > 1) {
        let (scenario, at) = (scenario.clone(), supply.name.clone());
        all.push(Variant { what: SUPPLY, at: at.clone(), scenario, supply: Some(at) });
    }
    all
}
