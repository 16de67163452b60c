//! What stands under the wrong header: most often because the line with its own header is gone.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::headers;
use super::homes::{keys_of_entries, keys_under, needs};
use super::kinds::kind_of;
use super::mistake::Diagnostics;
use super::sections::{Node, in_order, misspelt, short};
use super::suggest;
use super::tables::{TABLES, TOP};
use super::wrong_kind::takes;
use crate::{parts, supply};

/// What to do where somebody describes several reservoirs.
pub(crate) const ONE_RESERVOIR: &str = "a scenario has one `[reservoir]`: name what it feeds in `outlets = [\"primary\", \"secondary\"]`, with `compartment = \"35 mL\"` for the volume of each below the dividing wall; brakes with a reservoir of their own, as on a motorcycle, are a scenario of their own";

/// Entries of one table that are looked at: more than this, and the file is no scenario anyway.
const MOST_LOOKED_AT: usize = 200;
/// Tables whose keys are names that the user gives.
pub(super) const NAMED: [&str; 3] = ["like", "parts", "supplies"];

/// The table whose header seems missing where `name` stands for the second time below the header `[table]`, told by the
/// file's text.
pub(crate) fn missing_below(text: &str, table: &str, name: &str) -> Option<String> {
    if let Some((of, _)) = table.split_once('.') {
        return NAMED.contains(&of).then(|| format!("{of}.…"));
    }
    let headers: Vec<&str> = text.lines().filter_map(|l| l.trim().strip_prefix('[')).collect();
    let there = |t: &str| headers.iter().any(|h| h.trim_start_matches('[').trim().starts_with(t));
    let lost = TOP.iter().find(|t| **t != table && !there(t) && keys_under(t).contains(&name));
    lost.map(|t| (*t).to_owned())
}

/// The tables that a scenario needs and of which the text has no header, in backticks.
pub(crate) fn missing_tables(text: &str) -> Vec<String> {
    let heads: Vec<&str> = text
        .lines()
        .filter_map(|l| l.trim().strip_prefix('['))
        .map(|h| h.trim_start_matches('[').split([']', '.']).next().unwrap_or("").trim())
        .collect();
    needed().filter(|t| !heads.contains(t)).map(|t| format!("`[{t}]`")).collect()
}

/// The keys that the last table of the text can't be without and has not got so far, as the end of a sentence.
pub(crate) fn still_needed(text: &str) -> String {
    let head = text.lines().rev().find_map(|l| l.trim_start().strip_prefix('['));
    let Some(table) = head.and_then(|h| h.split(']').next()) else { return String::new() };
    let below = text.rsplit_once(&format!("[{table}]")).map_or("", |(_, below)| below);
    let there = |key: &str| {
        below.lines().any(|l| l.split_once('=').is_some_and(|(name, _)| name.trim() == key))
    };
    let needed = keys_under(table).into_iter().filter(|k| needs(table, k) && !there(k));
    let needed: Vec<String> = needed.map(|k| format!("`{k}`")).collect();
    match needed.is_empty() {
        true => String::new(),
        false => format!("; `[{table}]` needs {} too", needed.join(" and ")),
    }
}

/// The key of any table that a word is, or is meant to be.
pub(crate) fn known_key(word: &str) -> Option<&'static str> {
    let all = || TOP.iter().flat_map(|t| keys_under(t)).chain(keys_of_entries());
    all().find(|k| *k == word).or_else(|| suggest::nearest(word, all()))
}

/// Whether a word is the name of a table, or of a key of any.
pub(crate) fn is_word(word: &str) -> bool {
    TOP.contains(&word) || known_key(word) == Some(word)
}

/// The tables that a scenario can't be without.
fn needed() -> impl Iterator<Item = &'static str> {
    let fixed = TABLES.iter().filter(|t| t.required).map(|t| t.name);
    fixed.chain(["parts", "supplies", "procedure"])
}

/// A table of the file, what it is called, and what may stand in it.
struct Standing<'t, 'i> {
    /// The word between the brackets; empty above all headers, and in an entry.
    name: &'t str,
    label: String,
    table: &'t DeTable<'i>,
    known: Vec<&'static str>,
    /// Whether any name may stand in it for a table.
    named: bool,
    /// Where it begins, if it does so with a header.
    head: Option<Range<usize>>,
}

/// Every table of the file with a header of its own.
fn standing<'t, 'i>(diagnostics: &Diagnostics<'_>, top: &'t DeTable<'i>) -> Vec<Standing<'t, 'i>> {
    let mut all = vec![Standing {
        name: "",
        label: "above all headers".to_owned(),
        table: top,
        known: TOP.to_vec(),
        named: false,
        head: None,
    }];
    for (name, _, node) in in_order(top) {
        let DeValue::Table(table) = node.get_ref() else { continue };
        let named = NAMED.contains(&name);
        let known = keys_under(name);
        if !named && known.is_empty() {
            continue;
        }
        let head = Some(node.span()).filter(|span| diagnostics.is_header(span.clone()));
        all.push(Standing { name, label: format!("in `[{name}]`"), table, known, named, head });
        for (own, _, entry) in in_order(table).into_iter().filter(|_| named) {
            if let DeValue::Table(entry) = entry.get_ref() {
                let label = format!("in `[{name}.{}]`", short(own));
                let known = keys_of_entries();
                all.push(Standing {
                    name: "",
                    label,
                    table: entry,
                    known,
                    named: false,
                    head: None,
                });
            }
        }
    }
    all
}

/// Which of the tables of entries an entry looks like one of.
pub(super) fn looks_like(entry: &DeTable<'_>) -> Option<&'static str> {
    let kind = match entry.get("kind").map(|n| n.get_ref()) {
        Some(DeValue::String(kind)) => Some(kind.as_ref()),
        _ => None,
    };
    let part = kind.and_then(|k| kind_of(k, parts::Kind::all(), |k| k.spec().called()).ok());
    // With the keys of something else its kind says little.
    let part = part.is_some_and(|k| entry.keys().all(|key| takes(k, key.get_ref())));
    let supplies = kind.is_some_and(|k| kind_of(k, supply::Kind::all(), |k| k.called()).is_ok());
    match () {
        () if entry.contains_key("from") || entry.contains_key("like") => Some("parts"),
        () if supplies => Some("supplies"),
        () if part => Some("like"),
        () => None,
    }
}

/// Tells of headers that are missing, of what stands under the wrong one, and of several reservoirs; true if there was
/// any of it, since everything else that is then wrong with the file may follow from that alone.
pub(crate) fn report(diagnostics: &mut Diagnostics<'_>, top: &DeTable<'_>) -> bool {
    if headers::astray(diagnostics, top) {
        return true;
    }
    if let Some(span) = another_reservoir(top) {
        diagnostics.add(span, "the file describes more than one reservoir", ONE_RESERVOIR);
        return true;
    }
    if misspelt_header(diagnostics, top) {
        return true;
    }
    let mut told: Vec<&str> = Vec::new();
    for place in standing(diagnostics, top) {
        if !top.contains_key("title")
            && let Some((title, _)) = place.table.get_key_value("title")
        {
            told.push("title");
            diagnostics.add(
                title.span(),
                format!("`title` stands {}, but belongs above all headers", place.label),
                "move this line up, to the beginning of the file",
            );
        }
        for (name, span, table) in strangers(top, &place) {
            if told.contains(&table) {
                continue;
            }
            told.push(table);
            let what =
                format!("`{}` stands {}, but belongs to `[{table}]`", short(name), place.label);
            match top.get(table) {
                None => diagnostics.add(
                    span,
                    format!("{what}, a header that this file has not"),
                    format!("is the line `[{table}]` missing above this one? Write it there"),
                ),
                Some(there) => {
                    let line = diagnostics.line(there.span().start);
                    let or = place.head.as_ref().map_or_else(String::new, |head| {
                        let at = diagnostics.line(head.start);
                        format!(", or `[{}]` ({at}) to where it belongs, if that stands in the wrong place", place.name)
                    });
                    diagnostics.add(span, what, format!("move it below `[{table}]` ({line}){or}"));
                }
            }
        }
    }
    !told.is_empty() || cut_off(diagnostics, top)
}

/// Tells of headers that are misspelt.
fn misspelt_header(diagnostics: &mut Diagnostics<'_>, top: &DeTable<'_>) -> bool {
    let absent = || TOP.iter().copied().filter(|t| !top.contains_key(*t));
    let tables = in_order(top).into_iter().filter(|(name, _, node)| {
        !TOP.contains(name) && matches!(node.get_ref(), DeValue::Table(_))
    });
    let mut any = false;
    for (name, span, _) in tables.take(MOST_LOOKED_AT) {
        if let Some(near) = suggest::nearest(name, absent()) {
            any = true;
            diagnostics.add(
                span,
                format!("a scenario has no table `[{}]`", short(name)),
                format!("did you mean `[{near}]`?"),
            );
        }
    }
    any
}

/// What stands in a table and belongs to another: each with that one. Single keys that are there too, as most words of
/// one's own, are left to the reader of their table.
fn strangers<'t>(
    top: &DeTable<'_>,
    place: &Standing<'t, '_>,
) -> Vec<(&'t str, Range<usize>, &'static str)> {
    let absent = |t: &str| !top.contains_key(t) && !misspelt(t, &[top]);
    let keys: Vec<_> = TOP.iter().map(|t| (*t, keys_under(t))).collect();
    let strange: Vec<_> = in_order(place.table)
        .into_iter()
        .filter(|(name, _, node)| match node.get_ref() {
            DeValue::Table(_) if place.named => true,
            _ => !place.known.contains(name),
        })
        .take(MOST_LOOKED_AT)
        .collect();
    let held = |keys: &[&str]| strange.iter().filter(|(name, ..)| keys.contains(name)).count();
    let keys: Vec<_> = keys.iter().map(|(t, keys)| (*t, keys, held(keys))).collect();
    // Of a table that is there too: much of what it lacks itself, or what cannot stand here in any form.
    let lacks = |t: &str, name: &str| match top.get(t).map(|n| n.get_ref()) {
        Some(DeValue::Table(table)) => !table.contains_key(name),
        _ => false,
    };
    let belongs = |name: &str, node: &Node<'_>| -> Option<&'static str> {
        if let DeValue::Table(entry) = node.get_ref() {
            let like = looks_like(entry);
            // A part without its joint is one still, and a template with one is told as such.
            return like.filter(|t| match (place.name, *t) {
                ("parts", t) => t == "supplies",
                ("like", "parts") => {
                    absent("parts") || (entry.contains_key("like") && entry.contains_key("from"))
                }
                (name, t) => name != t,
            });
        }
        if suggest::nearest(name, place.known.iter().copied()).is_some() {
            return None;
        }
        let may = keys.iter().filter(|(t, keys, held)| {
            let missed = || place.named || *held > 1 || needs(t, name);
            keys.contains(&name) && (absent(t) || (lacks(t, name) && missed()))
        });
        may.rev().max_by_key(|(t, _, held)| (absent(t), *held)).map(|(t, ..)| *t)
    };
    let found = strange.iter().filter_map(|(name, span, node)| {
        belongs(name, node).map(|table| (*name, span.clone(), table))
    });
    found.collect()
}

/// Where most of what must be there is missing, that is all that is told; true if so.
fn cut_off(diagnostics: &mut Diagnostics<'_>, top: &DeTable<'_>) -> bool {
    const FEW: usize = 3;
    let missing: Vec<String> = needed()
        .filter(|t| !top.contains_key(*t) && !misspelt(t, &[top]))
        .map(|t| format!("`[{t}]`"))
        .collect();
    // Without the last two, the parts are likely to lack their ends too.
    let last = ["supplies", "procedure"].iter().all(|t| missing.contains(&format!("`[{t}]`")));
    if missing.len() <= FEW && !last {
        return false;
    }
    diagnostics.add(
        diagnostics.end(),
        format!("the file has no {}", missing.join(", ")),
        "is it cut off, or another kind of file? Add what is missing, or start from one of the scenarios that come with the program",
    );
    true
}

/// Where a second reservoir is described: `[[reservoir]]`, `[reservoir.front]`, `[reservoir_2]`.
fn another_reservoir(top: &DeTable<'_>) -> Option<Range<usize>> {
    let node = top.get("reservoir")?;
    match node.get_ref() {
        DeValue::Array(list) => {
            return Some(list.get(1).map_or_else(|| node.span(), |second| second.span()));
        }
        DeValue::Table(table) => {
            let known = keys_under("reservoir");
            let inner = in_order(table).into_iter().find(|(name, _, node)| {
                matches!(node.get_ref(), DeValue::Table(_)) && !known.contains(name)
            });
            if let Some((_, span, _)) = inner {
                return Some(span);
            }
        }
        _ => {}
    }
    let named = |name: &str| name != "reservoir" && name.to_lowercase().contains("reservoir");
    let other = in_order(top)
        .into_iter()
        .find(|(name, _, node)| named(name) && matches!(node.get_ref(), DeValue::Table(_)));
    other.map(|(_, span, _)| span)
}
