//! The bleeder screw.

use super::passage::Passage;
use crate::keys::LeftOut::Text;
use crate::keys::Quantity;
use crate::keys::bounds::{HEIGHT, HOLE_LENGTH, PORT_BORE, SEAT_GAP};
use crate::keys::table::table;

table! {
    /// What a table says of the bleeder screws on its part.
    #[derive(Copy)]
    pub struct Screw {
        /// Axial hole of the bleeder screw.
        pub bleeder_hole: Quantity [&PORT_BORE] = Text("2 mm");
        // A screw of M8 or M10 is some 30 mm long; its axial hole ends a few millimetres above the cone (common practice,
        // no source).
        /// Length of the axial hole.
        pub bleeder_hole_length: Quantity [&HOLE_LENGTH] = Text("22 mm");
        // Counts as one hole in a thin wall. Most are drilled right through, which is two side by side, each in a wall of
        // some 2 mm: half as much again of the viscous loss, a quarter of the inertial one (an estimate).
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
    /// Seat gap, cross hole, axial hole and a clear hose of this bore and length in a row.
    pub fn passage(&self, (hose_bore_m, hose_length_m): (f64, f64)) -> Passage {
        Passage::Screw {
            gap_m: self.seat_gap.value,
            cross_bore_m: self.bleeder_cross_hole.value,
            bore_m: self.bleeder_hole.value,
            length_m: self.bleeder_hole_length.value,
            hose_bore_m,
            hose_length_m,
        }
    }
}
