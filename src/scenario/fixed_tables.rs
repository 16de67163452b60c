//! The title, and the tables that every scenario has in the same form.

use toml::de::{DeTable, DeValue};

use super::derived;
use super::mistake::Diagnostics;
use super::sections::{self, Placed};
use super::tables::Fixed;
use super::unknown_keys;
use crate::keys::{LeftOut, Place};

pub(super) fn read_title(diagnostics: &mut Diagnostics<'_>, top: &DeTable<'_>) -> Option<String> {
    let remedy = "add for instance `title = \"Compact car, diagonal split\"` as the first line";
    match top.get("title").map(|n| (n.get_ref(), n.span())) {
        Some((DeValue::String(s), span)) => {
            // What else is not seen is left out where the title is shown, and not refused as in names: nothing is found by
            // a title, and some scripts are spelt with joiners.
            if s.trim().is_empty() || s.chars().any(char::is_control) {
                diagnostics.add(
                    span,
                    "the title is empty or holds control characters",
                    "write one line of text",
                );
                return None;
            }
            Some(s.trim().to_owned())
        }
        Some((other, span)) => {
            diagnostics.add(
                span,
                format!("`title` is {}, but a text is wanted", sections::what_is(other)),
                remedy,
            );
            None
        }
        None if sections::misspelt("title", &[top]) => None,
        None => {
            diagnostics.add(diagnostics.beginning(), "the scenario has no title", remedy);
            None
        }
    }
}

/// Reads a fixed table, which may be missing.
pub(super) fn read_table(
    diagnostics: &mut Diagnostics<'_>,
    top: &DeTable<'_>,
    table: &Fixed,
) -> Placed {
    let empty = DeTable::new();
    let label = format!("[{}]", table.name);
    match top.get(table.name) {
        Some(node) => match node.get_ref() {
            DeValue::Table(t) => {
                let keys = (table.keys)();
                let known: Vec<_> = keys.iter().map(|k| k.name).collect();
                let mut missing = sections::missing(&[t], &keys);
                if !names_a_kind(top) {
                    let says = |key: &str| t.contains_key(key) || sections::misspelt(key, &[t]);
                    missing.extend(derived::needed_without_a_kind(table.name, says));
                }
                let place = format!("`{label}`");
                let told = unknown_keys::refuse_unknown(diagnostics, t, &place, &known, &missing);
                let complete = (true, &told[..]);
                let mut placed =
                    sections::read_section(diagnostics, &place, node.span(), &[t], keys, complete);
                placed.strange = unknown_keys::strange(t, &known);
                placed.section.written.name = table.name.to_owned();
                placed
            }
            other => {
                diagnostics.add(
                    node.span(),
                    format!(
                        "`{}` is {}, but a table is wanted",
                        table.name,
                        sections::what_is(other)
                    ),
                    format!(
                        "write `{label}` once, with single brackets, on a line of its own and its keys below"
                    ),
                );
                Placed { head: node.span(), ..Placed::default() }
            }
        },
        // A misspelt table has been told already.
        None if table.required && sections::misspelt(table.name, &[top]) => Placed::default(),
        None if table.required => {
            diagnostics.add(
                diagnostics.end(),
                format!("the file has no `{label}`"),
                format!("add `{label}` below, {}: {}", required(table), table.doc),
            );
            Placed::default()
        }
        None => {
            let keys = (table.keys)();
            let mut placed =
                sections::read_section(diagnostics, &label, 0..0, &[&empty], keys, (true, &[]));
            placed.section.written.line = Place::Nowhere;
            placed.section.written.span = 0..0;
            placed.section.written.name = table.name.to_owned();
            placed
        }
    }
}

/// Whether `[vehicle]` says what kind it is, from which keys follow that are left out elsewhere.
fn names_a_kind(top: &DeTable<'_>) -> bool {
    matches!(top.get("vehicle").map(|node| node.get_ref()), Some(DeValue::Table(t)) if t.contains_key("kind"))
}

/// What must stand in a table, as a message gives it: ``with `grade = "…"` ``.
fn required(table: &Fixed) -> String {
    let needed = (table.keys)().into_iter().filter(|k| k.left_out == LeftOut::Required);
    let keys: Vec<String> = needed.map(|k| sections::example(&k)).collect();
    if keys.is_empty() { "with its keys".to_owned() } else { format!("with {}", keys.join(", ")) }
}
