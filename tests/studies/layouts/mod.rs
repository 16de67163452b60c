//! Layouts side by side: the five circuit splits on one car, and what the order does in each.

mod readme;
mod splits;
mod study;
mod verb;

use crate::common::cars::read;
use farwheel::Scenario;

/// The five splits of DIN 74000 in the order of the standard (from memory): file and text.
const SPLITS: [(&str, &str); 5] = [
    ("II", include_str!("../../../scenarios/splits/ii.toml")),
    ("X", include_str!("../../../scenarios/splits/x.toml")),
    ("HI", include_str!("../../../scenarios/splits/hi.toml")),
    ("LL", include_str!("../../../scenarios/splits/ll.toml")),
    ("HH", include_str!("../../../scenarios/splits/hh.toml")),
];

fn text_of(split: &str) -> &'static str {
    SPLITS.iter().find(|s| s.0 == split).expect("one of the five").1
}

fn all_splits() -> Vec<Scenario> {
    SPLITS
        .iter()
        .map(|(name, text)| {
            let file = format!("{}.toml", name.to_lowercase());
            farwheel::read(text, &file).unwrap_or_else(|m| panic!("{m}"))
        })
        .collect()
}
