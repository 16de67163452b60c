//! What the reader must be told by the rooms further on: kinds of parts and supplies, grades.

use super::spec::KindSpec;

/// Families of brake fluid that must not be mixed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Family {
    /// Glycol ether and borate ester fluids: DOT 3, 4, 5.1.
    Glycol,
    /// Silicone fluid: DOT 5.
    Silicone,
    /// Mineral oil.
    MineralOil,
}

impl Family {
    /// What messages call it.
    pub fn name(self) -> &'static str {
        match self {
            Family::Glycol => "a glycol fluid",
            Family::Silicone => "a silicone fluid",
            Family::MineralOil => "a mineral oil",
        }
    }

    /// The water of its old and of its new fluid where a scenario states none; `None`: as the tables say. Silicone
    /// and mineral oil dissolve no more than some 0.03 and 0.01 % (from memory). Old fluid is taken to hold, in every
    /// place alike, what makes silicone boil at its typical wet boiling point, and mineral oil about there too
    /// (estimates); new fluid none, since its dry boiling point is measured as it comes out of the can.
    pub fn default_water(self) -> Option<(&'static str, &'static str)> {
        match self {
            Family::Glycol => None,
            Family::Silicone => Some(("0.0025 % ± 0.0015 %", "0 %")),
            Family::MineralOil => Some(("0.001 % ± 0.0005 %", "0 %")),
        }
    }
}

/// A grade of fluid as a scenario may name it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GradeName {
    /// The word written after `grade =`.
    pub name: &'static str,
    /// Its family.
    pub family: Family,
}

/// What a scenario may name: handed to the reader by whoever knows the later rooms.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kinds {
    /// Kinds of parts.
    pub parts: &'static [KindSpec],
    /// Kinds of supplies.
    pub supplies: &'static [KindSpec],
    /// Grades of fluid.
    pub grades: &'static [GradeName],
}

impl Kinds {
    /// The part kind of this name.
    pub fn part(&self, name: &str) -> Option<&'static KindSpec> {
        self.parts.iter().find(|k| k.name == name)
    }

    /// The supply kind of this name.
    pub fn supply(&self, name: &str) -> Option<&'static KindSpec> {
        self.supplies.iter().find(|k| k.name == name)
    }

    /// The grade of this name.
    pub fn grade(&self, name: &str) -> Option<GradeName> {
        self.grades.iter().copied().find(|g| g.name == name)
    }
}
