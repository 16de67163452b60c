//! What a syringe takes out of the reservoir before a flush.

use crate::circuit::Scenario;

/// What a syringe leaves in the reservoir, and the level to refill it to, which is where it stood, m³:
/// down to the dividing wall of its compartments, or of a reservoir without one a tenth (an estimate).
/// `None` if next to nothing lies above that.
pub(super) fn syringe(scenario: &Scenario) -> Option<(f64, f64)> {
    let level = scenario.reservoir.level.value;
    let chambers = scenario.master_cylinder.chambers.len().max(1) as f64;
    let below = chambers * scenario.reservoir.compartment.map_or(0.0, |q| q.value);
    let leave = below.max(0.1 * level);
    (leave < 0.9 * level).then_some((leave, level))
}
