//! What a worked ABS/ESC unit does to the fluid in its rooms, written from docs/modulator.md alone.

use super::car::ReferenceCar;
use super::signal::{Grid, Signal};
use super::state::State;

/// One brake circuit of a unit.
#[derive(Debug, Clone, PartialEq)]
pub struct UnitCircuit {
    /// Compartment of the reservoir that feeds it.
    pub compartment: usize,
    /// Parts from there to the unit, in the order of the flow.
    pub way_down: Vec<usize>,
    /// Whether a valve on the way lets nothing back up.
    pub one_way: bool,
    /// Channels: the part that is its passage, and a path of the car that ends there.
    pub channels: Vec<(usize, usize)>,
    /// Part that is the accumulator, if it holds anything at rest.
    pub accumulator: Option<usize>,
    /// Chamber of the pump.
    pub pump: usize,
    /// Damper, if there is one.
    pub damper: Option<usize>,
    /// Old fraction in the accumulator at first.
    pub old: f64,
    /// A, mL.
    pub at_rest_ml: f64,
    /// a.
    pub mixes: f64,
    /// What it takes up at most, mL.
    pub swept_ml: f64,
    /// Pressure at which it takes up any, Pa.
    pub opens_pa: f64,
    /// w, mL.
    pub cycle_ml: f64,
    /// t, s.
    pub cycle_s: f64,
    /// With ESC s and the index of the isolation valve among what costs pressure.
    pub suction: Option<(f64, usize)>,
}

/// An accumulator: what has been taken up, and what lies in the room that mixes and apart.
#[derive(Debug, Clone)]
pub struct Accumulator {
    at_rest_ml: f64,
    mixes: f64,
    /// u, mL.
    pub taken_ml: f64,
    mixed: Vec<f64>,
    apart: Vec<f64>,
}

impl Accumulator {
    pub fn new(of: &UnitCircuit, species: usize) -> Self {
        let content = vec![of.old; species];
        let (at_rest_ml, mixes) = (of.at_rest_ml, of.mixes);
        Self { at_rest_ml, mixes, taken_ml: 0.0, mixed: content.clone(), apart: content }
    }

    fn volumes_ml(&self) -> [f64; 2] {
        [self.at_rest_ml + self.mixes * self.taken_ml, (1.0 - self.mixes) * self.taken_ml]
    }

    /// Volume, mL, and mean composition.
    pub fn held(&self) -> (f64, Vec<f64>) {
        let [a, b] = self.volumes_ml();
        let mean = |(x, y): (&f64, &f64)| if a + b > 0.0 { (a * x + b * y) / (a + b) } else { 0.0 };
        (a + b, self.mixed.iter().zip(&self.apart).map(mean).collect())
    }

    /// Takes up so much.
    pub fn take(&mut self, ml: f64, content: &[f64]) {
        let before = self.volumes_ml();
        self.taken_ml += ml;
        let after = self.volumes_ml();
        for (room, k) in [(&mut self.mixed, 0), (&mut self.apart, 1)] {
            if after[k] > 0.0 {
                let come = (after[k] - before[k]) / after[k];
                room.iter_mut().zip(content).for_each(|(c, x)| *c += come * (x - *c));
            }
        }
    }

    /// Gives out so much: of both rooms by the shares in which it comes.
    pub fn give(&mut self, ml: f64) -> Vec<f64> {
        self.taken_ml = (self.taken_ml - ml).max(0.0);
        let mean = |(x, y): (&f64, &f64)| self.mixes * x + (1.0 - self.mixes) * y;
        self.mixed.iter().zip(&self.apart).map(mean).collect()
    }
}

impl State {
    /// Sends so much (mL) of one composition through rooms in a row; gives the mean of what leaves the last.
    fn through(
        &mut self,
        car: &ReferenceCar,
        rooms: impl IntoIterator<Item = usize>,
        ml: f64,
        content: Vec<f64>,
    ) -> Vec<f64> {
        let mut content = content;
        for room in rooms {
            let before = self.held[room].clone();
            let grid = Grid { step_ml: ml, end_ml: ml };
            self.pass(room, &Signal::constant(grid, &content), [0.0; 2]);
            // By its books: what is no longer in it has left.
            let gone = before.iter().zip(&self.held[room]).map(|(b, a)| b - a);
            let per_ml = car.parts[room].kind.volume_ml() / ml;
            content = content.iter().zip(gone).map(|(c, g)| c + per_ml * g).collect();
        }
        content
    }

    /// Out of the accumulator through pump and damper.
    fn pumped(&mut self, car: &ReferenceCar, circuit: usize, ml: f64) -> Vec<f64> {
        let of = &car.unit[circuit];
        let content = self.accumulators[circuit].give(ml);
        self.through(car, [of.pump].into_iter().chain(of.damper), ml, content)
    }

    /// A share of a cycle: through pump, damper and these passages into the accumulator again.
    pub fn cycle(&mut self, car: &ReferenceCar, circuit: usize, channels: &[usize], share: f64) {
        let of = &car.unit[circuit];
        let ml = share * self.accumulators[circuit].taken_ml.min(of.cycle_ml);
        if ml <= 0.0 {
            return;
        }
        let sent = self.pumped(car, circuit, ml);
        let each_ml = ml / channels.len() as f64;
        for channel in channels {
            let content = self.through(car, [of.channels[*channel].0], each_ml, sent.clone());
            self.accumulators[circuit].take(each_ml, &content);
        }
    }

    /// Draws so much (mL) down from the reservoir, which nothing feeds meanwhile, into the accumulator.
    pub fn fill_accumulator(
        &mut self,
        car: &ReferenceCar,
        circuit: usize,
        channels: &[usize],
        ml: f64,
        seconds: f64,
    ) {
        if ml <= 0.0 {
            return;
        }
        let share = 1.0 / channels.len() as f64;
        let paths: Vec<usize> = channels.iter().map(|c| car.unit[circuit].channels[*c].1).collect();
        let draws: Vec<_> = paths.iter().map(|p| (*p, share)).collect();
        let grid = Grid { step_ml: 0.125 * ml, end_ml: ml };
        let drained = self.drain(car, &draws, -1.0, grid, [seconds / ml; 2], &[]);
        for leaving in &drained.leaving {
            let each_ml = share * ml;
            let mean: Vec<f64> = leaving.integral().iter().map(|c| c / each_ml).collect();
            self.accumulators[circuit].take(each_ml, &mean);
        }
        self.stand(seconds, |part| paths.iter().any(|p| car.paths[*p].parts.contains(&part)));
    }

    /// The pump sends what the accumulator has taken up back up the line into the reservoir.
    pub fn empty_accumulator(&mut self, car: &ReferenceCar, circuit: usize) {
        let ml = self.accumulators[circuit].taken_ml;
        if ml <= 0.0 {
            return;
        }
        let sent = self.pumped(car, circuit, ml);
        let grid = Grid { step_ml: 0.125 * ml, end_ml: ml };
        let mut flow = Signal::constant(grid, &sent);
        for part in car.unit[circuit].way_down.iter().rev() {
            flow = self.pass_back(*part, &flow);
        }
        let mut mean: Vec<f64> = flow.integral().iter().map(|c| c / ml).collect();
        let (below_ml, below) = &mut self.compartments[car.unit[circuit].compartment];
        if *below_ml > 0.0 {
            let kept = (-ml / *below_ml).exp();
            for (c, come) in below.iter_mut().zip(&mut mean) {
                let after = *come + kept * (*c - *come);
                *come += (*c - after) * *below_ml / ml;
                *c = after;
            }
        }
        self.common.give_back(ml, &mean);
    }
}
