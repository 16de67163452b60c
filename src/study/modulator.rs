//! A job in which the hydraulic modulator is worked, or is not.

use super::order::together;
use crate::circuit::Scenario;
use crate::circuit::modulator::Modulator;
use crate::keys::{Place, Quantity};
use crate::scenario::procedure::{Action, Step};

/// How long, s: after that next to nothing of what was trapped is left (docs/procedure.md, "Working the modulator").
const TIME_S: f64 = 40.0;

/// Whether the procedure works a modulator; `None` if there is none.
pub fn is_worked(scenario: &Scenario) -> Option<bool> {
    let any = scenario.procedure.steps.iter().any(works);
    (!scenario.circuit().modulators.is_empty()).then_some(any)
}

/// The scenario with its modulators worked or not. A procedure that works one already does it in its own way; in another
/// each is worked at the end, with the bleeder open that was opened last on each of its circuits, so that the supply carries
/// out what was trapped.
pub fn worked(scenario: &Scenario, worked: bool) -> Scenario {
    if is_worked(scenario).is_none_or(|already| already == worked) {
        return scenario.clone();
    }
    let mut procedure = scenario.procedure.clone();
    if worked {
        let steps = scenario.circuit().modulators.iter().map(|unit| work(scenario, unit));
        procedure.steps.extend(steps);
    } else {
        procedure.steps.retain(|step| !works(step));
    }
    scenario.with_procedure(procedure)
}

fn works(step: &Step) -> bool {
    matches!(step.action, Action::WorkModulator { .. })
}

fn work(scenario: &Scenario, unit: &Modulator) -> Step {
    let circuit = scenario.circuit();
    let opened = together(&scenario.procedure).concat();
    let mut bleeders: Vec<String> = Vec::new();
    for one in &unit.circuits {
        let behind = |name: &&String| {
            let index = circuit.bleeder(name);
            one.channels.iter().any(|c| index.is_some_and(|i| c.bleeders.contains(&i)))
        };
        let last = opened.iter().rev().find(behind).cloned();
        bleeders.extend(last.filter(|name| !bleeders.contains(name)));
    }
    let time = Quantity::known(TIME_S);
    let (modulator, channels) = (unit.name.clone(), Vec::new());
    let action = Action::WorkModulator { modulator, channels, time, pump: true, bleeders };
    Step { line: Place::Nowhere, action }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::flush;
    use crate::job::options::Options;

    fn shipped(name: &str) -> Scenario {
        let path = format!("{}/scenarios/{name}.toml", env!("CARGO_MANIFEST_DIR"));
        crate::read(&std::fs::read_to_string(path).unwrap(), name).unwrap()
    }

    fn trapped_old_ml(scenario: &Scenario) -> f64 {
        let options = Options { estimate_error: false, ..Options::default() };
        let left = flush(scenario, &options).unwrap().left;
        left.parts.iter().filter(|p| !p.reached).map(|p| p.volume_ml * p.old_fraction).sum()
    }

    #[test]
    fn working_it_carries_out_what_was_trapped() {
        let plain = shipped("saloon-esc-plain-flush");
        assert_eq!(is_worked(&plain), Some(false));
        let with = worked(&plain, true);
        assert_eq!(is_worked(&with), Some(true));
        let (before, after) = (trapped_old_ml(&plain), trapped_old_ml(&with));
        assert!(before > 4.0 && after < 0.1, "{before} {after}");
        assert_eq!(worked(&with, false).procedure, plain.procedure);
    }

    #[test]
    fn what_is_as_wanted_stays() {
        let routine = shipped("saloon-esc-with-routine");
        assert_eq!(worked(&routine, true).procedure, routine.procedure);
        let hatchback = shipped("compact-hatchback");
        assert_eq!(is_worked(&hatchback), None);
        assert_eq!(worked(&hatchback, true).procedure, hatchback.procedure);
    }
}
