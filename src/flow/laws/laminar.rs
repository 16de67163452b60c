//! Laminar friction in a round tube.

use crate::portable;
use std::f64::consts::PI;

/// Darcy friction factor of fully developed laminar flow in a round tube, f = 64 / Re.
///
/// - `reynolds`: Reynolds number V·D/ν, above 0 (dimensionless)
///
/// Valid for Re below about 2000 and for tubes long against the entry length 0.05·Re·D.
/// Source: Hagen 1839, Poiseuille 1840; Çengel & Cimbala, *Fluid Mechanics*, ch. 8.
///
/// ```
/// assert_eq!(farwheel::flow::laws::laminar_friction_factor(640.0), 0.1);
/// ```
pub fn laminar_friction_factor(reynolds: f64) -> f64 {
    64.0 / reynolds
}

/// Geometric resistance of a round tube in laminar flow, a = 128 L / (π D⁴) in 1/m³, so that the
/// pressure drop is Δp = ρ ν a Q (Hagen–Poiseuille).
///
/// - `bore_m`: inner diameter D, m
/// - `length_m`: length L, m
///
/// Valid as [`laminar_friction_factor`]. Source: the same.
///
/// ```
/// // A 5 m line of 3.33 mm bore, 1060 kg/m³ and 15 mm²/s, at 1 mL/s: a fifth of a bar.
/// let a = farwheel::flow::laws::laminar_resistance(3.33e-3, 5.0);
/// assert!((1060.0 * 15e-6 * a * 1e-6 - 26_340.0).abs() < 10.0);
/// ```
pub fn laminar_resistance(bore_m: f64, length_m: f64) -> f64 {
    128.0 * length_m / (PI * portable::powi(bore_m, 4))
}
