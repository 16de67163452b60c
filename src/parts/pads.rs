//! What a caliper holds with new and with worn pads.

use crate::keys::LeftOut::{Absent, Required};
use crate::keys::Quantity;
use crate::keys::bounds::{CALIPER, PAD_WEAR};
use crate::keys::table::table;

table! {
    /// Volume behind the pistons and how worn the pads are.
    pub struct Pads {
        /// Fluid volume behind the pistons with new pads, passages included.
        pub new_pads: Quantity [&CALIPER] = Required;
        /// The same with pads worn out; left out, wear does not change it.
        pub worn_pads: Option<Quantity> [&CALIPER] = Absent;
        /// Wear of these pads; left out, that of the vehicle.
        pub pad_wear: Option<Quantity> [&PAD_WEAR] = Absent;
    }
}

impl Pads {
    /// Volume by which wear so far has enlarged it, m³; `vehicle` is the wear of pads that state none.
    pub fn worn_m3(&self, vehicle: f64) -> f64 {
        let new = self.new_pads.value;
        let wear = self.pad_wear.map_or(vehicle, |q| q.value);
        wear * (self.worn_pads.map_or(new, |q| q.value) - new)
    }

    /// Volume as worn as the pads are, m³.
    pub fn volume_m3(&self, vehicle: f64) -> f64 {
        self.new_pads.value + self.worn_m3(vehicle)
    }
}
