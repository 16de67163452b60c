//! Orifices: bleeder seat gap and bore, compensating port, valves of a modulator.

use crate::portable;
use std::f64::consts::PI;

/// Discharge coefficient of a sharp-edged orifice at high Reynolds number, π/(π + 2).
///
/// Source: Kirchhoff 1869 for the plane free jet; used as the turbulent limit by H. E. Merritt,
/// *Hydraulic Control Systems* (1967), ch. 3. Measured values lie between 0.6 and 0.7.
pub const SHARP_EDGED_DISCHARGE: f64 = PI / (PI + 2.0);

/// Viscous resistance of a round hole in a wall, a = 24/D³ + 128 L/(π D⁴) in 1/m³, so that at
/// vanishing Reynolds number Δp = ρ ν a Q.
///
/// - `bore_m`: diameter D of the hole, m
/// - `length_m`: thickness L of the wall, m (0 for a thin plate)
///
/// Valid for Re ≪ 1 and a hole small against the spaces on both sides; the sum of the two terms is
/// within 1 % of the exact solution for any thickness.
/// Sources: R. A. Sampson, *Phil. Trans. R. Soc. A* 182 (1891) (thin plate, Δp = 3 μ Q / r³);
/// Z. Dagan, S. Weinbaum, R. Pfeffer, *J. Fluid Mech.* 115 (1982) (the sum).
///
/// ```
/// // Thin plate, 1 mm, 1 Pa·s (1000 kg/m³ × 1e-3 m²/s), 1 mL/s: 3 μ Q / r³ = 24 kPa.
/// let a = farwheel::flow::laws::orifice_viscous_resistance(1e-3, 0.0);
/// assert!((1000.0 * 1e-3 * a * 1e-6 - 24_000.0).abs() < 1e-6);
/// ```
pub fn orifice_viscous_resistance(bore_m: f64, length_m: f64) -> f64 {
    24.0 / portable::powi(bore_m, 3) + super::laminar::laminar_resistance(bore_m, length_m)
}

/// Viscous resistance of a slit in a thin wall, a = 32/(π h² w) in 1/m³, so that at vanishing Reynolds number
/// Δp = ρ ν a Q.
///
/// - `gap_m`: width h of the slit, m
/// - `length_m`: length w of the slit along the wall, m
///
/// Valid for Re ≪ 1, h ≪ w and a wall thin against h; a slit that runs round in a ring counts as a straight one as long as
/// h is small against its diameter.
/// Source: H. Hasimoto, *J. Phys. Soc. Japan* 13 (1958), 633 (per length of the slit Q = π h² Δp/(32 μ)).
///
/// ```
/// // 0.35 mm round a hole of 2 mm, 1060 kg/m³ and 15 mm²/s, 1 mL/s: 0.21 kPa.
/// let w = std::f64::consts::PI * 2e-3;
/// let a = farwheel::flow::laws::slit_viscous_resistance(0.35e-3, w);
/// assert!((1060.0 * 15e-6 * a * 1e-6 - 210.4).abs() < 0.1);
/// ```
pub fn slit_viscous_resistance(gap_m: f64, length_m: f64) -> f64 {
    32.0 / (PI * gap_m * gap_m * length_m)
}

/// Inertial resistance of an orifice, b = 1 / (2 C² A²) in 1/m⁴ with A = π D²/4, so that at high
/// Reynolds number Δp = ρ b Q |Q|, that is Q = C A √(2 Δp/ρ).
///
/// - `bore_m`: diameter D of the hole, m
/// - `discharge`: discharge coefficient C at high Reynolds number, 0 to 1 (dimensionless)
///
/// Valid for Re above some thousands and a hole small against the spaces on both sides.
/// Source: Merritt 1967, ch. 3.
///
/// ```
/// use farwheel::flow::laws::{SHARP_EDGED_DISCHARGE, orifice_inertial_resistance};
/// let b = orifice_inertial_resistance(1e-3, SHARP_EDGED_DISCHARGE);
/// // 1 mL/s of 1000 kg/m³ through 1 mm: 1.273 m/s, 0.811 kPa dynamic, over C².
/// assert!((1000.0 * b * 1e-12 - 2171.0).abs() < 1.0);
/// ```
pub fn orifice_inertial_resistance(bore_m: f64, discharge: f64) -> f64 {
    super::minor::minor_resistance(bore_m, 1.0 / (discharge * discharge))
}

/// Discharge coefficient of an orifice at a Reynolds number, from the sum of both resistances:
///
/// 1/Cd² = 1/C² + (1 + 16 L/(3 π D)) · 12 π / Re
///
/// so that Cd → C at high Re and Cd → δ √Re at low Re, with δ = 1/√(12 π) = 0.163 for a thin plate.
///
/// - `reynolds`: V·D/ν with the mean velocity in the hole, above 0 (dimensionless)
/// - `bore_m`, `length_m`, `discharge`: as [`orifice_viscous_resistance`] and
///   [`orifice_inertial_resistance`]
///
/// Exact at both ends. Between (Re 10 to 1000) measured coefficients of thin plates lie up to some
/// 20 % higher, with a peak near 0.7 (from memory, after Merritt 1967, who gives δ ≈ 0.2): the
/// spread of an effective bore is larger than that.
/// Sources: those of the two ends; adding them is Farwheel's choice, since it makes the pressure
/// drop a Q + b Q|Q|, which is smooth and rises everywhere.
///
/// ```
/// use farwheel::flow::laws::{SHARP_EDGED_DISCHARGE, orifice_discharge};
/// let at = |re| orifice_discharge(re, 1e-3, 0.0, SHARP_EDGED_DISCHARGE);
/// assert!((at(1e-4) - 0.1629 * 1e-2).abs() < 1e-6);
/// assert!((at(1e6) - 0.611).abs() < 1e-4);
/// ```
pub fn orifice_discharge(reynolds: f64, bore_m: f64, length_m: f64, discharge: f64) -> f64 {
    let thick = 1.0 + 16.0 * length_m / (3.0 * PI * bore_m);
    (1.0 / (discharge * discharge) + thick * 12.0 * PI / reynolds).sqrt().recip()
}
