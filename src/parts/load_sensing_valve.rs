//! A load-sensing proportioning valve in the line to the rear axle.
//!
//! A linkage to the axle sets it: with the wheels hanging it takes the car for empty and may pass
//! little. What it passes then differs from valve to valve; the figures are estimates with wide spreads.

use super::passage::Passage;
use super::{Built, Part};
use crate::keys::LeftOut::Text;
use crate::keys::bounds::{CRACKING, PORT_BORE};
use crate::keys::table::table;
use crate::keys::worded::worded;
use crate::keys::{KindSpec, Quantity, Role};

worded! {
    /// What the axle carries while the car is flushed.
    pub enum Suspension {
        /// The car.
        Loaded = "loaded",
        /// Nothing.
        Hanging = "hanging",
    }
}

table! {
    /// The table of a load-sensing valve.
    pub struct LoadSensingValve {
        /// Whether the axle carries the car while it is flushed, or the wheels hang (as on a lift under the frame).
        pub suspension: Suspension = Text("hanging");
        /// Bore of the equivalent round hole with the axle loaded (an estimate).
        pub bore: Quantity [&PORT_BORE] = Text("2 mm ± 0.5 mm");
        /// The same with the wheels hanging (an estimate).
        pub bore_hanging: Quantity [&PORT_BORE] = Text("0.5 mm ± 0.2 mm");
        /// Pressure difference at which it begins to pass with the wheels hanging (an estimate; 0: it always passes).
        pub cracking_hanging: Quantity [&CRACKING] = Text("20 kPa ± 20 kPa");
    }
}

impl Part for LoadSensingValve {
    fn spec(&self) -> KindSpec {
        KindSpec::through(
            "load-sensing proportioning valve",
            Role::Valve,
            "Limits the rear brakes by the load on the axle; with the wheels hanging it may pass little.",
        )
        .also(&["load-sensing valve", "LSPV"])
        // A fixed one limits the rear above some 20 to 40 bar (from memory); a flush has a tenth of that at most.
        .near(&[
            ("proportioning valve", "one that no load sets is open at the pressures of a flush: leave it out"),
            ("valve", ""),
        ])
    }

    fn build(&self, _: f64) -> Built {
        let (bore_m, cracking_pa) = match self.suspension {
            Suspension::Hanging => (self.bore_hanging.value, self.cracking_hanging.value),
            Suspension::Loaded => (self.bore.value, 0.0),
        };
        let passage = if cracking_pa > 0.0 {
            Passage::Check { cracking_pa, bore_m }
        } else {
            Passage::Orifice { bore_m, length_m: 0.0 }
        };
        Built::Through { passage, tube: None }
    }

    fn remedy(&self) -> &'static str {
        "put the weight on the axle or hold the lever up, and write `suspension = \"loaded\"`"
    }

    fn state(&self) -> Option<&'static str> {
        (self.suspension == Suspension::Hanging).then_some(
            "the wheels hang, so it may pass little: the flush takes longer, and how much longer is not well known; with the weight on the axle (`suspension = \"loaded\"`) it is open",
        )
    }
}
