//! Every key of a scenario file, by walking the JSON Schema that the program gives out.

use farwheel::scenario::procedure::StopRule;
use farwheel::scenario::{schema, stop_rule};
use serde_json::{Map, Value};

/// How a key's value is written.
#[derive(Debug, Clone, PartialEq)]
pub enum Form {
    /// A quantity.
    Quantity,
    /// A quantity, or `min` or `max`.
    Level,
    /// A quantity or a list of them.
    Quantities,
    /// A quantity within the text of a stop rule.
    InRule,
    /// One of these words.
    Words(Vec<String>),
    /// Any text.
    Text,
    /// A number, a flag, a list of names or of steps: written as it stands.
    Bare,
}

/// A key and how it is written.
#[derive(Debug, Clone, PartialEq)]
pub struct Key {
    /// Table, kind or verb, then the key, with dots between.
    pub path: String,
    pub form: Form,
}

impl Key {
    /// Whether a spread can be written on it.
    pub fn may_spread(&self) -> bool {
        matches!(self.form, Form::Quantity | Form::Level | Form::Quantities | Form::InRule)
    }
}

fn properties(object: &Value) -> &Map<String, Value> {
    object["properties"].as_object().unwrap_or_else(|| panic!("no properties in {object}"))
}

/// The last word of a reference.
fn target(property: &Value) -> Option<&str> {
    property["$ref"].as_str()?.strip_prefix("#/$defs/")
}

/// Definitions that say how a quantity is written: those that know the keys of a spread.
fn is_quantity(defs: &Value, name: &str) -> bool {
    let forms = defs[name]["anyOf"].as_array();
    forms.is_some_and(|f| f.iter().any(|form| form["properties"]["shape"].is_object()))
}

fn form(defs: &Value, property: &Value) -> Form {
    // Words alone, or words as reports have them and then a pattern for all that is read as one of them.
    let read = &property["anyOf"];
    let words = match read[1]["pattern"].as_str() {
        Some(_) => &read[0]["enum"],
        None => &property["enum"],
    };
    if let Some(words) = words.as_array() {
        return Form::Words(words.iter().map(|w| w.as_str().expect("a word").to_owned()).collect());
    }
    if let Some(name) = target(property) {
        return if is_quantity(defs, name) { Form::Quantity } else { Form::Bare };
    }
    let of = property["anyOf"].as_array().into_iter().flatten();
    if of.filter_map(target).any(|name| is_quantity(defs, name)) {
        return if property["anyOf"][1]["items"].is_object() {
            Form::Quantities
        } else {
            Form::Level
        };
    }
    match property["type"].as_str() {
        Some("string") => Form::Text,
        _ => Form::Bare,
    }
}

/// The keys of one table; but for the `kind` of a part or supply, which says which table it is.
fn table(defs: &Value, name: &str, object: &Value, keys: &mut Vec<Key>) {
    let which = |key: &str| key == "kind" && name.contains('.');
    for (key, property) in properties(object).iter().filter(|(key, _)| !which(key)) {
        let path = if name.is_empty() { key.clone() } else { format!("{name}.{key}") };
        keys.push(Key { path, form: form(defs, property) });
    }
}

/// The keys of every kind of a definition.
fn kinds(defs: &Value, definition: &str, keys: &mut Vec<Key>) {
    for kind in defs[definition]["oneOf"].as_array().expect("kinds") {
        match kind["properties"]["kind"]["anyOf"][0]["enum"][0].as_str() {
            Some(word) => table(defs, &format!("{definition}.{word}"), kind, keys),
            // A part after a template takes the keys of every kind, which are had already.
            None => keys.push(Key { path: format!("{definition}.like"), form: Form::Text }),
        }
    }
}

/// Every key there is.
pub fn keys() -> Vec<Key> {
    let schema = schema();
    let defs = &schema["$defs"];
    let mut keys = Vec::new();
    for (name, property) in properties(&schema) {
        if property["properties"].is_object() {
            table(defs, name, property, &mut keys);
        } else if property["additionalProperties"].is_null() {
            keys.push(Key { path: name.clone(), form: form(defs, property) });
        }
        // What is left are tables whose keys are names that the user gives.
    }
    kinds(defs, "part", &mut keys);
    kinds(defs, "supply", &mut keys);
    for step in defs["step"]["oneOf"].as_array().expect("steps") {
        let needed = step["required"].as_array().expect("the verb");
        let verb = needed[0].as_str().expect("a verb");
        for (key, property) in properties(step) {
            let path =
                if key == verb { format!("step.{verb}") } else { format!("step.{verb}.{key}") };
            keys.push(Key { path, form: form(defs, property) });
        }
    }
    keys.extend(parts_of_a_rule());
    let volume = defs["volume"]["anyOf"].as_array().expect("forms");
    let spread = volume.iter().find(|form| form["properties"].is_object()).expect("a spread");
    table(defs, "spread", spread, &mut keys);
    keys
}

/// The parts of a stop rule, which the schema takes as one text. A part more does not compile here.
fn parts_of_a_rule() -> Vec<Key> {
    let all = "clean below 5 %, hold 20 mL, at least 100 mL, at most 400 mL, 10 min";
    let StopRule { clean, threshold, hold, volume, time, at_least, at_most } =
        stop_rule::parse(all).unwrap_or_else(|wrong| panic!("{}", wrong.what));
    assert!(clean && threshold.is_some() && hold.is_some() && time.is_some());
    assert!(volume.is_none() && at_least.is_some() && at_most.is_some());
    let key = |part: &str, form| Key { path: format!("until.{part}"), form };
    let amounts = ["threshold", "hold", "volume", "time", "at least", "at most"];
    let amounts = amounts.iter().map(|part| key(part, Form::InRule));
    std::iter::once(key("clean", Form::Bare)).chain(amounts).collect()
}
