//! Good plans of the orders that are tried.

use super::Unit;
use super::bounds::Bounds;
use super::car::{Candidate, Car, Tried};
use super::local_search::{Attempt, descend, scaled_up};
use crate::job::error::JobError;
use crate::job::record::Left;
use crate::study::progress::Progress;
use rayon::prelude::*;

/// How many times what another way costs a way is not followed any further.
const FAR_MORE: f64 = 1.2;

/// Good plans, the cheapest first: of each first order one from what its bleeders alone draw through, of every other
/// order one from the first's. Where the first, syringed or not, costs far more than the other way, no other order is
/// gone down from. Also from how many it was gone down.
pub(super) fn good_plans(
    car: &Car,
    bounds: &Bounds,
    start: &Left,
    units: &[Unit],
    attempt: Attempt<'_>,
    progress: &Progress<'_>,
) -> Result<(Vec<(Candidate, f64)>, usize), JobError> {
    let n = car.groups.len();
    let passes = if car.has_between() { 2 } else { 1 };
    let own = |g: usize| (car.judge.own_ml(start, g) / car.grid_ml).ceil() as u32;
    let one = |(syringed, order): &Unit, first: Option<&Candidate>| {
        // Of each pass, what the first order gives the group there.
        let steps = |pass: usize, g: usize| match first {
            Some(plan) => plan.openings[pass * n..].iter().find(|o| o.0 == g).map_or(0, |o| o.1),
            None => own(g).max(bounds.steps[g]),
        };
        let openings = (0..passes).flat_map(|p| order.iter().map(move |&g| (g, p)));
        let openings: Vec<(usize, u32)> = openings.map(|(g, p)| (g, steps(p, g))).collect();
        let least: Vec<u32> =
            (0..passes * n).map(|i| if i < n { bounds.steps[order[i]] } else { 0 }).collect();
        let begun = scaled_up(&Candidate { syringed: *syringed, openings }, bounds.most, attempt)?;
        let gone = begun.map(|begun| {
            let mut plan = begun.plan.clone();
            for (o, l) in plan.openings.iter_mut().zip(&least) {
                o.1 = o.1.max(*l);
            }
            let raised = attempt(&plan, Some(&begun), f64::INFINITY)?;
            descend(raised.filter(Tried::fits).unwrap_or(begun), &least, attempt)
        });
        progress.finished(1);
        Ok(gone.transpose()?.map(|t| (t.plan, t.cost)))
    };
    let (first, others): (Vec<&Unit>, Vec<&Unit>) = units.iter().partition(|u| u.1 == units[0].1);
    let all: Result<Vec<_>, JobError> = first.par_iter().map(|u| one(u, None)).collect();
    let mut found: Vec<(Candidate, f64)> = all?.into_iter().flatten().collect();
    let least = found.iter().map(|f| f.1).fold(f64::INFINITY, f64::min);
    let from = |unit: &Unit| found.iter().find(|f| f.0.syringed == unit.0);
    let others = others.into_iter().filter(|u| from(u).is_none_or(|f| f.1 <= FAR_MORE * least));
    let others: Vec<&Unit> = others.collect();
    let starts = first.len() + others.len();
    let all: Result<Vec<_>, JobError> =
        others.par_iter().map(|u| one(u, from(u).map(|f| &f.0))).collect();
    found.extend(all?.into_iter().flatten());
    found.sort_by(|a, b| a.1.total_cmp(&b.1));
    Ok((found, starts))
}
