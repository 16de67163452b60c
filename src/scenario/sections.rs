//! From a table of the file to a [`Section`], by the table's description.

use std::collections::BTreeMap;
use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::amounts;
use super::derived;
use super::mistake::{Diagnostics, Wrong};
use super::names;
pub(crate) use super::nodes::{Node, in_order, short, what_is};
use super::quantity_text;
use super::section::{Section, Value};
use super::suggest;
use crate::keys::{Form, Key, LeftOut, Written};

/// A name and where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Named {
    pub(crate) name: String,
    pub(crate) span: Range<usize>,
}

/// A section with the places of its values, for what is found wrong later.
#[derive(Debug, Clone, Default)]
pub(crate) struct Placed {
    pub(crate) section: Section,
    pub(crate) spans: BTreeMap<&'static str, Range<usize>>,
    pub(crate) names: BTreeMap<&'static str, Vec<Named>>,
    pub(crate) head: Range<usize>,
    /// Keys that it does not take, which have been told.
    pub(crate) strange: Vec<String>,
}

impl Placed {
    /// Whether a key that is not there is written under a name like its own.
    pub(crate) fn misspells(&self, key: &str) -> bool {
        self.strange.iter().any(|k| suggest::nearest(k, [key]).is_some())
    }

    /// Where a key's value stands; the table's head if it is not written.
    pub(crate) fn span(&self, key: &str) -> Range<usize> {
        self.spans.get(key).unwrap_or(&self.head).clone()
    }
}

/// The keys that must be there, and are in none of `layers`, not even misspelt.
pub(crate) fn missing(layers: &[&DeTable<'_>], keys: &[Key]) -> Vec<&'static str> {
    let says = |name: &str| layers.iter().any(|t| t.contains_key(name)) || misspelt(name, layers);
    let lacking = |k: &&Key| {
        (k.left_out == LeftOut::Required || derived::needs(k.name, says))
            && !layers.iter().any(|t| t.contains_key(k.name))
            && !misspelt(k.name, layers)
    };
    keys.iter().filter(lacking).map(|k| k.name).collect()
}

/// Reads the keys described from the first of `layers` that holds each. What is missing is told if the table should be
/// complete, but for the keys that have been `told`.
pub(crate) fn read_section(
    diagnostics: &mut Diagnostics<'_>,
    name: &str,
    head: Range<usize>,
    layers: &[&DeTable<'_>],
    keys: impl IntoIterator<Item = Key>,
    (complete, told): (bool, &[&str]),
) -> Placed {
    let mut placed = Placed {
        section: Section {
            written: Written {
                name: name.to_owned(),
                line: diagnostics.line(head.start),
                span: head.clone(),
                ..Written::default()
            },
            ..Section::default()
        },
        spans: BTreeMap::new(),
        names: BTreeMap::new(),
        head,
        strange: Vec::new(),
    };
    // Keys that are missing, and those with a value that is none for them.
    let (mut lacking, mut wrongly): (Vec<Key>, Vec<(Key, &Node<'_>, Wrong)>) = Default::default();
    for key in keys {
        match layers.iter().find_map(|t| t.get(key.name)) {
            Some(node) => {
                placed.spans.insert(key.name, node.span());
                let written = &mut placed.section.written;
                written.lines.insert(key.name, diagnostics.line(node.span().start));
                written.spans.insert(key.name, node.span());
                if key.form == Form::Names {
                    if let Some(list) = names::names(diagnostics, node, key.name) {
                        let bare = list.iter().map(|n| n.name.clone()).collect();
                        placed.section.values.insert(key.name, Value::Names(bare));
                        placed.names.insert(key.name, list);
                    }
                } else {
                    match read_value(diagnostics, &key, node) {
                        Ok(value) => drop(placed.section.values.insert(key.name, value)),
                        Err(wrong) => wrongly.push((key, node, wrong)),
                    }
                }
            }
            None if !complete => {}
            // A misspelt key has been told already.
            None if key.left_out == LeftOut::Required && misspelt(key.name, layers) => {}
            None if told.contains(&key.name) => {}
            None if key.left_out == LeftOut::Required => lacking.push(key),
            None => fill_default(diagnostics, &key, &mut placed),
        }
    }
    for (key, node, mut wrong) in wrongly {
        // What would do for a key that is missing.
        if let Some(at) = lacking.iter().position(|k| fits(k, node)) {
            let missing = lacking.remove(at).name;
            wrong.what = format!("{}, and `{missing}` is missing", wrong.what);
            wrong.remedy =
                format!("should `{}` be `{missing}`? If not: {}", key.name, wrong.remedy);
        }
        diagnostics.add_wrong(node.span(), wrong);
    }
    for key in lacking {
        tell_lack(diagnostics, &placed, &key);
    }
    placed
}

/// Whether a text would do for a quantity or one of several words.
fn fits(key: &Key, node: &Node<'_>) -> bool {
    match (key.form, node.get_ref()) {
        (Form::Quantity(bound), DeValue::String(text)) => quantity_text::parse(text, bound).is_ok(),
        (Form::Word(words), DeValue::String(text)) => words.meant(text).len() == 1,
        _ => false,
    }
}

fn tell_lack(diagnostics: &mut Diagnostics<'_>, placed: &Placed, key: &Key) {
    diagnostics.add(
        placed.head.clone(),
        format!("{} lacks `{}`", placed.section.written.name, key.name),
        format!("add {}: {}", example(key), key.doc),
    );
}

/// Whether a key that is not there stands in one of the tables under a name like its own.
pub(crate) fn misspelt(name: &str, layers: &[&DeTable<'_>]) -> bool {
    let written = layers.iter().flat_map(|t| t.keys());
    written.into_iter().any(|k| suggest::nearest(k.get_ref(), [name]).is_some())
}

fn fill_default(diagnostics: &mut Diagnostics<'_>, key: &Key, placed: &mut Placed) {
    match (key.left_out, default_value(key)) {
        (_, Some(Ok(value))) => {
            placed.section.values.insert(key.name, value);
            placed.section.written.defaulted.push(key.name);
        }
        (_, Some(Err(wrong))) => diagnostics.add_wrong(placed.head.clone(), wrong),
        (_, None) => {}
    }
}

/// The value a key has when left out; `None` if it has no default.
///
/// # Errors
/// If the default's text is wrong: a mistake in this crate, which a test of every table rules out.
pub(crate) fn default_value(key: &Key) -> Option<Result<Value, Wrong>> {
    let LeftOut::Text(text) = key.left_out else {
        return None;
    };
    Some(match key.form {
        Form::Quantity(bound) => quantity_text::parse(text, bound).map(Value::Quantity),
        Form::Quantities(bound) => {
            quantity_text::parse(text, bound).map(|q| Value::Quantities(vec![q]))
        }
        Form::Text | Form::Word(_) => word(text, key).map(Value::Text),
        Form::Flag => Ok(Value::Flag(text == "true")),
        Form::Count(least, most) => match text.parse::<u32>() {
            Ok(n) if (least..=most).contains(&n) => Ok(Value::Count(n)),
            _ => Err(Wrong::new(format!("default {text} of {}", key.name), "")),
        },
        Form::Names => Ok(Value::Names(vec![text.to_owned()])),
    })
}

/// A line that would do for a key, in backticks.
pub(crate) fn example(key: &Key) -> String {
    let value = match key.form {
        Form::Quantity(b) | Form::Quantities(b) => {
            format!("\"… {}\"", b.dimension.units().next().map_or("", |u| u.name))
        }
        Form::Text => "\"…\"".to_owned(),
        Form::Word(words) => format!("\"{}\"", words.first().copied().unwrap_or("…")),
        Form::Flag => "true".to_owned(),
        Form::Count(least, _) => least.to_string(),
        Form::Names => return format!("`{}`", names::example(key.name)),
    };
    format!("`{} = {value}`", key.name)
}

fn read_value(
    diagnostics: &mut Diagnostics<'_>,
    key: &Key,
    node: &Node<'_>,
) -> Result<Value, Wrong> {
    match key.form {
        Form::Quantity(bound) => {
            amounts::quantity(diagnostics, node, bound, key.name).map(Value::Quantity)
        }
        Form::Quantities(bound) => {
            amounts::quantities(diagnostics, node, bound, key.name).map(Value::Quantities)
        }
        Form::Text | Form::Word(_) => match node.get_ref() {
            DeValue::String(s) => word(s, key).map(Value::Text),
            other => Err(not(key, other)),
        },
        Form::Flag => match node.get_ref() {
            DeValue::Boolean(b) => Ok(Value::Flag(*b)),
            other => Err(Wrong::new(
                format!("`{}` is {}", key.name, what_is(other)),
                "write true or false, without quotes",
            )),
        },
        Form::Count(least, most) => count(node.get_ref(), key, least, most).map(Value::Count),
        // Read where each stands.
        Form::Names => Ok(Value::Names(Vec::new())),
    }
}

fn not(key: &Key, found: &DeValue<'_>) -> Wrong {
    Wrong::new(
        format!("`{}` is {}, but a text is wanted", key.name, what_is(found)),
        format!("write for instance {}", example(key)),
    )
}

/// The word that a text stands for: as written, or as reports have it where it is one of several words.
fn word(text: &str, key: &Key) -> Result<String, Wrong> {
    let Form::Word(words) = key.form else { return Ok(text.to_owned()) };
    let meant = words.meant(text);
    let listed = |words: &[&str]| words.iter().map(|w| format!("`{w}`")).collect::<Vec<_>>();
    match meant.as_slice() {
        [one] => Ok((*one).to_owned()),
        [] => {
            let (what, there_are) = match key.name {
                "grade" => (format!("there is no grade \"{}\"", short(text)), "grades"),
                name => (format!("`{name}` can't be \"{}\"", short(text)), "it may be"),
            };
            Err(Wrong::new(what, suggest::remedy(text, words.iter().copied(), there_are)))
        }
        several => Err(Wrong::new(
            format!("`{}` \"{}\" can mean more than one thing", key.name, short(text)),
            format!("write {}", listed(several).join(" or ")),
        )),
    }
}

fn count(value: &DeValue<'_>, key: &Key, least: u32, most: u32) -> Result<u32, Wrong> {
    let remedy = format!("write a whole number from {least} to {most}, without quotes");
    match value {
        DeValue::Integer(i) => u32::from_str_radix(i.as_str(), i.radix())
            .ok()
            .filter(|n| (least..=most).contains(n))
            .ok_or_else(|| {
                Wrong::new(format!("`{}` can't be {}", key.name, short(i.as_str())), remedy)
            }),
        other => Err(Wrong::new(format!("`{}` is {}", key.name, what_is(other)), remedy)),
    }
}
