//! Headers that stand too high or too low, so that lines count as another table's, told by whose lines those are.

use std::collections::BTreeSet;
use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::homes::{keys_of_entries, keys_under};
use super::misplaced::{NAMED, looks_like};
use super::mistake::Diagnostics;
use super::sections::{Node, in_order, short};
use crate::sorting;

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

/// A line of a table: the key, where it stands, its value.
type Entry<'t, 'i> = (&'t str, Range<usize>, &'t Node<'i>);

/// What parts are like, by the names that they give.
fn templates_named<'t>(top: &'t DeTable<'_>) -> BTreeSet<&'t str> {
    let tables = top.values().filter_map(|n| match n.get_ref() {
        DeValue::Table(table) => Some(table.values()),
        _ => None,
    });
    let like = |n: &'t Node<'_>| match n.get_ref() {
        DeValue::Table(entry) => match entry.get("like")?.get_ref() {
            DeValue::String(name) => Some(name.as_ref()),
            _ => None,
        },
        _ => None,
    };
    tables.flatten().filter_map(like).collect()
}

/// Whether a line that stands in `here` can't be its own, and can be one of `home`.
fn belongs(
    (name, _, node): &Entry<'_, '_>,
    here: &Headed<'_, '_>,
    home: &Headed<'_, '_>,
    templates: &BTreeSet<&str>,
) -> bool {
    if here.known.contains(name) {
        return false;
    }
    match node.get_ref() {
        DeValue::Table(entry) if NAMED.contains(&home.of) => match (looks_like(entry), here.of) {
            // A part without its joint looks like a template.
            (Some("like"), "parts") => home.of == "like" && templates.contains(name),
            (Some("parts"), "like") => home.of == "parts" && entry.contains_key("from"),
            (like, of) => like == Some(home.of) && like != Some(of),
        },
        DeValue::Table(_) if here.named => false,
        _ => home.known.contains(name) && !home.table.contains_key(*name),
    }
}

/// Tells of a header that stands too low or too high, or of a block that has landed among the lines of the one above it.
pub(super) fn astray(diagnostics: &mut Diagnostics<'_>, top: &DeTable<'_>) -> bool {
    let mut blocks = headed(diagnostics, top);
    sorting::by_key(&mut blocks, |b| b.span.start);
    let templates = templates_named(top);
    blocks.windows(2).any(|pair| {
        let [above, block] = pair else { return false };
        let shared = block.known.iter().filter(|k| above.known.contains(*k)).count();
        // Of two of a kind, as the fluids, nobody can tell.
        above.of != block.of
            && 2 * shared <= block.known.len()
            && (too_low(diagnostics, above, block, &templates)
                || too_high(diagnostics, above, block, &templates))
    })
}

/// The last lines of `above` are the block's.
fn too_low(
    diagnostics: &mut Diagnostics<'_>,
    above: &Headed<'_, '_>,
    block: &Headed<'_, '_>,
    templates: &BTreeSet<&str>,
) -> bool {
    let entries = in_order(above.table);
    let before: Vec<_> = entries.iter().filter(|e| e.1.start < block.span.start).collect();
    let strange = |e: &&&Entry<'_, '_>| belongs(e, above, block, templates);
    let run = before.iter().rev().take_while(|e| strange(e)).count();
    // A template with a joint is told as such, and a single key where it stands.
    if run < 2 || before.len() != entries.len() {
        return false;
    }
    let (name, at, _) = before[before.len() - run];
    let (head, line) = (diagnostics.line(block.span.start), diagnostics.line(at.start));
    diagnostics.add(
        block.span.clone(),
        format!(
            "the header `[{}]` stands too low: `{}` on {line} and what follows belongs to it, and stands in `[{}]`",
            block.label,
            short(name),
            above.label
        ),
        format!("move the line `[{}]` from {head} up above {line}", block.label),
    );
    true
}

/// The first lines of the block are those of `above`, or its last ones.
fn too_high(
    diagnostics: &mut Diagnostics<'_>,
    above: &Headed<'_, '_>,
    block: &Headed<'_, '_>,
    templates: &BTreeSet<&str>,
) -> bool {
    let entries = in_order(block.table);
    let strange = |e: &Entry<'_, '_>| belongs(e, block, above, templates);
    // What both may hold goes with what stands around it.
    let may = |e: &Entry<'_, '_>| {
        let both = above.known.contains(&e.0) && !above.table.contains_key(e.0);
        strange(e) || (both && block.known.contains(&e.0))
    };
    let Some(first) = entries.iter().position(strange) else { return false };
    let (of, label) = (&above.label, &block.label);
    let head = diagnostics.line(above.span.start);
    let (name, line) = (short(entries[first].0), diagnostics.line(entries[first].1.start));
    let run = entries[first..].iter().take_while(|e| may(e)).count();
    let whole = first + run == entries.len();
    // One template with a joint is told as such.
    if whole && block.of == "like" && of == "parts" && run == 1 {
        return false;
    }
    let (what, remedy) = match (first, whole) {
        (0, false) => {
            let last = diagnostics.line(entries[run - 1].1.start);
            let lines = if run == 1 {
                "belongs".to_owned()
            } else {
                format!("and what follows up to {last} belongs")
            };
            (
                format!(
                    "the header `[{label}]` stands too high: `{name}` on {line} {lines} to `[{of}]`"
                ),
                format!("move the line `[{label}]` down below {last}"),
            )
        }
        (0, true) if block.named => return false,
        (_, true) => {
            let own = if first == 0 { "" } else { ", with its own lines," };
            (
                format!(
                    "the block `[{label}]` splits `[{of}]`: what stands from {line} on, `{name}`, belongs to `[{of}]`"
                ),
                format!("move `[{label}]`{own} above `[{of}]` ({head})"),
            )
        }
        _ => return false,
    };
    diagnostics.add(block.span.clone(), what, remedy);
    true
}
