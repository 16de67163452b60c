//! A rigid line, and what hoses share with it.

use super::contents::Contents;
use super::passage::{Passage, hole_area_m2};
use super::{Built, Part, Tube};
use crate::keys::LeftOut::{Required, Rule, Text};
use crate::keys::bounds::{SHARE, TUBE_BORE, TUBE_LENGTH};
use crate::keys::table::table;
use crate::keys::worded::worded;
use crate::keys::{KindSpec, Quantity, Role};
use crate::portable;

/// Minor-loss coefficient of one smooth 90° bend of a brake line (radius about five bores).
/// Source: handbook range 0.2 to 0.3 for long-radius bends, from memory.
const K_BEND: f64 = 0.25;
/// Minor-loss coefficient of the union at the beginning, a sharp entry (from memory).
pub const K_ENTRY: f64 = 0.5;
/// Minor-loss coefficient of the union at the end, a sharp exit (from memory).
pub const K_EXIT: f64 = 1.0;

worded! {
    /// How fluid moves through a line or hose.
    pub enum Profile {
        /// Fast in the middle, slow at the wall.
        Laminar = "laminar",
        /// All of it alike.
        Plug = "plug",
    }
}

table! {
    /// The table of a line.
    pub struct Line {
        /// Length along the tube.
        pub length: Quantity [&TUBE_LENGTH] = Required;
        /// Inside diameter: 3.33 mm is that of 4.75 mm tube with a 0.71 mm wall.
        pub bore: Quantity [&TUBE_BORE] = Text("3.33 mm");
        /// What hoses say, too.
        pub run: Run;
    }
}

table! {
    /// What lines and hoses say of themselves beside their dimensions.
    pub struct Run {
        /// Number of 90° bends.
        pub bends: u32 [0, 100] = Text("0");
        // A bend turns the fluid over partly: Dean's secondary flow at Re ≈ 80 in a bend of nine radii moves fluid
        // sideways by about a third of the radius in a quarter turn (estimate after Dean 1928, from memory), taken as a
        // tenth of a full remix.
        /// Degree to which one bend mixes the cross-section: 0 not at all, 1 fully.
        pub remix_per_bend: Quantity [&SHARE] = Text("10 %");
        /// How fluid moves through it: laminar (fast in the middle, slow at the wall) or as a plug.
        pub profile: Profile = Text("laminar");
        /// Where it runs on from another line or hose: degree to which the joint mixes the cross-section, and has the loss of a sharp end and beginning. Left out, 0 % from a line to a line, or a hose to a hose, of one bore, and 100 % else.
        pub joint_remix: Option<Quantity> [&SHARE] = Rule("0 % from a line to a line, or a hose to a hose, of one bore; else 100 %");
        /// Contents.
        pub contents: Contents;
    }
}

impl Run {
    /// Makes a tube. Its bends are gathered in one remix half way, of degree 1 − (1 − m)ⁿ for n bends of
    /// degree m; write a line as several parts where that is too coarse.
    pub(super) fn build(&self, length: Quantity, bore: Quantity) -> Built {
        let (bore_m, length_m) = (bore.value, length.value);
        let bends = f64::from(self.bends);
        Built::Through {
            passage: Passage::Tube { bore_m, length_m, minor_k: K_ENTRY + K_EXIT + K_BEND * bends },
            tube: Some(Tube {
                volume_m3: hole_area_m2(bore_m) * length_m,
                remix: 1.0 - portable::powf(1.0 - self.remix_per_bend.value, bends),
                plug: self.profile == Profile::Plug,
            }),
        }
    }
}

impl Part for Line {
    fn spec(&self) -> KindSpec {
        KindSpec::through("line", Role::Line, "A rigid tube.").also(&[
            "brake line",
            "pipe",
            "brake pipe",
            "hard line",
            "tube",
            "brake tube",
        ])
    }

    fn build(&self, _: f64) -> Built {
        self.run.build(self.length, self.bore)
    }

    fn run(&self) -> Option<&Run> {
        Some(&self.run)
    }
}
