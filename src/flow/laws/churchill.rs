//! Friction factor over the full range of Reynolds numbers.

use crate::portable;

/// Darcy friction factor after Churchill, laminar, transitional and turbulent in one equation:
///
/// f = 8 [ (8/Re)¹² + (A + B)^−1.5 ]^(1/12),
/// A = (2.457 ln 1/((7/Re)^0.9 + 0.27 ε/D))¹⁶, B = (37530/Re)¹⁶.
///
/// - `reynolds`: Reynolds number V·D/ν, above 0 (dimensionless)
/// - `relative_roughness`: roughness over bore ε/D, 0 to 0.05 (dimensionless)
///
/// Valid for any Re above 0; within about 1 % of Colebrook above Re 4000, a guide only between
/// 2000 and 4000, where the flow itself is not settled.
/// Source: S. W. Churchill, "Friction-factor equation spans all fluid-flow regimes", *Chemical
/// Engineering* 84 (1977), no. 24, pp. 91–92.
///
/// ```
/// let f = farwheel::flow::laws::churchill_1977(1e5, 1e-4);
/// assert!((f - 0.018463).abs() < 1e-6);
/// ```
pub fn churchill_1977(reynolds: f64, relative_roughness: f64) -> f64 {
    churchill_1977_with_slope(reynolds, relative_roughness).0
}

/// [`churchill_1977`] and its derivative with respect to the Reynolds number.
///
/// Arguments, validity and source as there.
///
/// ```
/// let (f, slope) = farwheel::flow::laws::churchill_1977_with_slope(100.0, 0.0);
/// // Laminar there: f = 64/Re, df/dRe = −64/Re².
/// assert!((f - 0.64).abs() < 1e-12 && (slope + 0.0064).abs() < 1e-12);
/// ```
pub fn churchill_1977_with_slope(reynolds: f64, relative_roughness: f64) -> (f64, f64) {
    let smooth = portable::powf(7.0 / reynolds, 0.9);
    let inner = smooth + 0.27 * relative_roughness;
    let theta = -2.457 * portable::ln(inner);
    let theta_slope = 2.457 * 0.9 * smooth / (reynolds * inner);

    let a15 = portable::powi(theta, 15);
    let a = a15 * theta;
    let b = portable::powi(37_530.0 / reynolds, 16);
    let laminar = portable::powi(8.0 / reynolds, 12);
    let turbulent = 1.0 / ((a + b) * (a + b).sqrt());

    let laminar_slope = -12.0 * laminar / reynolds;
    // At very small Re both B and its derivative overflow; the term itself is nothing there.
    let turbulent_slope = if turbulent > 0.0 {
        -1.5 * turbulent * (16.0 * a15 * theta_slope - 16.0 * b / reynolds) / (a + b)
    } else {
        0.0
    };
    let sum = laminar + turbulent;
    let factor = 8.0 * portable::powf(sum, 1.0 / 12.0);
    (factor, factor * (laminar_slope + turbulent_slope) / (12.0 * sum))
}
