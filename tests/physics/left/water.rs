//! The water of a blend.

use super::{CAR, Car, NEW};
use crate::common::cars::{close, read};

/// By hand, of half a millilitre of each: c = w ρ grams a millilitre with 1/ρ = w/0.9982 + (1 − w)/ρ_dry add up, and
/// in the mixture w = c/(c + (1 − c/0.9982) ρ_dry) with the mean of both dry densities.
fn half_and_half(old_percent: f64, new_percent: f64) -> f64 {
    const WATER: f64 = 0.998_206_7;
    let grams = |percent: f64, dry: f64| {
        let share = 0.01 * percent;
        share / (share / WATER + (1.0 - share) / dry)
    };
    let c = 0.5 * (grams(old_percent, 1.07) + grams(new_percent, 1.03));
    100.0 * c / (c + (1.0 - c / WATER) * 1.05)
}

/// Water of what is partly new: of the old fluid that such a place holds and of the new fluid, by their shares; what
/// is stated counts.
#[test]
fn a_blend_has_the_water_of_both_its_fluids() {
    let water = |reservoir: &str, line: &str, wheel: &str| {
        let wheel = format!("{}, {wheel}", CAR.wheel);
        let car = Car { reservoir, line, wheel: &wheel, ..CAR };
        let circuit = read(&car.text()).circuit().clone();
        let node = |name: &str| circuit.nodes.iter().find(|n| n.name == name).expect("a node");
        let line = circuit.links.iter().find(|l| l.name == "line").expect("a line");
        [node("reservoir").filling, line.filling, node("wheel").filling]
            .map(|f| 100.0 * f.water_share)
    };
    let half = "old_fraction = 0.5";
    let expected = [2.0, 3.0, 4.0].map(|old| half_and_half(old, 0.1));
    for (found, expected) in [
        (water("", "", ""), [2.0, 3.0, 4.0]),
        (water("old_fraction = 1", "old_fraction = 1", "old_fraction = 1"), [2.0, 3.0, 4.0]),
        (water(NEW, NEW, NEW), [0.1; 3]),
        (water(half, half, half), expected),
        (
            water(
                "old_fraction = 0.5\nwater = \"1 %\"",
                "old_fraction = 0, water = \"2 %\"",
                "old_fraction = 0.5, water = \"5 %\"",
            ),
            [1.0, 2.0, 5.0],
        ),
    ] {
        for (a, b) in found.into_iter().zip(expected) {
            close(a, b, 1e-9, &format!("{found:?} for {expected:?}"));
        }
    }
}
