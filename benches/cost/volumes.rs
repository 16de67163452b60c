//! The same flush by finite volumes from a general library for differential equations.
//!
//! Told what the reference is told (`tests/reference`): volumes, what they hold, what comes in. A line is as
//! many lanes as asked for, cut as Farwheel cuts them, each an advection u_v + u_x/θ = 0 on cells of its own (v: drained
//! volume, x: volume from the inlet, both mL; θ: the lane's delay in tube volumes), discretized by the
//! library; chambers and reservoir are ordinary differential equations; the library steps all of it together.

use super::reference::mixed::{Chamber, Mixing};
use super::reference::{ReferenceCar, ReferenceKind};
use differential_equations::ode::solve_ode;
use differential_equations::pde::finite_volume::FiniteVolumeSemiDiscrete;
use differential_equations::prelude::*;
use farwheel::transport::lanes::Lanes;
use std::cell::Cell;
use std::rc::Rc;

/// How the library is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Order {
    /// Upwind, constant in each cell, explicit Euler, at the largest stable step.
    First,
    /// MUSCL with van Leer's limiter, Heun's method, at half that step.
    Second,
}

/// How finely.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Mesh {
    /// Lanes of a profile but for the thin ones at the wall, as in [`Lanes::laminar`].
    pub lanes: usize,
    /// Cells along the longest line of the path; in the others fewer by the root of the volume, at least two.
    pub cells: usize,
}

/// What came of it.
#[derive(Debug, Clone, Copy)]
pub struct Run {
    /// Drained volume from which what is seen is at or below the threshold, mL.
    pub clean_at_ml: f64,
    /// Cells of all lanes of all tubes.
    pub cells: usize,
    /// Steps.
    pub steps: usize,
}

/// A lane: what the library asks of an equation.
struct Lane {
    speed: f64,
    inlet: Rc<Cell<f64>>,
    /// Faces before this are the inlet, mL.
    inlet_before_ml: f64,
}

impl PDE for Lane {
    fn flux(&self, _v: f64, x: &[f64; 1], u: &f64, _slope: &[f64; 1], flux: &mut [f64; 1]) {
        flux[0] = self.speed * if x[0] < self.inlet_before_ml { self.inlet.get() } else { *u };
    }
}

/// One lane of a tube, discretized.
struct Discrete {
    flow_share: f64,
    volume_share: f64,
    inlet: Rc<Cell<f64>>,
    system: FiniteVolumeSemiDiscrete<Lane, f64, f64, Vec<f64>>,
}

struct Tube {
    cells: usize,
    lanes: Vec<Discrete>,
    /// Degree to which what comes in is mixed over the lanes; the rest keeps its lane.
    mixing: f64,
}

enum Part {
    Tube(Tube),
    Stages(Chamber),
}

/// The reservoir's common space as one mixed body (y₀) above the compartment of an outlet in use (y₁), per volume
/// drained: V_c(v) = V_c(0) + r v, so the feed is 1 + r and dy₀/dv = (1 + r)(c_feed − y₀)/V_c(v), dy₁/dv = (y₀ − y₁)/V_k.
struct ReservoirMixing {
    /// Volume of the common space at first, mL.
    common_ml: f64,
    /// Rise of that volume per volume drained, −1 (nothing is fed) or more.
    rise: f64,
    /// Volume of the compartment, mL; 0 means the outlet opens into the common space.
    compartment_ml: f64,
}

impl ReservoirMixing {
    fn rate(&self, y: &[f64], inflow: f64, at_ml: f64, rate: &mut [f64]) {
        rate[0] = (1.0 + self.rise) * (inflow - y[0]) / (self.common_ml + self.rise * at_ml);
        rate[1] = match self.compartment_ml == 0.0 {
            true => 0.0,
            false => (y[0] - y[1]) / self.compartment_ml,
        };
    }
}

/// One path of a car, from the reservoir through the watched length of the clear hose.
struct Path {
    reservoir: ReservoirMixing,
    feed: f64,
    parts: Vec<Part>,
    buffers: Cell<(Vec<f64>, Vec<f64>)>,
}

impl Tube {
    fn new(volume_ml: f64, mixing: f64, mesh: Mesh, longest_ml: f64, order: Order) -> Self {
        let cells = (mesh.cells as f64 * (volume_ml / longest_ml).sqrt()).round();
        let cells = (cells as usize).max(2);
        let dx = volume_ml / cells as f64;
        let grid = StructuredGrid::uniform([0.5 * dx], [volume_ml - 0.5 * dx], [cells]);
        let profile = Lanes::laminar(mesh.lanes);
        let lanes = (0..profile.len()).map(|i| {
            let (flow_share, volume_share) = (profile.shares[i], profile.volume_share(i));
            let speed = flow_share / volume_share;
            let inlet = Rc::new(Cell::new(0.0));
            let lane = Lane { speed, inlet: Rc::clone(&inlet), inlet_before_ml: 0.25 * dx };
            let reconstruction = match order {
                Order::First => Reconstruction::Constant,
                Order::Second => Reconstruction::Muscl,
            };
            let system = FiniteVolume::structured(grid.clone())
                .boundary(BoundaryConditions::neumann_all(0.0))
                .reconstruction(reconstruction)
                .limiter(Limiter::VanLeer)
                .flux(NumericalFlux::Rusanov { max_speed: speed })
                .discretize(lane);
            Discrete { flow_share, volume_share, inlet, system }
        });
        Self { cells, lanes: lanes.collect(), mixing }
    }

    fn len(&self) -> usize {
        self.cells * self.lanes.len()
    }

    /// Longest step at which no fluid crosses more than a cell, mL.
    fn longest_step_ml(&self, volume_ml: f64) -> f64 {
        let fastest = self.lanes.iter().map(|l| l.flow_share / l.volume_share);
        volume_ml / self.cells as f64 / fastest.fold(0.0, f64::max)
    }

    /// Mean of what is inside.
    fn mean(&self, y: &[f64]) -> f64 {
        let lanes = self.lanes.iter().zip(y.chunks(self.cells));
        lanes.map(|(lane, u)| lane.volume_share * u.iter().sum::<f64>()).sum::<f64>()
            / self.cells as f64
    }
}

impl Path {
    /// The path, what fills it, and the longest stable step (mL).
    fn new(
        car: &ReferenceCar,
        path: usize,
        rise: f64,
        mesh: Mesh,
        order: Order,
    ) -> (Self, Vec<f64>, f64) {
        let way = &car.paths[path];
        let volume = |kind: &ReferenceKind| match kind {
            ReferenceKind::Line { volume_ml, .. } => *volume_ml,
            ReferenceKind::Mixed(_) => 0.0,
        };
        let kinds = way.parts.iter().map(|i| (&car.parts[*i].kind, car.parts[*i].content[0]));
        let longest_ml = kinds.clone().map(|(k, _)| volume(k)).fold(0.0, f64::max);
        let (compartment_ml, compartment) = &car.compartments[way.compartment];
        let mut filling = vec![car.common.1[0], compartment[0]];
        let mut step_ml = f64::INFINITY;
        let mut parts = Vec::new();
        let mut add_tube = |volume_ml: f64, mixing: f64, content: f64, filling: &mut Vec<f64>| {
            let tube = Tube::new(volume_ml, mixing, mesh, longest_ml, order);
            step_ml = step_ml.min(tube.longest_step_ml(volume_ml));
            filling.resize(filling.len() + tube.len(), content);
            Part::Tube(tube)
        };
        for (kind, content) in kinds {
            match *kind {
                ReferenceKind::Line { volume_ml, remix, .. } if remix > 0.0 => {
                    parts.push(add_tube(0.5 * volume_ml, 1.0, content, &mut filling));
                    parts.push(add_tube(0.5 * volume_ml, remix, content, &mut filling));
                }
                ReferenceKind::Line { volume_ml, .. } => {
                    parts.push(add_tube(volume_ml, 1.0, content, &mut filling));
                }
                ReferenceKind::Mixed(chamber) => {
                    filling.resize(filling.len() + chamber.unknowns(), content);
                    parts.push(Part::Stages(chamber));
                }
            }
        }
        parts.push(add_tube(car.watched_ml, 1.0, car.filling[0], &mut filling));
        let reservoir =
            ReservoirMixing { common_ml: car.common.0, rise, compartment_ml: *compartment_ml };
        let share = match order {
            Order::First => 1.0,
            Order::Second => 0.5,
        };
        let buffers = Cell::default();
        (Self { reservoir, feed: car.feed[0], parts, buffers }, filling, share * step_ml)
    }

    /// What is seen: the mean over the watched length of the clear hose, the last of the parts.
    fn seen(&self, y: &[f64]) -> f64 {
        match self.parts.last() {
            Some(Part::Tube(hose)) => hose.mean(&y[y.len() - hose.len()..]),
            _ => unreachable!("a path ends with its clear hose"),
        }
    }
}

impl ODE<f64, Vec<f64>> for Path {
    fn diff(&self, v: f64, y: &Vec<f64>, rate: &mut Vec<f64>) {
        let (mut u, mut du) = self.buffers.take();
        self.reservoir.rate(&y[..2], self.feed, v, &mut rate[..2]);
        let mut cup = if self.reservoir.compartment_ml > 0.0 { y[1] } else { y[0] };
        // What leaves each lane of the tube before, to go on in the same lane.
        let mut by_lane: Vec<f64> = Vec::new();
        let mut at = 2;
        for part in &self.parts {
            match part {
                Part::Stages(chamber) => {
                    let n = chamber.unknowns();
                    chamber.rate(&y[at..at + n], cup, v, &mut rate[at..at + n]);
                    let through = y[at + chamber.stages - 1];
                    cup = (1.0 - chamber.bypass_share) * through + chamber.bypass_share * cup;
                    at += n;
                }
                Part::Tube(tube) => {
                    let mut leaving = 0.0;
                    by_lane.resize(tube.lanes.len(), cup);
                    for (lane, kept) in tube.lanes.iter().zip(&mut by_lane) {
                        lane.inlet.set(tube.mixing * cup + (1.0 - tube.mixing) * *kept);
                        let cells = at..at + tube.cells;
                        u.clear();
                        u.extend_from_slice(&y[cells.clone()]);
                        du.resize(tube.cells, 0.0);
                        lane.system.diff(v, &u, &mut du);
                        rate[cells].copy_from_slice(&du);
                        *kept = u[tube.cells - 1];
                        leaving += lane.flow_share * *kept;
                        at += tube.cells;
                    }
                    cup = leaving;
                }
            }
        }
        self.buffers.set((u, du));
    }
}

/// Ends the run once what is seen has fallen to the threshold.
struct Eye<'a> {
    path: &'a Path,
    threshold: f64,
    before: Option<(f64, f64)>,
    clean_at_ml: Option<f64>,
}

impl Solout<f64, Vec<f64>> for Eye<'_> {
    fn solout<I: Interpolation<f64, Vec<f64>> + ?Sized>(
        &mut self,
        v: f64,
        _before: f64,
        y: &Vec<f64>,
        _y_before: &Vec<f64>,
        _between: &mut I,
        _solution: &mut Solution<f64, Vec<f64>>,
    ) -> ControlFlag<f64, Vec<f64>> {
        let seen = self.path.seen(y);
        if let Some((v0, seen0)) = self.before
            && seen0 > self.threshold
            && seen <= self.threshold
        {
            self.clean_at_ml = Some(v0 + (v - v0) * (seen0 - self.threshold) / (seen0 - seen));
            return ControlFlag::Terminate;
        }
        self.before = Some((v, seen));
        ControlFlag::Continue
    }
}

/// Opens one bleeder of a car until what is seen is at the threshold, at most to `most_ml`.
pub fn open(
    car: &ReferenceCar,
    path: usize,
    rise: f64,
    threshold: f64,
    most_ml: f64,
    mesh: Mesh,
    order: Order,
) -> Run {
    let (path, filling, step_ml) = Path::new(car, path, rise, mesh, order);
    let mut eye = Eye { path: &path, threshold, before: None, clean_at_ml: None };
    let solved = match order {
        Order::First => {
            let mut method = ExplicitRungeKutta::euler(step_ml).max_steps(usize::MAX);
            solve_ode(&mut method, &path, 0.0, most_ml, &filling, &mut eye)
        }
        Order::Second => {
            let mut method = ExplicitRungeKutta::heun(step_ml).max_steps(usize::MAX);
            solve_ode(&mut method, &path, 0.0, most_ml, &filling, &mut eye)
        }
    };
    let solved = solved.expect("a stable step");
    let tubes = path.parts.iter().map(|p| match p {
        Part::Tube(tube) => tube.len(),
        Part::Stages(_) => 0,
    });
    Run {
        clean_at_ml: eye.clean_at_ml.unwrap_or(f64::INFINITY),
        cells: tubes.sum(),
        steps: solved.steps.accepted,
    }
}
