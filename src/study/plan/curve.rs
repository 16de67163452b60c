//! The trade-off: fluid against old fluid left.

use super::answer::Point;
use super::car::{Candidate, Car, Least, Tried};
use super::local_search::{descend, scaled_up};
use super::targets::Targets;
use crate::circuit::Scenario;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::resume::{Ready, Sums};
use crate::study::progress::Progress;
use rayon::prelude::*;

/// Targets of the curve, as multiples of what the plan leaves.
const TARGETS: [f64; 10] = [4.0, 3.0, 2.2, 1.6, 1.25, 1.0, 0.8, 0.6, 0.45, 0.3];
/// Orders that are gone down from for each.
const ORDERS: usize = 2;

/// The least fluid found for old fractions of the whole system around what the plan leaves, the reservoir
/// syringed or not as in the plan: found by going down from the best plans, not proven to be least. What is no
/// better in either than another point is left out.
pub(super) fn curve(
    car: &Car,
    found: &[(Candidate, f64)],
    progress: &Progress<'_>,
) -> Result<Vec<Point>, JobError> {
    let best = &found[0].0;
    let n = car.groups.len();
    let planned = car.run(best)?.left().old_fraction;
    let bases: Vec<Candidate> = found
        .iter()
        .filter(|(plan, _)| plan.syringed == best.syringed)
        .take(ORDERS)
        .map(|(plan, _)| plan.clone())
        .collect();
    let most = found[0].0.openings.iter().map(|o| o.1).sum::<u32>() * 8 + 50;
    let one = |share: &f64| -> Result<Option<Point>, JobError> {
        if !progress.goes_on() {
            return Ok(None);
        }
        let targets = Targets { old_overall: Some(share * planned), ..Targets::default() };
        let car = Car { least: Least::Fluid, ..car.with(targets) };
        let attempt = |plan: &Candidate, like: Option<&Tried>, _: f64| match progress.goes_on() {
            true => car.attempt(plan, like).map(Some),
            false => Ok(None),
        };
        let mut least: Option<Tried> = None;
        for base in &bases {
            let floor: Vec<u32> = (0..base.openings.len()).map(|i| u32::from(i < n)).collect();
            if let Some(begun) = scaled_up(base, most, &attempt)? {
                let gone = descend(begun, &floor, &attempt)?;
                if least.as_ref().is_none_or(|l| gone.cost < l.cost) {
                    least = Some(gone);
                }
            }
        }
        progress.finished(2);
        Ok(least.map(|l| Point::of(&l.ended().sums())))
    };
    let points: Result<Vec<Option<Point>>, JobError> = TARGETS.par_iter().map(one).collect();
    let mut points: Vec<Point> = points?.into_iter().flatten().collect();
    points.sort_by(|a, b| {
        a.new_fluid_ml
            .total_cmp(&b.new_fluid_ml)
            .then(a.left_old_fraction.total_cmp(&b.left_old_fraction))
    });
    let mut front: Vec<Point> = Vec::new();
    for p in points {
        let better = |l: &Point| {
            p.new_fluid_ml > l.new_fluid_ml + 1e-6 && p.left_old_fraction < l.left_old_fraction
        };
        if front.last().is_none_or(better) {
            front.push(p);
        }
    }
    Ok(front)
}

/// What the scenario's own procedure drains and leaves.
pub(super) fn own(scenario: &Scenario, options: &Options) -> Result<Sums, JobError> {
    let ready = Ready::new(scenario, options)?;
    let mut job = ready.begin()?;
    for ((pass, number), step) in scenario.procedure.in_turn() {
        job.act(step, pass, number)?;
    }
    Ok(job.sums())
}
