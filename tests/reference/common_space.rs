//! The reservoir's common space above the compartments: stages in a row, each with its pocket, and what runs straight
//! from where fluid is fed to the outlets.
//!
//! Written from docs/scenario.md alone. Of n stages each holds V/n, and so its pocket its share of that, however the
//! level stands. With growth g of V and f running in at the first stage (both per volume that the equations are in), into
//! stage i (0 …) runs fᵢ = f − i g/n, and out of it fᵢ − g/n. Its pocket trades `pocket_exchange` of the mean of the two
//! and, by the clock, its own volume in `pocket_time`; and since it keeps its share of the stage, p g/n goes into it or,
//! where g is below 0, comes out of it.

use super::mixed::{Chamber, Mixing, solve};
use super::signal::{Grid, Signal};

/// Volume below which it counts as empty, mL.
const EMPTY_ML: f64 = 1e-9;
/// Width of the grid on which a filling is solved, in ln V.
const FILLING_STEP: f64 = 0.5;

/// The common space and what is in it.
#[derive(Debug, Clone)]
pub struct CommonSpace {
    /// Fluid in it, mL.
    pub ml: f64,
    /// How it mixes; its volume counts for nothing.
    how: Chamber,
    /// For each species the stages from the inlet to the outlets, then their pockets.
    states: Vec<Vec<f64>>,
}

/// Rates per volume of the stages and pockets of a common space of this volume (mL), `before` what runs in.
fn rates(
    how: &Chamber,
    (volume_ml, runs_in, growth): (f64, f64, f64),
    slowness: f64,
    y: &[f64],
    before: f64,
    rate: &mut [f64],
) {
    let (n, p) = (how.stages, how.pocket_share);
    let each_ml = volume_ml / n as f64;
    let moved = p * growth / n as f64;
    let mut before = before;
    for i in 0..n {
        let inward = runs_in - growth * i as f64 / n as f64;
        let outward = inward - growth / n as f64;
        let mut gain = inward * (before - y[i]);
        if p > 0.0 {
            let past = 0.5 * (inward + outward);
            let trade = how.pocket_exchange * past + p * each_ml / how.pocket_s * slowness;
            gain += (trade + (-moved).max(0.0)) * (y[n + i] - y[i]);
            rate[n + i] = (trade + moved.max(0.0)) * (y[i] - y[n + i]) / (p * each_ml);
        }
        rate[i] = gain / ((1.0 - p) * each_ml);
        before = y[i];
    }
}

/// Drained through one outlet, per volume of all that is drained.
struct Draining {
    how: Chamber,
    common_ml: f64,
    /// Growth of the common space, −1 (nothing is fed) or more.
    rise: f64,
    /// Share of what is drained that runs straight.
    straight: f64,
    /// Of the outlet's compartment, mL, and its share of what is drained.
    compartment: (f64, f64),
    slowness: [f64; 2],
    end_ml: f64,
}

impl Mixing for Draining {
    fn unknowns(&self) -> usize {
        self.how.unknowns() + 1
    }

    fn rate(&self, y: &[f64], inflow: f64, at_ml: f64, rate: &mut [f64]) {
        let below = self.how.unknowns();
        let slowness =
            self.slowness[0] + at_ml / self.end_ml * (self.slowness[1] - self.slowness[0]);
        let volume_ml = self.common_ml + self.rise * at_ml;
        let runs_in = 1.0 + self.rise - self.straight;
        rates(&self.how, (volume_ml, runs_in, self.rise), slowness, y, inflow, rate);
        let (ml, share) = self.compartment;
        let above = y[self.how.stages - 1];
        rate[below] =
            if ml == 0.0 { 0.0 } else { share * (1.0 - self.straight) * (above - y[below]) / ml };
    }
}

/// Filled while nothing leaves, in x = ln V: everything grows alike, so that the coefficients stay the same.
struct Filled(Chamber);

impl Mixing for Filled {
    fn unknowns(&self) -> usize {
        self.0.unknowns()
    }

    fn rate(&self, y: &[f64], inflow: f64, _: f64, rate: &mut [f64]) {
        rates(&self.0, (1.0, 1.0, 1.0), 0.0, y, inflow, rate);
    }
}

/// What draining through one outlet gave.
pub struct Course {
    /// What left the outlet.
    pub leaving: Signal,
    /// Mean composition of the common space at each point.
    pub common: Signal,
    /// Composition of the compartment at each point.
    pub compartment: Signal,
    /// The common space afterwards.
    pub after: CommonSpace,
}

impl CommonSpace {
    /// Filled evenly with this composition.
    pub fn new(how: Chamber, (ml, content): &(f64, Vec<f64>)) -> Self {
        let states = content.iter().map(|c| vec![*c; how.unknowns()]).collect();
        Self { ml: *ml, how, states }
    }

    fn mean_of(&self, y: &[f64]) -> f64 {
        let (n, p) = (self.how.stages, self.how.pocket_share);
        let mean = |part: &[f64]| part.iter().sum::<f64>() / n as f64;
        if p > 0.0 { (1.0 - p) * mean(&y[..n]) + p * mean(&y[n..2 * n]) } else { mean(&y[..n]) }
    }

    /// Volume, mL, and mean composition, pockets included.
    pub fn held(&self) -> (f64, Vec<f64>) {
        (self.ml, self.states.iter().map(|y| self.mean_of(y)).collect())
    }

    /// Old fraction where it opens into the outlets.
    pub fn old_at_outlets(&self) -> f64 {
        self.states[0][self.how.stages - 1]
    }

    /// Share of what is drained that runs straight, at this growth per volume drained.
    pub fn straight(&self, rise: f64) -> f64 {
        (self.how.bypass_share * (1.0 + rise)).min(1.0)
    }

    /// Drains through a compartment (mL, content) and its share of all that is drained.
    pub fn drain(
        &self,
        (compartment, share): (&(f64, Vec<f64>), f64),
        feed: &[f64],
        rise: f64,
        grid: Grid,
        slowness: [f64; 2],
    ) -> Course {
        let (n, below) = (self.how.stages, self.how.unknowns());
        let straight = self.straight(rise);
        let draining = Draining {
            how: self.how,
            common_ml: self.ml,
            rise,
            straight,
            compartment: (compartment.0, share),
            slowness,
            end_ml: grid.end_ml,
        };
        let fed = Signal::constant(grid, feed);
        let solved: Vec<Signal> = (0..fed.species)
            .map(|s| {
                let initial: Vec<f64> =
                    self.states[s].iter().copied().chain([compartment.1[s]]).collect();
                solve(&draining, &initial, &fed, s)
            })
            .collect();
        let pick = |of: &dyn Fn(&[f64], usize) -> f64| {
            Signal::from_fn(grid, fed.species, |k, _, node| {
                for (s, c) in node.iter_mut().enumerate() {
                    *c = of(solved[s].node(k), s);
                }
            })
        };
        let last = if compartment.0 == 0.0 { n - 1 } else { below };
        Course {
            leaving: pick(&|y, s| (1.0 - straight) * y[last] + straight * feed[s]),
            common: pick(&|y, _| self.mean_of(y)),
            compartment: pick(&|y, _| y[last]),
            after: Self {
                ml: self.ml + rise * grid.end_ml,
                how: self.how,
                states: solved.iter().map(|y| y.last()[..below].to_vec()).collect(),
            },
        }
    }

    /// Pours in at the inlet while nothing leaves.
    pub fn pour(&mut self, ml: f64, content: &[f64]) {
        self.fill(ml, content, false);
    }

    /// Takes in what comes back up through an outlet: it comes in where else fluid leaves.
    pub fn give_back(&mut self, ml: f64, content: &[f64]) {
        self.fill(ml, content, true);
    }

    fn fill(&mut self, ml: f64, content: &[f64], from_below: bool) {
        if ml <= EMPTY_ML {
            self.ml += ml.max(0.0);
            return;
        }
        let from_ml = self.ml;
        self.ml += ml;
        let n = self.how.stages;
        for (y, c) in self.states.iter_mut().zip(content) {
            if from_ml < EMPTY_ML {
                y.fill(*c);
                continue;
            }
            if self.how.unknowns() == 1 {
                y[0] = (from_ml * y[0] + ml * c) / (from_ml + ml);
                continue;
            }
            let turn = |y: &mut [f64]| y.chunks_mut(n).for_each(<[f64]>::reverse);
            if from_below {
                turn(y);
            }
            let grid = Grid { step_ml: FILLING_STEP, end_ml: (ml / from_ml).ln_1p() };
            let fed = Signal::constant(grid, &[*c]);
            *y = solve(&Filled(self.how), y, &fed, 0).last().to_vec();
            if from_below {
                turn(y);
            }
        }
    }

    /// Draws some of it, everywhere alike.
    pub fn draw(&mut self, ml: f64) {
        self.ml -= ml;
    }

    /// Whether time makes a difference.
    pub fn trades_by_time(&self) -> bool {
        self.how.trades_by_time()
    }

    /// Lets it stand.
    pub fn stand(&mut self, seconds: f64) {
        self.states.iter_mut().for_each(|y| self.how.stand(seconds, y));
    }
}
