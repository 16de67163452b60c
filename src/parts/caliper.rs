//! A disc-brake caliper (or one half of it) with the bleeder on it.

use super::contents::Contents;
use super::mixing::{Bypass, Mixing};
use super::{Built, Pads, Part, Screw};
use crate::keys::table::table;
use crate::keys::{KindSpec, Role};

table! {
    /// The table of a caliper.
    pub struct Caliper {
        /// Pads.
        pub pads: Pads;
        /// Mixing.
        pub mixing: Mixing;
        /// Bypass.
        pub bypass: Bypass;
        /// Bleeder screw.
        pub screw: Screw;
        /// Contents.
        pub contents: Contents;
    }
}

impl Part for Caliper {
    fn spec(&self) -> KindSpec {
        let doc = "A disc-brake caliper, or one half of one, with a bleeder on it.";
        KindSpec::node("caliper", Role::Caliper, doc)
            .with_bleeder()
            .also(&["brake caliper", "calliper", "brake calliper"])
            .near(&[
                ("disc", ""),
                ("disk", ""),
                ("disc brake", ""),
                ("disk brake", ""),
                ("brake", ""),
            ])
    }

    fn build(&self, pad_wear: f64) -> Built {
        let volume_m3 = self.pads.volume_m3(pad_wear);
        Built::Node {
            chamber: Some(self.mixing.with_bypass(volume_m3, &self.bypass)),
            screw: Some(self.screw),
        }
    }

    fn contents(&self) -> Option<&Contents> {
        Some(&self.contents)
    }

    fn pads(&self) -> Option<&Pads> {
        Some(&self.pads)
    }
}
