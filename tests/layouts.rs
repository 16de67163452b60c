//! Layouts side by side: the five circuit splits on one car, and what the order does in each.
#![cfg(all(feature = "program", feature = "pictures"))]

#[path = "common/cars.rs"]
mod cars;
#[cfg(unix)]
#[path = "common/interrupt.rs"]
mod interrupt;
#[path = "common/program.rs"]
mod program;
#[path = "layouts/readme.rs"]
mod readme;
#[path = "layouts/splits.rs"]
mod splits;
#[path = "layouts/study.rs"]
mod study;
#[path = "layouts/verb.rs"]
mod verb;

use cars::read;
use farwheel::Scenario;

/// The five splits of DIN 74000 in the order of the standard (from memory): file and text.
const SPLITS: [(&str, &str); 5] = [
    ("II", include_str!("../scenarios/splits/ii.toml")),
    ("X", include_str!("../scenarios/splits/x.toml")),
    ("HI", include_str!("../scenarios/splits/hi.toml")),
    ("LL", include_str!("../scenarios/splits/ll.toml")),
    ("HH", include_str!("../scenarios/splits/hh.toml")),
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
