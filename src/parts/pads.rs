//! What a caliper holds with new and with worn pads.

use crate::keys::LeftOut::{Absent, Rule, Source};
use crate::keys::Quantity;
use crate::keys::bounds::{CALIPER, PAD_WEAR, PISTON};
use crate::keys::table::table;
use crate::keys::worded::worded;

worded! {
    /// Where a caliper is fitted.
    pub enum Fitted {
        /// At a front wheel.
        Front = "front",
        /// At a rear wheel.
        Rear = "rear",
        /// At a front wheel, with pistons on both sides of the disc.
        FrontOpposed = "front opposed",
        /// At a rear wheel, with pistons on both sides of the disc.
        RearOpposed = "rear opposed",
        /// At a rear wheel, with the parking brake's mechanism in the piston.
        RearParkingBrake = "rear with parking brake",
        /// On a motorcycle.
        Motorcycle = "motorcycle",
    }
}

table! {
    /// Volume behind the pistons and how worn the pads are.
    pub struct Pads {
        /// Fluid volume behind the pistons with new pads, passages included.
        pub new_pads: Quantity [&CALIPER] = Rule("from `pistons`");
        /// The same with pads worn out; left out, wear does not change it.
        pub worn_pads: Option<Quantity> [&CALIPER] = Absent;
        /// Diameters of all pistons that push here, in place of `new_pads` and `worn_pads`.
        pub pistons: Vec<Quantity> [&PISTON] = Source;
        /// Where it is fitted, which tells how far its pistons travel; with `pistons`.
        pub fitted: Option<Fitted> = Source;
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
