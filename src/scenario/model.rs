//! The scenario as the rest of the house receives it: checked, complete, SI.

use super::procedure::Procedure;
use super::tables::{AsDescribed, ClearHose, MasterCylinder, Reservoir, Vehicle};
use crate::fluid::declared::{NewFluid, OldFluid};
use crate::keys::{Place, Read, Role, Written};
use crate::{parts, supply};

/// A checked scenario. Rooms further on trust it: names are unique, every reference resolves,
/// every quantity lies within its bounds.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Tables {
    /// Title as written.
    pub title: String,
    /// Name of the file it came from (as given by the caller), or `-`.
    pub file: String,
    /// What was set over the file's values, as given.
    pub set: Vec<String>,
    /// `[described]`: the answers it was made of, if it was.
    pub described: Read<AsDescribed>,
    /// `[vehicle]`: temperature, pad wear, pressure limit, split, steering side.
    pub vehicle: Read<Vehicle>,
    /// `[old_fluid]`: what is in the circuit.
    pub old_fluid: Read<OldFluid>,
    /// `[new_fluid]`: what is poured in.
    pub new_fluid: Read<NewFluid>,
    /// `[reservoir]`.
    pub reservoir: Read<Reservoir>,
    /// `[master_cylinder]`: its chambers are the names other parts start from.
    pub master_cylinder: Read<MasterCylinder>,
    /// `[parts]` in file order.
    pub parts: Vec<Part>,
    /// `[supplies]` in file order; never empty.
    pub supplies: Vec<Supply>,
    /// `[clear_hose]`: what the technician watches, and when it counts as clean.
    pub clear_hose: Read<ClearHose>,
    /// `[procedure]`.
    pub procedure: Procedure,
    /// What of it is unusual, as it was read.
    pub unusual: Vec<Unusual>,
}

/// A value that is unusual, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unusual {
    /// What is unusual, and what is usual.
    pub text: String,
    /// Where it is written.
    pub line: Place,
}

impl Tables {
    /// The supply named `wanted`, or else by the procedure, or else the only one.
    ///
    /// # Errors
    /// [`NoSupply`].
    pub fn supply(&self, wanted: Option<&str>) -> Result<&Supply, NoSupply> {
        self.place_of_supply(wanted).map(|i| &self.supplies[i])
    }

    /// As [`supply`](Self::supply), to be changed.
    ///
    /// # Errors
    /// [`NoSupply`].
    pub fn supply_mut(&mut self, wanted: Option<&str>) -> Result<&mut Supply, NoSupply> {
        self.place_of_supply(wanted).map(|i| &mut self.supplies[i])
    }

    fn place_of_supply(&self, wanted: Option<&str>) -> Result<usize, NoSupply> {
        match (wanted.or_else(|| self.procedure.tasks.supply.as_deref()), self.supplies.len()) {
            (Some(name), _) => {
                let found = self.supplies.iter().position(|s| s.name == name);
                found.ok_or_else(|| NoSupply::Unknown(name.to_owned()))
            }
            (None, 1) => Ok(0),
            (None, _) => Err(NoSupply::NotNamed),
        }
    }
}

/// Why it cannot be told which supply pushes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoSupply {
    /// There is none of this name.
    Unknown(String),
    /// There are several (or none), and none is named.
    NotNamed,
}

/// One part of the circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Its name, unique among parts, chambers and bleeders.
    pub name: String,
    /// Its kind, with what its table says.
    pub kind: parts::Kind,
    /// Where its fluid comes from: names of parts or master-cylinder chambers.
    pub from: Vec<String>,
    /// For a through part that closes a loop: the node part it runs into.
    pub to: Option<String>,
    /// Names of the bleeders on it; empty for kinds without one.
    pub bleeders: Vec<String>,
    /// How its table stands in the file.
    pub written: Written,
}

impl Part {
    /// The word in `kind = "…"`.
    pub fn word(&self) -> &'static str {
        self.kind.spec().name
    }

    /// What it is to the brake system.
    pub fn role(&self) -> Role {
        self.kind.spec().role
    }
}

/// One way of pushing.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// Its name.
    pub name: String,
    /// Its kind, with what its table says.
    pub kind: supply::Kind,
    /// How its table stands in the file.
    pub written: Written,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn with(names: &[&str]) -> Tables {
        let supply = |n: &&str| Supply {
            name: n.to_string(),
            kind: supply::Kind::all()[0].clone(),
            written: Written::default(),
        };
        Tables { supplies: names.iter().map(supply).collect(), ..Tables::default() }
    }

    #[test]
    fn a_supply_is_the_one_wanted_or_named_or_the_only_one() {
        let name = |s: &Tables, wanted| s.supply(wanted).map(|x| x.name.clone());
        assert_eq!(name(&with(&["a"]), None), Ok("a".to_owned()));
        assert_eq!(name(&with(&["a"]), Some("b")), Err(NoSupply::Unknown("b".to_owned())));
        assert_eq!(name(&with(&[]), None), Err(NoSupply::NotNamed));
        let mut two = with(&["a", "b"]);
        assert_eq!(name(&two, None), Err(NoSupply::NotNamed));
        assert_eq!(name(&two, Some("b")), Ok("b".to_owned()));
        two.procedure.tasks.supply = Some("b".to_owned());
        assert_eq!(name(&two, None), Ok("b".to_owned()));
        assert_eq!(name(&two, Some("a")), Ok("a".to_owned()));
        two.supply_mut(None).expect("named").name = "c".to_owned();
        assert_eq!(name(&two, None), Err(NoSupply::Unknown("b".to_owned())));
    }
}
