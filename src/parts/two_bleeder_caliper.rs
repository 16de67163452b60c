//! A fixed caliper of two halves with a bleeder each.
//!
//! Fluid comes into the half of the first bleeder named; two passages, one at each end of the caliper,
//! join the halves, so that they form a loop. Their own fluid counts as part of the halves.

use super::contents::Contents;
use super::mixing::{Bypass, Mixing};
use super::passage::Passage;
use super::{Built, Pads, Part, Screw};
use crate::keys::LeftOut::Text;
use crate::keys::bounds::{CROSSOVER_LENGTH, TUBE_BORE};
use crate::keys::table::table;
use crate::keys::{KindSpec, Quantity, Role};

/// Loss of a drilled passage's sharp entry (0.5) and exit (1.0), on its own velocity (from memory).
const K_ENDS: f64 = 1.5;

table! {
    /// The table of a two-bleeder caliper.
    pub struct TwoBleederCaliper {
        /// Pads.
        pub pads: Pads;
        /// Mixing.
        pub mixing: Mixing;
        /// Bypass.
        pub bypass: Bypass;
        // Drilled or piped passages of 2 to 3 mm over a hand's breadth: an estimate.
        /// Bore of the passages between the halves (an estimate).
        pub crossover_bore: Quantity [&TUBE_BORE] = Text("2.5 mm ± 0.5 mm");
        /// Length of the passage at the end with the inlet.
        pub crossover_near: Quantity [&CROSSOVER_LENGTH] = Text("80 mm");
        /// Length of the way over the far end.
        pub crossover_far: Quantity [&CROSSOVER_LENGTH] = Text("160 mm");
        /// Bleeder screw.
        pub screw: Screw;
        /// Contents.
        pub contents: Contents;
    }
}

impl Part for TwoBleederCaliper {
    fn spec(&self) -> KindSpec {
        KindSpec::node(
            "two-bleeder caliper",
            Role::HalvedCaliper,
            "A caliper of two halves with a bleeder each, joined by a passage at both ends; `bleeders` names that of the half with the inlet, then the other.",
        )
        .with_bleeder()
        .also(&["twin-bleeder caliper"])
    }

    fn build(&self, pad_wear: f64) -> Built {
        let crossover = |length: Quantity| Passage::Tube {
            bore_m: self.crossover_bore.value,
            length_m: length.value,
            minor_k: K_ENDS,
        };
        let half_m3 = 0.5 * self.pads.volume_m3(pad_wear);
        Built::Halves {
            half: self.mixing.with_bypass(half_m3, &self.bypass),
            screw: self.screw,
            crossovers: [crossover(self.crossover_near), crossover(self.crossover_far)],
        }
    }

    fn contents(&self) -> Option<&Contents> {
        Some(&self.contents)
    }

    fn pads(&self) -> Option<&Pads> {
        Some(&self.pads)
    }
}
