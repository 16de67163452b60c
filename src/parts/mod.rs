//! What a vehicle's hydraulics are made of. The part kinds, one file each: to add one, write its file and list it in
//! [`Kind`].

pub mod caliper;
pub mod chamber;
pub mod check_valve;
pub mod clutch_master;
pub mod clutch_slave;
pub mod contents;
pub mod hose;
pub mod line;
pub mod load_sensing_valve;
pub mod metering_valve;
pub mod mixing;
pub mod modulator;
pub mod pads;
pub mod passage;
pub mod plain_chamber;
pub mod residual_pressure_valve;
pub mod screw;
pub mod tee;
pub mod two_bleeder_caliper;
pub mod wheel_cylinder;

use crate::keys::kind::kinds;
use crate::keys::{KindSpec, Quantity, Table};
use chamber::Chamber;
use contents::Contents;
use passage::Passage;

pub use line::{K_ENTRY, K_EXIT, Line, Profile, Run};
pub use modulator::ModulatorSpec;
pub use pads::Pads;
pub use screw::Screw;

kinds! {
    /// A part's kind with what its table says. A new kind is listed here and nowhere else.
    pub enum Kind: Part {
        Line(line::Line),
        Hose(hose::Hose),
        Tee(tee::Tee),
        Caliper(caliper::Caliper),
        WheelCylinder(wheel_cylinder::WheelCylinder),
        CheckValve(check_valve::CheckValve),
        Modulator(modulator::Modulator),
        TwoBleederCaliper(two_bleeder_caliper::TwoBleederCaliper),
        ResidualPressureValve(residual_pressure_valve::ResidualPressureValve),
        MeteringValve(metering_valve::MeteringValve),
        LoadSensingValve(load_sensing_valve::LoadSensingValve),
        ClutchMaster(clutch_master::ClutchMaster),
        ClutchSlave(clutch_slave::ClutchSlave),
        PlainChamber(plain_chamber::PlainChamber),
    }
}

/// A part kind's table.
pub trait Part: Table {
    /// Its word, and how it joins its neighbours.
    fn spec(&self) -> KindSpec;

    /// What it is to the circuit; `pad_wear` is the vehicle's, 0 (new) to 1 (worn out).
    fn build(&self, pad_wear: f64) -> Built;

    /// Volume by which wear so far has enlarged it, m³.
    fn worn_m3(&self, pad_wear: f64) -> f64 {
        self.pads().map_or(0.0, |p| p.worn_m3(pad_wear))
    }

    /// The wear of its own pads or shoes, where it states it.
    fn own_wear(&self) -> Option<Quantity> {
        self.pads().and_then(|p| p.pad_wear)
    }

    /// Whether it says what wear of pads or shoes changes.
    fn wears(&self) -> bool {
        self.pads().is_some_and(|p| p.worn_pads.is_some())
    }

    /// What it says of the fluid in it; `None` for a part that holds none of its own.
    fn contents(&self) -> Option<&Contents> {
        self.run().map(|r| &r.contents)
    }

    /// What it says of itself as a line or hose, if it is one.
    fn run(&self) -> Option<&Run> {
        None
    }

    /// Its pads, if it is a caliper.
    fn pads(&self) -> Option<&Pads> {
        None
    }

    /// Keys that mean nothing beside its others as they stand, each with what is lacking and what to write.
    fn idle(&self) -> Vec<(&'static str, &'static str)> {
        Vec::new()
    }

    /// Keys that mean nothing unless a step works it.
    fn only_worked(&self) -> &'static [&'static str] {
        &[]
    }

    /// What to do where it holds fluid back.
    fn remedy(&self) -> &'static str {
        "raise the pressure within the maker's limit"
    }

    /// What is to be known of its state before a flush begins, if anything.
    fn state(&self) -> Option<&'static str> {
        None
    }
}

/// What a part is to the circuit.
#[derive(Debug, Clone, PartialEq)]
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
        /// The bleeder screw on it, if it carries one.
        screw: Option<Screw>,
    },
    /// Two places, each with a chamber and a bleeder, joined by two passages side by side.
    Halves {
        /// The volume of each half.
        half: Chamber,
        /// The bleeder screw on each.
        screw: Screw,
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
