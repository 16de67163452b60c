//! A good plan found by going down: volumes scaled until the targets are met, then taken away step by step.

use super::car::{Candidate, Tried};
use crate::job::error::JobError;

/// Tries a plan, one like it known; `None` if it costs no less than so much or the study is to end.
pub(super) type Attempt<'a> =
    &'a (dyn Fn(&Candidate, Option<&Tried>, f64) -> Result<Option<Tried>, JobError> + Sync);

/// Steps moved from one opening to another, one less arriving.
const MOVED: [u32; 4] = [2, 3, 5, 9];
/// Halvings of the scale at which the targets are just met.
const HALVINGS: usize = 5;
/// Part of what the steps taken away do by which a foretold miss may be wrong.
const WRONG: f64 = 0.25;

/// The smallest multiple of a plan's volumes that meets the targets, found by halving, no volume beyond `most`
/// steps; `None` if not even `most` steps at every bleeder do.
pub(super) fn scaled_up(
    base: &Candidate,
    most: u32,
    attempt: Attempt<'_>,
) -> Result<Option<Tried>, JobError> {
    let try_at = |share: f64| -> Result<Option<Tried>, JobError> {
        let mut plan = base.clone();
        for (_, v) in plan.openings.iter_mut().filter(|o| o.1 > 0) {
            *v = ((f64::from(*v) * share).ceil() as u32).clamp(1, most);
        }
        Ok(attempt(&plan, None, f64::INFINITY)?.filter(Tried::fits))
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
///
/// What one step less and one more do to each target foretells what a move does: as each further step brings less, the
/// steps taken away do at least, and those put elsewhere at most, so many times as much. Moves that miss by
/// more than the two can bear on each other are not run.
pub(super) fn descend(
    mut best: Tried,
    least: &[u32],
    attempt: Attempt<'_>,
) -> Result<Tried, JobError> {
    let n = best.plan.openings.len();
    loop {
        let before = best.cost;
        let mut less = vec![None; n];
        for i in 0..n {
            while best.plan.openings[i].1 > least[i] {
                let plan = best.plan.with(i, -1);
                match attempt(&plan, Some(&best), best.cost)? {
                    Some(t) if t.fits() && t.cost < best.cost => best = t,
                    t => {
                        less[i] = t.map(|t| t.excess);
                        break;
                    }
                }
            }
        }
        let mut more = Vec::with_capacity(n);
        for to in 0..n {
            let tried = attempt(&best.plan.with(to, 1), Some(&best), f64::INFINITY)?;
            more.push(tried.map(|t| t.excess));
        }
        let (was, now) = (best.cost, best.excess.clone());
        let mut moves = Vec::new();
        for (from, to) in (0..n).flat_map(|i| (0..n).map(move |j| (i, j))) {
            let (true, Some(less), Some(more)) = (from != to, &less[from], &more[to]) else {
                continue;
            };
            for moved in MOVED {
                moves.push((foretold(&now, less, more, moved), moved, from, to));
            }
        }
        moves.retain(|m| m.0 <= 0.0);
        moves.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (_, moved, from, to) in moves {
            if best.plan.openings[from].1 < least[from] + moved {
                continue;
            }
            let moved = moved as i32;
            let plan = best.plan.with(from, -moved).with(to, moved - 1);
            match attempt(&plan, Some(&best), best.cost)? {
                Some(t) if t.fits() && t.cost < best.cost => best = t,
                // What is foretold for one plan holds less and less for those that come of it.
                _ if best.cost < was => break,
                _ => {}
            }
        }
        if best.cost >= before {
            return Ok(best);
        }
    }
}

/// By how much a move misses the targets at least, as one step less and one more have it.
fn foretold(now: &[f64], less: &[f64], more: &[f64], moved: u32) -> f64 {
    let moved = f64::from(moved);
    let each = now.iter().zip(less).zip(more).map(|((now, less), more)| {
        let (lost, won) = (moved * (less - now), (moved - 1.0) * (now - more));
        now + lost - won - WRONG * lost.abs()
    });
    each.fold(f64::NEG_INFINITY, f64::max)
}
