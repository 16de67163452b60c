//! What a working hydraulic modulator moves: into its accumulator, round, and back up the line.

use super::{Entry, RunsInACircle, Step, System};
use crate::circuit::Circuit;
use crate::circuit::modulator::ModulatorCircuit;
use std::sync::Arc;

impl System {
    /// What the accumulator of a modulator's circuit has taken up beyond its dead volume, m³.
    pub fn taken_up_m3(&self, m: &ModulatorCircuit) -> f64 {
        self.chambers[m.accumulator].as_deref().map_or(0.0, |c| (c.volume() - m.dead_m3).max(0.0))
    }

    /// Lets `dv` m³ from the reservoir through the inlet valves and opened outlet valves of the
    /// channels in `working` into the accumulator, in equal shares, over `time_s`.
    ///
    /// # Errors
    /// [`RunsInACircle`], which a way from the reservoir cannot be.
    pub fn fill_accumulator(
        &mut self,
        circuit: &Circuit,
        m: &ModulatorCircuit,
        working: &[usize],
        dv: f64,
        time_s: f64,
    ) -> Result<(), RunsInACircle> {
        let share = dv / working.len() as f64;
        let mut through = vec![0.0; circuit.links.len()];
        for &(link, backward) in &m.supply {
            through[link] = if backward { -dv } else { dv };
        }
        let mut exits = Vec::new();
        for &i in working {
            through[m.channels[i].inlet] = share;
            exits.push((m.channels[i].passage, share));
        }
        let mut leaving = vec![0.0; exits.len() * self.species];
        let nothing = vec![0.0; self.species];
        let step = Step {
            through_m3: &through,
            exits: &exits,
            given: &[],
            feed_m3: 0.0,
            feed: &nothing,
            time_s,
        };
        self.step(circuit, &step, &mut leaving)?;
        if let Some(accumulator) = self.chambers[m.accumulator].as_mut().map(Arc::make_mut) {
            for row in leaving.chunks(self.species) {
                accumulator.swell(share, row);
            }
        }
        Ok(())
    }

    /// Once round with `dv` m³, which the accumulator must have taken up: through pump, damper,
    /// inlet valves and the passages in `working` (in equal shares), and through the outlet valves
    /// into the accumulator again.
    pub fn circulate(&mut self, m: &ModulatorCircuit, working: &[usize], dv: f64, time_s: f64) {
        let mut row = self.pump_out(m, dv, time_s);
        let share = 1.0 / working.len() as f64;
        row.iter_mut().for_each(|x| *x *= share);
        for &i in working {
            let mut part = row.clone();
            self.pass_node(m.channels[i].passage, share * dv, time_s, &mut part);
            if let Some(accumulator) = self.chambers[m.accumulator].as_mut().map(Arc::make_mut) {
                accumulator.swell(share * dv, &part);
            }
        }
    }

    /// Empties the accumulator through pump and damper; what comes runs back up the line through master
    /// cylinder and compensating port into the reservoir.
    ///
    /// # Errors
    /// [`RunsInACircle`], which a way to the reservoir cannot be.
    pub fn empty_accumulator(
        &mut self,
        circuit: &Circuit,
        m: &ModulatorCircuit,
        time_s: f64,
    ) -> Result<(), RunsInACircle> {
        let dv = self.taken_up_m3(m);
        if dv <= 0.0 {
            return Ok(());
        }
        let amounts = self.pump_out(m, dv, time_s);
        let mut through = vec![0.0; circuit.links.len()];
        for &(link, backward) in &m.supply {
            through[link] = if backward { dv } else { -dv };
        }
        let nothing = vec![0.0; self.species];
        let step = Step {
            through_m3: &through,
            exits: &[],
            given: &[],
            feed_m3: 0.0,
            feed: &nothing,
            time_s,
        };
        let entry = Entry { node: m.common, volume_m3: dv, amounts: &amounts };
        self.step_with(circuit, &step, &[entry], &mut [])
    }

    /// Takes `dv` m³ out of the accumulator through pump and damper; gives the amounts that leave the
    /// damper.
    fn pump_out(&mut self, m: &ModulatorCircuit, dv: f64, time_s: f64) -> Vec<f64> {
        let mut row = vec![0.0; self.species];
        if let Some(accumulator) = self.chambers[m.accumulator].as_mut().map(Arc::make_mut) {
            accumulator.shrink(dv, &mut row);
        }
        self.pass_node(m.pump, dv, time_s, &mut row);
        self.pass_node(m.damper, dv, time_s, &mut row);
        row
    }

    /// Sends what has these amounts, the same all along, through a node; they become those that leave it.
    fn pass_node(&mut self, node: usize, dv: f64, time_s: f64, amounts: &mut [f64]) {
        let s = self.species;
        let mut flow = amounts.repeat(2);
        if let Some(chamber) = self.chambers[node].as_mut().map(Arc::make_mut) {
            chamber.pass(dv, time_s, &mut flow);
        }
        for (l, x) in self.last[2 * node * s..].iter_mut().zip(&flow) {
            *l = x / dv;
        }
        amounts.copy_from_slice(&flow[..s]);
    }
}
