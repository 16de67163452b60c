//! A metering valve: holds the front discs off until the rear drums have begun to bite.
//!
//! Below its hold-off pressure it may pass nothing, and a pressure bleeder stays far below it. Workshops
//! hold its stem in (or out) with a tool while they bleed or flush: common practice, no source.

use super::check_valve::one_way;
use super::passage::Passage;
use super::{Built, Part};
use crate::keys::LeftOut::Text;
use crate::keys::bounds::{CRACKING, TUBE_BORE};
use crate::keys::table::table;
use crate::keys::{KindSpec, Quantity, Role};

table! {
    /// The table of a metering valve.
    pub struct MeteringValve {
        /// Whether it is held open with a tool while the brakes are flushed.
        pub held_open: bool = Text("false");
        // 5 to 9 bar: common practice, no source. Some pass a little below 0.2 bar, which is left out.
        /// Pressure difference below which it passes nothing (an estimate).
        pub hold_off: Quantity [&CRACKING] = Text("700 kPa ± 200 kPa");
        /// Bore of the equivalent round hole when it is open (an estimate).
        pub bore: Quantity [&TUBE_BORE] = Text("2 mm ± 0.5 mm");
    }
}

impl Part for MeteringValve {
    fn spec(&self) -> KindSpec {
        KindSpec::through(
            "metering valve",
            Role::Valve,
            "Holds the front brakes off below a pressure; it may pass nothing there unless it is held open.",
        )
        .also(&["hold-off valve"])
        .near(&[("valve", "")])
    }

    fn build(&self, _: f64) -> Built {
        if self.held_open {
            let passage = Passage::Orifice { bore_m: self.bore.value, length_m: 0.0 };
            return Built::Through { passage, tube: None };
        }
        one_way(self.hold_off, self.bore)
    }

    fn remedy(&self) -> &'static str {
        "hold it open with the proper tool and write `held_open = true`, and take the tool off afterwards"
    }

    fn state(&self) -> Option<&'static str> {
        self.held_open
            .then_some("it is held open with a tool: take that off before the vehicle is driven")
    }
}
