//! What is done or not done: looking or counting, one pass or two, each supply.

use super::Change;
use crate::circuit::Scenario;
use crate::job::options::Options;
use crate::job::resume::Ready;
use crate::keys::quantity::Quantity;
use crate::measures::from_ml;
use crate::scenario::model::Tables;
use crate::scenario::procedure::{Action, StopRule};
use crate::study::StudyError;
use crate::study::decides::SUPPLY;
use crate::study::decides::dials::looks;

/// How a bleeder is closed.
const CLOSING: &str = "how a bleeder is closed";
/// Passes.
const PASSES: &str = "passes";

/// All that this car leaves room for: looking or counting, one pass or two, each supply.
pub(super) fn habits(
    scenario: &Scenario,
    options: &Options,
) -> Result<Vec<(&'static str, String, Change)>, StudyError> {
    let mut all = Vec::new();
    let mut add = |what, from: &str, at: &str, scenario: Scenario, supply: Option<String>| {
        let change = Change { share: 1.0, at: at.to_owned(), scenario, supply };
        all.push((what, from.to_owned(), change));
    };
    let (looking, counting) = ("looking until it is clean", "millilitres counted out by position");
    match looks(scenario) {
        true => add(CLOSING, looking, counting, counted(scenario, options)?, None),
        false => add(CLOSING, counting, looking, seen(scenario), None),
    }
    let (from, to) =
        if scenario.procedure.tasks.passes > 1 { ("two or more", 1) } else { ("one", 2) };
    if let Ok(other) = scenario.changed(|t: &mut Tables| t.procedure.tasks.passes = to) {
        add(PASSES, from, if to == 1 { "one" } else { "two" }, other, None);
    }
    let own = scenario.supply(options.supply.as_deref()).map(|s| s.name.clone());
    for supply in scenario.supplies.iter().map(|s| &s.name) {
        if own.as_ref().is_ok_and(|own| own != supply) {
            let own = own.as_deref().unwrap_or_default();
            add(SUPPLY, own, supply, scenario.clone(), Some(supply.clone()));
        }
    }
    Ok(all)
}

/// The scenario with the millilitres of its own job counted out, the first place as many as the first bleeder took.
fn counted(scenario: &Scenario, options: &Options) -> Result<Scenario, StudyError> {
    let mut procedure = scenario.procedure.clone();
    let mut job = Ready::new(scenario, options)?.sums_only().begin()?;
    for (number, step) in (1..).zip(&mut procedure.steps) {
        let before = job.openings().len();
        job.act(step, 1, number)?;
        if let Action::Open { until, .. } = &mut step.action {
            let drained_ml: f64 = job.openings()[before..].iter().map(|o| o.drained_ml).sum();
            let volume = Some(Quantity::known(from_ml(drained_ml.max(1.0))));
            *until = StopRule { volume, ..StopRule::default() };
        }
    }
    Ok(scenario.with_procedure(procedure))
}

/// The scenario with every bleeder closed as clean.
fn seen(scenario: &Scenario) -> Scenario {
    let mut procedure = scenario.procedure.clone();
    for step in &mut procedure.steps {
        if let Action::Open { until, .. } = &mut step.action {
            *until = StopRule { clean: true, ..StopRule::default() };
        }
    }
    scenario.with_procedure(procedure)
}
