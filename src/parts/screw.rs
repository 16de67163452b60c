//! The bleeder screw.

use super::passage::{Passage, bore_of_holes_in_a_row, hole_area_m2};
use crate::keys::LeftOut::Text;
use crate::keys::Quantity;
use crate::keys::bounds::{HEIGHT, PORT_BORE, SEAT_GAP};
use crate::keys::table::table;
use std::f64::consts::PI;

table! {
    /// What a table says of the bleeder screws on its part.
    #[derive(Copy)]
    pub struct Screw {
        /// Axial hole of the bleeder screw.
        pub bleeder_hole: Quantity [&PORT_BORE] = Text("2 mm");
        /// Cross hole of the bleeder screw.
        pub bleeder_cross_hole: Quantity [&PORT_BORE] = Text("1.5 mm");
        // Half a turn of an M8 × 1.25 or M10 × 1 screw lifts the cone 0.5 to 0.6 mm; across a 45° seat the gap is 0.7
        // of that.
        /// Gap between cone and seat with the bleeder open, measured across the gap.
        pub seat_gap: Quantity [&SEAT_GAP] = Text("0.35 mm");
        /// Height of the bleeder above the ground.
        pub height: Quantity [&HEIGHT] = Text("0.35 m");
    }
}

impl Screw {
    /// Seat gap (a ring of the axial hole's diameter), cross hole and axial hole in a row, as one orifice.
    pub fn passage(&self) -> Passage {
        let hole_m = self.bleeder_hole.value;
        Passage::Orifice {
            bore_m: bore_of_holes_in_a_row(&[
                hole_area_m2(hole_m),
                hole_area_m2(self.bleeder_cross_hole.value),
                PI * hole_m * self.seat_gap.value,
            ]),
        }
    }
}
