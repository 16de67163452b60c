//! What pressure changes in a sweep, and what it does not.

use super::{Point, comparable};
use crate::circuit::Scenario;
use crate::job::flush;
use crate::job::options::Options;
use crate::job::record::{Numerics, Record};
use crate::keys::{Form, Quantity, Role, Slot, bounds, quantities};
use crate::measures::from_kpa;
use crate::scenario::model::Tables;
use crate::scenario::procedure::Action;
use crate::study::difference::Difference;
use crate::study::pressures::gauge::at_gauge;
use crate::study::progress::Progress;
use crate::supply::pressure_bleeder::FeedHoseHolds;
use rayon::prelude::*;
use serde::Serialize;

/// What the gauge pressure changes, over the points of the sweep whose job ran to its end.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Changes {
    /// Lowest gauge compared, kPa.
    pub from_kpa: f64,
    /// Highest gauge compared, kPa.
    pub to_kpa: f64,
    /// Time with a bleeder open at the lowest and at the highest gauge, s.
    pub flow_seconds: [f64; 2],
    /// Whether these two can be told apart.
    pub flow_seconds_told_apart: bool,
    /// What is drained.
    pub drained: Change,
    /// Old fluid left.
    pub old_left: Change,
    /// What makes the millilitres change, as far as it can be taken out and the jobs run without it.
    pub because: Vec<Cause>,
    /// What else in the scenario depends on the rate of flow.
    pub rate_dependent: Vec<&'static str>,
    /// New fluid used: what is drained and what stands higher in the reservoir at the end.
    pub new_fluid: Change,
}

/// How far a figure differs within the sweep.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Change {
    /// The least of it, mL.
    pub least_ml: f64,
    /// The gauge at which it is least, kPa.
    pub least_at_kpa: f64,
    /// The most of it, mL.
    pub most_ml: f64,
    /// The gauge at which it is most, kPa.
    pub most_at_kpa: f64,
    /// Most less least, mL.
    pub difference_ml: f64,
    /// How far that may be off through the computation, mL; `None` if not estimated.
    pub unsure_ml: Option<f64>,
    /// Whether the difference is larger than that.
    pub told_apart: bool,
}

/// Something through which pressure changes millilitres, and what is left of the difference without it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cause {
    /// What it is: [`AIR`], [`POCKETS`] or [`BOTH`].
    pub what: &'static str,
    /// The figure: `drained_ml` or `left_old_ml`.
    pub of: &'static str,
    /// The difference between the same two gauges without it, mL (most less least as above).
    pub without_ml: f64,
    /// How far that may be off through the computation, mL; `None` if not estimated.
    pub unsure_ml: Option<f64>,
    /// Whether a difference remains that is larger than that.
    pub told_apart: bool,
}

/// Pressure squeezes the air under the reservoir's cap: more fluid then stands in the reservoir, and what
/// is in there thins more slowly.
pub const AIR: &str = "air under the cap";
/// Pockets that trade fluid by time have less of it when the flow is fast.
pub const POCKETS: &str = "pockets that trade by time";
/// Both of these.
pub const BOTH: &str = "air under the cap and pockets that trade by time";

/// A figure of a job with its error, mL.
type Figure = (f64, Option<f64>);

fn drained(p: &Point) -> Figure {
    (p.totals.drained_ml, p.numerics.drained_error_ml)
}

fn new_fluid(p: &Point) -> Figure {
    (p.totals.new_fluid_ml, p.numerics.new_fluid_error_ml)
}

fn old_left(p: &Point) -> Figure {
    (p.left.old_ml, p.numerics.old_left_error_ml)
}

/// Compares the points of a sweep; `None` if fewer than two of them ran to their end.
///
/// Nothing is taken for granted: whether millilitres change is judged by [`Difference`] with the errors
/// that each job states. Where they do, the two jobs that differ most are run again without what may be at work:
/// without air under the cap (as if the brim lay at the fluid's surface and the feed hose were full), without
/// the exchange of pockets by time. What then remains of the difference is the evidence.
///
/// # Errors
/// If such a job cannot be run.
pub(super) fn changes(
    scenario: &Scenario,
    supply: &str,
    points: &[Point],
    options: &Options,
    progress: &Progress<'_>,
) -> Result<Option<Changes>, crate::job::error::JobError> {
    let swept: Vec<&Point> = points.iter().filter(|p| p.swept && comparable(p)).collect();
    let (Some(first), Some(last)) = (swept.first(), swept.last()) else { return Ok(None) };
    let (Some(from_kpa), Some(to_kpa)) = (first.gauge_kpa, last.gauge_kpa) else { return Ok(None) };
    if swept.len() < 2 {
        return Ok(None);
    }
    let (drained, old_left) = (change(&swept, drained), change(&swept, old_left));
    let because = if drained.told_apart {
        causes(scenario, supply, "drained_ml", &drained, options, progress)?
    } else if old_left.told_apart {
        causes(scenario, supply, "left_old_ml", &old_left, options, progress)?
    } else {
        Vec::new()
    };
    Ok(Some(Changes {
        from_kpa,
        to_kpa,
        flow_seconds: [first.totals.flow_seconds, last.totals.flow_seconds],
        flow_seconds_told_apart: seconds_told_apart(first, last),
        drained,
        old_left,
        because,
        rate_dependent: rate_dependent(scenario, &swept),
        new_fluid: change(&swept, new_fluid),
    }))
}

fn change(swept: &[&Point], of: fn(&Point) -> Figure) -> Change {
    let by = |a: &&&Point, b: &&&Point| of(a).0.total_cmp(&of(b).0);
    // There are two points at least.
    let least = swept.iter().min_by(by).copied().unwrap_or(swept[0]);
    let most = swept.iter().rev().max_by(by).copied().unwrap_or(swept[0]);
    let difference = Difference::new(of(least), of(most));
    Change {
        least_ml: of(least).0,
        least_at_kpa: least.gauge_kpa.unwrap_or(0.0),
        most_ml: of(most).0,
        most_at_kpa: most.gauge_kpa.unwrap_or(0.0),
        difference_ml: difference.ml,
        unsure_ml: finite(difference.unsure_ml),
        told_apart: difference.told_apart(),
    }
}

fn finite(x: f64) -> Option<f64> {
    x.is_finite().then_some(x)
}

/// A job's time is off by as much as its millilitres, at its mean flow.
fn seconds_told_apart(a: &Point, b: &Point) -> bool {
    let unsure = |p: &Point| {
        let share = p.numerics.drained_error_ml? / p.totals.drained_ml;
        share.is_finite().then_some(share * p.totals.flow_seconds)
    };
    let difference = (a.totals.flow_seconds - b.totals.flow_seconds).abs();
    // A second that nobody would notice counts as none.
    unsure(a).zip(unsure(b)).is_some_and(|(x, y)| difference > (x + y).max(1.0))
}

/// Runs the two jobs again without each thing that may be at work, and without all of them.
fn causes(
    scenario: &Scenario,
    supply: &str,
    of: &'static str,
    change: &Change,
    options: &Options,
    progress: &Progress<'_>,
) -> Result<Vec<Cause>, crate::job::error::JobError> {
    let airless = |of: &Scenario| of.changed(|tables| without_air(tables, supply));
    let mut ways: Vec<(&'static str, Scenario)> = vec![(AIR, airless(scenario)?)];
    let mut found = false;
    let steady = scenario.changed(|tables| found = without_pocket_times(tables))?;
    if found {
        ways.push((BOTH, airless(&steady)?));
        ways.insert(1, (POCKETS, steady));
    }
    progress.more(ways.len() as u64);
    let figure = |r: &Record| -> Figure {
        let Numerics { drained_error_ml, old_left_error_ml, .. } = r.numerics;
        match of {
            "drained_ml" => (r.totals.drained_ml, drained_error_ml),
            _ => (r.left.old_ml, old_left_error_ml),
        }
    };
    let run = |(what, changed): &(&'static str, Scenario)| {
        if !progress.goes_on() {
            return Ok(None);
        }
        let at = |kpa: f64| flush(&at_gauge(changed, supply, from_kpa(kpa))?, options);
        let (least, most) = rayon::join(|| at(change.least_at_kpa), || at(change.most_at_kpa));
        let difference = Difference::new(figure(&least?), figure(&most?));
        progress.finished(1);
        Ok(Some(Cause {
            what,
            of,
            without_ml: difference.ml,
            unsure_ml: finite(difference.unsure_ml),
            told_apart: difference.told_apart(),
        }))
    };
    let done: Vec<Result<Option<Cause>, _>> = ways.par_iter().map(run).collect();
    done.into_iter().filter_map(Result::transpose).collect()
}

/// No air space above the fluid, none in the feed hose.
fn without_air(tables: &mut Tables, supply: &str) {
    tables.reservoir.brim = Quantity::known(bounds::RESERVOIR.min);
    if let Some(vessel) = tables.supply_mut(Some(supply)).ok().and_then(|s| s.kind.vessel_mut()) {
        vessel.feed_hose_holds = FeedHoseHolds::NewFluid;
    }
}

/// Pockets trade only while fluid flows; false if they do already.
fn without_pocket_times(tables: &mut Tables) -> bool {
    let mut found = false;
    for (_, _, table) in tables.tables_mut() {
        let pocket =
            quantities(table).iter().any(|(_, b, q)| b.is(&bounds::POCKET) && q.value > 0.0);
        table.each(&mut |key, slot| match (key.form, slot) {
            (Form::Quantity(b), Slot::Maybe(time)) if b.is(&bounds::POCKET_TIME) && pocket => {
                found |= time.take().is_some();
            }
            _ => {}
        });
    }
    found
}

/// What in the procedure or the circuit depends on the rate of flow and cannot be taken out.
fn rate_dependent(scenario: &Scenario, swept: &[&Point]) -> Vec<&'static str> {
    let steps = || scenario.procedure.steps.iter().map(|s| &s.action);
    let by_time = steps().any(|a| matches!(a, Action::Open { until, .. } if until.time.is_some()));
    let together =
        steps().any(|a| matches!(a, Action::Open { bleeders, .. } if bleeders.len() > 1));
    let worked = steps()
        .any(|a| matches!(a, Action::WorkModulator { bleeders, .. } if !bleeders.is_empty()));
    let loops = scenario
        .parts
        .iter()
        .any(|p| p.to.is_some() || p.from.len() > 1 || p.role() == Role::HalvedCaliper);
    let looked_at = swept.iter().any(|p| !p.least_look_binds.is_empty());
    [
        (looked_at, "bleeders that stay open until they have been looked at for `least_look`"),
        (by_time, "a bleeder closed by the clock"),
        (together, "bleeders open together, which share the flow otherwise when it is fast"),
        (loops, "parallel paths, which share the flow otherwise when it is fast"),
        (worked, "a modulator that works by the clock while bleeders are open"),
    ]
    .into_iter()
    .filter_map(|(there, what)| there.then_some(what))
    .collect()
}
