//! Check valves: the path past a master-cylinder cup, residual-pressure valves.

/// Leak of a closed check valve, m³/(s·Pa): a nanolitre a second at 1 bar.
///
/// Small enough to move nothing in a job (a microlitre in 1000 s), large enough that the pressure
/// behind a closed valve stays determined. A choice, no source.
pub const CHECK_LEAK_M3_PER_PA_S: f64 = 1e-17;

/// Smallest cracking pressure that the law tells from none, Pa (0.1 mm of water column).
pub const CRACKING_FLOOR_PA: f64 = 1.0;

/// Pressure drop of a check valve's seat and its derivative (Pa, Pa·s/m³), without the loss of
/// its bore. With the leak G and the flow q = p_c G that leaks at the cracking pressure p_c:
///
/// - Q ≤ 0: Δp = Q / G
/// - Q > 0: Δp = (Q / G) / √(1 + (Q/q)²), which tends to p_c
///
/// so that backwards nothing but G·|Δp| passes, forwards as little until Δp nears p_c, and then
/// any flow at p_c. Monotone, with a continuous derivative.
///
/// - `flow_m3_s`: flow Q in the opening direction, m³/s
/// - `cracking_pa`: cracking pressure p_c, Pa; below [`CRACKING_FLOOR_PA`] counts as that
///
/// Valid for a valve whose spring is short against its lift. Own regularisation of the ideal valve.
///
/// ```
/// use farwheel::flow::laws::check_seat_with_slope;
/// let (open, _) = check_seat_with_slope(1e-6, 3000.0);
/// let (shut, _) = check_seat_with_slope(-1e-12, 3000.0);
/// assert!((open - 3000.0).abs() < 1e-6 && (shut + 1e5).abs() < 1e-6);
/// ```
pub fn check_seat_with_slope(flow_m3_s: f64, cracking_pa: f64) -> (f64, f64) {
    let leak_slope = 1.0 / CHECK_LEAK_M3_PER_PA_S;
    if flow_m3_s <= 0.0 {
        return (flow_m3_s * leak_slope, leak_slope);
    }
    let ratio = flow_m3_s * leak_slope / cracking_pa.max(CRACKING_FLOOR_PA);
    let root = (1.0 + ratio * ratio).sqrt();
    let slope = leak_slope / root;
    (flow_m3_s * slope, slope / (root * root))
}
