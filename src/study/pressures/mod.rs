//! One job over a range of gauge pressures, and with the scenario's other supplies.

mod changes;
mod gauge;
mod static_pressure;

pub use changes::{AIR, BOTH, Cause, Change, Changes, POCKETS};
pub use gauge::at_gauge;

use super::StudyError;
use super::progress::{Onlooker, Progress};
use crate::circuit::Scenario;
use crate::job::error::JobError;
use crate::job::flush;
use crate::job::options::Options;
use crate::job::record::{
    Balance, Left, Numerics, Record, Totals, WaitedFor, Warning, WarningKind,
};
use crate::measures::{from_kpa, to_kpa};
use crate::scenario::model::{self};
use rayon::prelude::*;
use serde::Serialize;
use static_pressure::static_pressure;

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Lowest gauge pressure, Pa. `None`: 5 psi, or less where the scenario's own gauge or half its limit is.
    pub from_pa: Option<f64>,
    /// Highest gauge pressure, Pa. `None`: the vehicle's `gauge_limit`, without one 30 psi, or the
    /// scenario's own gauge where that is higher.
    pub to_pa: Option<f64>,
    /// Number of even steps from one to the other, at least 1.
    pub steps: usize,
}

/// Steps of the range if nothing else is asked for.
pub const USUAL_STEPS: usize = 6;

/// Jobs times parts that are kept in memory.
pub const MOST_KEPT: usize = 500_000;

impl Default for Question {
    fn default() -> Self {
        Self { from_pa: None, to_pa: None, steps: USUAL_STEPS }
    }
}

impl Question {
    /// Whether an end of the range was asked for.
    fn range(&self) -> bool {
        self.from_pa.is_some() || self.to_pa.is_some()
    }
}

/// The answer: the gauge pressures in rising order, then the other supplies in the order of the file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pressures {
    /// One entry a job.
    pub points: Vec<Point>,
    /// The pressure bleeder whose gauge is moved; `None` if the scenario has none.
    pub swept: Option<String>,
    /// The vehicle's limit on the gauge pressure, kPa, if it states one.
    pub limit_kpa: Option<f64>,
    /// What pressure changes; `None` if fewer than two gauges can be compared.
    pub changes: Option<Changes>,
    /// Seed. Nothing is drawn at random here.
    pub seed: u64,
    /// Whether the study was interrupted: the points are then those that were finished.
    #[serde(skip_serializing_if = "is_false")]
    pub partial: bool,
    /// Title of the scenario.
    pub title: String,
    /// What was set over the values of the file, as given.
    // Not in the JSON: the program tells it at the end, with what else the answer comes of.
    #[serde(skip)]
    pub set: Vec<String>,
    /// Whether the range was asked for, so that every point of it counts for the exit status.
    pub range_asked_for: bool,
}

#[allow(clippy::trivially_copy_pass_by_ref)] // as serde calls it
fn is_false(flag: &bool) -> bool {
    !flag
}

/// One job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Point {
    /// The supply that pushes.
    pub supply: String,
    /// Gauge pressure it is pumped to, kPa: below zero for a vacuum, `None` for a supply without a gauge.
    pub gauge_kpa: Option<f64>,
    /// Sums over the job.
    pub totals: Totals,
    /// What stays behind.
    pub left: Left,
    /// What is drained over the time with a bleeder open, mL/s.
    pub mean_flow_ml_per_s: f64,
    /// Largest Reynolds number of any opening.
    pub reynolds: f64,
    /// Highest gauge pressure on the reservoir and its cap, kPa: with every bleeder shut, so that nothing is lost on the way.
    pub cap_kpa: f64,
    /// The same on the seals of the master cylinder, kPa.
    pub master_cylinder_kpa: f64,
    /// The same on the seals at the lowest bleeder, kPa.
    pub wheel_kpa: f64,
    /// Whether the supply stands above the vehicle's limit.
    pub over_limit: bool,
    /// Whether this is the scenario's own job, as written.
    pub own: bool,
    /// Accuracy.
    pub numerics: Numerics,
    /// Warnings.
    pub warnings: Vec<Warning>,
    /// Bleeders that were closed as clean no sooner than they had been looked at for `least_look`: what they
    /// drain depends on how fast it flows.
    pub least_look_binds: Vec<String>,
    /// Whether it belongs to the range of gauges.
    pub swept: bool,
    /// Conservation.
    pub balance: Balance,
}

/// Kind of the warning that the limit is passed.
const OVER: WarningKind = WarningKind::PressureOverLimit;

impl Point {
    /// Whether a warning stops the job.
    pub fn stopped(&self) -> bool {
        self.warnings.iter().any(|w| w.stops_the_job())
    }
}

/// Whether the job ran to its end, so that its figures can be compared. Over the limit it does.
fn comparable(point: &Point) -> bool {
    !point.warnings.iter().any(|w| w.stops_the_job() && w.kind != OVER)
}

impl Pressures {
    /// Whether a job must be stopped that was asked for (exit status 3): the scenario's own, and, where a
    /// range was asked for, each gauge of it. Gauges that the program chose by itself and other
    /// supplies are there for comparison; what is wrong with them is told, and changes no exit status.
    pub fn stopped(&self) -> bool {
        let counts = |p: &Point| p.own || (self.range_asked_for && p.swept);
        self.points.iter().any(|p| counts(p) && p.stopped())
    }
}

/// What is told who asks for a range where there is none.
const NO_PRESSURE_BLEEDER: &str = "a range of gauge pressures was asked for, but the scenario has no pressure bleeder whose gauge could be moved: leave the range out, or add a supply of kind \"pressure bleeder\"";

fn wrong_way_round((from, to): (f64, f64)) -> StudyError {
    StudyError::Asked(format!(
        "the range begins at {:.1} kPa and ends below that, at {:.1} kPa: let it end at a higher gauge pressure than it begins",
        to_kpa(from),
        to_kpa(to)
    ))
}

/// A job to run.
struct Plan<'a> {
    supply: &'a model::Supply,
    gauge_pa: Option<f64>,
}

/// Runs the scenario's procedure over a range of gauge pressures and once with each other supply, side by
/// side on all threads; the answer does not depend on how many there are.
///
/// The gauge that is moved is that of the pressure bleeder which the procedure names, or else of the first one in
/// the file; without any, only the supplies are compared. The scenario's own gauge is among the points
/// where the range covers it. What moves with the gauge: [`at_gauge`]. `options.supply` counts for nothing
/// here.
///
/// # Errors
/// [`StudyError`].
pub fn study(
    scenario: &Scenario,
    question: &Question,
    options: &Options,
    onlooker: &dyn Onlooker,
) -> Result<Pressures, StudyError> {
    let swept = gauge::swept(scenario);
    let parts = scenario.parts.len().max(1);
    if question.steps > MOST_KEPT / parts {
        let most = MOST_KEPT / parts;
        return Err(StudyError::TooMuch(format!(
            "the vehicle has {parts} parts: ask for at most {most} steps"
        )));
    }
    let limit = scenario.vehicle.gauge_limit.map(|q| q.value);
    let mut plans = Vec::new();
    match swept {
        Some((supply, vessel)) => {
            let own = vessel.gauge.value;
            let gauges =
                gauge::gauges((question.from_pa, question.to_pa), question.steps, own, limit)
                    .map_err(wrong_way_round)?;
            plans.extend(gauges.into_iter().map(|g| Plan { supply, gauge_pa: Some(g) }));
        }
        None if question.range() => {
            return Err(StudyError::Asked(NO_PRESSURE_BLEEDER.to_owned()));
        }
        None => {}
    }
    let others = scenario.supplies.iter().filter(|s| swept.is_none_or(|(w, _)| w.name != s.name));
    plans.extend(others.map(|supply| Plan { supply, gauge_pa: None }));

    let progress = Progress::new(onlooker, plans.len() as u64);
    let run = |plan: &Plan<'_>| {
        if !progress.goes_on() {
            return Ok(None);
        }
        let point = point(scenario, plan, options).map_err(|why| {
            let at = plan.gauge_pa.map(|g| format!(" at {:.1} kPa", to_kpa(g)));
            StudyError::from(why).of(plan.supply.name.clone() + &at.unwrap_or_default())
        })?;
        progress.finished(1);
        Ok(Some(point))
    };
    let done: Vec<Result<Option<Point>, StudyError>> = plans.par_iter().map(run).collect();
    let points: Result<Vec<Point>, _> = done.into_iter().filter_map(Result::transpose).collect();
    let points = points?;
    let changes = match swept {
        Some((supply, _)) if !progress.stopped() => {
            let options = Options { supply: Some(supply.name.clone()), ..options.clone() };
            changes::changes(scenario, &supply.name, &points, &options, &progress)
                .map_err(|why| StudyError::from(why).of(supply.name.clone()))?
        }
        _ => None,
    };
    Ok(Pressures {
        points,
        swept: swept.map(|(s, _)| s.name.clone()),
        limit_kpa: limit.map(to_kpa),
        changes,
        seed: options.seed,
        partial: progress.stopped(),
        title: scenario.title.clone(),
        set: scenario.set.clone(),
        range_asked_for: question.range(),
    })
}

fn point(scenario: &Scenario, plan: &Plan<'_>, options: &Options) -> Result<Point, JobError> {
    let name = &plan.supply.name;
    let moved = plan.gauge_pa.map(|g| at_gauge(scenario, name, g)).transpose()?;
    let scenario = moved.as_ref().unwrap_or(scenario);
    let options = Options { supply: Some(name.clone()), ..options.clone() };
    let record = flush(scenario, &options)?;
    let as_written =
        plan.gauge_pa.is_none_or(|g| plan.supply.kind.vessel().is_some_and(|v| g == v.gauge.value));
    let own = as_written && scenario.supply(None).is_ok_and(|s| s.name == *name);
    let described = scenario.supply(Some(name)).unwrap_or(plan.supply);
    let supply = described.kind.ready();
    let drawn = || Some(supply.at_bleeder_pa()).filter(|pa| *pa < 0.0);
    let gauge_kpa = supply.set_gauge().map(|set| set.pa).or_else(drawn).map(to_kpa);
    // A step may pump it higher than it is pumped at first.
    let highest = record.supply_curve.iter().map(|p| p.gauge_kpa).fold(0.0, f64::max);
    let rest = static_pressure(scenario, supply.as_ref(), from_kpa(highest));
    let Record { openings, totals, left, balance, numerics, warnings, .. } = record;
    let looked_at = openings.iter().filter(|o| o.waited_for == Some(WaitedFor::LeastLook));
    let mut least_look_binds: Vec<String> = Vec::new();
    for name in looked_at.map(|o| &o.bleeder) {
        if !least_look_binds.contains(name) {
            least_look_binds.push(name.clone());
        }
    }
    let mean_flow_ml_per_s = match totals.flow_seconds > 0.0 {
        true => totals.drained_ml / totals.flow_seconds,
        false => 0.0,
    };
    Ok(Point {
        supply: name.clone(),
        gauge_kpa,
        mean_flow_ml_per_s,
        reynolds: openings.iter().map(|o| o.reynolds).fold(0.0, f64::max),
        cap_kpa: to_kpa(rest.cap_pa),
        master_cylinder_kpa: to_kpa(rest.master_cylinder_pa),
        wheel_kpa: to_kpa(rest.wheel_pa),
        over_limit: warnings.iter().any(|w| w.kind == OVER),
        own,
        totals,
        left,
        numerics,
        warnings,
        swept: plan.gauge_pa.is_some(),
        balance,
        least_look_binds,
    })
}
