//! `[like]`: what parts have in common.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::derived;
use super::kinds::{called, entries, keys_of, kind_at, kind_of, word};
use super::limits::MOST_PARTS;
use super::mistake::{Diagnostics, Wrong};
use super::sections::{self, Node, short};
use super::suggest;
use super::unknown_keys;
use super::wrong_kind;
use crate::keys::{Key, Place};
use crate::parts::Kind;

/// A template: its kind, if that is known, and its table.
pub(super) struct Template<'t, 'i> {
    pub(super) name: &'t str,
    pub(super) kind: Option<&'static Kind>,
    pub(super) table: &'t DeTable<'i>,
    /// Keys that it must give to the parts like it and has not, which have been told.
    pub(super) lacks: Vec<&'static str>,
}

/// All of them.
pub(super) struct Templates<'t, 'i> {
    pub(super) all: Vec<Template<'t, 'i>>,
    head: Option<Range<usize>>,
}

/// The names below `[like]`.
pub(crate) fn names_of_templates<'t>(top: &'t DeTable<'_>) -> Vec<&'t str> {
    match top.get("like").map(|n| n.get_ref()) {
        Some(DeValue::Table(table)) => table.keys().map(|k| k.get_ref().as_ref()).collect(),
        _ => Vec::new(),
    }
}

/// The parts that are like a template.
fn users<'t, 'i>(parts: Option<&'t Node<'i>>, template: &str) -> Vec<&'t DeTable<'i>> {
    let Some(DeValue::Table(parts)) = parts.map(|n| n.get_ref()) else { return Vec::new() };
    let like = |table: &&DeTable<'_>| matches!(table.get("like").map(|n| n.get_ref()), Some(DeValue::String(s)) if *s == template);
    let tables = parts.values().filter_map(|n| match n.get_ref() {
        DeValue::Table(table) => Some(table),
        _ => None,
    });
    tables.filter(like).collect()
}

impl<'t, 'i> Templates<'t, 'i> {
    /// Reads `[like]`; what it must hold follows from `[parts]`.
    pub(super) fn read(
        diagnostics: &mut Diagnostics<'_>,
        like: Option<&'t Node<'i>>,
        parts: Option<&Node<'_>>,
    ) -> Self {
        let example = "`[like.tube]` with `kind = \"line\"` below it";
        let entries = entries(diagnostics, like, ("like", MOST_PARTS), example);
        let all = entries
            .into_iter()
            .map(|(name, span, table)| read(diagnostics, (name, span), table, parts))
            .collect();
        Self { all, head: like.map(|n| n.span()) }
    }

    pub(super) fn find(&self, name: &str) -> Option<&Template<'t, 'i>> {
        self.all.iter().find(|t| t.name == name)
    }

    /// Their names and kinds.
    pub(super) fn kinds(&self) -> Vec<(&'t str, Option<&'static Kind>)> {
        self.all.iter().map(|t| (t.name, t.kind)).collect()
    }

    /// What to do about a `like` that names no template.
    pub(super) fn none(&self, diagnostics: &Diagnostics<'_>, written: &str) -> Wrong {
        let what = format!("there is no template `{}`", short(written));
        let names = || self.all.iter().map(|t| t.name);
        if suggest::nearest(written, names()).is_some() {
            return Wrong::new(what, suggest::remedy(written, names(), ""));
        }
        if kind_of(written, Kind::all(), called).is_ok() {
            let remedy = format!("that is a kind: write `kind = \"{}\"`", short(written));
            return Wrong::new(what, remedy);
        }
        let below = match self.head.as_ref().map(|head| diagnostics.line(head.start)) {
            Some(at @ Place::Line(_)) => format!("below `[like]` ({at})"),
            _ => "below `[like]`".to_owned(),
        };
        let add = format!("add `{}`, with its kind and keys, {below}", short(written));
        let remedy = match self.all.is_empty() {
            true => add,
            false => {
                format!("{}; or {add}", suggest::remedy("", names(), "name one that is there"))
            }
        };
        Wrong::new(what, remedy)
    }
}

fn read<'t, 'i>(
    diagnostics: &mut Diagnostics<'_>,
    (name, span): (&'t str, Range<usize>),
    table: &'t DeTable<'i>,
    parts: Option<&Node<'_>>,
) -> Template<'t, 'i> {
    let none = Template { name, kind: None, table, lacks: Vec::new() };
    if let Some(like) = table.get("like") {
        let is_kind = |n: &Node<'_>| match n.get_ref() {
            // Another word for a kind, as "tube", may well be a template's name.
            DeValue::String(written) => Kind::all().iter().any(|k| word(k) == *written),
            _ => false,
        };
        let remedy = match table.contains_key("kind") {
            true => "delete it, or write the key that is meant",
            false if is_kind(like) => "write `kind` instead of `like`",
            false => "say `kind = \"…\"` instead, and write here what the other template says",
        };
        diagnostics.add(
            like.span(),
            format!(
                "the template `{}` has a key `like`, but that belongs to parts: templates take nothing from one another",
                short(name)
            ),
            remedy,
        );
        return none;
    }
    let kind = kind_at(diagnostics, table, Kind::all(), called);
    if let Some((at, wrong)) = kind.and_then(|k| wrong_kind::other_kind(name, table, k)) {
        diagnostics.add_wrong(at, wrong);
        return none;
    }
    let Some(kind) = kind else {
        if !table.contains_key("kind") {
            no_kind(diagnostics, name, span, table);
        }
        return none;
    };
    for own in ["from", "to", "bleeders"] {
        if let Some(node) = table.get(own) {
            diagnostics.add(
                node.span(),
                format!("`{own}` belongs to each part, not to a template"),
                format!("move `{own}` to the parts"),
            );
        }
    }
    let keys = keys_of(kind);
    let known: Vec<_> =
        ["kind", "from", "to", "bleeders"].into_iter().chain(keys.iter().map(|k| k.name)).collect();
    // What each part like it may say itself is missing where none of them does.
    let users = users(parts, name);
    let mut lacks = if users.is_empty() { Vec::new() } else { sections::missing(&[table], &keys) };
    let says = |t: &DeTable<'_>, key: &str| {
        t.contains_key(key)
            || sections::misspelt(key, &[t])
            || derived::follows_from(key).is_some_and(|from| t.contains_key(from))
    };
    lacks.retain(|key| !users.iter().any(|t| says(t, key)));
    let place = format!("a template of kind {}", word(kind));
    let told = unknown_keys::refuse_unknown(diagnostics, table, &place, &known, &lacks);
    sections::read_section(
        diagnostics,
        name,
        span.clone(),
        &[table],
        keys.iter().copied(),
        (false, &[]),
    );
    for key in keys.iter().filter(|k| lacks.contains(&k.name) && !told.contains(&k.name)) {
        tell_lack(diagnostics, name, span.clone(), key);
    }
    Template { name, kind: Some(kind), table, lacks }
}

fn no_kind(diagnostics: &mut Diagnostics<'_>, name: &str, span: Range<usize>, table: &DeTable<'_>) {
    let is_kind = |word: &str| kind_of(word, Kind::all(), called).is_ok();
    let place = format!("the template `{}`", short(name));
    if unknown_keys::told_misspelt(diagnostics, table, "a template", (&["kind"], &[]))
        || unknown_keys::told_by_value(diagnostics, table, &place, &[("kind", &is_kind)], &[])
    {
        return;
    }
    diagnostics.add(
        span,
        format!("{place} does not say its kind"),
        suggest::remedy("", Kind::all().iter().map(word), "add `kind = \"…\"`; kinds"),
    );
}

fn tell_lack(diagnostics: &mut Diagnostics<'_>, name: &str, span: Range<usize>, key: &Key) {
    diagnostics.add(
        span,
        format!("the template `{}` lacks `{}`, and so do the parts like it", short(name), key.name),
        format!("add {} to the template: {}", sections::example(key), key.doc),
    );
}
