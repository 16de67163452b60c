//! A unit while it is worked, with bleeders shut or open.

use super::branches::Element;
use super::losses::Loss;
use super::opening::{Bleeder, Run};
use super::state::Shunt;
use super::whole::{Opened, Working};

/// Bore of the suction valve and of the throttle, m.
const SUCTION_M: [f64; 2] = [0.7e-3; 2];
/// Pressure at which the pump stalls, Pa.
const STALL_PA: f64 = 200e5;

impl Run<'_> {
    /// Works a unit.
    ///
    /// # Panics
    /// If air would reach an outlet, or nothing flows.
    pub fn work(&mut self, work: &Working, opened: &mut Vec<Opened>) -> f64 {
        let car = &self.of.car;
        let takes_part = |circuit: usize| -> bool {
            let of = &car.unit[circuit];
            let pressed_pa = self.supply_pa();
            let builds = work.pump && of.suction.is_some_and(|(share, _)| share > 0.0);
            pressed_pa >= of.opens_pa || builds
        };
        let worked: Vec<(usize, Vec<usize>)> =
            work.circuits.iter().filter(|(c, _)| takes_part(*c)).cloned().collect();
        for (circuit, channels) in &worked {
            let of = &car.unit[*circuit];
            let taken = self.state.accumulators[*circuit].taken_ml;
            let per_cycle = of.cycle_ml.min(of.swept_ml);
            let wanted = match work.pump {
                true => per_cycle - taken,
                false => (of.swept_ml - taken).min(of.cycle_ml / of.cycle_s * work.seconds),
            };
            let held = self.state.common.ml + self.state.compartments[of.compartment].0;
            let ml = wanted.clamp(0.0, 0.5 * held);
            self.state.fill_accumulator(car, *circuit, channels, ml, of.cycle_s);
            if work.pump && work.paths.is_empty() {
                self.cycles(*circuit, channels, work.seconds / of.cycle_s, 1.0);
            }
        }
        let seconds = if work.paths.is_empty() {
            self.state.stand(work.seconds, |_| false);
            self.state.common.stand(work.seconds);
            0.0
        } else {
            self.work_open(work, &worked, opened)
        };
        for (circuit, of) in car.unit.iter().enumerate() {
            let has = work.circuits.iter().any(|(c, _)| *c == circuit);
            if has && work.pump && !of.one_way {
                self.state.empty_accumulator(car, circuit);
            }
        }
        seconds
    }

    fn work_open(
        &mut self,
        work: &Working,
        worked: &[(usize, Vec<usize>)],
        opened: &mut Vec<Opened>,
    ) -> f64 {
        let car = &self.of.car;
        // The circuits whose pump sends to an open bleeder.
        let leads = |circuit: usize| {
            let passages = &car.unit[circuit].channels;
            let through =
                |p: &usize| passages.iter().any(|(room, _)| car.paths[*p].parts.contains(room));
            work.paths.iter().any(through)
        };
        let sends = |circuit: usize| -> Option<(f64, usize)> {
            let (share, valve) = car.unit[circuit].suction?;
            (work.pump && share > 0.0 && leads(circuit)).then_some((share, valve))
        };
        self.elements.clone_from(&self.of.elements);
        for (circuit, _) in &work.circuits {
            let Some((share, valve)) = sends(*circuit) else { continue };
            let of = &car.unit[*circuit];
            let delivery_m3_s = 1e-6 * share * of.cycle_ml / of.cycle_s;
            let pump = Loss::Pump { bores_m: SUCTION_M, delivery_m3_s, stall_pa: STALL_PA };
            let was = self.elements[valve].clone();
            let Loss::Bore { bore_m, .. } = was.loss else {
                panic!("an isolation valve is a hole")
            };
            let check = Loss::Valve { opens_at_pa: 0.0, bore_m };
            let loss = Loss::Beside(vec![check, pump]);
            self.elements[valve] = Element { loss, ..was };
            self.shunts.push(Shunt {
                valve,
                passages: of.channels.iter().map(|c| c.0).collect(),
                rooms: [of.pump].into_iter().chain(of.damper).collect(),
                share: 0.0,
            });
        }
        let mut open = self.opened(&work.paths, &work.rule);
        let cycle_s =
            work.circuits.iter().map(|(c, _)| car.unit[*c].cycle_s).fold(f64::MAX, f64::min);
        let steps = (work.seconds / cycle_s - 1e-9).ceil().max(1.0);
        let step_s = work.seconds / steps;
        for _ in 0..steps as usize {
            self.timed(&mut open, &work.rule, step_s);
            for (circuit, channels) in worked.iter().filter(|_| work.pump) {
                let of = &car.unit[*circuit];
                let goes_round = 1.0 - sends(*circuit).map_or(0.0, |(share, _)| share);
                self.cycles(*circuit, channels, step_s / of.cycle_s, goes_round);
            }
            self.stirred(&mut open, &work.rule);
        }
        opened.extend(open.iter().map(Bleeder::result));
        self.elements.clone_from(&self.of.elements);
        self.shunts.clear();
        work.seconds
    }

    /// So many cycles of a share of the delivery, the last one in part.
    fn cycles(&mut self, circuit: usize, channels: &[usize], count: f64, delivery: f64) {
        let mut left = count;
        while left > 1e-9 {
            self.state.cycle(&self.of.car, circuit, channels, left.min(1.0) * delivery);
            left -= 1.0;
        }
    }
}
