//! Pressure of a column of fluid.

/// Standard acceleration of gravity, m/s². Source: 3rd CGPM, 1901.
pub const STANDARD_GRAVITY: f64 = 9.806_65;

/// Pressure lost in rising, Δp = ρ g z in Pa (negative when the far end is lower).
///
/// - `density_kg_m3`: density ρ, kg/m³
/// - `rise_m`: height z of the far end above the near end, m
///
/// Valid for a fluid of one density along the rise. Source: hydrostatics.
///
/// ```
/// let p = farwheel::flow::laws::hydrostatic_rise_pa(1000.0, 1.0);
/// assert_eq!(p, 9806.65);
/// ```
pub fn hydrostatic_rise_pa(density_kg_m3: f64, rise_m: f64) -> f64 {
    density_kg_m3 * STANDARD_GRAVITY * rise_m
}
