//! A plan as the text of a scenario.

use super::car::{Candidate, Car, kept};
use crate::circuit::Scenario;
use crate::measures::to_ml;
use crate::scenario::procedure::Action;
use crate::scenario::rewrite::{with_procedure, written};
use crate::study::StudyError;

/// The scenario's text with the plan as its procedure, and nothing else changed.
pub(super) fn text(
    text: &str,
    scenario: &Scenario,
    car: &Car,
    plan: &Candidate,
    supply: Option<&str>,
) -> Result<String, StudyError> {
    let old = written(text).ok_or_else(misplaced)?;
    // Entries of the lists as written, by the number of their step: a shorthand `open` has none.
    let shorthand = scenario.procedure.steps.len() - old.steps.len();
    let first = scenario
        .procedure
        .steps
        .iter()
        .position(|s| matches!(s.action, Action::Open { .. }))
        .unwrap_or(0);
    let entry = |step: usize| match step {
        s if s < first || shorthand == 0 => old.steps.get(s),
        s => s.checked_sub(shorthand).and_then(|s| old.steps.get(s)),
    };
    let mut steps = Vec::new();
    if let (true, Some((leave, level))) = (plan.syringed, car.syringe) {
        steps.push(format!("{{ syringe = \"{} mL\" }}", ml(to_ml(leave))));
        steps.push(format!("{{ top_up = \"{} mL\" }}", ml(to_ml(level))));
    }
    let (before, between) = kept(scenario);
    for step in before {
        steps.push(entry(step).ok_or_else(misplaced)?.clone());
    }
    for (i, &(group, v)) in plan.openings.iter().enumerate() {
        if v > 0 {
            let names: Vec<String> = car.groups[group].iter().map(|b| quoted(b)).collect();
            let open = match names.as_slice() {
                [one] => one.clone(),
                several => format!("[{}]", several.join(", ")),
            };
            steps.push(format!("{{ open = {open}, until = \"{} mL\" }}", ml(car.volume_ml(v))));
        }
        if i + 1 == car.groups.len() {
            for &step in &between {
                steps.push(entry(step).ok_or_else(misplaced)?.clone());
            }
        }
    }
    let mut out = "[procedure]\n".to_owned();
    if let Some(name) = supply {
        out += &format!("supply = {}\n", quoted(name));
    }
    for (key, value) in old.keys.iter().filter(|(k, _)| supply.is_none() || k != "supply") {
        out += &format!("{key} = {value}\n");
    }
    out += "steps = [\n";
    for step in steps {
        out += &format!("    {step},\n");
    }
    out += "]\n";
    with_procedure(text, &old, &out).ok_or_else(misplaced)
}

/// That the text is not written so that a plan can be put into it.
pub(super) fn misplaced() -> StudyError {
    StudyError::Asked(
        "the plan cannot be written into this file: let its procedure stand in one piece under a \
         head `[procedure]`"
            .to_owned(),
    )
}

/// A name as a TOML string: JSON's escapes are TOML's, but for one character that JSON leaves as it is.
fn quoted(name: &str) -> String {
    serde_json::Value::from(name).to_string().replace('\u{7f}', "\\u007F")
}

/// Millilitres without the last digits of a conversion.
fn ml(ml: f64) -> String {
    ((1e6 * ml).round() / 1e6).to_string()
}
