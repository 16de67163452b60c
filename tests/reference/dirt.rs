//! What lies between dirt on a path and its bleeder: R of the default hold.

use super::car::{ReferenceCar, ReferenceKind, ReferencePath};

/// maxₚ w(cₚ/θ) Bₚ in mL, w(x) = min(max(x − 1, 0), 1), from the mean old fraction of each part and of the path's
/// share of the reservoir. Lines in a row whose joints mix nothing are one part.
pub fn behind_ml(
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
