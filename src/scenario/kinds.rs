//! Kinds of parts and supplies as a file names them, and the tables that hold their entries.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::mistake::{Diagnostics, Wrong};
use super::sections::{self, Node};
use super::suggest;
use crate::keys::Key;
use crate::keys::kind::Called;
use crate::keys::table::keys_in;
use crate::keys::words::folded;
use crate::parts::Kind;

pub(super) fn word(kind: &Kind) -> &'static str {
    kind.spec().name
}

pub(super) fn keys_of(kind: &Kind) -> Vec<Key> {
    keys_in(&mut *kind.clone())
}

/// The entries of a table of tables, those that are none refused.
pub(crate) fn entries<'t, 'i>(
    diagnostics: &mut Diagnostics<'_>,
    node: Option<&'t Node<'i>>,
    (table_name, most): (&str, usize),
    example: &str,
) -> Vec<(&'t str, Range<usize>, &'t DeTable<'i>)> {
    let Some(node) = node else {
        return Vec::new();
    };
    let DeValue::Table(table) = node.get_ref() else {
        diagnostics.add(
            node.span(),
            format!(
                "`{table_name}` is {}, but a table is wanted",
                sections::what_is(node.get_ref())
            ),
            format!("write for instance {example}"),
        );
        return Vec::new();
    };
    let mut out = Vec::new();
    for (name, span, node) in sections::in_order(table) {
        match node.get_ref() {
            _ if out.len() >= most => {
                diagnostics.add(
                    span,
                    format!("`[{table_name}]` holds {} entries", table.len()),
                    format!("{most} are the most that is read"),
                );
                break;
            }
            DeValue::Table(t) => out.push((name, span, t)),
            other => diagnostics.add(
                span,
                format!(
                    "`{}` is {}, but a table is wanted",
                    sections::short(name),
                    sections::what_is(other)
                ),
                format!("write for instance {example}"),
            ),
        }
    }
    out
}

/// The text under `key`, if it is one.
pub(super) fn text_at<'t>(
    diagnostics: &mut Diagnostics<'_>,
    table: &'t DeTable<'_>,
    key: &str,
) -> Option<(&'t str, Range<usize>)> {
    let node = table.get(key)?;
    match node.get_ref() {
        DeValue::String(s) => Some((s.as_ref(), node.span())),
        other => {
            diagnostics.add(
                node.span(),
                format!("`{key}` is {}, but a text is wanted", sections::what_is(other)),
                format!("write for instance `{key} = \"tube\"`, with the name of a template below `[like]`"),
            );
            None
        }
    }
}

/// The kind that `kind = "…"` names; what is wrong with it is written down.
pub(crate) fn kind_at<K>(
    diagnostics: &mut Diagnostics<'_>,
    table: &DeTable<'_>,
    kinds: &'static [K],
    called: fn(&K) -> Called,
) -> Option<&'static K> {
    if let Some(node) = table.get("kind").filter(|n| !matches!(n.get_ref(), DeValue::String(_))) {
        let words = kinds.iter().map(|k| called(k).name);
        diagnostics.add(
            node.span(),
            format!("`kind` is {}, but a text is wanted", sections::what_is(node.get_ref())),
            suggest::remedy("", words, "write `kind = \"…\"` with one of these"),
        );
        return None;
    }
    let (word, span) = text_at(diagnostics, table, "kind")?;
    let found = kind_of(word, kinds, called);
    if let Err(wrong) = &found {
        diagnostics.add_wrong(span, wrong.clone());
    }
    found.ok()
}

/// The kind that a word stands for.
///
/// # Errors
/// If there is none, or the word leaves open which.
pub(crate) fn kind_of<K>(
    word: &str,
    kinds: &'static [K],
    called: fn(&K) -> Called,
) -> Result<&'static K, Wrong> {
    let wanted = folded(word);
    let is = |other: &str| other == word || folded(other) == wanted;
    let by_name = kinds.iter().find(|k| is(called(k).name));
    if let Some(kind) =
        by_name.or_else(|| kinds.iter().find(|k| called(k).also.iter().any(|a| is(a))))
    {
        return Ok(kind);
    }
    let near: Vec<String> = kinds
        .iter()
        .map(called)
        .filter_map(|c| {
            let (_, besides) = c.near.iter().find(|(near, _)| is(near))?;
            let besides = if besides.is_empty() { String::new() } else { format!(" ({besides})") };
            Some(format!("`{}`{besides}", c.name))
        })
        .collect();
    let what = format!("there is no kind \"{}\"", sections::short(word));
    Err(match near.as_slice() {
        [] => {
            let names = || kinds.iter().map(|k| called(k).name);
            // A "rubber hose" is a hose.
            let last = word.split_whitespace().last().unwrap_or("");
            let word = names().find(|name| name.eq_ignore_ascii_case(last)).unwrap_or(word);
            match names().find(|name| *name == word) {
                Some(name) => Wrong::new(what, format!("did you mean `{name}`?")),
                None => Wrong::new(what, suggest::remedy(word, names(), "kinds")),
            }
        }
        [one] => Wrong::new(what, format!("write {one}")),
        several => Wrong::new(
            format!("kind \"{}\" can mean more than one thing", sections::short(word)),
            format!("write {}", several.join(" or ")),
        ),
    })
}

pub(super) fn called(kind: &Kind) -> Called {
    kind.spec().called()
}
