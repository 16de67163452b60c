//! Far and near: bleeders ranked by the volume of their path from the master cylinder.

use crate::circuit::{Circuit, paths};
use crate::scenario::model::Scenario;
use crate::scenario::procedure::Action;
use std::cmp::Reverse;

/// A bleeder and how far it is from the master cylinder.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranked {
    /// Name of the bleeder.
    pub bleeder: String,
    /// Volume of its path, from the reservoir's outlet to the bleeder (the reservoir not counted), mL.
    pub path_ml: f64,
}

/// The bleeders that the scenario's procedure opens, farthest first; ties in the order of the file.
///
/// Paths count as tied when they differ by less than a nanolitre: sums of the same parts, added up in
/// another order, differ by rounding.
pub fn far_first(scenario: &Scenario, circuit: &Circuit) -> Vec<Ranked> {
    let mut ranked = opened(scenario, circuit);
    ranked.sort_by_key(|r| Reverse(nanolitres(r)));
    ranked
}

/// The same bleeders, nearest first; ties in the order of the file too.
pub fn near_first(scenario: &Scenario, circuit: &Circuit) -> Vec<Ranked> {
    let mut ranked = opened(scenario, circuit);
    ranked.sort_by_key(nanolitres);
    ranked
}

/// In the order of the file.
fn opened(scenario: &Scenario, circuit: &Circuit) -> Vec<Ranked> {
    let opens =
        |name: &String| {
            scenario.procedure.steps.iter().any(
                |s| matches!(&s.action, Action::Open { bleeders, .. } if bleeders.contains(name)),
            )
        };
    let bleeders = circuit.bleeders.iter().enumerate().filter(|(_, b)| opens(&b.name));
    bleeders
        .map(|(i, b)| Ranked {
            bleeder: b.name.clone(),
            path_ml: 1e6 * paths::path_volume_m3(circuit, i),
        })
        .collect()
}

/// The path volume in whole nanolitres, so that sorting by it knows ties.
#[allow(clippy::cast_possible_truncation)] // a float saturates, and no path holds 9 million litres
fn nanolitres(ranked: &Ranked) -> i64 {
    (1e6 * ranked.path_ml).round() as i64
}
