//! From a table of the file to a [`Section`], by the table's description.

use std::collections::BTreeMap;
use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::bounds::Bound;
use super::mistake::{Desk, Wrong};
use super::quantity::{Quantity, Spread};
use super::quantity_text;
use super::section::{Section, Value};
use super::spec::{Default, Form, Key};
use super::suggest;
use super::units::Dimension;

/// Longest name of a part, chamber, bleeder or supply.
const LONGEST_NAME: usize = 60;
/// Most names a list may hold.
const MOST_NAMES: usize = 200;

/// A value and where it stands.
pub(crate) type Node<'i> = Spanned<DeValue<'i>>;

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
}

impl Placed {
    /// Where a key's value stands; the table's head if it is not written.
    pub(crate) fn span(&self, key: &str) -> Range<usize> {
        self.spans.get(key).unwrap_or(&self.head).clone()
    }
}

/// Keys and values in file order.
pub(crate) fn in_order<'t, 'i>(
    table: &'t DeTable<'i>,
) -> Vec<(&'t str, Range<usize>, &'t Node<'i>)> {
    let mut entries: Vec<_> =
        table.iter().map(|(k, v)| (k.get_ref().as_ref(), k.span(), v)).collect();
    entries.sort_by_key(|(_, span, _)| span.start);
    entries
}

/// What a value is, in the words of a message.
pub(crate) fn what_is(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// Refuses the keys that are not known.
pub(crate) fn refuse_unknown(
    desk: &mut Desk<'_>,
    table: &DeTable<'_>,
    place: &str,
    known: &[&str],
) {
    for (name, span, _) in in_order(table) {
        if desk.full() {
            return;
        }
        if !known.contains(&name) {
            desk.add(
                span,
                format!("{place} has no key `{}`", short(name)),
                suggest::remedy(name, known.iter().copied(), "keys it takes"),
            );
        }
    }
}

/// A name cut to what a message can hold.
pub(crate) fn short(name: &str) -> String {
    let mut text: String = name.chars().take(LONGEST_NAME).filter(|c| !c.is_control()).collect();
    if name.chars().nth(LONGEST_NAME).is_some() {
        text.push('…');
    }
    text
}

/// Reads the keys described from the first of `layers` that holds each.
pub(crate) fn read_section(
    desk: &mut Desk<'_>,
    name: &str,
    head: Range<usize>,
    layers: &[&DeTable<'_>],
    keys: impl IntoIterator<Item = &'static Key>,
    complete: bool,
) -> Placed {
    let mut placed = Placed {
        section: Section {
            name: name.to_owned(),
            line: desk.line(head.start),
            ..Section::default()
        },
        spans: BTreeMap::new(),
        names: BTreeMap::new(),
        head,
    };
    for key in keys {
        match layers.iter().find_map(|t| t.get(key.name)) {
            Some(node) => {
                placed.spans.insert(key.name, node.span());
                if key.form == Form::Names {
                    if let Some(list) = names(desk, node, key.name) {
                        let bare = list.iter().map(|n| n.name.clone()).collect();
                        placed.section.values.insert(key.name, Value::Names(bare));
                        placed.names.insert(key.name, list);
                    }
                } else if let Some(value) = read_value(desk, key, node) {
                    placed.section.values.insert(key.name, value);
                }
            }
            None if !complete => {}
            None => fill_default(desk, key, &mut placed),
        }
    }
    placed
}

fn fill_default(desk: &mut Desk<'_>, key: &'static Key, placed: &mut Placed) {
    match (key.default, default_value(key)) {
        (_, Some(Ok(value))) => {
            placed.section.values.insert(key.name, value);
            placed.section.defaulted.push(key.name);
        }
        (_, Some(Err(wrong))) => desk.add_wrong(placed.head.clone(), wrong),
        (Default::Required, None) => desk.add(
            placed.head.clone(),
            format!("{} lacks `{}`", placed.section.name, key.name),
            format!("add {}: {}", example(key), key.doc),
        ),
        (_, None) => {}
    }
}

/// The value a key has when left out; `None` if it has no default.
///
/// # Errors
/// If the default's text is wrong: a mistake in this crate, which a test of every table rules out.
pub fn default_value(key: &Key) -> Option<Result<Value, Wrong>> {
    let Default::Text(text) = key.default else {
        return None;
    };
    Some(match key.form {
        Form::Quantity(bound) => quantity_text::parse(text, bound).map(Value::Quantity),
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
        Form::Quantity(b) => format!("\"{}\"", example_of(b)),
        Form::Text => "\"…\"".to_owned(),
        Form::Word(words) => format!("\"{}\"", words.first().copied().unwrap_or("…")),
        Form::Flag => "true".to_owned(),
        Form::Count(least, _) => least.to_string(),
        Form::Names => "[\"…\"]".to_owned(),
    };
    format!("`{} = {value}`", key.name)
}

/// A text with a unit that lies within the range, or the dimension's example.
fn example_of(bound: &Bound) -> String {
    match quantity_text::parse(bound.dimension.example(), bound) {
        Ok(_) => bound.dimension.example().to_owned(),
        Err(_) => match bound.dimension.units().next() {
            Some(u) => format!("… {}", u.name),
            None => "…".to_owned(),
        },
    }
}

fn read_value(desk: &mut Desk<'_>, key: &'static Key, node: &Node<'_>) -> Option<Value> {
    let result = match key.form {
        Form::Quantity(bound) => quantity(desk, node, bound, key.name).map(Value::Quantity),
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
        Form::Names => return None,
    };
    match result {
        Ok(value) => Some(value),
        Err(wrong) => {
            desk.add_wrong(node.span(), wrong);
            None
        }
    }
}

fn not(key: &Key, found: &DeValue<'_>) -> Wrong {
    Wrong::new(
        format!("`{}` is {}, but a text is wanted", key.name, what_is(found)),
        format!("write for instance {}", example(key)),
    )
}

fn word(text: &str, key: &Key) -> Result<String, Wrong> {
    if let Form::Word(words) = key.form
        && !words.contains(&text)
    {
        return Err(Wrong::new(
            format!("`{}` can't be \"{}\"", key.name, short(text)),
            suggest::remedy(text, words.iter().copied(), "it may be"),
        ));
    }
    Ok(text.to_owned())
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

/// Reads a quantity written as text, as a bare number or as a table with a spread.
pub(crate) fn quantity(
    desk: &mut Desk<'_>,
    node: &Node<'_>,
    bound: &Bound,
    name: &str,
) -> Result<Quantity, Wrong> {
    let bare = |text: &str| match text.replace('_', "").parse::<f64>() {
        Ok(x) if x.is_finite() => quantity_text::from_number(x, text, bound),
        _ => Err(Wrong::new(
            format!("`{name}` is `{}`, no quantity that fluid can have", short(text)),
            format!("write for instance \"{}\"", bound.dimension.example()),
        )),
    };
    match node.get_ref() {
        DeValue::String(s) => quantity_text::parse(s, bound),
        DeValue::Integer(i) if i.radix() == 10 => bare(i.as_str()),
        DeValue::Float(f) => bare(f.as_str()),
        DeValue::Table(t) => spread_table(desk, t, bound, name),
        other => Err(Wrong::new(
            format!("`{name}` is {}, but {} is wanted", what_is(other), bound.dimension.word()),
            format!("write for instance \"{}\"", bound.dimension.example()),
        )),
    }
}

/// Keys of a quantity written as a table.
pub(crate) const SPREAD_KEYS: [&str; 5] = ["value", "from", "to", "sd", "shape"];
/// Shapes of a spread written as a table.
pub(crate) const SHAPES: [&str; 4] = ["uniform", "triangular", "normal", "log-normal"];

fn spread_table(
    desk: &mut Desk<'_>,
    table: &DeTable<'_>,
    bound: &Bound,
    name: &str,
) -> Result<Quantity, Wrong> {
    refuse_unknown(desk, table, &format!("the spread of `{name}`"), &SPREAD_KEYS);
    let text = |key: &str| -> Result<Option<&str>, Wrong> {
        match table.get(key).map(|n| n.get_ref()) {
            None => Ok(None),
            Some(DeValue::String(s)) => Ok(Some(s.as_ref())),
            Some(other) => Err(Wrong::new(
                format!("`{key}` of `{name}` is {}", what_is(other)),
                format!("write a text, for instance \"{}\"", bound.dimension.example()),
            )),
        }
    };
    let wanted = |key: &str| -> Result<&str, Wrong> {
        text(key)?.ok_or_else(|| {
            Wrong::new(
                format!("the spread of `{name}` lacks `{key}`"),
                "write { value = \"…\", from = \"…\", to = \"…\", shape = \"uniform\" } or { value = \"…\", sd = \"…\", shape = \"normal\" }",
            )
        })
    };
    let value = quantity_text::parse(wanted("value")?, bound)?;
    if value.spread.is_some() {
        return Err(Wrong::new(
            format!("`value` of `{name}` carries a ± of its own"),
            "leave out either the ± or the other keys of the table",
        ));
    }
    let value = value.value;
    let shape = wanted("shape")?;
    let spread = match shape {
        "uniform" | "triangular" => {
            let low = quantity_text::parse(wanted("from")?, bound)?.value;
            let high = quantity_text::parse(wanted("to")?, bound)?.value;
            if !(low < high && low <= value && value <= high) {
                return Err(Wrong::new(
                    format!("`from`, `value` and `to` of `{name}` are not in rising order"),
                    "let `from` be the smallest and `to` the largest",
                ));
            }
            match shape {
                "uniform" => Spread::Uniform { low, high },
                _ => Spread::Triangular { low, high },
            }
        }
        "normal" => {
            Spread::Normal { sd: quantity_text::difference(wanted("sd")?, bound.dimension)? }
        }
        "log-normal" if bound.dimension == Dimension::Temperature || value <= 0.0 => {
            return Err(Wrong::new(
                format!("`{name}` can't be log-normal"),
                "that shape is for quantities above zero that are no temperatures; use \"normal\"",
            ));
        }
        "log-normal" => Spread::LogNormal {
            sd_log: sd_of_logarithm(
                quantity_text::difference(wanted("sd")?, bound.dimension)? / value,
            ),
        },
        other => {
            return Err(Wrong::new(
                format!("`shape` of `{name}` can't be \"{}\"", short(other)),
                suggest::remedy(other, SHAPES, "it may be"),
            ));
        }
    };
    Ok(Quantity { value, spread: Some(spread) })
}

/// Standard deviation of ln(X) from that of X over its median, for a log-normal X.
///
/// With median m and s = sd of ln X, sd(X)² = m² u (u − 1), u = exp(s²) (any handbook of
/// statistics); solved for s. Dimensionless; valid for any ratio ≥ 0.
fn sd_of_logarithm(ratio: f64) -> f64 {
    let u = 0.5 * (1.0 + (1.0 + 4.0 * ratio * ratio).sqrt());
    u.ln().sqrt()
}

/// Reads one name or a list of names, each with its place.
pub(crate) fn names(desk: &mut Desk<'_>, node: &Node<'_>, key: &str) -> Option<Vec<Named>> {
    match node.get_ref() {
        DeValue::String(s) => name(desk, s, node.span()).map(|n| vec![n]),
        DeValue::Array(list) if list.len() > MOST_NAMES => {
            desk.add(
                node.span(),
                format!("`{key}` lists {} names", list.len()),
                format!("a list may hold {MOST_NAMES} at most"),
            );
            None
        }
        DeValue::Array(list) => {
            if list.is_empty() {
                desk.add(
                    node.span(),
                    format!("`{key}` is an empty list"),
                    "write at least one name",
                );
                return None;
            }
            let mut out: Vec<Named> = Vec::new();
            let mut good = true;
            for item in list.iter() {
                let DeValue::String(s) = item.get_ref() else {
                    desk.add(
                        item.span(),
                        format!("`{key}` holds {}, but names are wanted", what_is(item.get_ref())),
                        "write names in quotes, for instance [\"RR\", \"LR\"]",
                    );
                    good = false;
                    continue;
                };
                match name(desk, s, item.span()) {
                    Some(n) if out.iter().any(|o| o.name == n.name) => {
                        desk.add(
                            n.span,
                            format!("`{}` stands twice in `{key}`", n.name),
                            "name it once",
                        );
                        good = false;
                    }
                    Some(n) => out.push(n),
                    None => good = false,
                }
                if desk.full() {
                    return None;
                }
            }
            good.then_some(out)
        }
        other => {
            desk.add(
                node.span(),
                format!("`{key}` is {}, but a name or a list of names is wanted", what_is(other)),
                "write names in quotes, for instance [\"RR\", \"LR\"]",
            );
            None
        }
    }
}

/// Checks that a text can serve as a name.
pub(crate) fn name(desk: &mut Desk<'_>, text: &str, span: Range<usize>) -> Option<Named> {
    let wrong = if text.trim().is_empty() {
        "a name is empty".to_owned()
    } else if text.trim() != text {
        format!("the name \"{}\" begins or ends with a space", short(text))
    } else if text.chars().any(char::is_control) {
        format!("the name \"{}\" holds a control character", short(text))
    } else if text.chars().nth(LONGEST_NAME).is_some() {
        format!("the name \"{}\" is longer than {LONGEST_NAME} characters", short(text))
    } else {
        return Some(Named { name: text.to_owned(), span });
    };
    desk.add(span, wrong, "write a short name of letters, digits and single spaces");
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Series: for a small ratio r, s = r − 7 r³/12 …, so s/r → 1; and r = √(u(u−1)) exactly.
    #[test]
    fn log_normal_spread_is_consistent() {
        for ratio in [1e-4, 0.1, 0.5, 2.0] {
            let s = sd_of_logarithm(ratio);
            let u = (s * s).exp();
            assert!(((u * (u - 1.0)).sqrt() / ratio - 1.0).abs() < 1e-6);
        }
    }
}
