//! Where each bleeder's millilitres came from, as a bar: letter, pattern and colour say the same thing, so
//! that a black-and-white print says it too.

use crate::job::record::{Origins, PartLeft};
use crate::report::figures::rounded;
use serde::Serialize;

/// Name of the origin in the record, and its letter.
const KINDS: [(&str, &str); 8] = [
    ("reservoir", "R"),
    ("master cylinder", "M"),
    ("hydraulic modulator", "H"),
    ("shared line", "S"),
    ("own line", "O"),
    ("another circuit", "C"),
    ("wheel brake", "W"),
    ("new fluid", "N"),
];
/// A piece narrower than this share of the column has its letter in the line of figures only.
const LETTER_FITS: f64 = 0.06;
/// Less than this is not told.
const TOLD_ML: f64 = 0.5;

/// A piece of a bar; percent of the column's width.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct Piece {
    letter: &'static str,
    from: String,
    wide: String,
    middle: String,
    lettered: bool,
}

/// A bar and its figures.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct Bar {
    pieces: Vec<Piece>,
    /// `R 120 · M 12 · …`
    figures: String,
    /// The same in words, for whoever hears it read out.
    spoken: String,
}

/// An entry of the key.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct Kind {
    letter: &'static str,
    name: String,
}

/// Calipers, wheel cylinders and the clutch's slave cylinder share a letter.
fn kind(origin: &str) -> usize {
    KINDS.iter().position(|(name, _)| *name == origin).unwrap_or(6)
}

/// The bar of these origins, where `longest_ml` fills the column.
pub(super) fn bar(origins: &Origins, longest_ml: f64) -> Bar {
    let mut sorted: Vec<_> = origins.iter().filter(|(_, ml)| *ml > 0.0).collect();
    sorted.sort_by_key(|(origin, _)| kind(origin));
    let percent = |share: f64| format!("{:.2}%", 100.0 * share);
    let mut sum = 0.0;
    let mut pieces = Vec::new();
    for (origin, ml) in &sorted {
        let (from, wide) = (sum / longest_ml, ml / longest_ml);
        sum += ml;
        pieces.push(Piece {
            letter: KINDS[kind(origin)].1,
            from: percent(from),
            wide: percent(wide),
            middle: percent(from + 0.5 * wide),
            lettered: wide > LETTER_FITS,
        });
    }
    let told = || sorted.iter().filter(|(_, ml)| *ml >= TOLD_ML);
    let figures: Vec<String> =
        told().map(|(o, ml)| format!("{}\u{a0}{}", KINDS[kind(o)].1, rounded(*ml, 0))).collect();
    let spoken: Vec<String> = told().map(|(o, ml)| format!("{o} {} mL", rounded(*ml, 0))).collect();
    Bar { pieces, figures: figures.join(" · "), spoken: spoken.join(", ") }
}

/// The key of those origins that occur, a letter being all that it stands for on this vehicle.
pub(super) fn key<'a>(
    all: impl Iterator<Item = &'a Origins>,
    parts: &[PartLeft],
    line: &str,
) -> Vec<Kind> {
    let mut used = [false; KINDS.len()];
    for (origin, ml) in all.flatten() {
        used[kind(origin)] |= *ml >= TOLD_ML;
    }
    let entries = KINDS.iter().zip(used).filter(|(_, used)| *used);
    let name = |name: &str, letter: &str| match letter {
        "W" => any_of(parts, &["caliper", "wheel cylinder", "clutch slave cylinder"], name),
        "M" => any_of(parts, &["master cylinder", "clutch master cylinder"], name),
        _ => name.replace("line", &format!("{line} or hose")),
    };
    entries.map(|((of, letter), _)| Kind { letter, name: name(of, letter) }).collect()
}

/// Those of these kinds that the vehicle has; `usual` if none has such a name.
fn any_of(parts: &[PartLeft], kinds: &[&str], usual: &str) -> String {
    let has = |kind: &&&str| parts.iter().any(|p| p.kind.ends_with(**kind));
    let those: Vec<&str> = kinds.iter().filter(has).copied().collect();
    if those.is_empty() { usual.to_owned() } else { those.join(" or ") }
}
