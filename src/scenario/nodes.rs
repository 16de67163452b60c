//! What the parser gives: values, each with its place, in file order and in words.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::limits::LONGEST_NAME;
use crate::sorting;

/// A value and where it stands.
pub(crate) type Node<'i> = Spanned<DeValue<'i>>;

/// Keys and values in file order.
pub(crate) fn in_order<'t, 'i>(
    table: &'t DeTable<'i>,
) -> Vec<(&'t str, Range<usize>, &'t Node<'i>)> {
    let mut entries: Vec<_> =
        table.iter().map(|(k, v)| (k.get_ref().as_ref(), k.span(), v)).collect();
    sorting::by_key(&mut entries, |(_, span, _)| span.start);
    entries
}

/// What a value is, in the words of a message.
pub(crate) fn what_is(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Float(f) if f.as_str().contains(['n', 'f']) => "a word without quotes",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// A name cut to what a message can hold.
pub(crate) fn short(name: &str) -> String {
    let mut text: String = name.chars().take(LONGEST_NAME).collect();
    if name.chars().nth(LONGEST_NAME).is_some() {
        text.push('…');
    }
    text
}
