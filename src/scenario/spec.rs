//! How a table of the scenario file is described: its keys, what each may hold, its default.
//!
//! Rooms further on describe their own tables with these types (a part kind its keys, a supply
//! kind its keys), so that a new kind is one new file; the reader, `schema` and `check` all work
//! from the same description.

use super::bounds::Bound;
use super::tables::FILLING_KEYS;

/// What a key may hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Form {
    /// A quantity as text with a unit.
    Quantity(&'static Bound),
    /// Free text.
    Text,
    /// One of these words.
    Word(&'static [&'static str]),
    /// true or false.
    Flag,
    /// A whole number between two ends, both allowed.
    Count(u32, u32),
    /// One name or a list of names.
    Names,
}

/// What holds when a key is left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Default {
    /// It must be written.
    Required,
    /// It may be left out and then stays absent.
    Absent,
    /// It may be left out; then no figure holds but this rule, given in few words.
    Rule(&'static str),
    /// Left out, it is read as if this text had been written (`"3.2 mm"`, `"true"`, `"6"`).
    Text(&'static str),
}

/// One key of a table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Key {
    /// The key as written.
    pub name: &'static str,
    /// One sentence: what it is. Shown by `schema`.
    pub doc: &'static str,
    /// What it may hold.
    pub form: Form,
    /// What holds when it is left out.
    pub default: Default,
}

/// How a part kind joins its neighbours.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ends {
    /// Fluid runs through it from one end to the other (line, hose, valve): `from`, and `to` where
    /// it closes a loop.
    Through,
    /// A chamber or branching: `from` one or several parts; others may start from it.
    Node,
}

/// What something is to a brake system, whatever its kind is called. Each kind states it once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// The reservoir.
    Reservoir,
    /// A chamber of the master cylinder.
    MasterCylinder,
    /// A hydraulic modulator.
    Modulator,
    /// A caliper, or one half of one.
    Caliper,
    /// A caliper of two halves, which is a loop in itself.
    HalvedCaliper,
    /// A drum brake's wheel cylinder.
    WheelCylinder,
    /// The master cylinder of a clutch.
    ClutchMaster,
    /// The slave cylinder of a clutch.
    ClutchSlave,
    /// A rigid line.
    Line,
    /// A hose.
    Hose,
    /// A valve in a line.
    Valve,
    /// A tee or block, where paths meet.
    Tee,
    /// The place where a line or hose ends, with no part of its own.
    Joint,
    /// No part: what pushes.
    Supply,
}

impl Role {
    /// Whether it brakes a wheel.
    pub fn is_service_brake(self) -> bool {
        matches!(self, Self::Caliper | Self::HalvedCaliper | Self::WheelCylinder)
    }
}

/// A part kind or a supply kind: the word in `kind = "…"` and the keys it takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KindSpec {
    /// The word written after `kind =`.
    pub name: &'static str,
    /// One sentence: what it is. Shown by `schema`.
    pub doc: &'static str,
    /// How it joins its neighbours (parts only; supplies are `Node`).
    pub ends: Ends,
    /// What it is to the brake system.
    pub role: Role,
    /// True if a bleeder sits on it (it then takes the key `bleeders` too).
    pub bleeds: bool,
    /// True of a part that holds fluid of its own: it then takes [`FILLING_KEYS`] too.
    pub holds: bool,
    /// Its own keys.
    pub keys: &'static [Key],
}

impl KindSpec {
    /// Its own keys, then those that it shares with every part that holds fluid.
    pub fn all_keys(&self) -> impl Iterator<Item = &'static Key> {
        let shared = if self.holds { FILLING_KEYS } else { &[] };
        self.keys.iter().chain(shared)
    }
}
