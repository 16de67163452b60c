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

/// The species a job carries: every tag's share of old fluid by volume, then, unless it need not be followed by itself,
/// water in g/mL.
#[derive(Debug, Clone, PartialEq)]
pub struct Species {
    /// The tags; a single one where origins are not asked for.
    pub tags: Vec<Tag>,
    /// What is known of water without following it.
    pub water: Water,
}

/// How water is followed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Water {
    /// As a species of its own.
    Carried,
    /// By the old fraction, since all old fluid holds as much, and so all mixtures of old and new do. Only with a single
    /// tag.
    Mixed {
        /// Water in new fluid, g/mL.
        new: f64,
        /// How much more old fluid holds, g/mL.
        more: f64,
    },
    /// Not at all: nobody asks for it. Only with a single tag.
    Unasked,
}

impl Species {
    /// Old fluid as a whole, with water or without.
    pub fn whole(water: Water) -> Self {
        Self { tags: vec![Tag { group: Group::Reservoir, outlet: None }], water }
    }

    /// Number of species, water included if it is one.
    pub fn len(&self) -> usize {
        self.tags.len() + usize::from(self.water == Water::Carried)
    }

    /// Whether there are none; there always are.
    pub fn is_empty(&self) -> bool {
        self.tags.is_empty()
    }

    /// The composition with the share `old` of one tag, and that much water (g/mL).
    pub fn composition(&self, tag: usize, old: f64, water_g_ml: f64) -> Vec<f64> {
        let mut row = vec![0.0; self.tags.len()];
        row[tag] = old;
        row.extend((self.water == Water::Carried).then_some(water_g_ml));
        row
    }

    /// Water (m³ · g/mL) in such amounts (m³ · composition) and such a volume, m³; not a number where nobody asks.
    pub fn water(&self, row: &[f64], volume: f64) -> f64 {
        match self.water {
            Water::Carried => row[self.tags.len()],
            Water::Mixed { new, more } => volume * new + more * self.old(row),
            Water::Unasked => f64::NAN,
        }
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
