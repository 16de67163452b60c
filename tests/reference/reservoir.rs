//! What hands do to the reservoir: pouring in and drawing out.

use super::car::ReferenceCar;
use super::state::State;

impl State {
    /// Fluid in all of the reservoir, mL.
    pub fn level_ml(&self) -> f64 {
        self.common.ml + self.compartments.iter().map(|c| c.0).sum::<f64>()
    }

    /// Pours the feed in: into compartments that lack some first.
    pub fn pour(&mut self, car: &ReferenceCar, ml: f64) {
        let full = car.compartments.iter().map(|c| c.0);
        let lack: f64 = full.clone().zip(&self.compartments).map(|(f, c)| f - c.0).sum();
        let into = ml.max(0.0).min(lack);
        if into > 0.0 {
            for (full, pool) in full.zip(&mut self.compartments) {
                add(pool, into * (full - pool.0) / lack, &car.feed);
            }
        }
        self.common.pour(ml.max(0.0) - into, &car.feed);
    }

    /// Draws from above: the common space, then all compartments evenly.
    pub fn draw(&mut self, ml: f64) {
        let above = ml.clamp(0.0, self.common.ml);
        self.common.draw(above);
        let held: f64 = self.compartments.iter().map(|c| c.0).sum();
        if held > 0.0 {
            let keep = 1.0 - (ml - above).max(0.0) / held;
            self.compartments.iter_mut().for_each(|c| c.0 *= keep);
        }
    }
}

fn add(pool: &mut (f64, Vec<f64>), ml: f64, content: &[f64]) {
    let all = pool.0 + ml;
    if all > 0.0 {
        for (c, x) in pool.1.iter_mut().zip(content) {
            *c = (*c * pool.0 + x * ml) / all;
        }
    }
    pool.0 = all;
}
