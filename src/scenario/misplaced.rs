//! What stands under the wrong header: most often because the line with its own header is gone.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::mistake::Diagnostics;
use super::parts::kind_of;
use super::sections::{Node, in_order, misspelt, short};
use super::steps::STEP_LISTS;
use super::suggest;
use super::tables::{TABLES, TOP, Tasks};
use super::verbs::VERBS;
use crate::keys::keys_of;
use crate::keys::table::keys_in;
use crate::{parts, supply};

/// What to do where somebody describes several reservoirs.
pub(crate) const ONE_RESERVOIR: &str = "a scenario has one `[reservoir]`: name what it feeds in `outlets = [\"primary\", \"secondary\"]`, with `compartment = \"35 mL\"` for the volume of each below the dividing wall; brakes with a reservoir of their own, as on a motorcycle, are a scenario of their own";

/// Keys of parts and supplies that are no quantities.
const JOINTS: [&str; 5] = ["kind", "like", "from", "to", "bleeders"];
/// Tables whose keys are names that the user gives.
const NAMED: [&str; 3] = ["like", "parts", "supplies"];

/// The keys of a table of this name; none for a table whose keys are names.
fn keys_under(table: &str) -> Vec<&'static str> {
    if table == "procedure" {
        return keys_of::<Tasks>().iter().map(|k| k.name).chain(STEP_LISTS).collect();
    }
    let fixed = TABLES.iter().find(|t| t.name == table);
    fixed.map_or_else(Vec::new, |t| (t.keys)().iter().map(|k| k.name).collect())
}

/// Every key that some part or supply takes.
fn keys_of_entries() -> Vec<&'static str> {
    let parts = parts::Kind::all().iter().flat_map(|k| keys_in(&mut *k.clone()));
    let supplies = supply::Kind::all().iter().flat_map(|k| keys_in(&mut *k.clone()));
    parts.chain(supplies).map(|k| k.name).chain(JOINTS).collect()
}

/// What a key that stands elsewhere belongs to, in words; `None` if it is no key at all.
pub(crate) fn home(key: &str) -> Option<String> {
    let tables = TOP.iter().filter(|t| keys_under(t).contains(&key));
    let mut homes: Vec<String> = tables.map(|t| format!("`[{t}]`")).collect();
    let kinds = parts::Kind::all()
        .iter()
        .filter(|k| keys_in(&mut *(*k).clone()).iter().any(|own| own.name == key));
    let kinds: Vec<String> = kinds.map(|k| format!("a {}", k.spec().name)).collect();
    let supplies = supply::Kind::all()
        .iter()
        .filter(|k| keys_in(&mut *(*k).clone()).iter().any(|own| own.name == key));
    let supplies = supplies.map(|k| format!("a supply of kind {}", k.word()));
    homes.extend(if kinds.len() > 4 { vec!["some parts".to_owned()] } else { kinds });
    homes.extend(supplies);
    match VERBS.iter().any(|v| v.name == key) {
        true if homes.is_empty() => Some("a step, as in `before = [{ … }]`".to_owned()),
        _ => (!homes.is_empty() && homes.len() <= 4).then(|| homes.join(", ")),
    }
}

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

/// A table of the file, what it is called, and what may stand in it.
struct Standing<'t, 'i> {
    label: String,
    table: &'t DeTable<'i>,
    known: Vec<&'static str>,
    /// Whether any name may stand in it for a table.
    named: bool,
}

/// Every table of the file with a header of its own.
fn standing<'t, 'i>(top: &'t DeTable<'i>) -> Vec<Standing<'t, 'i>> {
    let mut all = vec![Standing {
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
        all.push(Standing { label: format!("in `[{name}]`"), table, known, named });
        for (own, _, entry) in in_order(table).into_iter().filter(|_| named) {
            if let DeValue::Table(entry) = entry.get_ref() {
                let label = format!("in `[{name}.{}]`", short(own));
                let known = keys_of_entries();
                all.push(Standing { label, table: entry, known, named: false });
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

/// Tells of headers that are missing and of several reservoirs; true if there was any of it, since everything
/// else that is then wrong with the file may follow from that alone.
pub(crate) fn report(diagnostics: &mut Diagnostics<'_>, top: &DeTable<'_>) -> bool {
    if let Some(span) = another_reservoir(top) {
        diagnostics.add(span, "the file describes more than one reservoir", ONE_RESERVOIR);
        return true;
    }
    let absent = |t: &str| !top.contains_key(t) && !misspelt(t, &[top]);
    let mut lost: Vec<&str> = Vec::new();
    for place in standing(top) {
        let strange: Vec<_> = in_order(place.table)
            .into_iter()
            .filter(|(name, _, node)| match node.get_ref() {
                DeValue::Table(_) if place.named => true,
                _ => !place.known.contains(name),
            })
            .collect();
        let belongs = |name: &str, node: &Node<'_>| -> Option<&'static str> {
            let by_form = match node.get_ref() {
                DeValue::Table(entry) => looks_like(entry),
                _ => None,
            };
            by_form.filter(|t| absent(t)).or_else(|| {
                if suggest::nearest(name, place.known.iter().copied()).is_some() {
                    return None;
                }
                let keys = |t: &str| keys_under(t);
                let held =
                    |t: &str| strange.iter().filter(|(name, ..)| keys(t).contains(name)).count();
                let may = TOP.iter().copied().filter(|t| absent(t) && keys(t).contains(&name));
                may.rev().max_by_key(|t| held(t))
            })
        };
        for (name, span, node) in &strange {
            let Some(table) = belongs(name, node) else { continue };
            if lost.contains(&table) {
                continue;
            }
            lost.push(table);
            diagnostics.add(
                span.clone(),
                format!(
                    "`{}` stands {}, but belongs to `[{table}]`, a header that this file has not",
                    short(name),
                    place.label
                ),
                format!("is the line `[{table}]` missing above this one? Write it there"),
            );
        }
    }
    !lost.is_empty()
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
