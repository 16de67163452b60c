//! The books kept over a job: what was there, what came and what went.

use crate::circuit::species::{Species, Water};
use crate::job::record::Balance;
use crate::measures::to_ml;
use crate::transport::system::System;

/// What was moved across the system's border (amounts by species, m³ · composition; volumes in m³).
#[derive(Debug, Clone, Default)]
pub(crate) struct Books {
    pub start: Vec<f64>,
    pub start_volume: f64,
    pub come: Vec<f64>,
    pub come_volume: f64,
    pub gone: Vec<f64>,
    pub gone_volume: f64,
    pub drained: f64,
    pub removed: f64,
    pub loaded: f64,
    pub by_hand: f64,
    pub hose: f64,
    pub start_reservoir: f64,
    pub worst: Balance,
}

impl Books {
    /// Books so much of a fluid that comes in.
    pub(crate) fn comes(&mut self, volume_m3: f64, fluid: &[f64]) {
        self.come_volume += volume_m3;
        for (come, c) in self.come.iter_mut().zip(fluid) {
            *come += volume_m3 * c;
        }
    }

    /// Compares what a system holds with what was there, came and went.
    pub(crate) fn compare(&mut self, s: &Species, system: &System) {
        let mut held = vec![0.0; s.len()];
        system.held(&mut held);
        let b = self;
        let error = |k: usize| (held[k] - b.start[k] - b.come[k] + b.gone[k]).abs();
        let tags = 0..s.tags.len();
        let old = tags.clone().map(error).fold(0.0, f64::max);
        let sum: f64 =
            tags.map(|k| held[k] - b.start[k] - b.come[k] + b.gone[k]).sum::<f64>().abs();
        let volume = (system.volume() - b.start_volume - b.come_volume + b.gone_volume).abs();
        let water = match s.water {
            Water::Carried => error(s.tags.len()),
            Water::Mixed { new, more } => new * volume + more * old,
            Water::Unasked => 0.0,
        };
        b.worst.volume_error_ml = b.worst.volume_error_ml.max(to_ml(volume));
        b.worst.old_error_ml = b.worst.old_error_ml.max(to_ml(old.max(sum)));
        b.worst.water_error_g = b.worst.water_error_g.max(1e6 * water);
    }
}
