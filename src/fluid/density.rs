//! Density over temperature.

use crate::measures::ZERO_CELSIUS_K;

/// Reference temperature of stated densities, K (20 °C).
pub const REFERENCE_K: f64 = ZERO_CELSIUS_K + 20.0;

/// Density at a temperature, kg/m³:
///
/// ρ(T) = ρ₂₀ / (1 + β (T − 293.15 K))
///
/// - `density_20_kg_m3`: density at 20 °C, kg/m³
/// - `expansion_per_k`: volumetric thermal expansion coefficient β, 1/K
/// - `temperature_k`: temperature, K
///
/// Validity: β taken constant, −40 to 120 °C (brake fluids: within about 0.5 %). Pressure is left
/// out: a few bar compress the fluid by less than 0.05 %. Source: definition of β.
///
/// ```
/// use farwheel::fluid::density::density_kg_m3;
///
/// assert_eq!(density_kg_m3(1060.0, 8e-4, 293.15), 1060.0);
/// assert!((density_kg_m3(1060.0, 8e-4, 393.15) - 1060.0 / 1.08).abs() < 1e-9);
/// ```
pub fn density_kg_m3(density_20_kg_m3: f64, expansion_per_k: f64, temperature_k: f64) -> f64 {
    density_20_kg_m3 / (1.0 + expansion_per_k * (temperature_k - REFERENCE_K))
}
