//! JSON Schema (draft 2020-12) of the scenario file, made from the same tables as the reader.
//!
//! It is a help for editors: it knows keys, words, units and the form of every value. What only the
//! reader can tell (ranges, references, whether a stop rule can be met) it leaves to `check`.

use serde_json::{Map, Value, json};

use super::limits::LONGEST_NAME;
use super::patterns::{def_name, quantity};
use super::quantity_text;
use super::tables::{self, Fixed, Tasks};
use super::verbs::{VERBS, Verb, VerbForm};
use crate::keys::kind::Called;
use crate::keys::table::keys_in;
use crate::keys::units::Dimension;
use crate::keys::words;
use crate::keys::{Bound, Ends, Form, Key, KindSpec, LeftOut, keys_of};
use crate::parts;
use crate::supply;

/// The schema of a scenario.
pub fn schema() -> Value {
    let mut top = Map::new();
    top.insert(
        "title".into(),
        json!({"type": "string", "minLength": 1, "description": "Title of the scenario."}),
    );
    let mut required = vec!["title", "parts", "supplies", "procedure"];
    for table in tables::TABLES {
        top.insert(table.name.into(), fixed_table(table));
        if table.required {
            required.push(table.name);
        }
    }
    let entries = |description: &str, target: &str| {
        json!({
            "type": "object",
            "description": description,
            "minProperties": 1,
            "additionalProperties": {"$ref": target},
        })
    };
    top.insert(
        "like".into(),
        json!({
            "type": "object",
            "description": "Templates: keys that several parts share.",
            "additionalProperties": {"$ref": "#/$defs/template"},
        }),
    );
    top.insert("parts".into(), entries("The parts of the circuit, by name.", "#/$defs/part"));
    top.insert("supplies".into(), entries("What can push the fluid, by name.", "#/$defs/supply"));
    top.insert("procedure".into(), procedure());
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Scenario of a brake fluid flush",
        "type": "object",
        "required": required,
        "properties": top,
        "additionalProperties": false,
        "$defs": definitions(),
    })
}

fn definitions() -> Value {
    let mut defs = Map::new();
    for d in Dimension::ALL {
        defs.insert(def_name(d).into(), quantity(d));
    }
    defs.insert(
        "name".into(),
        json!({"type": "string", "minLength": 1, "maxLength": LONGEST_NAME}),
    );
    defs.insert("names".into(), json!({
        "anyOf": [
            {"$ref": "#/$defs/name"},
            {"type": "array", "minItems": 1, "uniqueItems": true, "items": {"$ref": "#/$defs/name"}},
        ],
    }));
    defs.insert("stop-rule".into(), json!({
        "type": "string",
        "pattern": "[Cc][Ll][Ee][Aa][Nn]|[0-9]",
        "examples": ["clean", "250 mL", "90 s", "clean, at least 100 mL, at most 400 mL", "clean below 5 %, hold 20 mL"],
    }));
    defs.insert("step".into(), json!({"oneOf": VERBS.iter().map(step).collect::<Vec<_>>()}));
    defs.insert("part".into(), part());
    defs.insert(
        "template".into(),
        one_of_kinds(parts::Kind::all(), |k| {
            kind_object(&k.spec().called(), &part_keys(k), &[], false)
        }),
    );
    defs.insert(
        "supply".into(),
        one_of_kinds(supply::Kind::all(), |k| {
            kind_object(&k.called(), &keys_in(&mut *k.clone()), &[], true)
        }),
    );
    Value::Object(defs)
}

fn part_keys(kind: &parts::Kind) -> Vec<Key> {
    keys_in(&mut *kind.clone())
}

/// A key's value with its description and default.
fn property(key: &Key) -> Value {
    let mut p = Map::new();
    let mut doc = key.doc.to_owned();
    match key.form {
        Form::Quantity(bound) => {
            p.insert("$ref".into(), json!(format!("#/$defs/{}", def_name(bound.dimension))));
            doc = format!("{doc} {}", range(bound));
        }
        Form::Quantities(bound) => {
            let one = json!({"$ref": format!("#/$defs/{}", def_name(bound.dimension))});
            p.insert("anyOf".into(), json!([one, {"type": "array", "items": one, "minItems": 1}]));
            doc = format!("{doc} {}", range(bound));
        }
        Form::Text => {
            p.insert("type".into(), json!("string"));
        }
        Form::Word(words) => {
            let also = words.also.iter().map(|(also, _)| *also);
            p.insert("anyOf".into(), in_words(words.all, words.iter().copied().chain(also)));
        }
        Form::Flag => {
            p.insert("type".into(), json!("boolean"));
        }
        Form::Count(least, most) => {
            p.insert("type".into(), json!("integer"));
            p.insert("minimum".into(), json!(least));
            p.insert("maximum".into(), json!(most));
        }
        Form::Names => {
            p.insert("$ref".into(), json!("#/$defs/names"));
        }
    }
    p.insert("description".into(), json!(doc));
    if let LeftOut::Text(text) = key.left_out {
        let value = match key.form {
            Form::Flag => json!(text == "true"),
            Form::Count(..) => json!(text.parse::<u32>().unwrap_or(0)),
            _ => json!(text),
        };
        p.insert("default".into(), value);
    }
    Value::Object(p)
}

/// Words as reports have them, which editors offer, or any that is read as one of them.
fn in_words<'w>(all: &[&str], read: impl Iterator<Item = &'w str>) -> Value {
    let patterns: Vec<String> = read.map(words::pattern).collect();
    json!([{"enum": all}, {"type": "string", "pattern": patterns.join("|")}])
}

/// The range of a bound in the first unit of its dimension, and what of it is usual.
fn range(bound: &Bound) -> String {
    let Some(unit) = bound.dimension.units().next() else { return String::new() };
    let text = quantity_text::range(bound, unit);
    let usual = match bound.usual == (bound.min, bound.max) {
        true => String::new(),
        false => format!("; {} is usual", quantity_text::usual(bound, unit)),
    };
    format!("I{}{usual}.", &text[1..])
}

fn fixed_table(table: &Fixed) -> Value {
    let keys = (table.keys)();
    let properties: Map<_, _> = keys.iter().map(|k| (k.name.into(), property(k))).collect();
    json!({
        "type": "object",
        "description": table.doc,
        "properties": properties,
        "required": required(keys.iter()),
        "additionalProperties": false,
    })
}

fn required<'k>(keys: impl Iterator<Item = &'k Key>) -> Vec<&'k str> {
    keys.filter(|k| k.left_out == LeftOut::Required).map(|k| k.name).collect()
}

fn one_of_kinds<K>(kinds: &'static [K], object: impl Fn(&'static K) -> Value) -> Value {
    json!({"oneOf": kinds.iter().map(object).collect::<Vec<_>>()})
}

/// The table of one kind with these keys beside `kind` and the joints.
fn kind_object(called: &Called, keys: &[Key], joints: &[&str], complete: bool) -> Value {
    let mut properties = Map::new();
    let Called { name, doc, also, .. } = called;
    let read = std::iter::once(*name).chain(also.iter().copied());
    properties.insert("kind".into(), json!({"anyOf": in_words(&[name], read), "description": doc}));
    for j in joints {
        properties.insert((*j).into(), joint(j));
    }
    for key in keys {
        properties.insert(key.name.into(), property(key));
    }
    let mut needed = vec!["kind"];
    if joints.contains(&"from") {
        needed.push("from");
    }
    if complete {
        needed.extend(required(keys.iter()));
    }
    json!({
        "type": "object",
        "description": doc,
        "properties": properties,
        "required": needed,
        "additionalProperties": false,
    })
}

fn joint(name: &str) -> Value {
    match name {
        "from" => {
            json!({"$ref": "#/$defs/names", "description": "Where its fluid comes from: names of parts or of chambers of the master cylinder."})
        }
        "to" => {
            json!({"$ref": "#/$defs/name", "description": "Where it closes a loop: the tee or chamber it runs into."})
        }
        _ => {
            json!({"$ref": "#/$defs/names", "description": "Names of its bleeders; absent, one with the name of the part."})
        }
    }
}

fn joints_of(kind: &KindSpec) -> Vec<&'static str> {
    let mut joints = vec!["from"];
    if kind.ends == Ends::Through {
        joints.push("to");
    }
    if kind.bleeds {
        joints.push("bleeders");
    }
    joints
}

/// A part: by its kind, or like a template, when any kind's keys may stand in it.
fn part() -> Value {
    let mut forms: Vec<Value> = parts::Kind::all()
        .iter()
        .map(|k| {
            let spec = k.spec();
            kind_object(&spec.called(), &part_keys(k), &joints_of(&spec), true)
        })
        .collect();
    let mut any: Map<String, Value> = Map::new();
    for kind in parts::Kind::all() {
        for key in &part_keys(kind) {
            let p = property(key);
            match any.get_mut(key.name) {
                Some(old) if *old == p => {}
                Some(old) => match old.get_mut("anyOf").and_then(Value::as_array_mut) {
                    Some(list) => {
                        if !list.contains(&p) {
                            list.push(p);
                        }
                    }
                    None => *old = json!({"anyOf": [old.clone(), p]}),
                },
                None => {
                    any.insert(key.name.into(), p);
                }
            }
        }
    }
    any.insert(
        "like".into(),
        json!({"$ref": "#/$defs/name", "description": "Name of a template below [like]."}),
    );
    for j in ["from", "to", "bleeders"] {
        any.insert(j.into(), joint(j));
    }
    forms.push(json!({
        "type": "object",
        "description": "A part made after a template.",
        "properties": any,
        "required": ["like", "from"],
        "additionalProperties": false,
    }));
    json!({"oneOf": forms})
}

fn step(verb: &Verb) -> Value {
    let level = |b: &Bound| json!({"anyOf": [{"enum": ["min", "max"]}, {"$ref": format!("#/$defs/{}", def_name(b.dimension))}]});
    let mut value = match verb.form {
        VerbForm::Names => json!({"$ref": "#/$defs/names"}),
        VerbForm::Name => json!({"$ref": "#/$defs/name"}),
        VerbForm::Quantity(b) => json!({"$ref": format!("#/$defs/{}", def_name(b.dimension))}),
        VerbForm::Level(b) => level(b),
        VerbForm::True => json!({"const": true}),
    };
    value["description"] = json!(verb.doc);
    let mut properties = Map::new();
    properties.insert(verb.name.into(), value);
    for key in verb.keys {
        let p = match key.name {
            "until" => json!({"$ref": "#/$defs/stop-rule", "description": key.doc}),
            _ => property(key),
        };
        properties.insert(key.name.into(), p);
    }
    let mut needed = vec![verb.name];
    needed.extend(required(verb.keys.iter()));
    json!({
        "type": "object",
        "properties": properties,
        "required": needed,
        "additionalProperties": false,
    })
}

fn procedure() -> Value {
    let mut properties = Map::new();
    for key in keys_of::<Tasks>() {
        properties.insert(key.name.into(), property(&key));
    }
    let steps =
        |doc: &str| json!({"type": "array", "items": {"$ref": "#/$defs/step"}, "description": doc});
    properties.insert("open".into(), json!({
        "description": "Bleeders in the order in which they are opened; a list within the list is opened together.",
        "anyOf": [
            {"$ref": "#/$defs/name"},
            {"type": "array", "minItems": 1, "items": {"$ref": "#/$defs/names"}},
        ],
    }));
    properties.insert("until".into(), json!({
        "description": "When each is closed: one stop rule for all, or one for each entry of `open`.",
        "anyOf": [
            {"$ref": "#/$defs/stop-rule"},
            {"type": "array", "minItems": 1, "items": {"$ref": "#/$defs/stop-rule"}},
        ],
    }));
    properties.insert("steps".into(), steps("All steps in order, instead of `open` and `until`."));
    properties.insert("before".into(), steps("Steps before the openings."));
    properties.insert("after".into(), steps("Steps after the openings."));
    json!({
        "type": "object",
        "description": "What the technician does.",
        "properties": properties,
        "oneOf": [
            {"required": ["steps"], "not": {"anyOf": [{"required": ["open"]}, {"required": ["until"]}, {"required": ["before"]}, {"required": ["after"]}]}},
            {"required": ["open", "until"]},
        ],
        "additionalProperties": false,
    })
}
