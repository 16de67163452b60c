//! A good plan found by going down: volumes scaled until the targets are met, then taken away step by step.

use super::car::Candidate;
use crate::job::error::JobError;

/// Tells what a plan costs if it meets the targets and costs less than so much.
pub(super) type Worth<'a> = &'a (dyn Fn(&Candidate, f64) -> Result<Option<f64>, JobError> + Sync);

/// Steps moved from one opening to another, one less arriving.
const MOVED: [u32; 4] = [2, 3, 5, 9];
/// Halvings of the scale at which the targets are just met.
const HALVINGS: usize = 5;

/// The smallest multiple of a plan's volumes that meets the targets, found by halving, no volume beyond `most`
/// steps; `None` if not even `most` steps at every bleeder do.
pub(super) fn scaled_up(
    base: &Candidate,
    most: u32,
    worth: Worth<'_>,
) -> Result<Option<(Candidate, f64)>, JobError> {
    let scaled = |share: f64| {
        let mut plan = base.clone();
        for (_, v) in plan.openings.iter_mut().filter(|o| o.1 > 0) {
            *v = ((f64::from(*v) * share).ceil() as u32).clamp(1, most);
        }
        plan
    };
    let try_at = |share: f64| -> Result<Option<(Candidate, f64)>, JobError> {
        let plan = scaled(share);
        Ok(worth(&plan, f64::INFINITY)?.map(|w| (plan, w)))
    };
    let (mut low, mut high) = (0.0, 1.0);
    let mut best = loop {
        if let Some(found) = try_at(high)? {
            break found;
        }
        if base.openings.iter().all(|o| o.1 == 0 || f64::from(o.1) * high >= f64::from(most)) {
            return Ok(None);
        }
        (low, high) = (high, 1.5 * high);
    };
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        match try_at(middle)? {
            Some(found) => (best, high) = (found, middle),
            None => low = middle,
        }
    }
    Ok(Some(best))
}

/// Takes steps away, and moves them from one opening to another with some lost on the way, for as long as that
/// costs less and the targets are met. `least` has the least steps of each opening.
pub(super) fn descend(
    mut plan: Candidate,
    mut cost: f64,
    least: &[u32],
    worth: Worth<'_>,
    goes_on: &dyn Fn() -> bool,
) -> Result<(Candidate, f64), JobError> {
    let n = plan.openings.len();
    loop {
        let before = cost;
        for (i, &floor) in least.iter().enumerate().take(n) {
            while plan.openings[i].1 > floor && goes_on() {
                let mut less = plan.clone();
                less.openings[i].1 -= 1;
                match worth(&less, cost)? {
                    Some(w) => (plan, cost) = (less, w),
                    None => break,
                }
            }
        }
        'moves: for moved in MOVED {
            for (from, to) in (0..n).flat_map(|i| (0..n).map(move |j| (i, j))) {
                if from == to || plan.openings[from].1 < least[from] + moved || !goes_on() {
                    continue;
                }
                let mut other = plan.clone();
                other.openings[from].1 -= moved;
                other.openings[to].1 += moved - 1;
                if let Some(w) = worth(&other, cost)? {
                    (plan, cost) = (other, w);
                    break 'moves;
                }
            }
        }
        if cost >= before {
            return Ok((plan, cost));
        }
    }
}
