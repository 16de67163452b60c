//! The part kinds, one file each. To add one: write its file, list it in [`KINDS`].

mod caliper;
mod check_valve;
mod clutch_master;
mod clutch_slave;
mod hose;
mod line;
mod load_sensing_valve;
mod metering_valve;
mod modulator;
mod residual_pressure_valve;
mod tee;
mod two_bleeder_caliper;
mod wheel_cylinder;

use super::chamber::Chamber;
use super::passage::Passage;
use crate::scenario::section::Section;
use crate::scenario::spec::KindSpec;

pub use caliper::bleeder_passage;
pub(super) use line::{K_ENTRY, K_EXIT};
pub use modulator::ModulatorSpec;

/// What a part is to the circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Built {
    /// Fluid runs through: a tube with its volume, or a valve without one.
    Through {
        /// How it resists.
        passage: Passage,
        /// What it holds; `None` for a valve whose volume does not count.
        tube: Option<Tube>,
    },
    /// A place where paths meet, with or without a volume of its own.
    Node {
        /// The volume, if any.
        chamber: Option<Chamber>,
        /// How the bleeder on it resists, if it carries one.
        bleeder: Option<Passage>,
    },
    /// Two places, each with a chamber and a bleeder, joined by two passages side by side.
    Halves {
        /// The volume of each half.
        half: Chamber,
        /// How each bleeder resists.
        bleeder: Passage,
        /// How the passages between the halves resist; their volume counts with the halves.
        crossovers: [Passage; 2],
    },
    /// A hydraulic modulator: nodes and valves of its own in each circuit.
    Modulator(ModulatorSpec),
}

/// The inside of a line or hose; bore and length are those of its passage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tube {
    /// Volume, m³.
    pub volume_m3: f64,
    /// Degree to which its bends together remix the cross-section, 0 to 1.
    pub remix: f64,
    /// True if its fluid moves as a plug.
    pub plug: bool,
}

/// What a part may need to know of the vehicle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vehicle {
    /// Wear of the pads, 0 (new) to 1 (worn out).
    pub pad_wear: f64,
}

/// A part kind.
pub struct Kind {
    /// Its word and keys.
    pub spec: KindSpec,
    /// Makes the part from its checked table.
    pub build: fn(&Section, Vehicle) -> Built,
    /// Volume by which wear so far has enlarged it, m³.
    pub worn_m3: fn(&Section, Vehicle) -> f64,
}

/// Every part kind. A new one is listed here and nowhere else.
pub const KINDS: &[Kind] = &[
    line::KIND,
    hose::KIND,
    tee::KIND,
    caliper::KIND,
    wheel_cylinder::KIND,
    check_valve::KIND,
    modulator::KIND,
    two_bleeder_caliper::KIND,
    residual_pressure_valve::KIND,
    metering_valve::KIND,
    load_sensing_valve::KIND,
    clutch_master::KIND,
    clutch_slave::KIND,
];

/// The descriptions of all kinds, as the scenario reader takes them.
pub const SPECS: &[KindSpec] = &{
    let mut specs = [KINDS[0].spec; KINDS.len()];
    let mut i = 1;
    while i < KINDS.len() {
        specs[i] = KINDS[i].spec;
        i += 1;
    }
    specs
};

/// The kind of this name.
pub fn kind(name: &str) -> Option<&'static Kind> {
    KINDS.iter().find(|k| k.spec.name == name)
}

/// What to do where a valve of this kind holds fluid back.
pub fn valve_remedy(kind: &str) -> &'static str {
    match kind {
        k if k == metering_valve::KIND.spec.name => metering_valve::REMEDY,
        k if k == load_sensing_valve::KIND.spec.name => load_sensing_valve::REMEDY,
        k if k == residual_pressure_valve::KIND.spec.name => residual_pressure_valve::REMEDY,
        _ => "raise the pressure within the maker's limit",
    }
}

/// What is to be known of a valve's state before a flush begins, if anything.
pub fn valve_state(kind: &str, s: &Section) -> Option<&'static str> {
    if kind == load_sensing_valve::KIND.spec.name
        && s.text("suspension") == Some(load_sensing_valve::HANGING)
    {
        return Some(
            "the wheels hang, so it may pass little: the flush takes longer, and how much longer is not well known; with the weight on the axle (`suspension = \"loaded\"`) it is open",
        );
    }
    (kind == metering_valve::KIND.spec.name && s.flag("held_open"))
        .then_some("it is held open with a tool: take that off before the vehicle is driven")
}

fn no_wear(_: &Section, _: Vehicle) -> f64 {
    0.0
}
