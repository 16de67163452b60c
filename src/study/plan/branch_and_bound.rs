//! Every plan on the grid that would cost less is excluded, or found.

use super::bounds::Bounds;
use super::car::{Candidate, Car, Least};
use crate::job::error::JobError;
use crate::job::resume::Underway;
use crate::study::progress::Progress;

/// Openings that one order may take to search.
const MOST_OPENINGS: u64 = 60_000;

/// The search of one order, the reservoir syringed or not.
pub(super) struct Search<'a> {
    car: &'a Car,
    bounds: &'a Bounds,
    progress: &'a Progress<'a>,
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
    /// Steps so far.
    begun: Vec<u32>,
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
    /// Volumes of an opening are taken by intervals: if the targets are missed with the most of the interval, and
    /// then as much at each later bleeder as the least of the interval leaves to spend, then every plan in it
    /// misses them; else it is halved, down to single steps.
    pub fn run(
        (car, bounds): (&'a Car, &'a Bounds),
        progress: &'a Progress<'a>,
        syringed: bool,
        order: &'a [usize],
        below: f64,
    ) -> Result<Self, JobError> {
        let mut search = Self {
            car,
            bounds,
            progress,
            order,
            syringed,
            budget: below - closer(car),
            best: None,
            openings: 0,
            given_up: false,
            begun: Vec::new(),
        };
        let job = car.begin(syringed)?;
        let spent = match car.least {
            Least::Fluid => car.removed_ml(syringed),
            Least::Time => job.sums().bay_seconds,
        };
        search.seek(&job, spent)?;
        Ok(search)
    }

    fn open(&mut self, job: &Underway, group: usize, steps: u32) -> Result<Underway, JobError> {
        self.openings += 1;
        let mut job = job.clone();
        self.car.open(&mut job, group, steps)?;
        Ok(job)
    }

    fn over(&mut self) -> bool {
        self.given_up |= self.openings > MOST_OPENINGS || !self.progress.goes_on();
        self.given_up
    }

    /// What may be spent on a group if it and all that follow take no less than they must.
    fn affordable(&self, depth: usize, spent: f64) -> u32 {
        let later = self.bounds.least(&self.order[depth + 1..]);
        self.bounds.affordable(self.order[depth], self.budget - spent - later)
    }

    fn seek(&mut self, job: &Underway, spent: f64) -> Result<(), JobError> {
        let depth = self.begun.len();
        let group = self.order[depth];
        let low = self.bounds.steps[group];
        if depth + 1 == self.order.len() {
            return self.last(job, spent);
        }
        let mut intervals = vec![(low, self.affordable(depth, spent))];
        while let Some((from, to)) = intervals.pop() {
            let to = to.min(self.affordable(depth, spent));
            if to < from || self.over() {
                continue;
            }
            let opened = self.open(job, group, to)?;
            if !self.may_fit(&opened, depth, spent + self.bounds.price(group, from))? {
                continue;
            }
            if from < to {
                let middle = from + (to - from) / 2;
                intervals.extend([(middle + 1, to), (from, middle)]);
                continue;
            }
            let spent = match self.car.least {
                Least::Fluid => spent + self.bounds.price(group, from),
                Least::Time => opened.sums().bay_seconds,
            };
            self.begun.push(from);
            self.seek(&opened, spent)?;
            self.begun.pop();
        }
        Ok(())
    }

    /// Whether the targets are met if each later bleeder gets as much as there is to spend.
    fn may_fit(&mut self, opened: &Underway, depth: usize, spent: f64) -> Result<bool, JobError> {
        let judge = &self.car.judge;
        if judge.asks_of_parts() && !judge.own_fit(&opened.left(), self.order[depth]) {
            return Ok(false);
        }
        let mut job = opened.clone();
        let later = self.bounds.least(&self.order[depth + 1..]);
        for &group in &self.order[depth + 1..] {
            let own = self.bounds.price(group, self.bounds.steps[group]);
            let most = self.bounds.affordable(group, self.budget - spent - (later - own));
            if most < self.bounds.steps[group] {
                return Ok(false);
            }
            job = self.open(&job, group, most)?;
        }
        Ok(self.car.fits(&job))
    }

    /// The last opening: the least that meets the targets.
    fn last(&mut self, job: &Underway, spent: f64) -> Result<(), JobError> {
        let depth = self.begun.len();
        let group = self.order[depth];
        let (mut low, mut high) = (self.bounds.steps[group] - 1, self.affordable(depth, spent) + 1);
        let mut found = None;
        // Below `low` the targets are missed, from `high` on it costs too much or is more than needed.
        // There may be nothing to spend on it.
        while high > low + 1 && !self.over() {
            let middle = if found.is_none() { high - 1 } else { low + (high - low) / 2 };
            let ended = self.open(job, group, middle)?;
            let cost = match self.car.least {
                Least::Fluid => spent + self.bounds.price(group, middle),
                Least::Time => ended.sums().bay_seconds,
            };
            let fits = self.car.fits(&ended);
            match (fits, cost <= self.budget + 1e-9) {
                (true, true) => {
                    found = Some((middle, cost));
                    high = middle;
                }
                (true, false) => high = middle,
                (false, _) => low = middle,
            }
        }
        if let Some((steps, cost)) = found {
            let steps = self.begun.iter().copied().chain([steps]);
            let openings = self.order.iter().copied().zip(steps).collect();
            self.best = Some((Candidate { syringed: self.syringed, openings }, cost));
            self.budget = cost - closer(self.car);
        }
        Ok(())
    }
}
