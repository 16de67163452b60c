//! A good plan found by going down: volumes scaled until the targets are met, then taken away step by step.

use super::car::{Candidate, Tried, worst};
use crate::job::error::JobError;

/// Tries a plan, one like it known; `None` if it costs no less than so much or the study is to end.
pub(super) type Attempt<'a> =
    &'a (dyn Fn(&Candidate, Option<&Tried>, f64) -> Result<Option<Tried>, JobError> + Sync);

/// Steps moved from one opening to another, one less arriving.
const MOVED: [u32; 4] = [2, 3, 5, 9];
/// Halvings of the scale at which the targets are just met.
const HALVINGS: usize = 5;
/// Part of what the plan lacks for a step less that a step moved is to bring.
const EVENED: f64 = 0.25;
/// Plans whose costs differ by no more cost the same, mL or s.
const SAME: f64 = 0.1;
/// Part of what the steps taken away do by which a foretold miss may be wrong where more than one target is asked for, as
/// of each part: then the one missed most may change from step to step.
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
/// costs less and the targets are met; where nothing does, moves single steps to where the worst target is met by more.
/// `least` has the least steps of each opening.
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
    // The cheapest so far; `best` may have room to spare instead.
    let mut cheapest = best.clone();
    loop {
        let mut less = vec![None; n];
        for i in 0..n {
            while best.plan.openings[i].1 > least[i] {
                let tried = attempt(&best.plan.with(i, -1), Some(&best), cheapest.cost)?;
                match tried {
                    Some(t) if t.fits() && t.cost < cheapest.cost => {
                        cheapest = t.clone();
                        best = t;
                    }
                    tried => {
                        less[i] = tried.map(|t| t.excess);
                        break;
                    }
                }
            }
        }
        let mut more = Vec::with_capacity(n);
        for i in 0..n {
            let tried = attempt(&best.plan.with(i, 1), Some(&best), f64::INFINITY)?;
            more.push(tried.map(|t| t.excess));
        }
        let begun = best.clone();
        // Evening out is to bring a good part of what a step less lacks, or it takes too many moves.
        let lacks = less.iter().flatten().map(|e| worst(e)).fold(f64::INFINITY, f64::min);
        let wrong = if begun.excess.len() > 1 { WRONG } else { 0.0 };
        // What a move misses by, steps taken away, steps added, from and to where.
        let mut moves = Vec::new();
        for (from, to) in (0..n).flat_map(|i| (0..n).map(move |j| (i, j))) {
            let (true, Some(less), Some(more)) = (from != to, &less[from], &more[to]) else {
                continue;
            };
            let foretold =
                |taken, added, wrong| foretold(&begun.excess, less, more, [taken, added, wrong]);
            for moved in MOVED {
                let misses = foretold(f64::from(moved), f64::from(moved - 1), wrong);
                if misses <= 0.0 {
                    moves.push((misses, moved, moved - 1, from, to));
                }
            }
            let evened = foretold(1.0, 1.0, 0.0);
            if evened < begun.worst() - EVENED * lacks {
                moves.push((evened, 1, 1, from, to));
            }
        }
        moves.sort_by(|a, b| (a.1 == a.2).cmp(&(b.1 == b.2)).then(a.0.total_cmp(&b.0)));
        for (_, taken, added, from, to) in moves {
            if best.plan.openings[from].1 < least[from] + taken {
                continue;
            }
            let plan = best.plan.with(from, -(taken as i32)).with(to, added as i32);
            let evens = taken == added;
            let below = cheapest.cost + if evens { SAME } else { 0.0 };
            let tried = attempt(&plan, Some(&best), below)?;
            match tried.filter(|t| t.fits() && t.cost < below) {
                Some(t) if !evens => {
                    cheapest = t.clone();
                    best = t;
                }
                Some(t) if t.worst() < best.worst() => best = t,
                // What is foretold for one plan holds less and less for those that come of it.
                _ if best.plan != begun.plan => break,
                _ => {}
            }
        }
        if best.plan == begun.plan {
            return Ok(cheapest);
        }
    }
}

/// By how much a move misses the worst target, as one step less and one more have it: so many taken away, so many added,
/// and the part of what those taken away do by which it may miss by less.
fn foretold(now: &[f64], less: &[f64], more: &[f64], [taken, added, wrong]: [f64; 3]) -> f64 {
    let each = now.iter().zip(less).zip(more).map(|((now, less), more)| {
        let (lost, won) = (taken * (less - now), added * (now - more));
        now + lost - won - wrong * lost.abs()
    });
    worst(&each.collect::<Vec<_>>())
}
