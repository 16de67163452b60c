//! Parts whose keys suit another kind than the one written.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::kinds::{keys_of, word};
use super::mistake::Wrong;
use super::sections;
use super::suggest;
use crate::keys::{Ends, Key};
use crate::parts::Kind;

/// Whether a part of this kind takes a key.
pub(super) fn takes(kind: &Kind, key: &str) -> bool {
    match key {
        "kind" | "like" | "from" => true,
        "to" => kind.spec().ends == Ends::Through,
        "bleeders" => kind.spec().bleeds,
        key => keys_of(kind).iter().any(|own| own.name == key),
    }
}

/// What to do about keys that the kind of a part does not take and another kind does, if all of its keys suit that one:
/// then it is the kind that is wrong, and what else follows from it is no mistake.
pub(super) fn other_kind(
    name: &str,
    table: &DeTable<'_>,
    kind: &Kind,
) -> Option<(Range<usize>, Wrong)> {
    let written = sections::in_order(table);
    let strange: Vec<_> = written.iter().filter(|(key, ..)| !takes(kind, key)).collect();
    let keys: Vec<Key> = keys_of(kind);
    let misspelt = |key: &str| suggest::nearest(key, keys.iter().map(|k| k.name)).is_some();
    // "steel" is no tee.
    let words = format!(" {} ", name.to_lowercase().replace(['_', '-'], " "));
    let called_so = |k: &Kind| words.contains(&format!(" {} ", word(k)));
    let Some((_, at, _)) = strange.first() else {
        // A part called after another kind, and lacking what its own needs.
        let part = table.contains_key("from");
        let lacks = if part { sections::missing(&[table], &keys) } else { Vec::new() };
        let whole = |k: &&Kind| called_so(k) && sections::missing(&[table], &keys_of(k)).is_empty();
        let named = Kind::all().iter().filter(whole).find(|_| !called_so(kind))?;
        let (own, node, lack) = (word(kind), table.get("kind")?, lacks.first()?);
        return Some((
            node.span(),
            Wrong::new(
                format!("`{name}`, of kind {own}, lacks `{lack}`"),
                format!(
                    "should it be of kind \"{}\", as its name says? If it is a {own}, add `{lack}`",
                    word(named)
                ),
            ),
        ));
    };
    if called_so(kind) || strange.iter().any(|(key, ..)| misspelt(key)) {
        return None;
    }
    let all = |k: &&Kind| written.iter().all(|(key, ..)| takes(k, key));
    let mut fit: Vec<&Kind> = Kind::all().iter().filter(all).collect();
    if fit.iter().any(|k| called_so(k)) {
        fit.retain(|k| called_so(k));
    }
    if fit.is_empty() || fit.len() > 3 {
        return None;
    }
    let quoted = |words: Vec<&str>, quote: char| {
        words.iter().map(|w| format!("{quote}{w}{quote}")).collect::<Vec<_>>().join(" or ")
    };
    let keys = quoted(strange.iter().map(|(key, ..)| *key).collect(), '`');
    let kinds = quoted(fit.iter().map(|k| word(k)).collect(), '"');
    Some((
        at.clone(),
        Wrong::new(
            format!("a {} has no key {keys}", word(kind)),
            format!("should `{name}` be of kind {kinds}? If it is a {}, delete {keys}", word(kind)),
        ),
    ))
}

/// The same of a part whose kind is that of a template, where another template takes all of its keys.
pub(super) fn other_template(
    name: &str,
    table: &DeTable<'_>,
    kind: &Kind,
    templates: &[(&str, Option<&Kind>)],
) -> Option<(Range<usize>, Wrong)> {
    let written = sections::in_order(table);
    let strange: Vec<&str> =
        written.iter().map(|(key, ..)| *key).filter(|key| !takes(kind, key)).collect();
    let own: Vec<Key> = keys_of(kind);
    if strange.iter().any(|key| suggest::nearest(key, own.iter().map(|k| k.name)).is_some()) {
        return None;
    }
    let all = |k: &Kind| written.iter().all(|(key, ..)| takes(k, key));
    let fit = templates.iter().filter(|(_, kind)| kind.is_some_and(all));
    let fit: Vec<&str> = fit.map(|(name, _)| *name).collect();
    if strange.is_empty() || fit.is_empty() || fit.len() > 3 {
        return None;
    }
    let DeValue::String(like) = table.get("like")?.get_ref() else { return None };
    let (own, keys) = (word(kind), suggest::either(&strange));
    let what = format!("`{name}` is like `{like}`, a {own}, which has no key {keys}");
    let remedy =
        format!("should it be like {}? If it is a {own}, delete {keys}", suggest::either(&fit));
    Some((table.get("like")?.span(), Wrong::new(what, remedy)))
}
