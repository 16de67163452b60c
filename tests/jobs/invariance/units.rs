//! The units in which a scenario is written have no say.

use super::cases;
use super::compare::difference_in_all;
use super::job::run_text;
use crate::common::random::{Car, car};
use proptest::prelude::*;

/// Each unit that random cars are written in, another for the same quantity, and how many of the other it is.
const OTHERS: [(&str, &str, f64); 10] = [
    ("mL", "US fl oz", 1.0 / 29.573_529_562_5),
    ("L", "mL", 1e3),
    ("m", "in", 1.0 / 0.0254),
    ("mm", "cm", 0.1),
    ("kPa", "mbar", 10.0),
    ("psi", "kPa", 6.894_757_293_168),
    ("inHg", "kPa", 3.386_388_640_341),
    ("s", "min", 1.0 / 60.0),
    ("min", "h", 1.0 / 60.0),
    ("%", "", 0.01),
];

/// A quantity in its other unit; what is none stays.
fn other(quoted: &str) -> String {
    let changed = || {
        let (number, unit) = quoted.split_once(' ')?;
        let number: f64 = number.parse().ok()?;
        let (_, unit, factor) = OTHERS.iter().find(|o| o.0 == unit)?;
        Some(format!("{} {unit}", number * factor).trim_end().to_owned())
    };
    changed().unwrap_or_else(|| quoted.to_owned())
}

/// Every text between quotes is looked at, and within a stop rule every part between commas.
fn in_other_units(text: &str) -> String {
    let pieces = text.split('"').enumerate().map(|(i, piece)| match i % 2 {
        0 => piece.to_owned(),
        _ => {
            let parts = piece.split(", ").map(|part| {
                let word = ["at least ", "at most "]
                    .into_iter()
                    .find(|w| part.starts_with(w))
                    .unwrap_or("");
                format!("{word}{}", other(&part[word.len()..]))
            });
            parts.collect::<Vec<_>>().join(", ")
        }
    });
    pieces.collect::<Vec<_>>().join("\"")
}

fn same_in_other_units(car: &Car) -> Result<(), TestCaseError> {
    let text = car.toml();
    let there = in_other_units(&text);
    prop_assert!(!there.contains(" mL\"") || there.contains("US fl oz"));
    let (a, b) = (run_text(&text)?, run_text(&there)?);
    let found = difference_in_all(&a, &b, str::to_owned, 1e-6);
    prop_assert!(found.is_none(), "{} between\n{text}\nand\n{there}", found.unwrap_or_default());
    Ok(())
}

proptest! {
    #![proptest_config(cases(100))]

    #[test]
    fn units_have_no_say(car in car()) {
        same_in_other_units(&car)?;
    }
}
