//! Keys that a table does not take: misspelt ones, those of other tables, and those that stand where another is missing.

use toml::de::{DeTable, DeValue};

use super::homes;
use super::mistake::Diagnostics;
use super::nodes::{Node, in_order, short};
use super::suggest;

/// Refuses the keys that are not known. One that is like none of them may stand where a key of `missing` should: those are
/// then told with it, and come back as told.
pub(crate) fn refuse_unknown(
    diagnostics: &mut Diagnostics<'_>,
    table: &DeTable<'_>,
    place: &str,
    known: &[&str],
    missing: &[&'static str],
) -> Vec<&'static str> {
    let mut told = Vec::new();
    for (name, span, node) in in_order(table) {
        if diagnostics.full() {
            return told;
        }
        if known.contains(&name) {
            continue;
        }
        let mut what = format!("{place} has no key `{}`", short(name));
        let home = homes::home(name);
        let near = suggest::nearest(name, known.iter().copied());
        let remedy = match (near, missing) {
            (Some(_), _) => suggest::remedy(name, known.iter().copied(), "keys it takes"),
            (None, _) if split_in_two(name, node).is_some_and(|whole| known.contains(&&*whole)) => {
                let whole = split_in_two(name, node).unwrap_or_default();
                format!("a point stands in the middle of the name: write `{whole}`")
            }
            (None, [_, ..]) if told.is_empty() => {
                told = missing.to_vec();
                let quoted: Vec<String> = missing.iter().map(|key| format!("`{key}`")).collect();
                what = format!("{what}, and {} is missing", quoted.join(" and "));
                let (or, and) = (quoted.join(" or "), quoted.join(" and "));
                format!("should `{}` be {or}? If not, delete it and add {and}", short(name))
            }
            (None, _) => {
                let takes = suggest::remedy(name, known.iter().copied(), "keys it takes");
                home.map_or(takes.clone(), |home| format!("`{name}` is a key of {home}; {takes}"))
            }
        };
        diagnostics.add(span, what, remedy);
    }
    told
}

/// The name that a point within it makes a table of: `tempera.ture = …`.
fn split_in_two(name: &str, node: &Node<'_>) -> Option<String> {
    let DeValue::Table(inner) = node.get_ref() else { return None };
    let mut inner = inner.keys();
    let (rest, none) = (inner.next()?, inner.next());
    none.is_none().then(|| format!("{name}{}", rest.get_ref()))
}

/// The keys of a table that are not known.
pub(crate) fn strange(table: &DeTable<'_>, known: &[&str]) -> Vec<String> {
    let names = table.keys().map(|k| k.get_ref().as_ref());
    names.filter(|k| !known.contains(k)).map(str::to_owned).collect()
}

/// Tells of a key that is one of `wanted` misspelt; true if there is one that is not among `others`.
pub(crate) fn told_misspelt(
    diagnostics: &mut Diagnostics<'_>,
    table: &DeTable<'_>,
    place: &str,
    (wanted, others): (&[&str], &[&str]),
) -> bool {
    let near = |name: &str| {
        !others.contains(&name) && suggest::nearest(name, wanted.iter().copied()).is_some()
    };
    let Some((name, at, _)) = in_order(table).into_iter().find(|(name, ..)| near(name)) else {
        return false;
    };
    diagnostics.add(
        at,
        format!("{place} has no key `{}`", short(name)),
        suggest::remedy(name, wanted.iter().copied(), "it says"),
    );
    true
}

/// A key that is missing, and whether a text is one for it.
pub(crate) type Wanted<'a> = (&'a str, &'a dyn Fn(&str) -> bool);

/// Tells of the first key, not among `others`, whose value is one for a key that is missing: each of those with what it
/// takes.
pub(crate) fn told_by_value(
    diagnostics: &mut Diagnostics<'_>,
    table: &DeTable<'_>,
    place: &str,
    wanted: &[Wanted<'_>],
    others: &[&str],
) -> bool {
    let own = in_order(table).into_iter().filter(|(name, ..)| !others.contains(name));
    let found = own.into_iter().find_map(|(name, at, node)| {
        let DeValue::String(text) = node.get_ref() else { return None };
        let (key, _) = wanted.iter().find(|(_, takes)| takes(text))?;
        Some((name, at, key, text))
    });
    let Some((name, at, key, text)) = found else { return false };
    let names: Vec<String> = wanted.iter().map(|(key, _)| format!("`{key}`")).collect();
    diagnostics.add(
        at,
        format!(
            "{place} has no {}, but \"{}\" as its `{}`",
            names.join(" or "),
            short(text),
            short(name)
        ),
        format!("should it be `{key} = \"{}\"`?", short(text)),
    );
    true
}
