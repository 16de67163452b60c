//! What decides on one car: each thing that a shop may do otherwise, or find otherwise, from one end of what is usual to the
//! other, and what that does to the fluid a job takes and to the old fluid it leaves.

use super::orders::{self, Orders};
use super::pressures::at_gauge;
use super::progress::{Nobody, Onlooker, Progress};
use super::syringe::syringe;
use super::{StudyError, for_sums};
use crate::circuit::Scenario;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::resume::{Ready, Sums};
use crate::keys::Place;
use crate::keys::bounds::{Bound, GAUGE, THRESHOLD};
use crate::keys::quantity::Quantity;
use crate::measures::{ZERO_CELSIUS_K, to_celsius, to_kpa, to_ml};
use crate::scenario::model::Tables;
use crate::scenario::procedure::{Action, Step};
use rayon::prelude::*;
use serde::Serialize;

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
}

/// One thing from one end of what is usual to the other.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lever {
    /// What was changed.
    pub what: &'static str,
    /// Where it takes least fluid or, if it is counted, leaves least old fluid.
    pub least: End,
    /// Where it takes or leaves most.
    pub most: End,
    /// By how much the fluid differs between the two, mL.
    pub fluid_ml: f64,
    /// By how much the old fluid left differs between any two of what was tried, mL.
    pub old_left_ml: f64,
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
}

/// What is tried last.
pub const ORDER: &str = "order of the bleeders";

/// Between which temperatures a job is done, K: an unheated shop in winter, a yard in summer (estimates).
const TEMPERATURES_K: (f64, f64) = (ZERO_CELSIUS_K + 5.0, ZERO_CELSIUS_K + 35.0);
/// What different eyes call clean, as old fluid seen (estimates: the program's own range for an eye that nobody tested).
const EYES: (f64, f64) = (0.10, 0.30);

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
/// [`StudyError`].
pub fn study(
    scenario: &Scenario,
    options: &Options,
    onlooker: &dyn Onlooker,
) -> Result<Decides, StudyError> {
    let sums = for_sums(options);
    let variants = variants(scenario, &sums);
    let progress = Progress::new(onlooker, variants.len() as u64 + 1);
    let own_sums = run(scenario, &sums)?;
    let (own, counted) = (End::of("as it is".to_owned(), &own_sums), !looks(scenario));
    let ends: Result<Vec<Option<End>>, JobError> = variants
        .par_iter()
        .map(|v| {
            let supply = v.supply.clone().or_else(|| sums.supply.clone());
            let sums = run(&v.scenario, &Options { supply, ..sums.clone() })?;
            progress.finished(1);
            Ok((!sums.stopped).then(|| End::of(v.at.clone(), &sums)))
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
        let ends = group.iter().map(|(_, end)| end).chain([&own]);
        levers.extend(lever(group[0].0, ends, counted));
    }
    levers.extend(order(scenario, options, &own_sums, counted)?);
    progress.finished(1);
    let moved = |l: &Lever| if counted { l.old_left_ml } else { l.fluid_ml };
    levers.sort_by(|a, b| moved(b).total_cmp(&moved(a)));
    Ok(Decides { own, counted, levers, stopped })
}

impl End {
    fn of(at: String, sums: &Sums) -> Self {
        Self {
            at,
            fluid_ml: sums.gone_ml(),
            old_left_ml: sums.left_old_ml,
            bay_seconds: sums.bay_seconds,
        }
    }
}

/// What lies between the ends of what was tried.
fn lever<'a>(
    what: &'static str,
    ends: impl Iterator<Item = &'a End> + Clone,
    counted: bool,
) -> Option<Lever> {
    let fluid = |e: &End| e.fluid_ml;
    let left = |e: &End| e.old_left_ml;
    let of = |e: &End| if counted { left(e) } else { fluid(e) };
    let least = ends.clone().min_by(|a, b| of(a).total_cmp(&of(b)))?;
    let most = ends.clone().max_by(|a, b| of(a).total_cmp(&of(b)))?;
    let between = |of: &dyn Fn(&End) -> f64| {
        let all = || ends.clone().map(of);
        all().fold(f64::NEG_INFINITY, f64::max) - all().fold(f64::INFINITY, f64::min)
    };
    Some(Lever {
        what,
        fluid_ml: between(&fluid),
        old_left_ml: between(&left),
        least: least.clone(),
        most: most.clone(),
    })
}

/// The order: all of them, by the scenario's own stop rules.
fn order(
    scenario: &Scenario,
    options: &Options,
    own: &Sums,
    counted: bool,
) -> Result<Option<Lever>, StudyError> {
    let answer: Orders =
        match orders::study(scenario, &orders::Question::default(), options, &Nobody) {
            Ok(answer) => answer,
            Err(StudyError::TooMuch(_)) => return Ok(None),
            Err(why) => return Err(why),
        };
    let ends: Vec<End> = (answer.orders.iter().filter(|s| !s.stopped))
        .map(|s| End {
            at: s.order.join(", "),
            fluid_ml: s.drained_ml + own.removed_ml,
            old_left_ml: s.left_old_ml,
            bay_seconds: own.bay_seconds,
        })
        .collect();
    Ok(if ends.len() > 1 { lever(ORDER, ends.iter(), counted) } else { None })
}

/// Runs a scenario's own procedure.
fn run(scenario: &Scenario, options: &Options) -> Result<Sums, JobError> {
    let mut job = Ready::new(scenario, options)?.begin()?;
    for ((pass, number), step) in scenario.procedure.in_turn() {
        job.act(step, pass, number)?;
    }
    Ok(job.sums())
}

/// Everything that is tried, what belongs together in a row; what a car cannot be is left out.
fn variants(scenario: &Scenario, options: &Options) -> Vec<Variant> {
    let mut all = Vec::new();
    let mut add = |what, at: String, change: &dyn Fn(&mut Tables)| {
        if let Ok(scenario) = scenario.changed(|t| change(t)) {
            all.push(Variant { what, at, scenario, supply: None });
        }
    };
    let percent = |x: f64| format!("{:.0} %", 100.0 * x);
    let within = |x: f64, bound: &Bound| x.clamp(bound.min, bound.max);
    if looks(scenario) {
        for eye in [EYES.0, EYES.1].map(|x| within(x, &THRESHOLD)) {
            add("what the eye accepts", format!("{} old", percent(eye)), &|t| accept(t, eye));
        }
    }
    let reservoir = &scenario.circuit().reservoir;
    for (mark, level) in [("MIN", reservoir.min_m3), ("MAX", reservoir.max_m3)] {
        add("level of the reservoir", format!("at {mark}"), &|t| {
            t.reservoir.level = Quantity::known(level);
        });
    }
    for wear in [0.0, 1.0] {
        add("wear of the pads", percent(wear), &|t| t.vehicle.pad_wear = Quantity::known(wear));
    }
    for kelvin in [TEMPERATURES_K.0, TEMPERATURES_K.1] {
        add("temperature", format!("{:.0} °C", to_celsius(kelvin)), &|t| {
            t.vehicle.temperature = Quantity::known(kelvin);
        });
    }
    if let Some((leave, level)) = syringe(scenario) {
        let at = format!("down to {:.0} mL first", to_ml(leave));
        add("emptying the reservoir by syringe", at, &|t| syringed(t, leave, level));
    }
    let pressed = scenario.supply(options.supply.as_deref()).ok();
    if let Some(supply) = pressed.filter(|s| s.kind.vessel().is_some()) {
        let limit = scenario.vehicle.gauge_limit.map_or(GAUGE.usual.1, |q| q.value);
        for gauge in [GAUGE.usual.0, GAUGE.usual.1.min(limit)] {
            if let Ok(scenario) = at_gauge(scenario, &supply.name, gauge) {
                let at = format!("{:.0} kPa", to_kpa(gauge));
                all.push(Variant { what: "gauge pressure", at, scenario, supply: None });
            }
        }
    }
    for supply in &scenario.supplies {
        all.push(Variant {
            what: "supply",
            at: supply.name.clone(),
            scenario: scenario.clone(),
            supply: Some(supply.name.clone()),
        });
    }
    all
}

/// Whether a stop rule looks at the fluid.
fn looks(scenario: &Scenario) -> bool {
    let by_eye = |s: &Step| matches!(&s.action, Action::Open { until, .. } if until.clean);
    scenario.procedure.steps.iter().any(by_eye)
}

/// Lets every eye accept so much.
fn accept(t: &mut Tables, eye: f64) {
    t.clear_hose.threshold = Quantity::known(eye);
    for step in &mut t.procedure.steps {
        if let Action::Open { until, .. } = &mut step.action {
            until.threshold = None;
        }
    }
}

/// Lets the reservoir be syringed down and filled again before all else, unless a step does it.
fn syringed(t: &mut Tables, leave: f64, level: f64) {
    let steps = &mut t.procedure.steps;
    if steps.iter().any(|s| matches!(s.action, Action::Syringe { .. })) {
        return;
    }
    let known = Quantity::known;
    let first = [Action::Syringe { leave: known(leave) }, Action::TopUp { to: known(level) }];
    steps.splice(0..0, first.into_iter().map(|action| Step { line: Place::Nowhere, action }));
}
