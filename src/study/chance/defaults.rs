//! Spreads of quantities for which a scenario states none, each with its reason. All are estimates.

use super::unknowns::is_unwritten;
use crate::circuit::Scenario;
use crate::fluid::reading::OFF;
use crate::keys::quantity::{HALF_OF_90_PERCENT, Quantity};
use crate::keys::{Bound, Spread, bounds};
use crate::measures::{KPA, ML, PSI};
use crate::scenario::quantities::{Address, At};
use crate::scenario::tables::REPLACED_BY_CENTRE_VALVE;
use crate::study::modulator::is_worked;

/// How far a quantity may lie from its value, the middle of a normal distribution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Guess {
    /// Nine in ten within this share of the value.
    Share(f64),
    /// Nine in ten within this much (SI).
    Within(f64),
}

/// Where a quantity may lie of which nothing is written at all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Range {
    /// Evenly between two ends (SI).
    Between(f64, f64),
    /// Anywhere between two ends (SI), the value by default the likeliest.
    Around(f64, f64),
}

/// A spread by default.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DefaultSpread {
    /// Kind of the part or supply, or name of the table.
    pub of: &'static str,
    /// Key.
    pub key: &'static str,
    /// Around a value that is written without a spread: the value stays the middle.
    pub guess: Guess,
    /// In place of that where no value is written.
    pub unwritten: Option<Range>,
    /// Why this much.
    pub reason: &'static str,
}

impl DefaultSpread {
    const fn since(self, reason: &'static str) -> Self {
        Self { reason, ..self }
    }

    /// Who writes such a value knows more than the range over all vehicles says, though not exactly.
    const fn unwritten(self, range: Range) -> Self {
        Self { unwritten: Some(range), ..self }
    }
}

const fn spread(of: &'static str, key: &'static str, guess: Guess) -> DefaultSpread {
    DefaultSpread { of, key, guess, unwritten: None, reason: "" }
}

/// Around an estimate that is written: half of it either way. That grows with the value, so that a strict eye
/// stays strict, and 20 % of old fluid may be 10 to 30 % to another eye.
const HALF: Guess = Guess::Share(0.5);

/// Every spread by default.
pub static DEFAULT_SPREADS: &[DefaultSpread] = &[
    spread("vehicle", "temperature", Guess::Within(8.0)).since("a bay between winter and summer"),
    spread("vehicle", "pad_wear", WEAR_BY_EYE)
        .unwritten(Range::Between(0.0, 0.9))
        .since("cars come in with any wear; what is written was judged through the wheel"),
    spread("old_fluid", "water", Guess::Share(OFF))
        .since("age does not tell the water: surveys find no firm link"),
    spread("old_fluid", "water_reservoir", Guess::Share(OFF)).since("as all old fluid's"),
    spread("old_fluid", "water_wheel_brakes", Guess::Share(OFF)).since("as all old fluid's"),
    spread("reservoir", "level", Guess::Share(0.08)).since("read off a mark through the wall"),
    spread("reservoir", "pocket", HALF).unwritten(Range::Around(0.0, 0.5)).since(
        "the jet that comes in turns over what lies below it; how much stands behind baffles and a float is an estimate",
    ),
    spread("reservoir", "pocket_exchange", HALF)
        .unwritten(Range::Around(0.02, 0.5))
        .since("as is what these corners trade"),
    spread("reservoir", "bypass", HALF)
        .unwritten(Range::Around(0.0, 0.4))
        .since("the jet may reach an outlet before it has mixed"),
    spread("master_cylinder", "volume", Guess::Share(0.15))
        .since("bore and stroke are known, dead volume is not"),
    spread("master_cylinder", "compensating_port_length", HALF)
        .unwritten(Range::Around(0.5e-3, 3e-3))
        .since("how deep the thin part of the port goes is an estimate"),
    spread("clear_hose", "length", Guess::Share(0.1))
        .unwritten(Range::Around(0.3, 1.2))
        .since("hoses are cut to any length"),
    spread("clear_hose", "end_above", Guess::Within(0.1))
        .unwritten(Range::Around(-0.35, 0.35))
        .since("bottles stand on the floor or hang above the bleeder"),
    spread("clear_hose", "threshold", HALF)
        .unwritten(Range::Around(0.10, 0.40))
        .since("eyes, light and the fluid's colour differ"),
    spread("clear_hose", "least_look", HALF)
        .unwritten(Range::Around(2.0, 5.0))
        .since("hands and habits differ"),
    spread("line", "bore", Guess::Share(0.03))
        .since("wall tolerance of drawn tube, 0.05 mm or so either side"),
    spread("line", "length", Guess::Share(0.08))
        .since("measured along the body, not along the tube"),
    spread("line", "remix_per_bend", HALF)
        .unwritten(Range::Between(0.0, 0.3))
        .since("how far a bend turns fluid over is an estimate"),
    spread("hose", "bore", Guess::Share(0.05)).since("rubber, and it widens with age"),
    spread("hose", "length", Guess::Share(0.08)).since("measured end to end, not along its curve"),
    spread("caliper", "new_pads", Guess::Share(0.2))
        .since("drillings and dead room are not in any data sheet"),
    spread("caliper", "pad_wear", WEAR_BY_EYE).since("as the vehicle's"),
    spread("caliper", "pocket", HALF)
        .unwritten(Range::Around(0.0, 0.3))
        .since("how much lies off the way through is an estimate"),
    spread("caliper", "bypass", HALF)
        .unwritten(Range::Around(0.0, 0.1))
        .since("as is what runs straight to the bleeder"),
    spread("caliper", "bleeder_hole_length", Guess::Share(0.2))
        .unwritten(Range::Around(15e-3, 30e-3))
        .since("screws are of several lengths"),
    spread("caliper", "seat_gap", Guess::Share(0.3))
        .since("nobody opens a bleeder screw by measure"),
    spread("wheel cylinder", "volume", Guess::Share(0.2)).since("as the caliper's"),
    spread("wheel cylinder", "pocket", HALF)
        .unwritten(Range::Around(0.1, 0.5))
        .since("as the caliper's, with two cups"),
    spread("wheel cylinder", "bleeder_hole_length", Guess::Share(0.2))
        .unwritten(Range::Around(15e-3, 30e-3))
        .since("as the caliper's"),
    spread("wheel cylinder", "seat_gap", Guess::Share(0.3)).since("as the caliper's"),
    spread(UNIT, "passages", HALF).unwritten(Range::Around(0.3 * ML, 2.0 * ML)).since(UNPUBLISHED),
    spread(UNIT, "inlet_orifice", Guess::Share(0.3)).since(UNPUBLISHED),
    spread(UNIT, "isolation_orifice", Guess::Share(0.3)).since(UNPUBLISHED),
    spread(UNIT, "accumulator", HALF).unwritten(Range::Around(0.0, 1.0 * ML)).since(UNPUBLISHED),
    spread(UNIT, "accumulator_opens", HALF)
        .unwritten(Range::Around(0.0, 500.0 * KPA))
        .since("what a wheel on ice may keep bounds it, and friction of its seal adds to it"),
    spread(UNIT, "accumulator_exchange", HALF)
        .unwritten(Range::Between(0.0, 1.0))
        .since("whether it lies on the way through or beside it differs from unit to unit"),
    spread(UNIT, "accumulator_swept", HALF)
        .unwritten(Range::Around(1.0 * ML, 6.0 * ML))
        .since(UNPUBLISHED),
    spread(UNIT, "pump_chamber", HALF)
        .unwritten(Range::Around(0.05 * ML, 0.5 * ML))
        .since(UNPUBLISHED),
    spread(UNIT, "damper", HALF).unwritten(Range::Around(0.0, 4.0 * ML)).since(UNPUBLISHED),
    spread(UNIT, "damper_exchange", HALF)
        .unwritten(Range::Between(0.0, 1.0))
        .since("as the accumulator's: some are a dead end"),
    spread(UNIT, "cycle_volume", HALF)
        .unwritten(Range::Around(0.1 * ML, 1.5 * ML))
        .since("routines and pumps differ, and none is published"),
    spread(UNIT, "cycle_time", HALF)
        .unwritten(Range::Around(0.1, 1.0))
        .since("as what a cycle moves"),
    spread(UNIT, "suction_share", HALF)
        .unwritten(Range::Around(0.1, 1.0))
        .since("how long a routine draws and how long it lets off is not published"),
    spread("pressure bleeder", "gauge", Guess::Within(PSI)).since("a dial marked in single psi"),
    spread("pressure bleeder", "loaded", Guess::Share(0.02)).since("poured to a mark on a bottle"),
];

const UNIT: &str = "hydraulic modulator";
/// Of a unit's rooms and bores.
const UNPUBLISHED: &str = "no published figure was found";

/// Pads judged through the wheel: 15 points of wear either way.
const WEAR_BY_EYE: Guess = Guess::Within(0.15);

/// The spread by default of a quantity of this value (SI) that stands there without one; `None` if there is
/// none, or it comes to nothing.
pub(super) fn by_default(
    scenario: &Scenario,
    place: Address,
    bound: &'static Bound,
    value: f64,
) -> Option<Spread> {
    let (of, key) = of_and_key(scenario, place, bound)?;
    if means_nothing(scenario, place) {
        return None;
    }
    let default = DEFAULT_SPREADS.iter().find(|d| d.of == of && d.key == key)?;
    match default.unwritten {
        Some(range) if is_unwritten(scenario, place) => Some(range.spread(value)),
        _ => default.guess.spread(value),
    }
}

/// Whether a key means nothing as its table and the procedure stand: to draw it would change nothing.
fn means_nothing(scenario: &Scenario, place: Address) -> bool {
    match place {
        Address::Key(At::Part(i), key) => {
            let part = &scenario.parts[i].kind;
            let worked = || is_worked(scenario) == Some(true);
            part.idle().iter().any(|(idle, _)| *idle == key)
                || (part.only_worked().contains(&key) && !worked())
        }
        Address::Key(At::MasterCylinder, key) => {
            scenario.master_cylinder.centre_valve.is_some()
                && REPLACED_BY_CENTRE_VALVE.contains(&key)
        }
        _ => false,
    }
}

/// Half the width within which nine in ten such quantities lie (SI), as stated or by default; 0 of what is exact or of which
/// nothing is known.
pub(in crate::study) fn usual_half(
    scenario: &Scenario,
    place: Address,
    bound: &'static Bound,
    held: &Quantity,
) -> f64 {
    let spread = held.spread.or_else(|| by_default(scenario, place, bound, held.value));
    Quantity { spread, ..*held }.half_width()
}

/// Kind of the part or supply, or name of the table; and the key. A stop rule's threshold is as good as
/// the clear hose's: one eye judges both.
fn of_and_key<'s>(
    scenario: &'s Scenario,
    place: Address,
    bound: &'static Bound,
) -> Option<(&'s str, &'static str)> {
    match place {
        Address::Key(At::Part(i), key) => Some((scenario.parts[i].word(), key)),
        Address::Key(At::Supply(i), key) => Some((scenario.supplies[i].kind.word(), key)),
        Address::Key(at, key) => Some((scenario.written(at).name.as_str(), key)),
        Address::Step(..) if bound.is(&bounds::THRESHOLD) => Some(("clear_hose", "threshold")),
        Address::Step(..) => None,
    }
}

impl Guess {
    fn spread(self, value: f64) -> Option<Spread> {
        let half = match self {
            Self::Share(share) => share * value.abs(),
            Self::Within(half) => half,
        };
        (half > 0.0).then_some(Spread::Normal { sd: half / HALF_OF_90_PERCENT })
    }
}

impl Range {
    fn spread(self, value: f64) -> Spread {
        match self {
            Self::Between(low, high) => Spread::Uniform { low, high },
            Self::Around(low, high) => {
                Spread::Triangular { low: low.min(value), high: high.max(value) }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::keys::table::keys_in;
    use crate::scenario::tables;
    use crate::{parts, supply};

    /// What a unit's rooms trade moves nothing unless it is worked, its isolation valve nothing without ESC.
    #[test]
    fn what_means_nothing_is_not_drawn() {
        let text = |name: &str| {
            let path = format!("{}/scenarios/{name}.toml", env!("CARGO_MANIFEST_DIR"));
            std::fs::read_to_string(path).unwrap()
        };
        let drawn = |text: &str| -> Vec<&str> {
            let scenario = crate::read(text, "car").unwrap();
            let unknowns = super::super::unknowns::Uncertain::new(&scenario, None).unknowns;
            let of = |key: &&str| {
                let name = format!("{} of unit", key.replace('_', " "));
                unknowns.iter().any(|u| u.name.starts_with(&name))
            };
            let unit = scenario.parts.iter().find(|p| p.word() == UNIT).unwrap();
            keys_in(&mut *unit.kind.clone()).into_iter().map(|k| k.name).filter(of).collect()
        };
        let rooms = ["passages", "inlet_orifice", "isolation_orifice", "accumulator"];
        assert_eq!(
            drawn(&text("saloon-esc-plain-flush")),
            [&rooms[..], &["pump_chamber", "damper"]].concat()
        );
        let worked = text("saloon-esc-with-routine");
        assert_eq!(drawn(&worked).len(), 13);
        let without = worked.replace("esc = true", "esc = false, damper = \"0 mL\"");
        let gone = ["isolation_orifice", "damper_exchange", "suction_share", "damper"];
        let left = drawn(&without);
        assert!(left.len() == 9 && gone.iter().all(|key| !left.contains(key)), "{left:?}");
    }

    /// A misspelt entry would never be used.
    #[test]
    fn every_default_spread_is_of_a_key_that_there_is() {
        let tables = tables::TABLES.iter().map(|t| (t.name, (t.keys)()));
        let parts = parts::Kind::all().iter().map(|k| (k.spec().name, keys_in(&mut *k.clone())));
        let supplies = supply::Kind::all().iter().map(|k| (k.word(), keys_in(&mut *k.clone())));
        let all: Vec<_> = tables.chain(parts).chain(supplies).collect();
        for d in DEFAULT_SPREADS {
            let is = |(of, keys): &(&str, Vec<crate::keys::Key>)| {
                *of == d.of && keys.iter().any(|k| k.name == d.key)
            };
            assert!(all.iter().any(is), "{} of {}", d.key, d.of);
            assert!(!d.reason.is_empty(), "{} of {}", d.key, d.of);
        }
    }
}
