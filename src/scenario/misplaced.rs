//! What stands under the wrong header: most often because the line with its own header is gone.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::homes::{keys_of_entries, keys_under, needs};
use super::mistake::Diagnostics;
use super::parts::kind_of;
use super::sections::{Node, in_order, misspelt, short};
use super::suggest;
use super::tables::{TABLES, TOP};
use crate::{parts, supply};

/// What to do where somebody describes several reservoirs.
pub(crate) const ONE_RESERVOIR: &str = "a scenario has one `[reservoir]`: name what it feeds in `outlets = [\"primary\", \"secondary\"]`, with `compartment = \"35 mL\"` for the volume of each below the dividing wall; brakes with a reservoir of their own, as on a motorcycle, are a scenario of their own";

/// Entries of one table that are looked at: more than this, and the file is no scenario anyway.
const MOST_LOOKED_AT: usize = 200;
/// Tables whose keys are names that the user gives.
const NAMED: [&str; 3] = ["like", "parts", "supplies"];

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

/// The key of any table that a word is, or is meant to be.
pub(crate) fn known_key(word: &str) -> Option<&'static str> {
    let all = || TOP.iter().flat_map(|t| keys_under(t)).chain(keys_of_entries());
    all().find(|k| *k == word).or_else(|| suggest::nearest(word, all()))
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
}

/// Every table of the file with a header of its own.
fn standing<'t, 'i>(top: &'t DeTable<'i>) -> Vec<Standing<'t, 'i>> {
    let mut all = vec![Standing {
        name: "",
        label: "above all headers".to_owned(),
        table: top,
        known: TOP.to_vec(),
        named: false,
    }];
    for (name, _, node) in in_order(top) {
        let DeValue::Table(table) = node.get_ref() else { continue };
        let named = NAMED.contains(&name);
        let known = keys_under(name);
        if !named && known.is_empty() {
            continue;
        }
        all.push(Standing { name, label: format!("in `[{name}]`"), table, known, named });
        for (own, _, entry) in in_order(table).into_iter().filter(|_| named) {
            if let DeValue::Table(entry) = entry.get_ref() {
                let label = format!("in `[{name}.{}]`", short(own));
                let known = keys_of_entries();
                all.push(Standing { name: "", label, table: entry, known, named: false });
            }
        }
    }
    all
}

/// Which of the tables of entries an entry looks like one of.
fn looks_like(entry: &DeTable<'_>) -> Option<&'static str> {
    let kind = match entry.get("kind").map(|n| n.get_ref()) {
        Some(DeValue::String(kind)) => Some(kind.as_ref()),
        _ => None,
    };
    let part = kind.is_some_and(|k| kind_of(k, parts::Kind::all(), |k| k.spec().called()).is_ok());
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
    if split_block(diagnostics, top) {
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
    for place in standing(top) {
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
                    diagnostics.add(
                        span,
                        what,
                        format!(
                            "move it below `[{table}]` ({line}); if much stands in the wrong place, a header does"
                        ),
                    );
                }
            }
        }
    }
    !told.is_empty() || cut_off(diagnostics, top)
}

/// Tells of a block that landed among the lines of the one above it, so that the rest of those count as its own.
fn split_block(diagnostics: &mut Diagnostics<'_>, top: &DeTable<'_>) -> bool {
    let mut blocks = headed(diagnostics, top);
    blocks.sort_by_key(|b| b.span.start);
    for pair in blocks.windows(2) {
        let [above, block] = pair else { continue };
        let (of, label) = (above.of, &block.label);
        // A part without its joint looks like a template.
        if of == block.of || (of, block.of) == ("like", "parts") {
            continue;
        }
        let keys = keys_under(of);
        // Of two of a kind, as the fluids, nobody can tell.
        if keys.iter().any(|k| block.known.contains(k)) {
            continue;
        }
        let entries = in_order(block.table);
        let strange = |(name, _, node): &(&str, Range<usize>, &Node<'_>)| match node.get_ref() {
            DeValue::Table(entry) if NAMED.contains(&of) => {
                let like = looks_like(entry);
                !block.known.contains(name) && like == Some(of) && like != Some(block.of)
            }
            _ => !block.named && keys.contains(name) && !above.table.contains_key(*name),
        };
        let Some(first) = entries.iter().position(strange) else { continue };
        // From there on all is of the block above.
        let rest = &entries[first..];
        let all = rest.iter().all(strange);
        // One template with a joint is told as such.
        let single = block.of == "like" && rest.len() == 1;
        if !all || single || (first == 0 && block.named) {
            continue;
        }
        let (head, line) = (diagnostics.line(above.span.start), diagnostics.line(rest[0].1.start));
        let own = if first == 0 { "" } else { ", with its own keys," };
        diagnostics.add(
            block.span.clone(),
            format!(
                "the block `[{label}]` splits `[{of}]`: what stands from {line} on, `{}`, belongs to `[{of}]`",
                short(rest[0].0)
            ),
            format!("move `[{label}]`{own} above `[{of}]` ({head})"),
        );
        return true;
    }
    false
}

/// A table with a header of its own.
struct Headed<'t, 'i> {
    /// The table at the top of the file that it is, or belongs to.
    of: &'t str,
    /// What stands between the brackets.
    label: String,
    span: Range<usize>,
    table: &'t DeTable<'i>,
    known: Vec<&'static str>,
    /// Whether any name may stand in it for a table.
    named: bool,
}

fn headed<'t, 'i>(diagnostics: &Diagnostics<'_>, top: &'t DeTable<'i>) -> Vec<Headed<'t, 'i>> {
    let mut all = Vec::new();
    for (of, _, node) in in_order(top) {
        let DeValue::Table(table) = node.get_ref() else { continue };
        let named = NAMED.contains(&of);
        let known = keys_under(of);
        let whole = diagnostics.is_header(node.span());
        if whole && (named || !known.is_empty()) {
            let label = of.to_owned();
            all.push(Headed { of, label, span: node.span(), table, known, named });
        }
        for (own, _, entry) in in_order(table).into_iter().filter(|_| named) {
            if let DeValue::Table(table) = entry.get_ref()
                && diagnostics.is_header(entry.span())
            {
                let (label, known) = (format!("{of}.{}", short(own)), keys_of_entries());
                all.push(Headed { of, label, span: entry.span(), table, known, named: false });
            }
        }
    }
    all
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
