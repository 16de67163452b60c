//! What a technician's own readings of a job tell: of the eye, of the car, of what to read next, and whether they
//! contradict the scenario.
//!
//! `fit` finds the likeliest values, `sample` draws around them, `smoothed` says how far the draws can be trusted,
//! `against` whether readings and scenario go together, `next` what to read next.

mod against;
mod chi_squared;
mod fit;
mod matrix;
mod next;
pub mod reading;
mod sample;
mod smoothed;
mod summary;

pub use against::{Blamed, Contradiction};
pub use next::Next;
pub use reading::{Reading, What, When};
pub use summary::{Range, Told};

use self::fit::Observed;
use self::reading::{coordinate, from_coordinate};
use super::chance::draws::stream;
use super::chance::normal;
use super::chance::unknowns::Uncertain;
use super::in_order::in_order;
use super::progress::{Nobody, Onlooker, Progress};
use super::{StudyError, for_sums};
use crate::circuit::Scenario;
use crate::job::flush;
use crate::job::options::Options;
use crate::job::record::Record;
use crate::keys::units::Dimension;
use crate::keys::worded::worded;
use crate::transport::lanes::Lanes;
use rand::RngExt;
use serde::Serialize;
use std::cell::Cell;

worded! {
    /// What the next reading is to narrow down.
    pub enum Aim {
        /// Old fluid left in the system, mL.
        OldLeft = "old left",
        /// Drained at all bleeders, mL.
        Drained = "drained",
        /// Time in the bay, s.
        BaySeconds = "bay seconds",
    }
}

impl Aim {
    fn of(self, record: &Record) -> f64 {
        match self {
            Self::OldLeft => record.left.old_ml,
            Self::Drained => record.totals.drained_ml,
            Self::BaySeconds => record.totals.bay_seconds,
        }
    }

    /// Its unit.
    pub fn unit(self) -> &'static str {
        match self {
            Self::BaySeconds => "s",
            _ => "mL",
        }
    }
}

/// Draws of the scenario as it stands, with which the readings are compared.
const BEFORE: usize = 1000;
/// The strictest eye for which lanes are many enough: they stay as many while fitting, or the answer would jump.
const STRICTEST: f64 = 0.05;
/// A quantity of which less than this share of its deviation is gone is not said to be learned.
pub const LEARNED: f64 = 0.9;

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Learned {
    /// Title as written.
    pub title: String,
    /// What was set over the values of the file, as given.
    #[serde(skip)] // told at the end, with what else the answer comes of
    pub set: Vec<String>,
    /// What the next reading is to narrow down.
    pub of: Aim,
    /// That, before and after the readings.
    pub aim: Told,
    /// Reading by reading, in the order given.
    pub readings: Vec<Compared>,
    /// Unknown by unknown, that of which most was learned first.
    pub unknowns: Vec<Unknown>,
    /// Whether the readings go together with the scenario.
    pub contradiction: Contradiction,
    /// What would narrow `of` down most, that first.
    pub next: Vec<Next>,
    /// How far the draws can be trusted.
    pub diagnostics: Diagnostics,
    /// The draws themselves, of equal weight: each unknown's share below, between 0 and 1, as [`Uncertain::draw`] takes it.
    #[serde(skip)] // bulk, for a file of its own
    pub draws: Vec<Vec<f64>>,
}

/// A reading beside what the scenario says of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Compared {
    /// Where.
    pub at: String,
    /// When.
    pub when: When,
    /// What.
    pub what: What,
    /// The figure that was read, in the unit of `what`.
    pub measured: f64,
    /// Whether it stands for at least this much.
    pub at_least: bool,
    /// What such a reading would be by the scenario, its error among it.
    #[serde(flatten)]
    pub predicted: Predicted,
    /// What would explain the difference best, if it lies outside eight in ten and anything would: an unknown, and whether it is larger than
    /// written.
    pub likely_cause: Option<Cause>,
}

/// Three quantiles.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Predicted {
    /// One in ten is less.
    pub predicted_p10: f64,
    /// Every second is less.
    pub predicted_p50: f64,
    /// Nine in ten are less.
    pub predicted_p90: f64,
}

impl Compared {
    /// Whether it lies within eight in ten.
    pub fn inside(&self) -> bool {
        let p = &self.predicted;
        (p.predicted_p10..=p.predicted_p90).contains(&self.measured)
            || self.at_least && self.measured <= p.predicted_p90
    }
}

/// What explains a reading.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cause {
    /// An unknown.
    pub quantity: String,
    /// Whether it is larger than the scenario has it.
    pub larger: bool,
}

/// What was learned of one unknown.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Unknown {
    /// Its name.
    pub quantity: String,
    /// Before and after, SI.
    #[serde(flatten)]
    pub told: Told,
    /// What is written, or stands there by default, SI.
    #[serde(skip)] // in the scenario
    pub written: f64,
    /// What it measures.
    #[serde(skip)] // values are in SI units
    pub dimension: Dimension,
}

impl Unknown {
    /// Whether enough was learned of it to be told.
    pub fn learned(&self) -> bool {
        self.told.share_of_prior < LEARNED
    }

    /// Whether it is what an eye accepts.
    pub fn is_the_eye(&self) -> bool {
        self.quantity == "threshold of clear hose"
    }
}

/// How far the draws can be trusted.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Diagnostics {
    /// k̂ of the weights' tail.
    pub pareto_k: f64,
    /// So many independent draws would tell as much.
    pub effective_draws: f64,
    /// Jobs that were run.
    pub runs: usize,
    /// Whether the draws say anything; if not, nothing was learned.
    pub resolved: bool,
    /// ln of how likely the readings were.
    pub ln_evidence: f64,
}

/// A job, its unknowns, and what is asked of each run.
struct Model<'a> {
    uncertain: &'a Uncertain,
    options: &'a Options,
    readings: &'a [Reading],
    /// Which opening of its bleeder each reading is of.
    nth: &'a [usize],
    candidates: &'a [Reading],
    aim: Aim,
}

impl Model<'_> {
    /// What the readings, the candidates (in their coordinates) and the aim are at each point.
    fn run(
        &self,
        points: &[Vec<f64>],
        progress: &Progress<'_>,
    ) -> Result<Vec<Vec<f64>>, StudyError> {
        let all = in_order(points.len(), progress, |i| {
            let drawn = self.uncertain.draw(|k| normal::share_below(points[i][k]));
            let drawn = drawn.map_err(|why| StudyError::Job(why.into()))?;
            let record = flush(&drawn, self.options)?;
            Ok::<_, StudyError>(self.outputs(&drawn, &record))
        })?;
        match all.len() == points.len() {
            true => Ok(all),
            false => Err(StudyError::Interrupted),
        }
    }

    fn outputs(&self, drawn: &Scenario, record: &Record) -> Vec<f64> {
        let of = |r: &Reading, nth: usize| {
            // A car on which the job does not come as far cannot have given it.
            r.predicted(nth, drawn, record).map_or(f64::NAN, |f| coordinate(r.what, f))
        };
        let read = self.readings.iter().zip(self.nth).map(|(r, nth)| of(r, *nth));
        let might_be = self.candidates.iter().map(|r| of(r, 0));
        read.chain(might_be).chain([self.aim.of(record)]).collect()
    }
}

fn no_such_reading(r: &Reading) -> StudyError {
    StudyError::Asked(format!(
        "\"{}\" at \"{}\" {}: this job has no such reading; read drained, seconds, gauge or colour at a bleeder as it is closed, gauge at the vessel, water or boiling at the reservoir or the wheels, level or pad wear before, and left in vessel, water or boiling at a part after",
        r.what,
        crate::harmless(&r.at),
        r.when
    ))
}

/// What readings of one job tell. Several of one bleeder are of its openings, in their order.
///
/// # Errors
/// [`StudyError`]: a reading that the job has not, nothing uncertain, a job that cannot be run.
pub fn study(
    scenario: &Scenario,
    readings: &[Reading],
    of: Aim,
    options: &Options,
    onlooker: &dyn Onlooker,
) -> Result<Learned, StudyError> {
    let uncertain = Uncertain::new(scenario, options.supply.as_deref());
    if uncertain.unknowns.is_empty() {
        return Err(StudyError::NothingUncertain);
    }
    let lanes = Some(options.lanes.unwrap_or_else(|| Lanes::count_for_threshold(STRICTEST)));
    let options = Options { lanes, ..for_sums(options) };
    let record = flush(scenario, &options)?;
    let nth: Vec<usize> = (0..readings.len())
        .map(|i| readings[..i].iter().filter(|r| same_place(r, &readings[i])).count())
        .collect();
    let candidates = next::candidates(scenario, &record, readings);
    let model = Model {
        uncertain: &uncertain,
        options: &options,
        readings,
        nth: &nth,
        candidates: &candidates,
        aim: of,
    };
    let here = model.outputs(scenario, &record);
    if let Some((r, _)) = readings.iter().zip(&here).find(|(_, f)| f.is_nan()) {
        return Err(no_such_reading(r));
    }
    let observed: Vec<Observed> = readings
        .iter()
        .map(|r| Observed { value: coordinate(r.what, r.value), sd: r.sd(), at_least: r.at_least })
        .collect();
    let progress = Progress::new(onlooker, (BEFORE + sample::DRAWS) as u64);
    let unknowns = uncertain.unknowns.len();
    let mut rng = stream(options.seed, "before the readings");
    let mut deviate = || normal::quantile(rng.random::<f64>().clamp(1e-12, 1.0 - 1e-12));
    let before: Vec<Vec<f64>> =
        (0..BEFORE).map(|_| (0..unknowns).map(|_| deviate()).collect()).collect();
    let noise: Vec<Vec<f64>> =
        (0..BEFORE).map(|_| observed.iter().map(|o| o.sd * deviate()).collect()).collect();
    let predicted = model.run(&before, &progress)?;
    let (before, predicted): (Vec<_>, Vec<_>) = (before.into_iter().zip(predicted))
        .filter(|(_, f)| f.iter().all(|f| f.is_finite()))
        .unzip();
    let runs = Cell::new(BEFORE);
    let fitted = fit::fit(&observed, unknowns, |points| {
        runs.set(runs.get() + points.len());
        model.run(points, &Progress::new(&Nobody, points.len() as u64))
    })?;
    let after = sample::sample(&observed, &fitted, options.seed, |points| {
        runs.set(runs.get() + points.len());
        model.run(points, &progress)
    })?;
    let aim_at = readings.len() + candidates.len();
    let even = vec![1.0 / before.len() as f64; before.len()];
    let told = |of: &dyn Fn(&[f64], &[f64]) -> f64| {
        let values = |u: &[Vec<f64>], f: &[Vec<f64>]| -> Vec<f64> {
            u.iter().zip(f).map(|(u, f)| of(u, f)).collect()
        };
        let was = values(&before, &predicted);
        Told::of((&was, &even), (&values(&after.u, &after.predicted), &after.weights))
    };
    let mut learned: Vec<Unknown> = uncertain
        .unknowns
        .iter()
        .enumerate()
        .map(|(k, unknown)| Unknown {
            quantity: unknown.name.clone(),
            told: told(&|u, _| unknown.value_at(normal::share_below(u[k]))),
            written: unknown.quantity.value,
            dimension: unknown.bound.dimension,
        })
        .collect();
    let contradiction = against::contradiction(&observed, readings, &predicted);
    let compared = (0..readings.len())
        .map(|i| {
            let would_be: Vec<f64> = (predicted.iter().zip(&noise))
                .map(|(f, e)| from_coordinate(readings[i].what, f[i] + e[i]))
                .collect();
            let [p10, p50, p90] = summary::quantiles(&would_be, &even);
            let r = &readings[i];
            let mut compared = Compared {
                at: r.at.clone(),
                when: r.when,
                what: r.what,
                measured: r.value,
                at_least: r.at_least,
                predicted: Predicted { predicted_p10: p10, predicted_p50: p50, predicted_p90: p90 },
                likely_cause: None,
            };
            if !compared.inside() {
                compared.likely_cause = cause(&learned, &fitted, i);
            }
            compared
        })
        .collect();
    let aim = told(&|_, f| f[aim_at]);
    let next = next::ranked(&candidates, readings.len(), &after, aim.before.sd);
    learned.sort_by(|a, b| a.told.share_of_prior.total_cmp(&b.told.share_of_prior));
    Ok(Learned {
        title: scenario.title.clone(),
        set: scenario.set.clone(),
        of,
        aim,
        readings: compared,
        unknowns: learned,
        contradiction,
        next,
        diagnostics: Diagnostics {
            pareto_k: after.trust.pareto_k,
            effective_draws: after.trust.effective_draws,
            runs: runs.get(),
            resolved: after.resolved(),
            ln_evidence: after.ln_evidence,
        },
        draws: summary::resampled(&after, options.seed)
            .into_iter()
            .map(|i| after.u[i].iter().map(|u| normal::share_below(*u)).collect())
            .collect(),
    })
}

fn same_place(a: &Reading, b: &Reading) -> bool {
    (a.what, a.when, &a.at) == (b.what, b.when, &b.at)
}

/// The unknown whose likeliest value takes the prediction of a reading farthest towards what was read.
fn cause(unknowns: &[Unknown], fitted: &fit::Fitted, reading: usize) -> Option<Cause> {
    let by = |k: usize| fitted.slopes[[reading, k]] * fitted.u[k];
    let wanted: f64 = (0..unknowns.len()).map(by).sum();
    let most = (0..unknowns.len())
        .max_by(|a, b| (by(*a) * wanted.signum()).total_cmp(&(by(*b) * wanted.signum())))?;
    // Less than half of a reading's error explains nothing.
    (by(most).abs() > 0.5)
        .then(|| Cause { quantity: unknowns[most].quantity.clone(), larger: fitted.u[most] > 0.0 })
}
