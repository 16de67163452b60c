//! The scenario as the rest of the house receives it: checked, complete, SI.

use super::procedure::Procedure;
use super::section::Section;
use super::spec::Role;

/// A checked scenario. Rooms further on trust it: names are unique, every reference resolves,
/// every quantity lies within its bounds.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Scenario {
    /// Title as written.
    pub title: String,
    /// Name of the file it came from (as given by the caller), or `-`.
    pub file: String,
    /// `[vehicle]`: temperature, pad wear, pressure limit, split, steering side.
    pub vehicle: Section,
    /// `[old_fluid]`: what is in the circuit.
    pub old_fluid: Section,
    /// `[new_fluid]`: what is poured in.
    pub new_fluid: Section,
    /// `[reservoir]`.
    pub reservoir: Section,
    /// `[master_cylinder]`: its chambers are the names other parts start from.
    pub master_cylinder: Section,
    /// `[parts]` in file order.
    pub parts: Vec<Part>,
    /// `[supplies]` in file order; never empty.
    pub supplies: Vec<Supply>,
    /// `[clear_hose]`: what the technician watches, and when it counts as clean.
    pub clear_hose: Section,
    /// `[procedure]`.
    pub procedure: Procedure,
}

/// One part of the circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Its name, unique among parts, chambers and bleeders.
    pub name: String,
    /// Its kind: the word in `kind = "…"`.
    pub kind: &'static str,
    /// What it is to the brake system.
    pub role: Role,
    /// Where its fluid comes from: names of parts or master-cylinder chambers.
    pub from: Vec<String>,
    /// For a through part that closes a loop: the node part it runs into.
    pub to: Option<String>,
    /// Names of the bleeders on it; empty for kinds without one.
    pub bleeders: Vec<String>,
    /// The keys of its kind and those every part has (`water`, `old_fraction`).
    pub section: Section,
}

/// One way of pushing.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// Its name.
    pub name: String,
    /// Its kind: the word in `kind = "…"`.
    pub kind: &'static str,
    /// The keys of its kind.
    pub section: Section,
}
