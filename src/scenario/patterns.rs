//! How a quantity's text looks, as patterns for the JSON Schema.
//!
//! They take what the reader takes, but for full stops and spaces inside a unit's name (`p.s.i.`).

use serde_json::{Map, Value, json};

use super::amounts::{SHAPES, SPREAD_KEYS};
use crate::keys::units::{Dimension, Unit};

/// Name of a dimension's definition in the schema.
pub(crate) fn def_name(d: Dimension) -> &'static str {
    match d {
        Dimension::Length => "length",
        Dimension::Volume => "volume",
        Dimension::Pressure => "pressure",
        Dimension::Temperature => "temperature",
        Dimension::Time => "time",
        Dimension::KinematicViscosity => "kinematic-viscosity",
        Dimension::Density => "density",
        Dimension::Share => "share",
        Dimension::Number => "number",
    }
}

/// A pattern that takes a unit's spellings whatever their case.
fn unit_pattern(unit: &Unit) -> String {
    let spelling = |name: &str| -> String {
        name.chars()
            .map(|c| match c {
                ' ' => r"[\s.]*".to_owned(),
                '²' => r"(\^?2|²)".to_owned(),
                '³' => r"(\^?3|³)".to_owned(),
                '°' => "[°º˚]".to_owned(),
                c if c.is_ascii_alphabetic() => {
                    format!("[{}{}]", c.to_ascii_lowercase(), c.to_ascii_uppercase())
                }
                c => c.to_string(),
            })
            .collect()
    };
    let all: Vec<_> = std::iter::once(&unit.name).chain(unit.also).map(|n| spelling(n)).collect();
    all.join("|")
}

/// The pattern of a quantity's text: number, unit, and a spread after `±`.
fn quantity_pattern(d: Dimension) -> String {
    const NUMBER: &str = r"[-+−]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?(\s*/\s*[0-9]+)?";
    let named: Vec<_> = d.units().filter(|u| !u.name.is_empty()).map(unit_pattern).collect();
    let plain = d.units().any(|u| u.name.is_empty());
    let unit = format!("({})", named.join("|"));
    let sign = r"(±|\+/-|\+-)";
    match (named.is_empty(), plain) {
        (true, _) => format!(r"^\s*{NUMBER}\s*({sign}\s*{NUMBER}\s*%?\s*)?$"),
        (_, true) => format!(r"^\s*{NUMBER}\s*{unit}?\s*({sign}\s*{NUMBER}\s*{unit}?\s*)?$"),
        (_, false) => format!(
            r"^\s*{NUMBER}\s*({unit}\s*({sign}\s*{NUMBER}\s*({unit}|%)?\s*)?|{sign}\s*{NUMBER}\s*{unit}\s*)$"
        ),
    }
}

/// The forms in which a quantity of this dimension may be written.
pub(crate) fn quantity(d: Dimension) -> Value {
    let text = json!({"type": "string", "pattern": quantity_pattern(d), "examples": [d.example()]});
    let mut forms = vec![text.clone()];
    if matches!(d, Dimension::Share | Dimension::Number) {
        forms.push(json!({"type": "number"}));
    }
    let mut properties = Map::new();
    for key in SPREAD_KEYS {
        let value = match key {
            "shape" => json!({"enum": SHAPES}),
            _ => text.clone(),
        };
        properties.insert(key.into(), value);
    }
    forms.push(json!({
        "type": "object",
        "properties": properties,
        "additionalProperties": false,
        "required": ["value", "shape"],
        "anyOf": [{"required": ["from", "to"]}, {"required": ["sd"]}],
    }));
    json!({"anyOf": forms})
}
