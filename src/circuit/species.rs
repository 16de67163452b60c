//! What the fluid is made of: one share a tag of old fluid, and water.

use crate::keys::Role;

/// A part group whose old fluid is told apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Group {
    /// The reservoir.
    Reservoir,
    /// A master-cylinder chamber.
    MasterCylinder,
    /// A hydraulic modulator.
    Modulator,
    /// A line, hose or plain chamber that serves several wheel brakes.
    SharedLine,
    /// A line or hose that serves one wheel brake, whatever number of bleeders it has.
    OwnLine,
    /// A caliper, a wheel cylinder or a clutch's slave cylinder.
    WheelBrake,
}

/// Name of old fluid that lay in a circuit other than the open bleeder's.
pub const ANOTHER_CIRCUIT: &str = "another circuit";
/// Name of fluid that was not in the system when the job began.
pub const NEW_FLUID: &str = "new fluid";

impl Group {
    /// The group of a part of this role, before it is known how many brakes a line serves.
    pub fn of(role: Role) -> Self {
        match role {
            Role::Reservoir => Group::Reservoir,
            Role::MasterCylinder | Role::ClutchMaster => Group::MasterCylinder,
            Role::Modulator => Group::Modulator,
            Role::Caliper | Role::HalvedCaliper | Role::WheelCylinder | Role::ClutchSlave => {
                Group::WheelBrake
            }
            Role::Line | Role::Hose | Role::Valve | Role::Tee | Role::Joint => Group::SharedLine,
        }
    }

    /// The group's name in reports.
    pub fn name(self) -> &'static str {
        match self {
            Group::Reservoir => "reservoir",
            Group::MasterCylinder => "master cylinder",
            Group::Modulator => "hydraulic modulator",
            Group::SharedLine => "shared line",
            Group::OwnLine => "own line",
            Group::WheelBrake => "caliper",
        }
    }
}

/// One tag: a group in one circuit (an outlet of the reservoir; `None` for the reservoir itself).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tag {
    /// The group.
    pub group: Group,
    /// Index of the reservoir outlet whose circuit it lies in.
    pub outlet: Option<usize>,
}

/// The species a job carries: every tag's share of old fluid by volume, then water in g/mL.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Species {
    /// The tags; a single one where origins are not asked for.
    pub tags: Vec<Tag>,
}

impl Species {
    /// Number of species, water included.
    pub fn len(&self) -> usize {
        self.tags.len() + 1
    }

    /// Never true: water is always carried.
    pub fn is_empty(&self) -> bool {
        false
    }

    /// Index of water in a composition.
    pub fn water(&self) -> usize {
        self.tags.len()
    }

    /// Index of a tag in a composition; 0 where a single tag stands for all.
    pub fn index(&self, tag: Tag) -> usize {
        self.tags.iter().position(|t| *t == tag).unwrap_or(0)
    }

    /// Old fraction (or, of amounts, old volume): the sum over all tags.
    pub fn old(&self, row: &[f64]) -> f64 {
        row[..self.tags.len()].iter().sum()
    }
}
