//! A shop's standard on a fleet: what one rule takes and leaves on each car beside that car's own best, and which rule of
//! all is regretted least.

mod curve;
mod judged;
mod rule;

pub use judged::{Judged, STEP_ML};
pub use rule::{Closing, First, Rule};

use super::difference::LEAST_ML;
use super::orders::USUAL_MARGIN;
use super::progress::{Onlooker, Progress};
use super::{StudyError, for_sums};
use crate::circuit::Scenario;
use crate::job::options::Options;
use crate::job::record::ClosedBy;
use crate::job::resume::{Ready, Sums};
use curve::Best;
use judged::{MOST_CAP_ML, better, judge, rules};
use rayon::prelude::*;
use serde::Serialize;

/// What is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Question {
    /// The shop's standard.
    pub rule: Rule,
    /// Share by which a car may take more fluid than its best order, or leave more old fluid than its own procedure,
    /// before it needs an exception.
    pub margin: f64,
}

impl Question {
    /// With the usual margin.
    pub fn of(rule: Rule) -> Self {
        Self { rule, margin: USUAL_MARGIN }
    }
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Standard {
    /// The shop's standard.
    pub asked: Rule,
    /// [`Question::margin`].
    pub margin: f64,
    /// Every car under it, in the order given.
    pub cars: Vec<Car>,
    /// The car with the largest regret under it, by its place from 0.
    pub worst: usize,
    /// Every rule, the best for the fleet first: that under which fewest cars must be stopped or stay dirtier than by their
    /// own procedure; of these that with the least largest regret; of these that with the least sum of regrets; of these
    /// that which takes least in all; of these the lowest cap.
    pub rules: Vec<Judged>,
    /// Every car under the first of them.
    pub least_regret_cars: Vec<Car>,
}

/// A car under a rule.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Car {
    /// Name of its file as given.
    pub file: String,
    /// Title as written.
    pub title: String,
    /// New fluid that it takes, mL.
    pub fluid_ml: f64,
    /// Time in the bay, s.
    pub bay_seconds: f64,
    /// Old fluid left, mL.
    pub old_left_ml: f64,
    /// Old fluid that the car's own procedure leaves, mL.
    pub own_old_left_ml: f64,
    /// The order that takes least to leave as little as the rule does.
    pub best_order: Vec<String>,
    /// Whether its bleeders are then closed by eye (a stricter or laxer one), or millilitres counted.
    pub best_closing: Closing,
    /// New fluid that this takes, the reservoir as full at the end as under the rule, mL.
    pub best_fluid_ml: f64,
    /// What the rule takes more, mL.
    pub regret_ml: f64,
    /// That as a share of what the best takes.
    pub regret_share: f64,
    /// Bleeders that are still dirty when they are closed at the most millilitres of a rule that looks.
    pub still_dirty: Vec<String>,
    /// What the supply lacks of the load that this takes, mL (negative: it has more); `None` for one that is not loaded.
    pub short_ml: Option<f64>,
    /// Whether a warning stops the job.
    pub stopped: bool,
    /// Why it needs an exception; `None` if it does not.
    pub exception: Option<Exception>,
}

/// Why a car needs an exception: the gravest reason.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Exception {
    /// A warning stops the job.
    Stopped,
    /// What is loaded does not last.
    RunsShort,
    /// It stays dirtier than by its own procedure.
    Dirtier,
    /// It takes more fluid than its best order, by more than the margin.
    TakesMore,
}

impl Car {
    /// Whether it must be stopped, or stays dirtier than by its own procedure.
    pub fn fails(&self) -> bool {
        self.exception.is_some_and(|e| e != Exception::TakesMore)
    }
}

impl Standard {
    /// The rule that is regretted least.
    pub fn least_regret(&self) -> Option<&Judged> {
        self.rules.first()
    }

    /// The shop's standard among the rules.
    pub fn judged(&self) -> Option<&Judged> {
        self.rules.iter().find(|j| j.rule == self.asked)
    }
}

/// Runs every car under every rule: {far first, near first, as written} × {clean, counted} × caps.
///
/// Regret is the fluid that a rule takes beyond the least with which some order of that car, closed by eye or by count,
/// leaves no more old fluid. So no rule gains by leaving a car dirtier, nor by flushing on when it is clean.
///
/// # Errors
/// [`StudyError`]; [`StudyError::Interrupted`] if it was ended early.
pub fn study(
    scenarios: &[Scenario],
    question: &Question,
    options: &Options,
    onlooker: &dyn Onlooker,
) -> Result<Standard, StudyError> {
    let options = for_sums(options);
    let progress = Progress::new(onlooker, 3 * scenarios.len() as u64);
    let (mut most, mut errors) = (question.rule.at_most_ml, Vec::new());
    let longest: Vec<_> = scenarios.par_iter().map(|s| longest_ml(s, &options)).collect();
    for (scenario, longest) in scenarios.iter().zip(longest) {
        match longest {
            Ok(ml) => most = most.max(ml.min(MOST_CAP_ML)),
            Err(why) => errors.push(why.of(&scenario.file)),
        }
    }
    if !errors.is_empty() {
        return Err(StudyError::All(errors));
    }
    let rules = rules(question.rule, most);
    let cars: Result<Vec<Vec<Car>>, StudyError> = scenarios
        .par_iter()
        .map(|s| {
            let all = under_all(s, &rules, question.margin, &options, &progress);
            progress.finished(3);
            all.map_err(|why| why.of(&s.file))
        })
        .collect();
    let cars = cars?;
    if progress.stopped() {
        return Err(StudyError::Interrupted);
    }
    let under = |i: usize| -> Vec<Car> { cars.iter().map(|all| all[i].clone()).collect() };
    let asked = rules.iter().position(|r| *r == question.rule).unwrap_or(0);
    let mut judged: Vec<(usize, Judged)> =
        rules.iter().enumerate().map(|(i, r)| (i, judge(*r, &under(i)))).collect();
    judged.sort_by(|(_, a), (_, b)| better(a, b));
    let (best, worst) = (judged[0].0, judge(question.rule, &under(asked)).worst);
    Ok(Standard {
        asked: question.rule,
        margin: question.margin,
        cars: under(asked),
        worst,
        rules: judged.into_iter().map(|(_, j)| j).collect(),
        least_regret_cars: under(best),
    })
}

/// One car under every rule.
fn under_all(
    scenario: &Scenario,
    rules: &[Rule],
    margin: f64,
    options: &Options,
    progress: &Progress<'_>,
) -> Result<Vec<Car>, StudyError> {
    let mut caps: Vec<f64> = rules.iter().map(|r| r.at_most_ml).collect();
    caps.sort_by(f64::total_cmp);
    caps.dedup();
    if !progress.goes_on() {
        return Ok(Vec::new());
    }
    let best = Best::of(scenario, &caps, options, progress)?;
    let own = run(scenario, options)?.0;
    let one = |rule: &Rule| {
        let (sums, still_dirty) = run(&rule.on(scenario)?, options)?;
        Ok(car(scenario, &sums, still_dirty, &own, &best, margin))
    };
    rules.par_iter().map(one).collect()
}

fn car(
    scenario: &Scenario,
    sums: &Sums,
    still_dirty: Vec<String>,
    own: &Sums,
    best: &Best,
    margin: f64,
) -> Car {
    let fluid_ml = sums.new_fluid_ml;
    let least = best.least(sums.left_old_ml);
    // The reservoir is taken to end equally full.
    let regret_ml = least.as_ref().map_or(0.0, |l| (sums.gone_ml() - l.fluid_ml).max(0.0));
    let best_fluid_ml = fluid_ml - regret_ml;
    let (best_order, best_closing) =
        least.map_or((Vec::new(), Closing::Clean), |l| (l.order, l.closing));
    let allowed_ml = own.left_old_ml + (margin * own.left_old_ml).max(LEAST_ML);
    let exception = if sums.stopped {
        Some(Exception::Stopped)
    } else if sums.short_ml.is_some_and(|ml| ml > 0.0) {
        Some(Exception::RunsShort)
    } else if sums.left_old_ml > allowed_ml {
        Some(Exception::Dirtier)
    } else if regret_ml > LEAST_ML && regret_ml > margin * best_fluid_ml {
        Some(Exception::TakesMore)
    } else {
        None
    };
    Car {
        file: scenario.file.clone(),
        title: scenario.title.clone(),
        fluid_ml,
        bay_seconds: sums.bay_seconds,
        old_left_ml: sums.left_old_ml,
        own_old_left_ml: own.left_old_ml,
        best_order,
        best_closing,
        best_fluid_ml,
        regret_ml,
        regret_share: if best_fluid_ml > 0.0 { regret_ml / best_fluid_ml } else { 0.0 },
        still_dirty,
        short_ml: sums.short_ml,
        stopped: sums.stopped,
        exception,
    }
}

/// Runs a scenario's procedure: what it comes to, and the bleeders that were closed dirty at an upper bound.
fn run(scenario: &Scenario, options: &Options) -> Result<(Sums, Vec<String>), StudyError> {
    let mut job = Ready::new(scenario, options)?.sums_only().begin()?;
    for ((pass, number), step) in scenario.procedure.in_turn() {
        job.act(step, pass, number)?;
    }
    let dirty = job.openings().iter().filter(|o| o.closed_by == ClosedBy::Bound);
    Ok((job.sums(), dirty.map(|o| o.bleeder.clone()).collect()))
}

/// The most that any bleeder of a car takes until it looks clean, in either direction, mL.
fn longest_ml(scenario: &Scenario, options: &Options) -> Result<f64, StudyError> {
    let mut longest = 0.0_f64;
    for first in First::ALL {
        let rule = Rule { first, closing: Closing::Clean, at_most_ml: MOST_CAP_ML };
        let car = rule.on(scenario)?;
        let mut job = Ready::new(&car, options)?.sums_only().begin()?;
        for ((pass, number), step) in car.procedure.in_turn() {
            job.act(step, pass, number)?;
        }
        longest = job.openings().iter().map(|o| o.drained_ml).fold(longest, f64::max);
    }
    Ok(longest)
}
