//! Whether what somebody wants to do by hand can be done: what the reader of a file asks of a step.

use crate::circuit::Circuit;
use crate::job::error::JobError;
use crate::keys::harmless;
use crate::measures::to_ml;
use crate::scenario::procedure::Action;
use crate::scenario::quantity_text::range;

/// That something cannot be done, and why.
pub(crate) fn cannot(what: String) -> JobError {
    JobError::CannotBeDone { what }
}

/// # Errors
/// [`JobError::CannotBeDone`] if a quantity lies beyond its bound, or what is named is not there.
pub(crate) fn can_be_done(circuit: &Circuit, action: &Action) -> Result<(), JobError> {
    for (what, q) in action.clone().quantities_mut() {
        let bound = what.bound();
        if !(bound.min..=bound.max).contains(&q.value) {
            let unit = bound.dimension.units().next();
            let range = unit.map_or(String::new(), |unit| format!(": {}", range(bound, unit)));
            return Err(cannot(format!("{} is out of bounds{range}", what.word())));
        }
    }
    let reservoir = &circuit.reservoir;
    match action {
        Action::Open { bleeders, .. } if bleeders.is_empty() => {
            Err(cannot(format!("no bleeder is named: name one of {}", names(circuit))))
        }
        Action::Open { bleeders, .. } => known(circuit, bleeders),
        Action::Syringe { leave: q } | Action::TopUp { to: q } if q.value > reservoir.brim_m3 => {
            Err(cannot(format!(
                "{:.0} mL is more than the reservoir holds up to the brim ({:.0} mL)",
                to_ml(q.value),
                to_ml(reservoir.brim_m3)
            )))
        }
        Action::SetLevel { to: q } if !(reservoir.min_m3..=reservoir.max_m3).contains(&q.value) => {
            Err(cannot(format!(
                "{:.0} mL is not between MIN ({:.0} mL) and MAX ({:.0} mL)",
                to_ml(q.value),
                to_ml(reservoir.min_m3),
                to_ml(reservoir.max_m3)
            )))
        }
        Action::WorkModulator { modulator, channels, bleeders, .. } => {
            let Some(unit) = circuit.modulators.iter().find(|m| m.name == *modulator) else {
                return Err(cannot(format!("there is no modulator \"{}\"", named(modulator))));
            };
            let all = || unit.circuits.iter().flat_map(|c| &c.channels).map(|c| c.name.as_str());
            match channels.iter().find(|wanted| all().all(|name| name != wanted.as_str())) {
                Some(unknown) => Err(cannot(format!(
                    "{modulator} has no channel \"{}\"; it has: {}",
                    named(unknown),
                    all().collect::<Vec<_>>().join(", ")
                ))),
                None => known(circuit, bleeders),
            }
        }
        _ => Ok(()),
    }
}

/// # Errors
/// If a bleeder is not there, or named twice.
fn known(circuit: &Circuit, bleeders: &[String]) -> Result<(), JobError> {
    for (i, name) in bleeders.iter().enumerate() {
        if circuit.bleeder(name).is_none() {
            return Err(unknown(circuit, name));
        }
        if bleeders[..i].contains(name) {
            return Err(cannot(format!("{name} is named twice: name each bleeder once")));
        }
    }
    Ok(())
}

/// That there is no such bleeder.
pub(crate) fn unknown(circuit: &Circuit, bleeder: &str) -> JobError {
    cannot(format!(
        "there is no bleeder \"{}\"; the vehicle has: {}",
        named(bleeder),
        names(circuit)
    ))
}

fn names(circuit: &Circuit) -> String {
    circuit.bleeders.iter().map(|b| b.name.as_str()).collect::<Vec<_>>().join(", ")
}

/// A name as somebody gave it, fit to be shown.
fn named(name: &str) -> String {
    harmless::in_place(&name.chars().take(60).collect::<String>())
}
