//! Every plan on the grid that would cost less is excluded, or found.

use super::bounds::Bounds;
use super::car::{Candidate, Car, Least};
use crate::job::error::JobError;
use crate::job::resume::Underway;
use crate::study::progress::Progress;
use std::rc::Rc;

/// Openings that one order may take to search.
const MOST_OPENINGS: u64 = 60_000;

/// The search of one order, the reservoir syringed or not.
pub(super) struct Search<'a> {
    car: &'a Car,
    bounds: &'a Bounds,
    order: &'a [usize],
    syringed: bool,
    /// What a plan may cost.
    budget: f64,
    /// Best plan within the budget.
    pub best: Option<(Candidate, f64)>,
    /// Openings simulated.
    pub openings: u64,
    /// Whether it was given up.
    pub given_up: bool,
}

/// Plans with at least and at most so many steps at each opening.
struct Plans {
    low: Vec<u32>,
    high: Vec<u32>,
    /// A plan that was run, with which these have openings in common.
    like: Rc<Corner>,
}

/// The plan with the most of each, and the job before each opening and at its end.
struct Corner {
    steps: Vec<u32>,
    trail: Vec<Underway>,
}

/// Costs closer than this count as equal: a part of a grid step, or a second.
pub(super) fn closer(car: &Car) -> f64 {
    match car.least {
        Least::Fluid => car.grid_ml,
        Least::Time => 1.0,
    }
}

impl<'a> Search<'a> {
    /// Searches for plans that cost less than `below` by a grid step or a second.
    ///
    /// Plans are taken by boxes, from a least to a most at each bleeder, of which no most is more than the least of the
    /// others leaves to spend. If the targets are missed with the most at each, then every plan of the box misses them;
    /// else the box is halved where it is widest, down to single plans. What is found lowers what may be spent.
    pub fn run(
        (car, bounds): (&'a Car, &'a Bounds),
        progress: &Progress<'_>,
        syringed: bool,
        order: &'a [usize],
        below: f64,
    ) -> Result<Self, JobError> {
        let budget = below - closer(car);
        let mut search =
            Self { car, bounds, order, syringed, budget, best: None, openings: 0, given_up: false };
        let begun = Corner { steps: Vec::new(), trail: vec![car.begin(syringed)?] };
        let low: Vec<u32> = order.iter().map(|&g| bounds.steps[g]).collect();
        let high = vec![bounds.most; low.len()];
        let mut boxes = vec![Plans { low, high, like: Rc::new(begun) }];
        while let Some(Plans { low, mut high, like }) = boxes.pop() {
            if search.openings > MOST_OPENINGS || !progress.goes_on() {
                search.given_up = true;
                break;
            }
            if !search.cut(&low, &mut high, &like) {
                continue;
            }
            let Some(corner) = search.run_to(high.clone(), &like)? else { continue };
            let like = Rc::new(corner);
            let found = search.keep_if_affordable(&like);
            let width = |i: &usize| high[*i] - low[*i];
            let widest = (0..low.len()).max_by_key(width).filter(|i| width(i) > 0);
            match widest {
                // What is cheaper than what was found may be in the same box.
                Some(_) if found => boxes.push(Plans { low, high, like }),
                Some(i) => {
                    let middle = low[i] + (high[i] - low[i]) / 2;
                    let (mut above, mut below) = (low.clone(), high.clone());
                    (above[i], below[i]) = (middle + 1, middle);
                    boxes.push(Plans { low: above, high, like: Rc::clone(&like) });
                    boxes.push(Plans { low, high: below, like });
                }
                None => {}
            }
        }
        Ok(search)
    }

    /// Lowers the most of each opening to what the least of the others leaves to spend; false if no plan is left.
    fn cut(&self, low: &[u32], high: &mut [u32], like: &Corner) -> bool {
        // Openings that stand, with what they have cost.
        let alike = low.iter().zip(&*high).zip(&like.steps);
        let stand = alike.take_while(|((l, h), s)| l == h && l == s).count();
        let job = &like.trail[stand];
        let spent = match self.car.least {
            Least::Fluid => job.sums().gone_ml(),
            Least::Time => job.sums().bay_seconds,
        };
        let least = |i: usize| self.bounds.price(self.order[i], low[i]);
        let all: f64 = (stand..low.len()).map(least).sum();
        (stand..low.len()).all(|i| {
            let left = self.budget - spent - (all - least(i));
            high[i] = high[i].min(self.bounds.affordable(self.order[i], left));
            high[i] >= low[i]
        }) && spent + all <= self.budget + 1e-6
    }

    /// Runs a plan as far as it may meet the targets; `None` if it misses them.
    fn run_to(&mut self, steps: Vec<u32>, like: &Corner) -> Result<Option<Corner>, JobError> {
        let judge = &self.car.judge;
        let common = steps.iter().zip(&like.steps).take_while(|(a, b)| a == b).count();
        let mut trail = like.trail[..=common].to_vec();
        let mut job = trail[common].clone();
        for (&group, &steps) in self.order.iter().zip(&steps).skip(common) {
            self.openings += 1;
            self.car.open(&mut job, group, steps)?;
            if judge.asks_of_parts() && !judge.own_fit(&job.left(), group) {
                return Ok(None);
            }
            trail.push(job.clone());
        }
        Ok(self.car.fits(&job).then_some(Corner { steps, trail }))
    }

    /// Keeps a plan that meets the targets if it costs no more than may be spent.
    fn keep_if_affordable(&mut self, corner: &Corner) -> bool {
        let sums = corner.trail[corner.steps.len()].sums();
        let cost = match self.car.least {
            Least::Fluid => sums.gone_ml(),
            Least::Time => sums.bay_seconds,
        };
        let affordable = cost <= self.budget + 1e-6;
        if affordable {
            let openings = self.order.iter().copied().zip(corner.steps.iter().copied()).collect();
            self.best = Some((Candidate { syringed: self.syringed, openings }, cost));
            self.budget = cost - closer(self.car);
        }
        affordable
    }
}
