//! A loss proportional to the square of the flow.

/// Flow below which the quadratic law passes over into a linear one, m³/s.
///
/// A thousandth of a microlitre a second: above 1e-8 m³/s the law is quadratic to 1e-8, and its
/// slope at rest is not zero, which a network solve needs.
pub const QUADRATIC_LINEAR_BELOW_M3_S: f64 = 1e-12;

/// Pressure drop Δp = K Q √(Q² + q²) and its derivative (Pa, Pa·s/m³), which is K Q|Q| for all
/// flows well above q = [`QUADRATIC_LINEAR_BELOW_M3_S`].
///
/// - `flow_m3_s`: flow Q, m³/s
/// - `k_pa_s2_per_m6`: K, Pa·s²/m⁶
///
/// Valid for fully rough turbulent flow, where K does not depend on Re.
/// Source: Darcy–Weisbach with constant f.
///
/// ```
/// let (drop, slope) = farwheel::flow::laws::quadratic_with_slope(-2.0, 5.0);
/// assert_eq!((drop, slope), (-20.0, 20.0));
/// ```
pub fn quadratic_with_slope(flow_m3_s: f64, k_pa_s2_per_m6: f64) -> (f64, f64) {
    let square = flow_m3_s * flow_m3_s;
    let floor = QUADRATIC_LINEAR_BELOW_M3_S * QUADRATIC_LINEAR_BELOW_M3_S;
    let root = (square + floor).sqrt();
    (k_pa_s2_per_m6 * flow_m3_s * root, k_pa_s2_per_m6 * (root + square / root))
}
