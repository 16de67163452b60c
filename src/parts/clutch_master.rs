//! The master cylinder of a hydraulic clutch that draws from the brake reservoir.
//!
//! Its feed hose starts from an outlet of its own. At rest its port is wide beside that of a brake master
//! cylinder, so that only the hose is taken to resist (an estimate).

use super::contents::Contents;
use super::mixing::Mixing;
use super::{Built, Part};
use crate::keys::LeftOut::Required;
use crate::keys::bounds::CLUTCH_CYLINDER;
use crate::keys::table::table;
use crate::keys::{KindSpec, Quantity, Role};

table! {
    /// The table of a clutch's master cylinder.
    pub struct ClutchMaster {
        /// Fluid volume with the pedal up.
        pub volume: Quantity [&CLUTCH_CYLINDER] = Required;
        /// Mixing.
        pub mixing: Mixing;
        /// Contents.
        pub contents: Contents;
    }
}

impl Part for ClutchMaster {
    fn spec(&self) -> KindSpec {
        let doc =
            "The clutch's own master cylinder, fed by a hose from an outlet of the reservoir.";
        KindSpec::node("clutch master cylinder", Role::ClutchMaster, doc)
            .also(&["clutch master"])
            .near(&[(
                "master cylinder",
                "that of the brakes is no part: it is the table `[master_cylinder]`",
            )])
    }

    fn build(&self, _: f64) -> Built {
        Built::Node { chamber: Some(self.mixing.chamber(self.volume.value)), screw: None }
    }

    fn contents(&self) -> Option<&Contents> {
        Some(&self.contents)
    }
}
