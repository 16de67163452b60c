//! What a system reads and keeps: what a run costs.

use super::{System, Way, Ways, lengths};
use crate::circuit::Circuit;
use crate::transport::grain::{Counted, Grain};
use crate::transport::lanes::Lanes;
use crate::transport::tube::Tube;
use std::sync::Arc;

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
        let way = self.ways.of[link].0;
        let dv = through_m3[self.ways.first(way)];
        dv != 0.0 && self.tubes[way].as_ref().is_some_and(|t| t.turns(dv < 0.0))
    }

    /// Whether some tube does.
    pub fn turns_round(&self, through_m3: &[f64]) -> bool {
        (0..through_m3.len()).any(|link| self.turns(link, through_m3))
    }
}
