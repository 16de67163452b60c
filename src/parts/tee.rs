//! A tee or union block: paths meet and mix, nothing is stored.

use super::{Built, Part};
use crate::keys::table::table;
use crate::keys::{KindSpec, Role};

table! {
    /// The table of a tee, which has no keys of its own.
    pub struct Tee {}
}

impl Part for Tee {
    fn spec(&self) -> KindSpec {
        KindSpec::node("tee", Role::Tee, "A tee or union block where paths meet.").also(&[
            "t",
            "t-piece",
            "tee piece",
            "union block",
            "junction block",
        ])
    }

    fn build(&self, _: f64) -> Built {
        Built::Node { chamber: None, screw: None }
    }
}
