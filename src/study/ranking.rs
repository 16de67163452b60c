//! Far and near: bleeders ranked by the volume of their path from the master cylinder.

use crate::circuit::Scenario;
use crate::circuit::paths;
use crate::measures::to_ml;
use crate::scenario::procedure::Action;
use crate::sorting;
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
/// Several bleeders of one part, as of a caliper of two halves, stay together in the order of the procedure: far
/// and near is about wheels, and which half goes first is another matter. They count as the farthest of them.
/// Paths count as tied when they differ by less than a nanolitre: sums of the same parts, added up in
/// another order, differ by rounding.
pub fn far_first(scenario: &Scenario) -> Vec<Ranked> {
    let mut wheels = opened(scenario);
    sorting::by_key(&mut wheels, |wheel| Reverse(farthest(wheel)));
    wheels.into_iter().flatten().collect()
}

/// The same bleeders, nearest first; ties in the order of the file too.
pub fn near_first(scenario: &Scenario) -> Vec<Ranked> {
    let mut wheels = opened(scenario);
    sorting::by_key(&mut wheels, |wheel| farthest(wheel));
    wheels.into_iter().flatten().collect()
}

/// The bleeders of each part, parts in the order of the file, those of one part in that of the procedure.
fn opened(scenario: &Scenario) -> Vec<Vec<Ranked>> {
    let turn = |name: &String| {
        scenario.procedure.steps.iter().position(
            |s| matches!(&s.action, Action::Open { bleeders, .. } if bleeders.contains(name)),
        )
    };
    let circuit = scenario.circuit();
    let mut wheels: Vec<(&str, Vec<(usize, Ranked)>)> = Vec::new();
    for (i, b) in circuit.bleeders.iter().enumerate() {
        let Some(turn) = turn(&b.name) else { continue };
        let path_ml = to_ml(paths::path_volume_m3(circuit, i));
        let ranked = (turn, Ranked { bleeder: b.name.clone(), path_ml });
        let part = circuit.nodes[b.node].part.as_str();
        match wheels.iter_mut().find(|(of, _)| *of == part) {
            Some((_, wheel)) => wheel.push(ranked),
            None => wheels.push((part, vec![ranked])),
        }
    }
    let in_turn = |mut wheel: Vec<(usize, Ranked)>| {
        sorting::by_key(&mut wheel, |(turn, _)| *turn);
        wheel.into_iter().map(|(_, ranked)| ranked).collect()
    };
    wheels.into_iter().map(|(_, wheel)| in_turn(wheel)).collect()
}

/// The longest path of a wheel's bleeders.
fn farthest(wheel: &[Ranked]) -> Option<i64> {
    wheel.iter().map(nanolitres).max()
}

/// The path volume in whole nanolitres, so that sorting by it knows ties.
#[allow(clippy::cast_possible_truncation)] // a float saturates, and no path holds 9 million litres
fn nanolitres(ranked: &Ranked) -> i64 {
    (1e6 * ranked.path_ml).round() as i64
}
