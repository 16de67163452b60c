//! What lies between dirt on a path and its bleeder: R of the default hold.

use super::car::{ReferenceCar, ReferenceKind, ReferencePath};
use super::state::{Drained, State};

impl State {
    /// R of a path as things are, mL.
    pub fn behind_ml(&self, car: &ReferenceCar, path: usize, threshold: f64) -> f64 {
        let way = &car.paths[path];
        let reservoir = self.reservoir_old(way.compartment);
        behind_ml(car, way, threshold, |part| self.held[part][0], reservoir)
    }
}

impl Drained {
    /// R of a path at each point of the grid, mL.
    pub fn behind_ml(&self, car: &ReferenceCar, path: usize, threshold: f64) -> Vec<f64> {
        let way = &car.paths[path];
        let reservoir = self.reservoir[way.compartment].as_ref().expect("it was drawn from");
        let held = |part: usize| self.held[part].as_ref().expect("it was flowed through");
        let points = reservoir.iter().enumerate();
        points.map(|(k, old)| behind_ml(car, way, threshold, |p| held(p)[k], *old)).collect()
    }
}

/// maxₚ w(cₚ/θ) Bₚ in mL, w(x) = min(max(x − 1, 0), 1), from the mean old fraction of each part and of the path's
/// share of the reservoir. Lines in a row whose joints mix nothing are one part.
fn behind_ml(
    car: &ReferenceCar,
    path: &ReferencePath,
    threshold: f64,
    held: impl Fn(usize) -> f64,
    reservoir: f64,
) -> f64 {
    let weight = |old: f64| (old / threshold - 1.0).clamp(0.0, 1.0);
    let (mut most, mut behind_ml) = (0.0_f64, 0.0);
    // From the bleeder back: volume and old fluid of the part under way, mL.
    let (mut volume_ml, mut old_ml) = (0.0, 0.0);
    for &part in path.parts.iter().rev() {
        let kind = &car.parts[part].kind;
        volume_ml += kind.volume_ml();
        old_ml += kind.volume_ml() * held(part);
        if matches!(kind, ReferenceKind::Line { joint, .. } if *joint == 0.0) || volume_ml == 0.0 {
            continue;
        }
        most = most.max(weight(old_ml / volume_ml) * behind_ml);
        behind_ml += volume_ml;
        (volume_ml, old_ml) = (0.0, 0.0);
    }
    most.max(weight(reservoir) * behind_ml)
}
