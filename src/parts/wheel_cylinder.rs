//! A drum-brake wheel cylinder: inlet and bleeder both open between the cups, so the pockets lie
//! toward the pistons.

use super::contents::Contents;
use super::mixing::{Bypass, Mixing, Stages, Trade};
use super::{Built, Part, Screw};
use crate::keys::LeftOut::{Absent, Required, Text};
use crate::keys::bounds::{PAD_WEAR, POCKET, WHEEL_CYLINDER};
use crate::keys::table::table;
use crate::keys::{KindSpec, Quantity, Role};

table! {
    /// The table of a wheel cylinder.
    pub struct WheelCylinder {
        /// Fluid volume between the cups, passages included.
        pub volume: Quantity [&WHEEL_CYLINDER] = Required;
        /// The same with shoes worn out; left out, wear does not change it.
        pub worn_shoes: Option<Quantity> [&WHEEL_CYLINDER] = Absent;
        /// Wear of these shoes; left out, that of the vehicle.
        pub pad_wear: Option<Quantity> [&PAD_WEAR] = Absent;
        /// Stages.
        pub stages: Stages;
        /// Share of the volume that lies toward the pistons, past inlet and bleeder.
        pub pocket: Quantity [&POCKET] = Text("30 %");
        /// How the pocket trades.
        pub trade: Trade;
        /// Bypass.
        pub bypass: Bypass;
        /// Bleeder screw.
        pub screw: Screw;
        /// Contents.
        pub contents: Contents;
    }
}

impl Part for WheelCylinder {
    fn spec(&self) -> KindSpec {
        let doc = "A drum-brake wheel cylinder with a bleeder on it.";
        KindSpec::node("wheel cylinder", Role::WheelCylinder, doc)
            .with_bleeder()
            .also(&["wheel brake cylinder"])
            .near(&[
                ("drum", ""),
                ("drum brake", ""),
                ("brake", ""),
                ("slave cylinder", ""),
                ("cylinder", ""),
            ])
    }

    fn build(&self, pad_wear: f64) -> Built {
        let volume_m3 = self.volume.value + self.worn_m3(pad_wear);
        let Self { stages, pocket, trade, .. } = *self;
        Built::Node {
            chamber: Some(Mixing { stages, pocket, trade }.with_bypass(volume_m3, &self.bypass)),
            screw: Some(self.screw),
        }
    }

    fn worn_m3(&self, pad_wear: f64) -> f64 {
        let new = self.volume.value;
        self.pad_wear.map_or(pad_wear, |q| q.value)
            * (self.worn_shoes.map_or(new, |q| q.value) - new)
    }

    fn own_wear(&self) -> Option<Quantity> {
        self.pad_wear
    }

    fn wears(&self) -> bool {
        self.worn_shoes.is_some()
    }

    fn contents(&self) -> Option<&Contents> {
        Some(&self.contents)
    }
}
