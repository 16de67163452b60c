//! Gravity: the reservoir stands higher than the bleeders and is topped up by hand.

use super::topping::Topping;
use super::{Described, Supply};
use crate::keys::table::table;

table! {
    /// The table of the kind `gravity`. All there is to it is how the reservoir is topped up.
    #[derive(Copy)]
    pub struct Gravity {
        /// Topping up.
        pub topping: Topping;
    }
}

impl Described for Gravity {
    fn word(&self) -> &'static str {
        "gravity"
    }

    fn doc(&self) -> &'static str {
        "The head of the reservoir alone, its cap off, topped up by hand."
    }

    fn also(&self) -> &'static [&'static str] {
        &["gravity bleeding"]
    }

    fn ready(&self) -> Box<dyn Supply> {
        Box::new(*self)
    }
}

impl Supply for Gravity {
    fn topping(&self) -> Option<&Topping> {
        Some(&self.topping)
    }

    fn never_dry(&mut self, _more_m3: f64) {
        self.topping.topped_up = true;
    }
}
