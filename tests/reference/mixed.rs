//! Well-mixed volumes: stages and pockets, as ordinary differential equations in
//! the drained volume, solved by the Runge–Kutta method of Dormand and Prince of the `differential-equations` library.

use super::signal::{Grid, Signal};
use differential_equations::ode::solve_ode;
use differential_equations::prelude::*;
use differential_equations::solout::DefaultSolout;

/// Relative and absolute tolerance asked of the library (concentrations lie between 0 and 1): half of 1e-10 and 1e-12,
/// since it takes the mean over all unknowns, of which up to a half are none.
const TOLERANCE: (f64, f64) = (5e-11, 5e-13);

/// Linear mixing equations of one species: dy/dv = A(v) y + g(v) c_in(v).
pub trait Mixing {
    /// Number of unknowns.
    fn unknowns(&self) -> usize;
    /// dy/dv (1/mL) at `at_ml` since the advance began, with this inflow.
    fn rate(&self, y: &[f64], inflow: f64, at_ml: f64, rate: &mut [f64]);
}

/// Solves one species over the inflow's grid; the result holds the unknowns at each point.
pub fn solve(mixing: &dyn Mixing, initial: &[f64], inflow: &Signal, species: usize) -> Signal {
    // In arrays, which take a fifth of the time of vectors.
    match mixing.unknowns() {
        1..=2 => solve_in::<2>(mixing, initial, inflow, species),
        3..=4 => solve_in::<4>(mixing, initial, inflow, species),
        5..=8 => solve_in::<8>(mixing, initial, inflow, species),
        9..=32 => solve_in::<32>(mixing, initial, inflow, species),
        33..=64 => solve_in::<64>(mixing, initial, inflow, species),
        more => panic!("{more} unknowns"),
    }
}

fn solve_in<const N: usize>(
    mixing: &dyn Mixing,
    initial: &[f64],
    inflow: &Signal,
    species: usize,
) -> Signal {
    let (grid, n) = (inflow.grid, mixing.unknowns());
    let mut y = [0.0; N];
    y[..n].copy_from_slice(initial);
    Signal::from_fn(grid, n, |k, at_ml, node| {
        if k > 0 {
            let from_ml = grid.at(k - 1);
            let inflow = [inflow.node(k - 1)[species], inflow.node(k)[species]];
            y = Cell { mixing, n, from_ml, width_ml: at_ml - from_ml, inflow }.crossed(&y);
        }
        node.copy_from_slice(&y[..n]);
    })
}

/// From one point to the next, where the inflow is linear: the library never steps across its kinks.
struct Cell<'a> {
    mixing: &'a dyn Mixing,
    /// Number of unknowns; what is behind them stays 0.
    n: usize,
    from_ml: f64,
    width_ml: f64,
    inflow: [f64; 2],
}

impl<const N: usize> ODE<f64, [f64; N]> for Cell<'_> {
    fn diff(&self, ml: f64, y: &[f64; N], rate: &mut [f64; N]) {
        let inflow = self.inflow[0] + ml / self.width_ml * (self.inflow[1] - self.inflow[0]);
        self.mixing.rate(&y[..self.n], inflow, self.from_ml + ml, &mut rate[..self.n]);
    }
}

impl Cell<'_> {
    /// The unknowns at its end.
    fn crossed<const N: usize>(&self, y: &[f64; N]) -> [f64; N] {
        let (rtol, atol) = TOLERANCE;
        let mut method = ExplicitRungeKutta::dopri5().rtol(rtol).atol(atol).h0(self.width_ml);
        let solved = solve_ode(&mut method, self, 0.0, self.width_ml, y, &mut DefaultSolout::new());
        solved.expect("a linear problem with bounded coefficients").y.pop().expect("its end")
    }
}

/// What a chamber is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chamber {
    /// Volume, pockets included, mL. 0 lets everything through at once.
    pub volume_ml: f64,
    /// Number of equal stages in series.
    pub stages: usize,
    /// Share of each stage's volume that is a pocket.
    pub pocket_share: f64,
    /// Volume traded between each stage and its pocket, per volume drained through the part.
    pub pocket_exchange: f64,
    /// Share of the flow that runs straight from inlet to outlet.
    pub bypass_share: f64,
    /// Time in which a pocket trades its own volume besides, s; infinite if it does not.
    pub pocket_s: f64,
}

impl Chamber {
    /// Plain stages.
    pub fn plain(volume_ml: f64, stages: usize) -> Self {
        let pocket_s = f64::INFINITY;
        Self {
            volume_ml,
            stages,
            pocket_share: 0.0,
            pocket_exchange: 0.0,
            bypass_share: 0.0,
            pocket_s,
        }
    }

    fn has_pockets(&self) -> bool {
        self.pocket_share > 0.0
    }

    /// Whether time makes a difference.
    pub fn trades_by_time(&self) -> bool {
        self.has_pockets() && self.pocket_s.is_finite()
    }

    /// Lets stages and pockets stand: they draw together, their difference by e^(−t/τ (1 + pocket/stage)).
    pub fn stand(&self, seconds: f64, state: &mut [f64]) {
        let Self { stages, pocket_share: p, pocket_s, .. } = *self;
        if !self.trades_by_time() {
            return;
        }
        let kept = (-seconds / pocket_s * (1.0 + p / (1.0 - p))).exp();
        for i in 0..stages {
            let (a, b) = (state[i], state[stages + i]);
            let mean = (1.0 - p) * a + p * b;
            (state[i], state[stages + i]) =
                (mean + p * kept * (a - b), mean - (1.0 - p) * kept * (a - b));
        }
    }

    /// Rates at this slowness of the flow, s/mL.
    fn rate_at(&self, slowness: f64, y: &[f64], inflow: f64, rate: &mut [f64]) {
        let stage_ml = self.volume_ml / self.stages as f64;
        let pocket_ml = stage_ml * self.pocket_share;
        // Traded with the pocket per volume drained: by what flows past, and by the clock.
        let exchange = self.pocket_exchange + pocket_ml / self.pocket_s * slowness;
        let mut before = inflow;
        for i in 0..self.stages {
            let mut gain = (1.0 - self.bypass_share) * (before - y[i]);
            if self.has_pockets() {
                let trade = exchange * (y[self.stages + i] - y[i]);
                gain += trade;
                rate[self.stages + i] = -trade / pocket_ml;
            }
            rate[i] = gain / (stage_ml - pocket_ml);
            before = y[i];
        }
    }
}

impl Mixing for Chamber {
    /// The stages, then their pockets.
    fn unknowns(&self) -> usize {
        self.stages * if self.has_pockets() { 2 } else { 1 }
    }

    fn rate(&self, y: &[f64], inflow: f64, _at_ml: f64, rate: &mut [f64]) {
        self.rate_at(0.0, y, inflow, rate);
    }
}

/// A chamber, and how slow its flow (s/mL) is as an advance of so many mL begins and ends.
struct Flowing {
    chamber: Chamber,
    slowness: [f64; 2],
    end_ml: f64,
}

impl Mixing for Flowing {
    fn unknowns(&self) -> usize {
        self.chamber.unknowns()
    }

    fn rate(&self, y: &[f64], inflow: f64, at_ml: f64, rate: &mut [f64]) {
        let share = at_ml / self.end_ml;
        let slowness = self.slowness[0] + share * (self.slowness[1] - self.slowness[0]);
        self.chamber.rate_at(slowness, y, inflow, rate);
    }
}

/// A chamber and what is in it: `unknowns` values for each species.
#[derive(Debug, Clone)]
pub struct MixedPart {
    chamber: Chamber,
    states: Vec<Vec<f64>>,
}

impl MixedPart {
    /// Filled evenly with this composition.
    pub fn new(chamber: Chamber, initial: &[f64]) -> Self {
        let states = initial.iter().map(|c| vec![*c; chamber.unknowns()]);
        Self { chamber, states: states.collect() }
    }

    /// Lets the inflow in, at this slowness (s/mL) at both ends, and gives what leaves.
    pub fn advance(&mut self, inlet: &Signal, slowness: [f64; 2]) -> Signal {
        if self.chamber.volume_ml == 0.0 {
            return inlet.clone();
        }
        let bypass = self.chamber.bypass_share;
        let flowing = Flowing { chamber: self.chamber, slowness, end_ml: inlet.grid.end_ml };
        let solved: Vec<Signal> =
            (0..inlet.species).map(|s| solve(&flowing, &self.states[s], inlet, s)).collect();
        for (state, signal) in self.states.iter_mut().zip(&solved) {
            state.copy_from_slice(signal.last());
        }
        Signal::from_fn(inlet.grid, inlet.species, |k, _, node| {
            for (s, c) in node.iter_mut().enumerate() {
                let through = solved[s].node(k)[self.chamber.stages - 1];
                *c = (1.0 - bypass) * through + bypass * inlet.node(k)[s];
            }
        })
    }

    /// The same the other way round, without a bypass and in no time: stages change places.
    pub fn advance_back(&mut self, inlet: &Signal) -> Signal {
        let (stages, bypass) = (self.chamber.stages, self.chamber.bypass_share);
        let turn = |states: &mut [Vec<f64>]| {
            states.iter_mut().for_each(|y| y.chunks_mut(stages).for_each(<[f64]>::reverse));
        };
        turn(&mut self.states);
        self.chamber.bypass_share = 0.0;
        let out = self.advance(inlet, [0.0; 2]);
        self.chamber.bypass_share = bypass;
        turn(&mut self.states);
        out
    }

    /// Lets it stand.
    pub fn stand(&mut self, seconds: f64) {
        self.states.iter_mut().for_each(|state| self.chamber.stand(seconds, state));
    }

    /// Mean composition of the content.
    pub fn content(&self) -> Vec<f64> {
        let (n, p) = (self.chamber.stages, self.chamber.pocket_share);
        let mean = |part: &[f64]| part.iter().sum::<f64>() / n as f64;
        self.states
            .iter()
            .map(|y| match y.len() == n {
                true => mean(y),
                false => (1.0 - p) * mean(&y[..n]) + p * mean(&y[n..]),
            })
            .collect()
    }
}
