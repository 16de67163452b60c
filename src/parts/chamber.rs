//! A volume that mixes: equal stages, an optional pocket, an optional bypass.

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
}
