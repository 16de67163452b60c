//! Which key belongs where.

use super::tables::{STEP_LISTS, TABLES, TOP, Tasks};
use super::verbs::VERBS;
use crate::keys::table::keys_in;
use crate::keys::{Key, LeftOut, keys_of};
use crate::{parts, supply};

/// Keys of parts and supplies that are no quantities.
const JOINTS: [&str; 5] = ["kind", "like", "from", "to", "bleeders"];

/// The keys of a table of this name; none for a table whose keys are names.
pub(crate) fn keys_under(table: &str) -> Vec<&'static str> {
    if table == "procedure" {
        return keys_of::<Tasks>().iter().map(|k| k.name).chain(STEP_LISTS).collect();
    }
    let fixed = TABLES.iter().find(|t| t.name == table);
    fixed.map_or_else(Vec::new, |t| (t.keys)().iter().map(|k| k.name).collect())
}

/// Whether a table of this name can't be without the key.
pub(crate) fn needs(table: &str, key: &str) -> bool {
    if table == "procedure" {
        return ["open", "until"].contains(&key);
    }
    let fixed = TABLES.iter().find(|t| t.name == table);
    let required = |k: &Key| k.name == key && k.left_out == LeftOut::Required;
    fixed.is_some_and(|t| (t.keys)().iter().any(required))
}

/// Every key that some part or supply takes.
pub(crate) fn keys_of_entries() -> Vec<&'static str> {
    let parts = parts::Kind::all().iter().flat_map(|k| keys_in(&mut *k.clone()));
    let supplies = supply::Kind::all().iter().flat_map(|k| keys_in(&mut *k.clone()));
    parts.chain(supplies).map(|k| k.name).chain(JOINTS).collect()
}

/// What a key that stands elsewhere belongs to, in words; `None` if it is no key at all.
pub(crate) fn home(key: &str) -> Option<String> {
    if key == "title" {
        return Some("the scenario as a whole, above all headers".to_owned());
    }
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
