//! A flexible hose: a tube with its own usual dimensions.

use super::line::Run;
use super::{Built, Part};
use crate::keys::LeftOut::Text;
use crate::keys::bounds::{HOSE_LENGTH, TUBE_BORE};
use crate::keys::table::table;
use crate::keys::{KindSpec, Quantity, Role};

table! {
    /// The table of a hose.
    pub struct Hose {
        /// Length along the hose.
        pub length: Quantity [&HOSE_LENGTH] = Text("0.4 m");
        /// Inside diameter.
        pub bore: Quantity [&TUBE_BORE] = Text("3.2 mm");
        /// What lines say, too.
        pub run: Run;
    }
}

impl Part for Hose {
    fn spec(&self) -> KindSpec {
        KindSpec::through("hose", Role::Hose, "A flexible hose.").also(&[
            "brake hose",
            "flexible hose",
            "flexi hose",
            "flex hose",
            "flexi",
        ])
    }

    fn build(&self, _: f64) -> Built {
        self.run.build(self.length, self.bore)
    }

    fn run(&self) -> Option<&Run> {
        Some(&self.run)
    }
}
