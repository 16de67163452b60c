//! What a system reads and keeps: what a run costs. A coarse run can stand for a finer one: by the other's grain it counts
//! what that one would read and keep.

use super::{System, Way, Ways, lengths};
use crate::circuit::Circuit;
use crate::transport::grain::Grain;
use crate::transport::lanes::Lanes;
use crate::transport::tube::Tube;
use std::sync::Arc;

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

impl System {
    /// Numbers that the tubes begin with because lines that run on into one another are filled differently.
    pub fn numbers_of_fillings(circuit: &Circuit, lanes: &Lanes, species: usize) -> usize {
        let plug = Arc::new(Lanes::plug());
        let each = |way: &Way| {
            let links = || way.links.iter().map(|&l| &circuit.links[l]);
            let mut kinds = links().map(|l| (l.filling, l.tag));
            let first = kinds.next();
            if kinds.all(|kind| Some(kind) == first) {
                return 0;
            }
            // A snapshot is as many times that of one species in one lane.
            let tube = Tube::of(&lengths(links(), std::iter::repeat(&[0.0][..])), &plug);
            tube.numbers_of_snapshot(None) * lanes.len() * species
        };
        Ways::new(circuit).all.iter().map(each).sum()
    }

    /// Lets it stand for a run of another grain, whose readings and numbers it tells from now on, as far as they are
    /// certain.
    pub fn stand_for(&mut self, circuit: &Circuit, grain: Grain) {
        self.finer = Some(Counted::new(grain, self.ways.on_a_loop(circuit)));
    }

    /// Says for how many steps of that run the next one stands, at the least.
    pub fn next_stands_for(&mut self, steps: f64) {
        if let Some(finer) = &mut self.finer {
            finer.steps = steps;
        }
    }

    /// Ends of lanes read so far: what most of the time goes into.
    pub fn readings(&self) -> u64 {
        // A float saturates.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // saturates, as said
        self.finer.as_ref().map_or(self.readings, |finer| finer.readings as u64)
    }

    /// The same of this run itself, whatever it stands for.
    pub fn own_readings(&self) -> u64 {
        self.readings
    }

    /// Numbers that the tubes keep.
    pub fn numbers(&self) -> usize {
        self.numbers_of_snapshots(|_| false)
    }

    /// Numbers that the tubes keep once snapshots have been taken of those of some links.
    pub fn numbers_of_snapshots(&self, of: impl Fn(usize) -> bool) -> usize {
        let finer = self.finer.as_ref();
        let each = |(at, way): (usize, &Way)| {
            let Some(tube) = &self.tubes[at] else { return 0 };
            if way.links.iter().any(|&l| of(l)) {
                tube.numbers_of_snapshot(finer.map(|f| &f.grain))
            } else {
                finer.map_or_else(|| tube.numbers(), |f| f.numbers(at, tube))
            }
        };
        self.ways.all.iter().enumerate().map(each).sum()
    }

    /// Whether the tube of a link, if it has one, turns round with these volumes through the links.
    pub fn turns(&self, link: usize, through_m3: &[f64]) -> bool {
        self.way_turns(self.ways.of[link].0, through_m3)
    }

    fn way_turns(&self, way: usize, through_m3: &[f64]) -> bool {
        let dv = through_m3[self.ways.first(way)];
        dv != 0.0 && self.tubes[way].as_ref().is_some_and(|t| t.turns(dv < 0.0))
    }

    /// Whether some tube does.
    pub fn turns_round(&self, through_m3: &[f64]) -> bool {
        (0..self.ways.all.len()).any(|way| self.way_turns(way, through_m3))
    }
}
