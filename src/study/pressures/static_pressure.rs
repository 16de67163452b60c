//! Pressures in the circuit while a supply pushes and every bleeder is shut.

use crate::circuit::Scenario;
use crate::fluid::blend::Blend;
use crate::measures::STANDARD_GRAVITY;
use crate::supply::Supply;

/// Gauge pressures at rest, Pa.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct StaticPressure {
    /// On the reservoir and its cap.
    pub cap_pa: f64,
    /// On the seals of the master cylinder.
    pub master_cylinder_pa: f64,
    /// On the seals at the lowest bleeder, where it is highest.
    pub wheel_pa: f64,
}

/// Pressures with every bleeder shut, while the gauge of a pressure bleeder shows `gauge_pa` (without effect
/// with other supplies).
///
/// Nothing flows, so nothing is lost on the way (p + ρ g z = constant, hydrostatics): the cap bears the
/// whole gauge pressure of a pressure bleeder, which with an open bleeder it bears less the loss in
/// the feed hose. It is open to the air (0) with gravity, vacuum and pedal. A vacuum acts behind the shut
/// bleeder and does not reach the seals; a foot that holds the pedal loads the master cylinder and
/// everything behind it. The wheels bear ρ g h beside that, h from the fluid's surface down to the
/// lowest bleeder, ρ of old fluid as in the flow (the denser of two fluids would add less than a percent of
/// that). The master cylinder's own height is not stated: its decimetre or so under the surface, 1 to
/// 2 kPa, is left out. Heights outside the car (the vessel on the floor or on a bench) are left out as in
/// the flow.
pub(super) fn static_pressure(
    scenario: &Scenario,
    supply: &dyn Supply,
    gauge_pa: f64,
) -> StaticPressure {
    let circuit = scenario.circuit();
    let temperature = scenario.vehicle.temperature.value;
    let old = scenario.old_fluid.fluid();
    let new = scenario.new_fluid.fluid();
    let density = Blend::new(old, new, temperature).density_kg_m3(1.0);
    let lowest = circuit.bleeders.iter().map(|b| b.height_m).fold(f64::INFINITY, f64::min);
    let lowest = if lowest.is_finite() { lowest } else { circuit.reservoir.height_m };
    let pressed = supply.feed_hose().is_some();
    let cap_pa = if pressed { gauge_pa } else { 0.0 };
    let master_cylinder_pa = if pressed { gauge_pa } else { supply.push_pa() };
    let head_pa = density * STANDARD_GRAVITY * (circuit.reservoir.height_m - lowest);
    StaticPressure { cap_pa, master_cylinder_pa, wheel_pa: master_cylinder_pa + head_pa }
}
