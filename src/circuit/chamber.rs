//! A volume that mixes: equal stages, an optional pocket, an optional bypass.

use crate::scenario::chamber_keys::{BYPASS, POCKET, POCKET_EXCHANGE, POCKET_TIME, STAGES};
use crate::scenario::section::Section;

/// A chamber of the circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chamber {
    /// Volume, m³.
    pub volume_m3: f64,
    /// Number of equal well-mixed stages, at least 1.
    pub stages: usize,
    /// Share of the volume that lies in pockets, 0 to below 1.
    pub pocket_share: f64,
    /// Fluid that pocket and stage trade, per volume that flows through.
    pub pocket_exchange: f64,
    /// Time in which a pocket at rest would trade its own volume, s; infinite if it does not.
    pub pocket_time_s: f64,
    /// Share of the flow that runs straight through without mixing.
    pub bypass_share: f64,
}

impl Chamber {
    /// A chamber of one fully mixed stage.
    pub fn mixed(volume_m3: f64) -> Self {
        Self {
            volume_m3,
            stages: 1,
            pocket_share: 0.0,
            pocket_exchange: 0.0,
            pocket_time_s: f64::INFINITY,
            bypass_share: 0.0,
        }
    }

    /// A chamber whose table tells of its stages alone.
    ///
    /// # Panics
    /// If the table lacks the key: a mistake in this crate, not in a scenario.
    pub fn of_stages(volume_m3: f64, s: &Section) -> Self {
        let stages = s.count(STAGES.name);
        let stages = stages.unwrap_or_else(|| panic!("table {} has no {}", s.name, STAGES.name));
        Self { stages: stages as usize, ..Self::mixed(volume_m3) }
    }

    /// A chamber as a table with the keys of a pocket describes it. None of them is taken for granted: a pocket
    /// without its exchange would keep old fluid for ever.
    ///
    /// # Panics
    /// As [`Chamber::of_stages`].
    pub fn with_pocket(volume_m3: f64, s: &Section) -> Self {
        Self {
            pocket_share: s.si(POCKET.name),
            pocket_exchange: s.si(POCKET_EXCHANGE.name),
            pocket_time_s: s.find_si(POCKET_TIME.name).unwrap_or(f64::INFINITY),
            ..Self::of_stages(volume_m3, s)
        }
    }

    /// The same with a bleeder on it, to which some of the flow may run straight.
    ///
    /// # Panics
    /// As [`Chamber::of_stages`].
    pub fn with_bleeder(volume_m3: f64, s: &Section) -> Self {
        Self { bypass_share: s.si(BYPASS.name), ..Self::with_pocket(volume_m3, s) }
    }
}
