//! Values that a scenario may hold and that no vehicle or shop usually has: taken at its word, and told.

use super::model::{Tables, Unusual};
use super::quantities::{Address, At};
use super::quantity_text::plain;
use crate::keys::bounds::GAUGE;
use crate::keys::{Bound, Place, units::Dimension};
use crate::measures::{PSI, to_kpa};

/// Most places that one warning names.
const MOST_NAMED: usize = 6;

/// One value, as often as it is written.
struct Value {
    key: &'static str,
    bound: &'static Bound,
    si: f64,
    of_steps: bool,
    places: Vec<String>,
    line: Place,
}

/// Each such value that is written; the same value of several parts is told once.
pub(crate) fn found(scenario: &mut Tables) -> Vec<Unusual> {
    let all = scenario.quantities_mut().into_iter().map(|(at, bound, q)| (at, bound, q.value));
    let all: Vec<(Address, &'static Bound, f64)> = all.collect();
    let mut found: Vec<Value> = Vec::new();
    for (address, bound, si) in all {
        // Above what shops pump to, without a limit, there is a warning of its own.
        let high = bound.is(&GAUGE) && si > bound.usual.1;
        if bound.is_usual(si) || high && scenario.vehicle.gauge_limit.is_none() {
            continue;
        }
        let (key, place, line, of_steps) = match address {
            Address::Key(at, key) => {
                let written = scenario.written(at);
                if written.defaulted.contains(&key) {
                    continue;
                }
                let place = match at {
                    At::Part(i) => scenario.parts[i].name.clone(),
                    At::Supply(i) => scenario.supplies[i].name.clone(),
                    _ => format!("[{}]", written.name),
                };
                (key, place, written.line_of(key), false)
            }
            Address::Step(i, what) => {
                let line = scenario.procedure.steps.get(i).map_or(Place::Nowhere, |s| s.line);
                (what.word(), (i + 1).to_string(), line, true)
            }
        };
        match found.iter_mut().find(|v| v.key == key && v.bound.is(bound) && v.si == si) {
            Some(value) => value.places.push(place),
            None => found.push(Value { key, bound, si, of_steps, places: vec![place], line }),
        }
    }
    found.iter().map(Value::told).collect()
}

impl Value {
    fn told(&self) -> Unusual {
        let Self { key, bound, si, of_steps, ref places, line } = *self;
        let (from, to) = bound.usual;
        let told = |si| in_words(bound.dimension, si);
        let head = match (of_steps, places.len()) {
            (false, _) => "",
            (true, 1) => "step ",
            (true, _) => "steps ",
        };
        let named: Vec<&str> = places.iter().take(MOST_NAMED).map(String::as_str).collect();
        let more = match places.len().saturating_sub(MOST_NAMED) {
            0 => String::new(),
            n => format!(" and {n} more"),
        };
        let text = format!(
            "{head}{}{more}: {key} {} is unusual; {} to {} is usual: look at digits and unit, or let it stand if it is meant",
            named.join(", "),
            told(si),
            told(from),
            told(to),
        );
        Unusual { text, line }
    }
}

/// A value in the largest unit of the trade of which it holds one at least.
fn in_words(dimension: Dimension, si: f64) -> String {
    let wanted: &[&str] = match dimension {
        Dimension::Length => &["mm", "m"],
        Dimension::Volume => &["mL", "L"],
        Dimension::Time => &["s", "min", "h"],
        Dimension::Pressure => &["kPa"],
        Dimension::Temperature => &["°C"],
        Dimension::KinematicViscosity => &["mm²/s"],
        Dimension::Density => &["kg/m³"],
        Dimension::Share => &["%"],
        Dimension::Number => &[""],
    };
    let units: Vec<_> = dimension.units().filter(|u| wanted.contains(&u.name)).collect();
    let large = units.iter().rev().find(|u| u.number_from_si(si).abs() >= 1.0);
    let Some(unit) = large.or(units.first()) else { return plain(si) };
    let number = plain(unit.number_from_si(si));
    match dimension {
        Dimension::Pressure => {
            format!("{:.0} kPa ({:.1} psi)", to_kpa(si), si / PSI)
        }
        _ => format!("{number} {}", unit.name).trim_end().to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_told_in_units_of_the_trade() {
        assert_eq!(in_words(Dimension::Length, 45.0), "45 m");
        assert_eq!(in_words(Dimension::Length, 0.0045), "4.5 mm");
        assert_eq!(in_words(Dimension::Volume, 8e-4), "800 mL");
        assert_eq!(in_words(Dimension::Time, 7200.0), "2 h");
        assert_eq!(in_words(Dimension::Temperature, 253.15), "-20 °C");
        assert_eq!(in_words(Dimension::Pressure, 15e3), "15 kPa (2.2 psi)");
        assert_eq!(in_words(Dimension::Number, 1.2), "1.2");
    }
}
