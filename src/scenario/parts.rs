//! `[parts]`: tables whose keys depend on their kind.

use std::collections::BTreeSet;
use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::derived;
use super::kinds::{called, entries, keys_of, kind_at, kind_of, text_at, word};
use super::limits::MOST_PARTS;
use super::mistake::Diagnostics;
use super::model::Part;
use super::names;
use super::sections::{self, Named, Node, Placed};
use super::suggest;
use super::templates::Templates;
use super::unknown_keys;
use super::wrong_kind;
use crate::keys::{Ends, KindSpec};
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
        Some(_) => wrong_kind::other_template(&name.name, table, kind, &templates.kinds()),
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
    let has_pistons = keys.iter().any(|k| k.name == "pistons");
    let says = |key: &str| layers.iter().any(|layer| layer.contains_key(key));
    let says_pads = says("pistons") || says("new_pads");
    let lacks_pads = missing.contains(&"new_pads");
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
    if has_pistons && (says_pads || lacks_pads && !lacks.contains(&"new_pads")) {
        derived::caliper(diagnostics, &mut placed);
    }
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
