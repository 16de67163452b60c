//! A volume that mixes: equal stages, an optional pocket, an optional bypass.

use crate::scenario::section::Section;
use crate::scenario::{
    bounds,
    spec::{Default, Form, Key},
};

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

/// How many stages the chamber counts as.
pub const STAGES: Key = Key {
    name: "stages",
    doc: "How many equal well-mixed stages the chamber counts as: 1 mixes fully, more come nearer to plug flow.",
    form: Form::Count(1, 20),
    default: Default::Text("1"),
};
/// Share of the volume in pockets.
pub const POCKET: Key = Key {
    name: "pocket",
    doc: "Share of the volume in dead corners that trade fluid slowly with the rest.",
    form: Form::Quantity(&bounds::POCKET),
    default: Default::Text("0 %"),
};
/// Exchange with the pocket per through-flow.
pub const POCKET_EXCHANGE: Key = Key {
    name: "pocket_exchange",
    doc: "Fluid that each stage's pocket trades, as a share of what flows through the stage (what goes by the bypass does not count).",
    form: Form::Quantity(&bounds::POCKET_EXCHANGE),
    default: Default::Text("10 %"),
};
/// Exchange with the pocket at rest.
pub const POCKET_TIME_KEY: Key = Key {
    name: "pocket_time",
    doc: "Time in which the pocket trades its own volume even at rest; left out, it trades only while fluid flows.",
    form: Form::Quantity(&bounds::POCKET_TIME),
    default: Default::Absent,
};
/// Share of the flow past the chamber.
pub const BYPASS_KEY: Key = Key {
    name: "bypass",
    doc: "Share of the flow that runs straight to the bleeder without mixing.",
    form: Form::Quantity(&bounds::BYPASS),
    default: Default::Text("0 %"),
};

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

    /// Reads stages, pocket and bypass from a table that has those keys.
    pub fn from_section(volume_m3: f64, s: &Section) -> Self {
        Self {
            volume_m3,
            stages: s.count("stages").unwrap_or(1) as usize,
            pocket_share: s.find_si("pocket").unwrap_or(0.0),
            pocket_exchange: s.find_si("pocket_exchange").unwrap_or(0.0),
            pocket_time_s: s.find_si("pocket_time").unwrap_or(f64::INFINITY),
            bypass_share: s.find_si("bypass").unwrap_or(0.0),
        }
    }
}
