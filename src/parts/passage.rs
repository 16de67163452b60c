//! How a link resists flow, as plain data; the laws themselves live in `flow`.

use std::f64::consts::PI;

/// What fluid has to pass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Passage {
    /// A round tube.
    Tube {
        /// Bore, m.
        bore_m: f64,
        /// Length, m.
        length_m: f64,
        /// Sum of minor-loss coefficients (bends, entry, exit), referred to the bore.
        minor_k: f64,
    },
    /// A sharp-edged opening.
    Orifice {
        /// Bore of the equivalent round hole, m.
        bore_m: f64,
        /// Thickness of the wall that it goes through, m.
        length_m: f64,
    },
    /// An open bleeder screw and the clear hose behind it, all of it in a row.
    Screw {
        /// Gap between cone and seat, m: a slit as long as the axial hole is round.
        gap_m: f64,
        /// Bore of the cross hole, m.
        cross_bore_m: f64,
        /// Bore of the axial hole, m.
        bore_m: f64,
        /// Length of the axial hole, m.
        length_m: f64,
        /// Bore of the clear hose, m.
        hose_bore_m: f64,
        /// Length of the clear hose, m.
        hose_length_m: f64,
    },
    /// A one-way path that opens at a cracking pressure.
    Check {
        /// Pressure difference at which it begins to pass, Pa.
        cracking_pa: f64,
        /// Bore of the equivalent round hole when open, m.
        bore_m: f64,
    },
}

/// Area of a round hole, m².
pub fn hole_area_m2(bore_m: f64) -> f64 {
    PI / 4.0 * bore_m * bore_m
}

/// Bore of the round hole of the same area as a narrow ring of this bore and gap, π D g = π d²/4; all in m.
pub fn bore_of_ring_m(bore_m: f64, gap_m: f64) -> f64 {
    (4.0 * bore_m * gap_m).sqrt()
}
