//! Losses at bends, fittings and changes of section.

use std::f64::consts::PI;

/// Geometric resistance of minor losses, b = K / (2 A²) in 1/m⁴ with A = π D²/4, so that the
/// pressure drop is Δp = K ρ V²/2 = ρ b Q |Q|.
///
/// - `bore_m`: diameter D to which K refers, m
/// - `minor_k`: sum of the loss coefficients K, 0 or more (dimensionless)
///
/// Valid with constant K for Re above some thousands; in laminar flow published K rise roughly as
/// 1/Re, which adds little beside the friction of a long tube and is left out.
/// Source: Çengel & Cimbala, *Fluid Mechanics*, ch. 8 (minor losses).
///
/// ```
/// // K = 1 at 1 m/s in a fluid of 1000 kg/m³ costs the dynamic pressure, 500 Pa.
/// let area = std::f64::consts::PI * 0.01_f64.powi(2) / 4.0;
/// let b = farwheel::flow::laws::minor_resistance(0.01, 1.0);
/// assert!((1000.0 * b * area * area - 500.0).abs() < 1e-9);
/// ```
pub fn minor_resistance(bore_m: f64, minor_k: f64) -> f64 {
    let area = PI * bore_m * bore_m / 4.0;
    minor_k / (2.0 * area * area)
}
