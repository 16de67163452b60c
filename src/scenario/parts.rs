//! `[parts]`: tables whose keys depend on their kind.

use std::collections::BTreeSet;
use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::limits::MOST_PARTS;
use super::mistake::{Diagnostics, Wrong};
use super::model::Part;
use super::names;
use super::sections::{self, Named, Node, Placed};
use super::suggest;
use super::templates::Templates;
use super::unknown_keys;
use super::wrong_kind;
use crate::keys::kind::Called;
use crate::keys::table::keys_in;
use crate::keys::words::folded;
use crate::keys::{Ends, Key, KindSpec};
use crate::parts::Kind;

/// Names that reports use for something else.
const TAKEN: [&str; 3] = ["reservoir", "new fluid", "clear hose"];

/// A part as read, before its references are checked.
#[derive(Debug)]
pub(crate) struct RawPart {
    pub(crate) name: Named,
    pub(crate) kind: &'static Kind,
    pub(crate) spec: KindSpec,
    /// Where it starts from; empty if that was wrong.
    pub(crate) from: Vec<Named>,
    pub(crate) to: Option<Named>,
    pub(crate) bleeders: Vec<Named>,
    pub(crate) placed: Placed,
}

impl RawPart {
    pub(crate) fn into_part(self) -> Part {
        let bare = |list: Vec<Named>| list.into_iter().map(|n| n.name).collect();
        let mut kind = self.kind.clone();
        let written = self.placed.section.fill(&mut *kind);
        Part {
            name: self.name.name,
            kind,
            from: bare(self.from),
            to: self.to.map(|n| n.name),
            bleeders: bare(self.bleeders),
            written,
        }
    }
}

pub(super) fn word(kind: &Kind) -> &'static str {
    kind.spec().name
}

pub(super) fn keys_of(kind: &Kind) -> Vec<Key> {
    keys_in(&mut *kind.clone())
}

/// Tells of a part that says neither its kind nor what it is like.
fn no_kind(
    diagnostics: &mut Diagnostics<'_>,
    name: &Named,
    table: &DeTable<'_>,
    templates: &Templates<'_, '_>,
) {
    const OTHERS: &[&str] = &["kind", "like", "from", "to", "bleeders"];
    let is_template = |word: &str| templates.find(word).is_some();
    let is_kind = |word: &str| kind_of(word, Kind::all(), called).is_ok();
    let place = format!("part `{}`", name.name);
    // A misspelt key is told.
    if unknown_keys::told_misspelt(diagnostics, table, "a part", (&["kind", "like"], OTHERS))
        || unknown_keys::told_by_value(
            diagnostics,
            table,
            &place,
            &[("like", &is_template), ("kind", &is_kind)],
            &OTHERS[2..],
        )
    {
        return;
    }
    diagnostics.add(
        name.span.clone(),
        format!("{place} says neither its `kind` nor what it is `like`"),
        suggest::remedy("", Kind::all().iter().map(word), "add `kind = \"…\"`; kinds"),
    );
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
fn text_at<'t>(
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

/// Reads `[like]` and `[parts]`; false if a part or one of its joints had to be dropped, so that
/// references can't be judged.
pub(crate) fn read_parts(
    diagnostics: &mut Diagnostics<'_>,
    like: Option<&Node<'_>>,
    parts: Option<&Node<'_>>,
) -> (Vec<RawPart>, bool) {
    let templates = Templates::read(diagnostics, like, parts);
    let example = "`RR = { kind = \"caliper\", from = \"hose RR\" }` below `[parts]`";
    let mut out = Vec::new();
    let entries = entries(diagnostics, parts, ("parts", MOST_PARTS), example);
    let mut whole = match parts.map(|n| n.get_ref()) {
        Some(DeValue::Table(t)) => t.len() == entries.len(),
        _ => true,
    };
    // Templates that are not there, each told where it is first named.
    let mut told = BTreeSet::new();
    for (name, span, table) in entries {
        match read_part(diagnostics, name, span, table, &templates, &mut told) {
            Some(part) => {
                whole &= !part.from.is_empty();
                whole &= part.to.is_some() == table.contains_key("to");
                whole &= !(part.spec.bleeds && part.bleeders.is_empty());
                out.push(part);
            }
            None => whole = false,
        }
        if diagnostics.full() {
            break;
        }
    }
    (out, whole)
}

fn read_part(
    diagnostics: &mut Diagnostics<'_>,
    name: &str,
    span: Range<usize>,
    table: &DeTable<'_>,
    templates: &Templates<'_, '_>,
    told: &mut BTreeSet<String>,
) -> Option<RawPart> {
    let name = names::name(diagnostics, name, span.clone())?;
    if TAKEN.contains(&name.name.as_str()) {
        diagnostics.add(
            span.clone(),
            format!("a part can't be called `{}`", name.name),
            "choose another name; reports use this one for something else",
        );
        return None;
    }
    let mut layers = vec![table];
    // Of a template, what it lacks has been told there.
    let mut of_template: &[&str] = &[];
    let kind = match (table.contains_key("like"), table.contains_key("kind")) {
        (true, both) => {
            let (word, at) = text_at(diagnostics, table, "like")?;
            let Some(template) = templates.find(word) else {
                if told.insert(word.to_owned()) {
                    diagnostics.add_wrong(at, templates.none(diagnostics, word));
                }
                return None;
            };
            if both {
                diagnostics.add(
                    at.clone(),
                    format!("part `{}` has both `like` and `kind`", name.name),
                    "leave out `kind`: the template says it",
                );
            }
            layers.push(template.table);
            of_template = &template.lacks;
            template.kind?
        }
        (false, true) => kind_at(diagnostics, table, Kind::all(), called)?,
        (false, false) => {
            no_kind(diagnostics, &name, table, templates);
            return None;
        }
    };
    let other = match layers.get(1) {
        None => wrong_kind::other_kind(&name.name, table, kind),
        Some(_) => wrong_kind::other_template(&name.name, table, kind, templates),
    };
    // Without its joint nothing can be said of all the rest.
    if let Some((at, wrong)) = other.filter(|_| table.contains_key("from")) {
        diagnostics.add_wrong(at, wrong);
        return None;
    }
    let (spec, keys) = (kind.spec(), keys_of(kind));
    let mut known = vec!["kind", "like", "from"];
    if spec.ends == Ends::Through {
        known.push("to");
    }
    if spec.bleeds {
        known.push("bleeders");
    }
    known.extend(keys.iter().map(|k| k.name));
    let mut missing = sections::missing(&layers, &keys);
    missing.retain(|key| !of_template.contains(key));
    if !table.contains_key("from") && !sections::misspelt("from", &[table]) {
        missing.push("from");
    }
    let place = format!("a part of kind {}", spec.name);
    let mut lacks = unknown_keys::refuse_unknown(diagnostics, table, &place, &known, &missing);
    lacks.extend(of_template);
    let mut placed = sections::read_section(
        diagnostics,
        &format!("part `{}`", name.name),
        span.clone(),
        &layers,
        keys.iter().copied(),
        (true, &lacks),
    );
    placed.strange = unknown_keys::strange(table, &known);
    placed.section.written.name = format!("parts.{}", name.name);
    let from = match table.get("from") {
        Some(node) => names::names(diagnostics, node, "from").unwrap_or_default(),
        // A misspelt key has been told already.
        None if lacks.contains(&"from") || !missing.contains(&"from") => Vec::new(),
        None => {
            diagnostics.add(
                span.clone(),
                format!("part `{}` does not say where its fluid comes from", name.name),
                "add `from = \"…\"` with the name of a part or of a chamber of the master cylinder",
            );
            Vec::new()
        }
    };
    let to = match table.get("to").filter(|_| spec.ends == Ends::Through) {
        Some(node) => match names::names(diagnostics, node, "to").unwrap_or_default().as_slice() {
            [one] => Some(one.clone()),
            [] => None,
            _ => {
                diagnostics.add(
                    node.span(),
                    "`to` names several parts",
                    "write one name: that of a tee or chamber",
                );
                None
            }
        },
        None => None,
    };
    let bleeders = match table.get("bleeders") {
        _ if !spec.bleeds => Vec::new(),
        Some(node) => names::names(diagnostics, node, "bleeders").unwrap_or_default(),
        None => vec![name.clone()],
    };
    Some(RawPart { name, kind, spec, from, to, bleeders, placed })
}
