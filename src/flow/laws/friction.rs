//! The friction factor that tubes use: laminar exactly, then Churchill.

use super::churchill::churchill_1977_with_slope;
use super::laminar::laminar_friction_factor;

/// Reynolds number up to which tubes are laminar exactly.
pub const LAMINAR_UP_TO: f64 = 1000.0;

/// Reynolds number from which tubes follow Churchill 1977 alone.
pub const CHURCHILL_FROM: f64 = 1500.0;

/// Darcy friction factor of a round tube: 64/Re below [`LAMINAR_UP_TO`], Churchill 1977 from
/// [`CHURCHILL_FROM`], and between them f = (1 − w)·64/Re + w·f_Churchill with
/// w = t²(3 − 2t), t = (Re − 1000)/500.
///
/// - `reynolds`: Reynolds number V·D/ν, above 0 (dimensionless)
/// - `relative_roughness`: roughness over bore ε/D, 0 to 0.05 (dimensionless)
///
/// The two differ by less than 1e-7 of f in the blend, so it serves only to make the derivative
/// continuous and to keep powers and logarithms out of laminar flow. f·Re² (and with it the
/// pressure drop) rises everywhere.
/// Sources: [`laminar_friction_factor`], [`super::churchill_1977`]; the blend is Farwheel's own.
///
/// ```
/// use farwheel::flow::laws::{churchill_1977, friction_factor};
/// assert_eq!(friction_factor(500.0, 0.0), 0.128);
/// assert_eq!(friction_factor(1e5, 1e-4), churchill_1977(1e5, 1e-4));
/// ```
pub fn friction_factor(reynolds: f64, relative_roughness: f64) -> f64 {
    friction_factor_with_slope(reynolds, relative_roughness).0
}

/// [`friction_factor`] and its derivative with respect to the Reynolds number.
///
/// Arguments, validity and source as there.
///
/// ```
/// let (f, slope) = farwheel::flow::laws::friction_factor_with_slope(640.0, 0.0);
/// assert_eq!((f, slope), (0.1, -0.1 / 640.0));
/// ```
pub fn friction_factor_with_slope(reynolds: f64, relative_roughness: f64) -> (f64, f64) {
    let laminar = laminar_friction_factor(reynolds);
    let laminar_slope = -laminar / reynolds;
    if reynolds <= LAMINAR_UP_TO {
        return (laminar, laminar_slope);
    }
    let (full, full_slope) = churchill_1977_with_slope(reynolds, relative_roughness);
    if reynolds >= CHURCHILL_FROM {
        return (full, full_slope);
    }
    let width = CHURCHILL_FROM - LAMINAR_UP_TO;
    let t = (reynolds - LAMINAR_UP_TO) / width;
    let weight = t * t * (3.0 - 2.0 * t);
    let weight_slope = 6.0 * t * (1.0 - t) / width;
    (
        laminar + weight * (full - laminar),
        laminar_slope + weight * (full_slope - laminar_slope) + weight_slope * (full - laminar),
    )
}
