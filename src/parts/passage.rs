//! How a link resists flow, as plain data; the laws themselves live in `flow`.

use crate::portable;
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
    },
    /// A one-way path that opens at a cracking pressure.
    Check {
        /// Pressure difference at which it begins to pass, Pa.
        cracking_pa: f64,
        /// Bore of the equivalent round hole when open, m.
        bore_m: f64,
    },
}

/// Bore of the one round hole that costs the same pressure as several in a row,
/// 1/A² = Σ 1/Aᵢ² (each loses its own velocity head; all areas in m², bores in m).
///
/// Source: orifices in series, from the Bernoulli equation with equal discharge coefficients.
pub fn bore_of_holes_in_a_row(areas_m2: &[f64]) -> f64 {
    let sum: f64 = areas_m2.iter().map(|a| portable::powi(*a, -2)).sum();
    (4.0 / PI / sum.sqrt()).sqrt()
}

/// Area of a round hole, m².
pub fn hole_area_m2(bore_m: f64) -> f64 {
    PI / 4.0 * bore_m * bore_m
}
