//! A one-way valve with a cracking pressure (a residual-pressure valve is one, too).

use super::passage::Passage;
use super::{Built, Part};
use crate::keys::LeftOut::Text;
use crate::keys::bounds::{CRACKING, TUBE_BORE};
use crate::keys::table::table;
use crate::keys::{KindSpec, Quantity, Role};

table! {
    /// The table of a check valve.
    pub struct CheckValve {
        /// Pressure difference at which it begins to open.
        pub cracking: Quantity [&CRACKING] = Text("0 kPa");
        /// Bore of the equivalent round hole when it is open.
        pub bore: Quantity [&TUBE_BORE] = Text("2 mm");
    }
}

impl Part for CheckValve {
    fn spec(&self) -> KindSpec {
        let doc = "A one-way valve that opens at a cracking pressure.";
        KindSpec::through("check valve", Role::Valve, doc)
            .also(&["one-way valve", "non-return valve"])
            .near(&[("valve", "")])
    }

    fn build(&self, _: f64) -> Built {
        one_way(self.cracking, self.bore)
    }
}

/// A valve that opens one way at a cracking pressure.
pub(super) fn one_way(cracking: Quantity, bore: Quantity) -> Built {
    let passage = Passage::Check { cracking_pa: cracking.value, bore_m: bore.value };
    Built::Through { passage, tube: None }
}
