//! A piston pump: it delivers what its pistons displace, less what its motor slows under load.

/// Pressure rise and flow of a pump that delivers Q₀ without back pressure and nothing against the pressure p₀ at which
/// its motor stalls: Δp = −p₀ (1 − Q/Q₀), as a drop, with its derivative (Pa, Pa·s/m³).
///
/// - `flow_m3_s`: flow Q, m³/s
/// - `delivery_m3_s`: delivery without back pressure Q₀, m³/s, above zero
/// - `stall_pa`: stall pressure p₀, Pa, above zero
///
/// Valid for a pump with a direct-current motor, whose speed falls in proportion to its torque (any textbook of electric
/// machines), and small leakage; beyond Q₀, pushed through by what stands before it, the line goes on.
///
/// ```
/// // 1 mL/s and 200 bar: against 10 bar a twentieth less.
/// let (drop, slope) = farwheel::flow::laws::pump_with_slope(0.95e-6, 1e-6, 200e5);
/// assert!((drop + 10e5).abs() < 1e-3 && (slope - 2e13).abs() < 1.0);
/// ```
pub fn pump_with_slope(flow_m3_s: f64, delivery_m3_s: f64, stall_pa: f64) -> (f64, f64) {
    let slope = stall_pa / delivery_m3_s;
    (slope * flow_m3_s - stall_pa, slope)
}
