//! The slave cylinder of a hydraulic clutch with the bleeder on it.

use super::contents::Contents;
use super::mixing::{Bypass, Mixing};
use super::{Built, Part, Screw};
use crate::keys::LeftOut::Required;
use crate::keys::bounds::CLUTCH_CYLINDER;
use crate::keys::table::table;
use crate::keys::{KindSpec, Quantity, Role};

table! {
    /// The table of a clutch's slave cylinder.
    pub struct ClutchSlave {
        /// Fluid volume with the clutch engaged, passages included.
        pub volume: Quantity [&CLUTCH_CYLINDER] = Required;
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

impl Part for ClutchSlave {
    fn spec(&self) -> KindSpec {
        let doc = "The cylinder at the clutch, with a bleeder on it.";
        KindSpec::node("clutch slave cylinder", Role::ClutchSlave, doc)
            .with_bleeder()
            .also(&["clutch slave"])
            .near(&[("slave cylinder", ""), ("cylinder", "")])
    }

    fn build(&self, _: f64) -> Built {
        Built::Node {
            chamber: Some(self.mixing.with_bypass(self.volume.value, &self.bypass)),
            screw: Some(self.screw),
        }
    }

    fn contents(&self) -> Option<&Contents> {
        Some(&self.contents)
    }
}
