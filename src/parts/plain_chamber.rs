//! A plain chamber: fluid that lies beside no bleeder, as in a distribution block, a damper or a switch.

use super::contents::Contents;
use super::mixing::Mixing;
use super::{Built, Part};
use crate::keys::LeftOut::Required;
use crate::keys::bounds::CHAMBER;
use crate::keys::table::table;
use crate::keys::{KindSpec, Quantity, Role};

table! {
    /// The table of a plain chamber.
    pub struct PlainChamber {
        /// Fluid volume, passages included.
        pub volume: Quantity [&CHAMBER] = Required;
        /// Mixing.
        pub mixing: Mixing;
        /// Contents.
        pub contents: Contents;
    }
}

impl Part for PlainChamber {
    fn spec(&self) -> KindSpec {
        let doc = "A volume without a bleeder, for instance in a block, a damper or a switch.";
        KindSpec::node("chamber", Role::Tee, doc)
    }

    fn build(&self, _: f64) -> Built {
        Built::Node { chamber: Some(self.mixing.chamber(self.volume.value)), screw: None }
    }

    fn contents(&self) -> Option<&Contents> {
        Some(&self.contents)
    }
}
