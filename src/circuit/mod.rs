//! Parts and how they join. A circuit is built only from a checked scenario.

mod build;
pub mod modulator;
pub mod paths;
pub mod place;
pub mod reach;
mod reading;
mod scenario;
pub mod species;

use crate::keys::Role;
use crate::parts::Tube;
use crate::parts::chamber::Chamber;
use crate::parts::passage::Passage;
use crate::supply::topping::Topping;
use modulator::Modulator;
use species::{Group, Tag};

pub use build::BuildError;
pub use reading::{read, read_bytes, read_bytes_with, read_file, read_with};
pub use scenario::Scenario;

/// Index of the reservoir among the nodes.
pub const RESERVOIR: usize = 0;

/// What is in a part when the job begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Filling {
    /// Old fraction, 0 to 1.
    pub old_fraction: f64,
    /// Water, share of the mass, 0 to 1.
    pub water_share: f64,
}

/// A place where paths meet: the reservoir, a chamber, a tee, a joint.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// Name, that of the part or (for a plain joint) of the line that ends there.
    pub name: String,
    /// Name of the part it belongs to.
    pub part: String,
    /// Kind of the part, `joint` for a plain joint.
    pub kind: &'static str,
    /// What it is to the brake system.
    pub role: Role,
    /// Its volume, if it has one.
    pub chamber: Option<Chamber>,
    /// What is in it at first.
    pub filling: Filling,
    /// Group and circuit it belongs to.
    pub tag: Tag,
}

/// Something fluid runs through, from node to node.
#[derive(Debug, Clone, PartialEq)]
pub struct Link {
    /// Name of the part.
    pub name: String,
    /// Kind of the part.
    pub kind: &'static str,
    /// Node it starts from.
    pub from: usize,
    /// Node it ends in.
    pub to: usize,
    /// How it resists.
    pub passage: Passage,
    /// Its inside, if its volume counts.
    pub tube: Option<Tube>,
    /// What is in it at first.
    pub filling: Filling,
    /// Group and circuit it belongs to.
    pub tag: Tag,
    /// Outlet of the reservoir, for a link that starts there.
    pub outlet: Option<usize>,
    /// True for a valve that is shut at rest.
    pub shut: bool,
    /// For a line or hose that runs on from another: the degree to which the joint mixes the cross-section.
    pub joint: Option<f64>,
}

impl Link {
    /// Bore and length of a line or hose, m.
    pub fn bore_and_length_m(&self) -> Option<(f64, f64)> {
        match (self.passage, self.tube) {
            (Passage::Tube { bore_m, length_m, .. }, Some(_)) => Some((bore_m, length_m)),
            _ => None,
        }
    }
}

/// A bleeder.
#[derive(Debug, Clone, PartialEq)]
pub struct Bleeder {
    /// Name.
    pub name: String,
    /// Node it sits on.
    pub node: usize,
    /// How it resists when open, with the clear hose on it.
    pub passage: Passage,
    /// Height above the ground, m.
    pub height_m: f64,
    /// Height above the ground at which fluid comes out of the clear hose, m.
    pub outlet_m: f64,
    /// Links of its path, from the reservoir on (the path of least volume where there are several).
    pub path: Vec<usize>,
}

/// The reservoir: a common space above, one compartment an outlet below the dividing wall.
#[derive(Debug, Clone, PartialEq)]
pub struct Reservoir {
    /// Names of the outlets.
    pub outlets: Vec<String>,
    /// Volume of each compartment below the wall, m³.
    pub compartment_m3: f64,
    /// Fluid in all of it at first, m³.
    pub level_m3: f64,
    /// Volume at the MIN mark, m³.
    pub min_m3: f64,
    /// Volume at the MAX mark, m³.
    pub max_m3: f64,
    /// Volume when brim-full, m³.
    pub brim_m3: f64,
    /// Height of the level above the ground, m.
    pub height_m: f64,
    /// How its common space mixes.
    pub common: CommonSpace,
}

/// How the common space of a reservoir mixes; all of it grows and shrinks with the level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CommonSpace {
    /// Number of equal well-mixed stages from the inlet to the outlets, at least 1.
    pub stages: usize,
    /// Share of the volume that lies in pockets, 0 to below 1.
    pub pocket_share: f64,
    /// Fluid that pocket and stage trade, per volume that flows through.
    pub pocket_exchange: f64,
    /// Time in which a pocket would trade its own volume besides, s; infinite if it does not.
    pub pocket_time_s: f64,
    /// Share of what comes in that goes straight to the outlets.
    pub bypass_share: f64,
}

impl CommonSpace {
    /// One fully mixed body.
    pub const MIXED: Self = Self {
        stages: 1,
        pocket_share: 0.0,
        pocket_exchange: 0.0,
        pocket_time_s: f64::INFINITY,
        bypass_share: 0.0,
    };
}

/// The circuit of one vehicle. Node 0 is the reservoir.
#[derive(Debug, Clone, PartialEq)]
pub struct Circuit {
    /// The reservoir.
    pub reservoir: Reservoir,
    /// Places where paths meet.
    pub nodes: Vec<Node>,
    /// What fluid runs through.
    pub links: Vec<Link>,
    /// The bleeders, in file order.
    pub bleeders: Vec<Bleeder>,
    /// The hydraulic modulators, in file order.
    pub modulators: Vec<Modulator>,
}

impl Reservoir {
    /// Fluid in it at which it is topped up by hand and that after it, m³; `None` if it never is.
    pub fn refill(&self, topping: &Topping) -> Option<(f64, f64)> {
        topping.refill(self.min_m3, self.max_m3)
    }
}

impl Circuit {
    /// Volume of everything but the reservoir, m³.
    pub fn circuit_volume_m3(&self) -> f64 {
        let nodes: f64 = self.nodes.iter().filter_map(|n| n.chamber).map(|c| c.volume_m3).sum();
        let links: f64 = self.links.iter().filter_map(|l| l.tube).map(|t| t.volume_m3).sum();
        nodes + links
    }

    /// Fluid in the whole system at first, m³.
    pub fn capacity_m3(&self) -> f64 {
        self.circuit_volume_m3() + self.reservoir.level_m3
    }

    /// Degree to which the joint of two links mixes the cross-section, if one is a line or hose that runs on from
    /// the other.
    pub fn joint_of(&self, a: usize, b: usize) -> Option<f64> {
        let [a, b] = [&self.links[a], &self.links[b]];
        if a.to == b.from {
            b.joint
        } else if b.to == a.from {
            a.joint
        } else {
            None
        }
    }

    /// Index of the bleeder of this name.
    pub fn bleeder(&self, name: &str) -> Option<usize> {
        self.bleeders.iter().position(|b| b.name == name)
    }

    /// All tags in use, the reservoir's first.
    pub fn tags(&self) -> Vec<Tag> {
        let mut tags = vec![Tag { group: Group::Reservoir, outlet: None }];
        let nodes = self.nodes.iter().filter(|n| n.chamber.is_some()).map(|n| n.tag);
        let links = self.links.iter().filter(|l| l.tube.is_some()).map(|l| l.tag);
        for tag in nodes.chain(links) {
            if !tags.contains(&tag) {
                tags.push(tag);
            }
        }
        tags
    }
}
