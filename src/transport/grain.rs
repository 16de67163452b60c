//! How finely a run tells fluid apart. A coarse run can stand for a finer one: by the other's grain it counts what that
//! one would read and keep.

use super::lanes::Lanes;
use super::tube::Tube;
use std::sync::Arc;

/// How finely a run tells fluid apart.
#[derive(Debug, Clone)]
pub struct Grain {
    /// Lanes of a laminar profile.
    pub lanes: Arc<Lanes>,
    /// Number of species.
    pub species: usize,
}

impl Grain {
    /// The lanes that a tube with these would have: a plug stays one.
    pub fn lanes_for<'a>(&'a self, own: &'a Lanes) -> &'a Lanes {
        if own.is_plug() { own } else { &self.lanes }
    }
}

/// What the finer run would have read and keep by now, at the least.
#[derive(Debug, Clone)]
pub(super) struct Counted {
    pub grain: Grain,
    /// Steps of the finer run that the present one stands for, at the least.
    pub steps: f64,
    pub readings: f64,
    /// By way: whether it lies on a loop, in which the fluid may turn round sooner or later than it would in that run.
    on_a_loop: Vec<bool>,
    /// By way: what is certain to have passed it, and the most that one of the finer run's steps passes through it, m³.
    passed_m3: Vec<(f64, f64)>,
}

impl Counted {
    pub fn new(grain: Grain, on_a_loop: Vec<bool>) -> Self {
        let passed_m3 = vec![(0.0, 0.0); on_a_loop.len()];
        Self { grain, steps: 1.0, readings: 0.0, on_a_loop, passed_m3 }
    }

    /// `dv` m³ was pushed through the tube of a way.
    pub fn pushed(&mut self, way: usize, dv: f64, tube: &Tube) {
        if self.steps > 0.0 && !self.on_a_loop[way] {
            self.readings += self.steps * tube.readings_at(&self.grain) as f64;
            let (passed, most) = self.passed_m3[way];
            self.passed_m3[way] = (passed + dv, most.max(dv / self.steps));
        }
    }

    /// Numbers that the tube of a way would keep.
    pub fn numbers(&self, way: usize, tube: &Tube) -> usize {
        if self.on_a_loop[way] { 0 } else { tube.numbers_at(&self.grain, self.passed_m3[way]) }
    }
}
