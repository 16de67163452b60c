//! Runs the steps of a job on a car.

use super::car::{ReferenceCar, ReferenceLeft, ReferenceOpening, ReferenceStep, Stop};
use super::eye::{Eye, Shown};
use super::line::{Kernel, LaminarLine};
use super::signal::Grid;
use super::state::State;

/// Volume run in one go before the stop rule is looked at, mL.
const STRETCH_ML: f64 = 10.0;

impl State {
    pub fn left(&self, car: &ReferenceCar) -> ReferenceLeft {
        let parts = car.parts.iter().zip(&self.held);
        let mut parts: Vec<_> =
            parts.map(|(part, mean)| (part.kind.volume_ml(), mean.clone())).collect();
        for (of, accumulator) in car.unit.iter().zip(&self.accumulators) {
            match of.accumulator {
                Some(part) => parts[part] = accumulator.held(),
                None => parts.push(accumulator.held()),
            }
        }
        ReferenceLeft { common: self.common.held(), compartments: self.compartments.clone(), parts }
    }

    fn open(
        &mut self,
        car: &ReferenceCar,
        path: usize,
        stop: Stop,
        rise: f64,
        step_ml: f64,
    ) -> ReferenceOpening {
        let old_before = self.left(car).total_ml(0);
        let stretch_ml = (STRETCH_ML / step_ml).round().max(1.0) * step_ml;
        let mut hose = LaminarLine::new(car.watched_ml, &car.filling);
        let behind_ml = self.behind_ml(car, path, stop.threshold);
        let mut eye = Eye::new(stop.rule(), car.watched_ml, car.filling[0], behind_ml);
        let mut drained = vec![0.0; car.feed.len()];
        let mut seen_last = car.filling.clone();
        let mut curve = vec![];
        let mut at_ml = 0.0;
        let mut closed = None;
        while at_ml < stop.at_most_ml && closed.is_none() {
            let mut end_ml = stretch_ml.min(stop.at_most_ml - at_ml);
            let before = (self.clone(), hose.clone(), eye.clone());
            let (mut leaving, mut seen);
            loop {
                let grid = Grid { step_ml, end_ml };
                let mut passed = self.drain(car, &[(path, 1.0)], rise, grid, [0.0; 2], &[]);
                leaving = passed.leaving.remove(0);
                seen = hose.advance(&leaving, Kernel::Inside);
                let behind_ml = passed.behind_ml(car, path, stop.threshold);
                let looked_ml = Some(stop.looked_ml).filter(|ml| *ml <= at_ml + end_ml);
                let shown = Shown { seen: &seen, behind_ml: &behind_ml, looked_ml };
                let closes = eye.look(&shown);
                closed = closed.or(closes);
                match closes {
                    // The close lies inside this stretch: run it again up to there.
                    Some((close_ml, _)) if close_ml < at_ml + end_ml - 1e-9 => {
                        (*self, hose, eye) = before.clone();
                        end_ml = close_ml - at_ml;
                    }
                    _ => break,
                }
            }
            if let Some((_, waited_for)) = closed {
                eye.close_as_clean(waited_for);
            }
            for (total, part) in drained.iter_mut().zip(leaving.integral()) {
                *total += part;
            }
            let first = usize::from(at_ml > 0.0);
            for k in first..=leaving.grid.cells() {
                let point = at_ml + leaving.grid.at(k);
                curve.push((point, seen.node(k)[0], leaving.node(k)[0]));
            }
            seen_last = seen.last().to_vec();
            at_ml += end_ml;
        }
        if stop.clean_at_most && closed.is_none() {
            eye.close_as_clean(None);
        }
        let left = self.left(car);
        let fed_old = car.feed[0] * (1.0 + rise) * at_ml;
        let way = &car.paths[path];
        ReferenceOpening {
            path,
            drained_ml: at_ml,
            clean_at_ml: eye.state().1,
            closed_by_clean: closed.is_some(),
            seen: seen_last,
            balance_error_ml: old_before + fed_old - left.total_ml(0) - drained[0],
            drained,
            path_old_fraction: left.path_old_fraction(way, false),
            path_old_fraction_with_reservoir: left.path_old_fraction(way, true),
            left,
            curve,
        }
    }
}

impl ReferenceCar {
    /// Runs the steps on a grid of this step (mL) and gives a record for each opening.
    ///
    /// # Panics
    /// If compositions differ in length, an index points nowhere, or the ODE library gives up.
    pub fn run(&self, steps: &[ReferenceStep], step_ml: f64) -> Vec<ReferenceOpening> {
        let contents = self.parts.iter().map(|part| &part.content);
        let reservoir = self.compartments.iter().chain([&self.common]);
        for composition in
            contents.chain(reservoir.map(|(_, content)| content)).chain([&self.filling])
        {
            assert_eq!(composition.len(), self.feed.len(), "one set of species");
        }
        let mut state = State::new(self);
        let mut openings = Vec::new();
        for step in steps {
            match *step {
                ReferenceStep::Open { path, stop, rise } => {
                    openings.push(state.open(self, path, stop, rise, step_ml));
                }
                ReferenceStep::Reservoir { draw_to_ml, fill_to_ml } => {
                    state.common.ml = draw_to_ml;
                    state.common.pour(fill_to_ml - draw_to_ml, &self.feed);
                }
            }
        }
        openings
    }

    /// Runs the steps at `2 step_ml`, `step_ml` and half of it; gives the finest run and a bound of
    /// its error. The method is of second order, so the error of the finest run is about a third
    /// of its distance from the middle one; that distance can be small by chance, so a quarter of
    /// the distance between the coarser two counts as well.
    pub fn run_with_error(
        &self,
        steps: &[ReferenceStep],
        step_ml: f64,
    ) -> (Vec<ReferenceOpening>, ReferenceError) {
        let runs = [2.0, 1.0, 0.5].map(|share| self.run(steps, share * step_ml));
        let coarse = ReferenceError::between(&runs[0], &runs[1]);
        let mut error = ReferenceError::between(&runs[1], &runs[2]);
        error.clean_at_ml = error.clean_at_ml.max(0.25 * coarse.clean_at_ml);
        error.drained_ml = error.drained_ml.max(0.25 * coarse.drained_ml);
        error.old_left_ml = error.old_left_ml.max(0.25 * coarse.old_left_ml);
        error.seen = error.seen.max(0.25 * coarse.seen);
        error.path_old_fraction = error.path_old_fraction.max(0.25 * coarse.path_old_fraction);
        let [_, _, finest] = runs;
        (finest, error)
    }
}

/// Bound of the error of a run, at most over all openings.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct ReferenceError {
    /// Clean point, mL (infinite if only some of the runs have one).
    pub clean_at_ml: f64,
    /// Drained volume, mL.
    pub drained_ml: f64,
    /// Old fluid left in the car, mL.
    pub old_left_ml: f64,
    /// Old fraction seen at the close.
    pub seen: f64,
    /// Old fraction along the path at the close.
    pub path_old_fraction: f64,
    /// Old fluid the finer run does not account for in one opening, mL.
    pub balance_ml: f64,
}

impl ReferenceError {
    /// How far two runs of different step lie apart.
    pub fn between(coarse: &[ReferenceOpening], fine: &[ReferenceOpening]) -> Self {
        let mut apart = Self::default();
        for (a, b) in coarse.iter().zip(fine) {
            let clean_at = match (a.clean_at_ml, b.clean_at_ml) {
                (Some(x), Some(y)) => (x - y).abs(),
                (None, None) => 0.0,
                _ => f64::INFINITY,
            };
            let old = (a.left.total_ml(0) - b.left.total_ml(0)).abs();
            let path = (a.path_old_fraction - b.path_old_fraction).abs();
            apart.clean_at_ml = apart.clean_at_ml.max(clean_at);
            apart.drained_ml = apart.drained_ml.max((a.drained_ml - b.drained_ml).abs());
            apart.old_left_ml = apart.old_left_ml.max(old);
            apart.seen = apart.seen.max((a.seen[0] - b.seen[0]).abs());
            apart.path_old_fraction = apart.path_old_fraction.max(path);
            apart.balance_ml = apart.balance_ml.max(b.balance_error_ml.abs());
        }
        apart
    }
}
