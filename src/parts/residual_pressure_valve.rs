//! A residual-pressure valve: keeps a little pressure in a drum circuit so that the cups stay spread.
//!
//! A circuit has none unless its scenario names one: many drum brakes do without.

use super::check_valve::one_way;
use super::{Built, Part};
use crate::keys::LeftOut::Text;
use crate::keys::bounds::{CRACKING, TUBE_BORE};
use crate::keys::table::table;
use crate::keys::{KindSpec, Quantity, Role};

table! {
    /// The table of a residual-pressure valve.
    pub struct ResidualPressureValve {
        // About 10 psi for drums (2 psi where a disc circuit has one): common practice, no source.
        /// Pressure difference at which it begins to open toward the wheels.
        pub cracking: Quantity [&CRACKING] = Text("70 kPa ± 15 kPa");
        /// Bore of the equivalent round hole when it is open (an estimate).
        pub bore: Quantity [&TUBE_BORE] = Text("2 mm ± 0.5 mm");
    }
}

impl Part for ResidualPressureValve {
    fn spec(&self) -> KindSpec {
        KindSpec::through(
            "residual-pressure valve",
            Role::Valve,
            "A check valve that keeps a residual pressure in a drum circuit; it stands in the line to it.",
        )
        .also(&["residual valve"])
        .near(&[("valve", "")])
    }

    fn build(&self, _: f64) -> Built {
        one_way(self.cracking, self.bore)
    }

    fn remedy(&self) -> &'static str {
        "push harder than it holds back, within the maker's limit, or by pedal; a flush by gravity can't open it"
    }
}
