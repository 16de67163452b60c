//! How large a millilitre is drawn.

use crate::job::record::Left;
use crate::job::record::region::Sort;

/// A millilitre is no larger, the reservoir and a chamber take no more of the paper, and so on: as large as possible.
const LARGEST_ML: f64 = 110.0;
const MOST_RESERVOIR: f64 = 19_500.0;
const MOST_BLOCK: f64 = 3_000.0;

/// The most that a part holds: the reservoir up to its brim, all else as much as it does.
pub(super) fn most_ml(left: &Left, part: usize) -> f64 {
    let Some(p) = left.parts.get(part) else { return 0.0 };
    let brim = if p.belongs.sort == Sort::Reservoir { left.joined.brim_ml } else { 0.0 };
    let most = p.volume_ml.max(p.volume_before_ml).max(brim);
    if most.is_finite() { most.max(0.0) } else { 0.0 }
}

/// The area of a millilitre, as large as leaves the largest of each sort its room.
pub(super) fn largest(left: &Left) -> f64 {
    let mut largest = LARGEST_ML;
    for (i, p) in left.parts.iter().enumerate() {
        let room = match p.belongs.sort {
            Sort::Reservoir => MOST_RESERVOIR,
            sort if sort.is_pipe() => continue,
            _ => MOST_BLOCK,
        };
        let volume = most_ml(left, i);
        if volume > 0.0 {
            largest = f64::min(largest, room / volume);
        }
    }
    largest
}

/// The volume whose square is of middling size.
pub(super) fn square_ml(scale: f64) -> f64 {
    let sizes = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0];
    let fits = |ml: &f64| (ml * scale).sqrt() <= 27.0;
    sizes.into_iter().rev().find(fits).unwrap_or(sizes[0])
}
