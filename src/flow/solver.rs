//! The network solve: damped Newton on flows and nodal pressures.
//!
//! Every element is replaced by its tangent at its present flow; the tangents and the balance of
//! the nodes give pressures, and these give new flows (E. Todini, S. Pilati, 1988). Since every
//! law rises with the flow, the solution is the one minimum of a convex function of the flows, the
//! content Σ ∫ Δp dQ less the work of the fixed pressures (C. Cherry, W. Millar, 1951), and each
//! step points downhill. A step that goes beyond the minimum along its line is shortened until
//! the slope there has at least halved; so the method can't diverge or cycle.
//!
//! Where all lies in a row, as with one bleeder open, [`super::row`] does without a matrix; what it does not settle
//! comes here.

use super::elimination::Elimination;
use super::laws::Prepared;
use super::row::{ROUNDING, Row};
use super::{Contents, FlowError, Network, Projection};

/// Iterations after which a solve gives up. Warm starts need 1 to 3, cold ones rarely over 15.
const MAX_ITERATIONS: u32 = 100;
/// Evaluations spent on shortening one step.
const MAX_SHORTENINGS: u32 = 80;
/// Pressures and flow of an element agree within this share of the largest drop.
const ENERGY_TOLERANCE: f64 = 1e-10;
/// The same disagreement, as a flow, is within this share of the largest flow. Balancing the nodes
/// changes no flow by more, or the balanced flows agree as well.
const FLOW_TOLERANCE: f64 = 1e-9;

/// Solves one network again and again, each time from the last solution. Owns all memory; a solve
/// allocates nothing unless the set of fixed nodes has changed, or a row needs the general method for the first time.
#[derive(Debug, Clone)]
pub struct Solver {
    network: Network,
    laws: Vec<Prepared>,
    ends: Vec<(u32, u32)>,
    /// Which nodes were fixed when the plans were made.
    fixed: Vec<bool>,
    planned: bool,
    /// If all lies in a row between two fixed nodes.
    row: Option<Row>,
    /// Whether there are plans for the general method: a row that settles needs none.
    general: bool,
    elimination: Elimination,
    projection: Projection,
    pressures: Vec<f64>,
    /// Change of each pressure over the last step; zero at fixed nodes.
    corrections: Vec<f64>,
    flows: Vec<f64>,
    drops: Vec<f64>,
    slopes: Vec<f64>,
    /// Change of each flow over the last whole step.
    steps: Vec<f64>,
    /// Flows tried in a step; between solves, the flows handed out.
    trial: Vec<f64>,
}

/// Pressures and flows at an instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solution<'a> {
    /// Pressure at each node, Pa, in the datum of the fixed ones.
    pub pressures_pa: &'a [f64],
    /// Flow in each element, m³/s, positive from `from` to `to`; balanced at every free node to
    /// rounding, without directed cycles.
    pub flows_m3_s: &'a [f64],
    /// Largest flow in a circle that was taken out, m³/s (see [`super::Correction`]).
    pub circulation_m3_s: f64,
    /// Newton iterations made, of whichever method.
    pub iterations: u32,
}

/// How far an element is from agreeing with its pressures.
#[derive(Debug, Clone, Copy)]
struct Worst {
    element: usize,
    residual_pa: f64,
    settled: bool,
}

impl Solver {
    /// A solver for a network.
    ///
    /// # Errors
    /// As [`Network::check`].
    pub fn new(network: Network) -> Result<Self, FlowError> {
        network.check()?;
        let (nodes, elements) = (network.nodes.len(), network.elements.len());
        Ok(Self {
            laws: network.elements.iter().map(|e| Prepared::new(&e.law)).collect(),
            ends: network.elements.iter().map(|e| (e.from as u32, e.to as u32)).collect(),
            fixed: vec![false; nodes],
            planned: false,
            row: None,
            general: false,
            elimination: Elimination::default(),
            projection: Projection::default(),
            pressures: vec![0.0; nodes],
            corrections: vec![0.0; nodes],
            flows: vec![0.0; elements],
            drops: vec![0.0; elements],
            slopes: vec![0.0; elements],
            steps: vec![0.0; elements],
            trial: vec![0.0; elements],
            network,
        })
    }

    /// Forgets the last solution; the next solve starts from fluid at rest.
    pub fn forget(&mut self) {
        self.flows.fill(0.0);
        self.pressures.fill(0.0);
    }

    /// Pressures and flows for the given fixed pressures (Pa, one entry a node, `None` where the
    /// pressure is to be found) and contents (one an element).
    ///
    /// A node of free pressure at an open end is a shut end: its element carries no flow. Starts
    /// from the last solution, or from rest if other nodes are fixed than last time.
    ///
    /// # Errors
    /// [`FlowError::WrongLength`] and [`FlowError::BadNumber`] for unusable arguments,
    /// [`FlowError::Unreachable`] if no path leads from a node to a fixed one,
    /// [`FlowError::NotConverged`] naming the worst element. The next solve then starts from rest.
    pub fn solve(
        &mut self,
        boundary_pa: &[Option<f64>],
        contents: &[Contents],
    ) -> Result<Solution<'_>, FlowError> {
        self.network.check_state(boundary_pa, contents)?;
        let same =
            self.planned && self.fixed.iter().zip(boundary_pa).all(|(f, b)| *f == b.is_some());
        if !same {
            self.plan(boundary_pa)?;
        }
        for (pressure, fixed) in self.pressures.iter_mut().zip(boundary_pa) {
            if let Some(p) = fixed {
                *pressure = *p;
            }
        }
        let in_a_row = self
            .row
            .as_mut()
            .and_then(|row| row.solve(&self.laws, contents, &mut self.pressures, &mut self.flows));
        let straight = in_a_row.is_some() && self.row.as_ref().is_some_and(|row| !row.goes_round());
        if !(straight || self.general) {
            self.plan_in_general()?;
        }
        match in_a_row.map_or_else(|| self.iterate(contents), Ok) {
            Ok(iterations) => {
                // A copy, so that the next solve starts from flows that agree with the pressures.
                self.trial.copy_from_slice(&self.flows);
                let circulation_m3_s =
                    if straight { 0.0 } else { self.projection.unwind(&mut self.trial) };
                Ok(Solution {
                    pressures_pa: &self.pressures,
                    flows_m3_s: &self.trial,
                    circulation_m3_s,
                    iterations,
                })
            }
            Err((worst, iterations)) => {
                self.forget();
                let part = self.network.elements[worst.element].name.clone();
                Err(FlowError::NotConverged { part, residual_pa: worst.residual_pa, iterations })
            }
        }
    }

    /// Makes the plans for a choice of fixed nodes.
    fn plan(&mut self, boundary: &[Option<f64>]) -> Result<(), FlowError> {
        (self.planned, self.general) = (false, false);
        self.forget();
        self.corrections.fill(0.0);
        for (fixed, b) in self.fixed.iter_mut().zip(boundary) {
            *fixed = b.is_some();
        }
        let ends = self.network.ends();
        // A row that meets all nodes leads to each of them.
        self.row = Row::find(&ends, &self.fixed);
        if !self.row.as_ref().is_some_and(|row| row.nodes() == self.fixed.len()) {
            self.plan_in_general()?;
        }
        self.planned = true;
        Ok(())
    }

    /// Makes the plans for the general method.
    fn plan_in_general(&mut self) -> Result<(), FlowError> {
        let ends = self.network.ends();
        // Any one fluid serves to tell wide paths from narrow ones.
        let typical = Contents { density_kg_m3: 1000.0, nu_m2_s: 1e-5 };
        let resistance: Vec<f64> =
            self.laws.iter().map(|law| law.drop_and_slope(0.0, typical).1).collect();
        let name = |n: usize| self.network.nodes[n].clone();
        self.projection = Projection::new(&ends, &self.fixed, &resistance, name)?;
        self.elimination = Elimination::new(&ends, &self.fixed);
        self.general = true;
        Ok(())
    }

    /// Newton's method. Gives the iterations made.
    fn iterate(&mut self, contents: &[Contents]) -> Result<u32, (Worst, u32)> {
        evaluate(&self.laws, &self.flows, contents, &mut self.drops, &mut self.slopes);
        let mut worst = self.worst(&self.flows, contents);
        let mut iterations = 0;
        loop {
            if worst.settled {
                let changed = self.projection.balance(&mut self.flows);
                let largest = self.flows.iter().fold(0.0_f64, |m, q| m.max(q.abs()));
                if changed <= FLOW_TOLERANCE * largest {
                    return Ok(iterations);
                }
                // Balanced by more than the tolerance: do the balanced flows still agree?
                evaluate(&self.laws, &self.flows, contents, &mut self.drops, &mut self.slopes);
                worst = self.worst(&self.flows, contents);
                if worst.settled {
                    return Ok(iterations);
                }
            }
            if iterations == MAX_ITERATIONS || !worst.residual_pa.is_finite() {
                return Err((worst, iterations));
            }
            worst = self.step(contents);
            iterations += 1;
        }
    }

    /// One Newton step, shortened if need be.
    fn step(&mut self, contents: &[Contents]) -> Worst {
        self.elimination.clear();
        for (e, &(from, to)) in self.ends.iter().enumerate() {
            let lack = self.pressures[from as usize] - self.pressures[to as usize] - self.drops[e];
            let conductance = 1.0 / self.slopes[e];
            let step = conductance * lack;
            self.elimination.add(e, conductance, self.flows[e] + step);
            (self.steps[e], self.trial[e]) = (step, conductance);
        }
        self.elimination.solve(&mut self.corrections);
        for (pressure, correction) in self.pressures.iter_mut().zip(&self.corrections) {
            *pressure += correction;
        }
        // Slope of the content along the step, at its start.
        let mut downhill = 0.0;
        for (e, &(from, to)) in self.ends.iter().enumerate() {
            // From the corrections, not from the new pressures: these are rounded at their own
            // size, which through a short wide tube is more flow than goes through a shut valve.
            let pushed = self.corrections[from as usize] - self.corrections[to as usize];
            let step = self.steps[e] + self.trial[e] * pushed;
            self.steps[e] = step;
            self.trial[e] = self.flows[e] + step;
            downhill -= self.slopes[e] * step * step;
        }
        evaluate(&self.laws, &self.trial, contents, &mut self.drops, &mut self.slopes);
        let mut worst = self.worst(&self.trial, contents);
        if !worst.settled {
            let (uphill, blur) = self.slope_along();
            // NaN or infinite counts as beyond the minimum.
            if uphill.is_nan() || uphill > -0.5 * downhill + blur {
                self.shorten(contents, downhill, uphill);
                worst = self.worst(&self.trial, contents);
            }
        }
        std::mem::swap(&mut self.flows, &mut self.trial);
        worst
    }

    /// Slope of the content along the step, at the point where the drops were evaluated, and what
    /// of it may be rounding.
    fn slope_along(&self) -> (f64, f64) {
        let (mut slope, mut blur) = (0.0, 0.0);
        for (e, &(from, to)) in self.ends.iter().enumerate() {
            let (p, q) = (self.pressures[from as usize], self.pressures[to as usize]);
            slope += self.steps[e] * (self.drops[e] - (p - q));
            blur += self.steps[e].abs() * p.abs().max(q.abs());
        }
        (slope, ROUNDING * blur)
    }

    /// Finds a share of the step at which the slope has at least halved, between the start (where
    /// it is `downhill`, below zero) and the whole step (where it is `uphill`, above zero). The
    /// slope rises along the step, so a bracket always holds a root.
    fn shorten(&mut self, contents: &[Contents], downhill: f64, uphill: f64) {
        let (mut low, mut low_slope) = (0.0, downhill);
        let (mut high, mut high_slope) = (1.0, uphill);
        for turn in 0..MAX_SHORTENINGS {
            let mut share = low + (high - low) * (low_slope / (low_slope - high_slope));
            // Regula falsi sticks at one end where the slope has a knee: every other turn halves.
            let inside = share > low && share < high;
            if turn % 2 == 1 || !inside {
                share = 0.5 * (low + high);
            }
            for ((trial, flow), step) in self.trial.iter_mut().zip(&self.flows).zip(&self.steps) {
                *trial = flow + share * step;
            }
            evaluate(&self.laws, &self.trial, contents, &mut self.drops, &mut self.slopes);
            let (slope, _) = self.slope_along();
            if slope.abs() <= -0.5 * downhill {
                return;
            }
            if slope < 0.0 {
                (low, low_slope) = (share, slope);
            } else {
                (high, high_slope) = (share, slope);
            }
        }
    }

    /// The element that agrees worst with its pressures at the given flows, and whether all agree
    /// well enough.
    fn worst(&self, flows: &[f64], contents: &[Contents]) -> Worst {
        let mut largest_pressure = 0.0_f64;
        for p in &self.pressures {
            largest_pressure = largest_pressure.max(p.abs());
        }
        let (mut largest_drop, mut largest_flow) = (0.0_f64, 0.0_f64);
        for (e, flow) in flows.iter().enumerate() {
            let rise = self.laws[e].rise_pa(contents[e]);
            largest_drop = largest_drop.max((self.drops[e] - rise).abs());
            largest_pressure = largest_pressure.max(rise.abs());
            largest_flow = largest_flow.max(flow.abs());
        }
        let rounding = ROUNDING * largest_pressure;
        let energy = ENERGY_TOLERANCE * largest_drop;
        let mut worst = Worst { element: 0, residual_pa: 0.0, settled: true };
        for (e, &(from, to)) in self.ends.iter().enumerate() {
            let driving = self.pressures[from as usize] - self.pressures[to as usize];
            let residual = (driving - self.drops[e]).abs();
            let allowed = energy.min(FLOW_TOLERANCE * self.slopes[e] * largest_flow);
            worst.settled &= residual <= allowed + rounding;
            if residual.is_nan() || residual > worst.residual_pa {
                (worst.element, worst.residual_pa) = (e, residual);
            }
        }
        worst
    }
}

/// Drop and slope of every element.
#[inline]
fn evaluate(
    laws: &[Prepared],
    flows: &[f64],
    contents: &[Contents],
    drops: &mut [f64],
    slopes: &mut [f64],
) {
    let results = drops.iter_mut().zip(slopes);
    for (((law, &flow), &inside), (drop, slope)) in
        laws.iter().zip(flows).zip(contents).zip(results)
    {
        (*drop, *slope) = law.drop_and_slope(flow, inside);
    }
}
