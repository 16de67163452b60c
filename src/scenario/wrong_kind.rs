//! Parts whose keys suit another kind than the one written.

use std::ops::Range;

use toml::de::DeTable;

use super::mistake::Wrong;
use super::parts::{keys_of, word};
use super::sections;
use super::suggest;
use crate::keys::{Ends, Key};
use crate::parts::Kind;

/// What to do about keys that the kind of a part does not take and another kind does, if all of its keys suit that one:
/// then it is the kind that is wrong, and what else follows from it is no mistake.
pub(super) fn other_kind(
    name: &str,
    table: &DeTable<'_>,
    kind: &Kind,
) -> Option<(Range<usize>, Wrong)> {
    let takes = |k: &Kind, key: &str| match key {
        "kind" | "from" => true,
        "to" => k.spec().ends == Ends::Through,
        "bleeders" => k.spec().bleeds,
        key => keys_of(k).iter().any(|own| own.name == key),
    };
    let written = sections::in_order(table);
    let strange: Vec<_> = written.iter().filter(|(key, ..)| !takes(kind, key)).collect();
    let (_, at, _) = strange.first()?;
    let keys: Vec<Key> = keys_of(kind);
    let misspelt = |key: &str| suggest::nearest(key, keys.iter().map(|k| k.name)).is_some();
    let called_so = |k: &Kind| name.to_lowercase().contains(word(k));
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
