//! Spreads for a scenario that states none, each with its reason. All are estimates.

use super::unknowns::{At, any_is_written, quantities, section, section_mut, tables_of, unknowns};
use crate::scenario::model::Scenario;
use crate::scenario::quantity::{Quantity, Spread};
use crate::scenario::section::Value;

/// How far a quantity may lie from its value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Guess {
    /// Nine in ten within this share of the value, normally distributed.
    Share(f64),
    /// Nine in ten within this much (SI), normally distributed.
    Within(f64),
    /// Evenly between two ends (SI).
    Between(f64, f64),
    /// Anywhere between two ends (SI), the value the likeliest.
    Around(f64, f64),
}

/// A spread by default.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DefaultSpread {
    /// Kind of the part or supply, or name of the table.
    pub of: &'static str,
    /// Key.
    pub key: &'static str,
    /// The spread.
    pub guess: Guess,
    /// Why this much.
    pub reason: &'static str,
}

const fn spread(
    of: &'static str,
    key: &'static str,
    guess: Guess,
    reason: &'static str,
) -> DefaultSpread {
    DefaultSpread { of, key, guess, reason }
}

/// 1 psi in pascals (NIST SP 811).
const PSI: f64 = 6_894.757;

/// Every spread by default.
pub static DEFAULT_SPREADS: &[DefaultSpread] = &[
    spread("vehicle", "temperature", Guess::Within(8.0), "a bay between winter and summer"),
    spread("vehicle", "pad_wear", Guess::Between(0.0, 0.9), "cars come in with any wear"),
    spread(
        "old_fluid",
        "water",
        Guess::Share(0.4),
        "age does not tell the water: surveys find no firm link",
    ),
    spread("reservoir", "level", Guess::Share(0.08), "read off a mark through the wall"),
    spread(
        "master_cylinder",
        "volume",
        Guess::Share(0.15),
        "bore and stroke are known, dead volume is not",
    ),
    spread(
        "clear_hose",
        "threshold",
        Guess::Around(0.10, 0.40),
        "eyes, light and the fluid's colour differ",
    ),
    spread("clear_hose", "least_look", Guess::Around(2.0, 5.0), "hands and habits differ"),
    spread(
        "line",
        "bore",
        Guess::Share(0.03),
        "wall tolerance of drawn tube, 0.05 mm or so either side",
    ),
    spread("line", "length", Guess::Share(0.08), "measured along the body, not along the tube"),
    spread(
        "line",
        "remix_per_bend",
        Guess::Between(0.0, 0.3),
        "how far a bend turns fluid over is an estimate",
    ),
    spread("hose", "bore", Guess::Share(0.05), "rubber, and it widens with age"),
    spread("hose", "length", Guess::Share(0.08), "measured end to end, not along its curve"),
    spread(
        "caliper",
        "new_pads",
        Guess::Share(0.2),
        "drillings and dead room are not in any data sheet",
    ),
    spread(
        "caliper",
        "pocket",
        Guess::Around(0.0, 0.3),
        "how much lies off the way through is an estimate",
    ),
    spread("caliper", "bypass", Guess::Around(0.0, 0.1), "as is what runs straight to the bleeder"),
    spread("caliper", "seat_gap", Guess::Share(0.3), "nobody opens a bleeder screw by measure"),
    spread("wheel cylinder", "volume", Guess::Share(0.2), "as the caliper's"),
    spread("wheel cylinder", "pocket", Guess::Around(0.1, 0.5), "as the caliper's, with two cups"),
    spread("wheel cylinder", "seat_gap", Guess::Share(0.3), "as the caliper's"),
    spread("pressure bleeder", "gauge", Guess::Within(PSI), "a dial marked in single psi"),
    spread("pressure bleeder", "loaded", Guess::Share(0.02), "poured to a mark on a bottle"),
];

/// Standard deviations in the half-width that holds nine in ten of a normal distribution (any table).
const NINE_IN_TEN: f64 = 1.644_853_6;

/// The scenario with the spreads of [`DEFAULT_SPREADS`], if it states none itself; otherwise as it is.
/// Says whether any were put in. A value by default may come with a spread: that is not the scenario's, and
/// is kept.
pub fn with_default_spreads(scenario: &Scenario, supply: Option<&str>) -> (Scenario, bool) {
    let mut out = scenario.clone();
    if any_is_written(scenario, &unknowns(scenario, supply)) {
        return (out, false);
    }
    let mut any = false;
    for (at, keys) in tables_of(scenario, supply) {
        let of = kind_at(scenario, at);
        for (key, bound) in quantities(keys) {
            let Some(default) = DEFAULT_SPREADS.iter().find(|d| d.of == of && d.key == key) else {
                continue;
            };
            let Some(Value::Quantity(Quantity { value, spread: None })) =
                section(scenario, at).values.get(key)
            else {
                continue;
            };
            if let Some(spread) = default.guess.spread(*value) {
                let quantity =
                    Quantity { value: value.clamp(bound.min, bound.max), spread: Some(spread) };
                section_mut(&mut out, at).values.insert(key, Value::Quantity(quantity));
                any = true;
            }
        }
    }
    (out, any)
}

impl Guess {
    /// The spread of a quantity of this value (SI); `None` if it comes to nothing.
    fn spread(self, value: f64) -> Option<Spread> {
        let normal = |half: f64| (half > 0.0).then_some(Spread::Normal { sd: half / NINE_IN_TEN });
        match self {
            Guess::Share(share) => normal(share * value.abs()),
            Guess::Within(half) => normal(half),
            Guess::Between(low, high) => Some(Spread::Uniform { low, high }),
            Guess::Around(low, high) => {
                Some(Spread::Triangular { low: low.min(value), high: high.max(value) })
            }
        }
    }
}

fn kind_at(scenario: &Scenario, at: At) -> &str {
    match at {
        At::Part(i) => scenario.parts[i].kind,
        At::Supply(i) => scenario.supplies[i].kind,
        _ => section(scenario, at).name.as_str(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::circuit::parts;
    use crate::scenario::tables;
    use crate::supply;

    /// A misspelt entry would never be used.
    #[test]
    fn every_default_spread_is_of_a_key_that_there_is() {
        let tables = [
            tables::VEHICLE,
            tables::OLD_FLUID,
            tables::RESERVOIR,
            tables::MASTER_CYLINDER,
            tables::CLEAR_HOSE,
        ];
        for d in DEFAULT_SPREADS {
            let in_table = tables.iter().filter(|t| t.name == d.of).flat_map(|t| t.keys);
            let in_part =
                parts::KINDS.iter().filter(|k| k.spec.name == d.of).flat_map(|k| k.spec.keys);
            let in_supply = supply::KINDS.iter().filter(|k| k.name == d.of).flat_map(|k| k.keys);
            let mut keys = in_table.chain(in_part).chain(in_supply);
            assert!(keys.any(|k| k.name == d.key), "{} of {}", d.key, d.of);
        }
    }
}
