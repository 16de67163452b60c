//! Vacuum at the bleeder: a pump or bottle draws the fluid through the clear hose while the reservoir
//! stands open to the air and is topped up by hand.

use super::topping::Topping;
use super::{Described, Supply};
use crate::keys::LeftOut::Required;
use crate::keys::Quantity;
use crate::keys::bounds::SUCTION;
use crate::keys::table::table;

table! {
    /// A vacuum pump or bottle. It holds its vacuum however much has been drawn.
    #[derive(Copy)]
    pub struct Vacuum {
        /// Vacuum held at the end of the clear hose, as a gauge below the atmosphere shows it.
        pub vacuum: Quantity [&SUCTION] = Required;
        /// Topping up.
        pub topping: Topping;
    }
}

impl Described for Vacuum {
    fn word(&self) -> &'static str {
        "vacuum"
    }

    fn doc(&self) -> &'static str {
        "A pump or bottle that draws at the clear hose; the reservoir is open and topped up by hand."
    }

    fn also(&self) -> &'static [&'static str] {
        &["vacuum pump", "vacuum bleeder"]
    }

    fn ready(&self) -> Box<dyn Supply> {
        Box::new(*self)
    }
}

impl Supply for Vacuum {
    fn gauge_pa(&self) -> f64 {
        -self.vacuum.value
    }

    fn at_bleeder_pa(&self) -> f64 {
        -self.vacuum.value
    }

    fn topping(&self) -> Option<&Topping> {
        Some(&self.topping)
    }

    fn never_dry(&mut self, _more_m3: f64) {
        self.topping.topped_up = true;
    }
}
