//! Water in the fluid: mass percent, and grams per millilitre of mixture as transport carries it.
//!
//! Rule: ideal volumes. Water and dry fluid keep their own volumes at 20 °C when mixed, so 1 g
//! of mixture with the mass share w of water fills w/ρ_w + (1 − w)/ρ_dry. Real mixtures of glycol
//! ethers with water contract: by a few tenths of a percent of volume at 4 % water (from memory).
//! Concentrations refer to 20 °C; mass percent does not depend on temperature.

/// Density of water at 20 °C, kg/m³. Source: Tanaka et al., Metrologia 38 (2001) 301: 998.2067.
pub const WATER_DENSITY_20_KG_M3: f64 = 998.2067;

/// Water concentration at 20 °C, grams per millilitre of mixture:
///
/// c = w ρ, 1/ρ = w/ρ_w + (1 − w)/ρ_dry
///
/// - `water_percent`: water, mass %
/// - `dry_density_20_kg_m3`: density of the fluid without water at 20 °C, kg/m³
///
/// Validity: 0 to 100 %, ideal volumes (see the module). Inverse of [`water_percent`].
///
/// ```
/// use farwheel::fluid::water::{water_g_per_ml, water_percent};
///
/// let c = water_g_per_ml(3.7, 1060.0);
/// assert!((c - 0.0391).abs() < 1e-4);
/// assert!((water_percent(c, 1060.0) - 3.7).abs() < 1e-12);
/// ```
pub fn water_g_per_ml(water_percent: f64, dry_density_20_kg_m3: f64) -> f64 {
    let share = water_percent / 100.0;
    let volume_m3_per_kg = share / WATER_DENSITY_20_KG_M3 + (1.0 - share) / dry_density_20_kg_m3;
    // kg/m³ to g/mL.
    share / volume_m3_per_kg * 1e-3
}

/// Water in mass % from its concentration at 20 °C:
///
/// w = c / (c + (1 − c/ρ_w) ρ_dry)
///
/// - `water_g_per_ml`: grams of water per millilitre of mixture at 20 °C
/// - `dry_density_20_kg_m3`: density of the fluid without water at 20 °C, kg/m³
///
/// Validity: 0 to 0.998 g/mL, ideal volumes (see the module). Not clipped: a concentration that
/// rounding has carried a hair below zero comes out a hair below zero.
pub fn water_percent(water_g_per_ml: f64, dry_density_20_kg_m3: f64) -> f64 {
    let water_kg_m3 = water_g_per_ml * 1e3;
    let dry_kg_m3 = (1.0 - water_kg_m3 / WATER_DENSITY_20_KG_M3) * dry_density_20_kg_m3;
    100.0 * water_kg_m3 / (water_kg_m3 + dry_kg_m3)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_water_and_nothing_but_water() {
        assert_eq!(water_g_per_ml(0.0, 1060.0), 0.0);
        assert_eq!(water_percent(0.0, 1060.0), 0.0);
        assert!((water_g_per_ml(100.0, 1060.0) - 0.998_206_7).abs() < 1e-15);
        assert!((water_percent(0.998_206_7, 1060.0) - 100.0).abs() < 1e-12);
    }

    #[test]
    fn equal_volumes_weigh_in_proportion_to_density() {
        // Half a millilitre of each in one millilitre of mixture.
        let percent = water_percent(0.5 * 0.998_206_7, 1100.0);
        let expected = 100.0 * 998.206_7 / (998.206_7 + 1100.0);
        assert!((percent - expected).abs() < 1e-12);
    }
}
