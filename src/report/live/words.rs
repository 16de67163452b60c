//! Names and sentences of the page.

use crate::harmless;
use crate::report::figures::{rounded, shortened};
use crate::scenario::limits::LONGEST_NAME;
use crate::study::difference::Difference;
use crate::study::lesson::Named;

/// Columns that the title takes at most.
const LONGEST_TITLE: usize = 160;

/// A name as the page shows it.
pub(super) fn shown(name: &str) -> String {
    shortened(&harmless(name), LONGEST_NAME)
}

/// The title as the page shows it.
pub(super) fn title(title: &str) -> String {
    shortened(&harmless(title), LONGEST_TITLE)
}

/// Several names in a row.
pub(super) fn list(names: &[String]) -> String {
    let names: Vec<String> = names.iter().map(|n| shown(n)).collect();
    match names.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// What an order is.
pub(super) fn label(named: &[Named]) -> String {
    let words: Vec<&str> = named
        .iter()
        .map(|n| match n {
            Named::Own => "the scenario's own order",
            Named::FarFirst => "far wheel first",
            Named::NearFirst => "near wheel first",
            Named::OwnReversed => "own order backwards",
        })
        .collect();
    let text = match words.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        // Of a single bleeder every order is the same.
        [first, ..] if named.contains(&Named::FarFirst) && named.contains(&Named::NearFirst) => {
            (*first).to_owned()
        }
        [first, others @ ..] => format!("{first} ({})", others.join(", ")),
    };
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |c| c.to_uppercase().chain(letters).collect())
}

/// A difference, or that there is none to tell.
pub(super) fn difference(d: Difference) -> String {
    if !d.told_apart() {
        return "not told apart".to_owned();
    }
    format!("{} mL {}", rounded(d.ml.abs(), 1), if d.ml > 0.0 { "more" } else { "less" })
}
