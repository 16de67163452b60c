//! The parts that hold fluid, and what each holds.

use super::setting::{Setting, Spot};
use crate::circuit::Circuit;
use crate::job::record::film::Held;
use crate::keys::Role;
use crate::measures::to_ml;
use crate::scenario::model::Tables;
use crate::transport::chamber::Stages;
use crate::transport::reservoir::Reservoir;
use crate::transport::system::System;
use crate::transport::tube::Piece;

/// What a part is to the system that holds it.
pub(crate) enum Holder<'a> {
    Reservoir(&'a Reservoir),
    Tube(Piece<'a>),
    Chamber(&'a Stages),
}

impl Holder<'_> {
    /// Writes the amounts held (m³ · composition) and gives their volume, m³.
    pub(crate) fn held(&self, sum: &mut [f64]) -> f64 {
        match self {
            Self::Reservoir(r) => {
                r.held(sum);
                r.volume()
            }
            Self::Tube(t) => {
                t.held(sum);
                t.volume()
            }
            Self::Chamber(c) => {
                c.held(sum);
                c.volume()
            }
        }
    }

    /// The same, a line or hose by book-keeping over what entered and left it.
    pub(crate) fn tallied(&self, sum: &mut [f64]) -> f64 {
        match self {
            Self::Tube(t) => {
                sum.copy_from_slice(t.tally());
                t.volume()
            }
            _ => self.held(sum),
        }
    }
}

/// A part with a volume.
pub(crate) struct Part<'a> {
    pub name: &'a str,
    pub kind: &'static str,
    pub reached: bool,
    pub holder: Holder<'a>,
}

/// A part with a volume, and where it is found; `None`: it is the reservoir.
#[derive(Debug, Clone)]
pub(crate) struct Found {
    name: String,
    kind: &'static str,
    reached: bool,
    spot: Option<Spot>,
}

/// Every part with a volume, the reservoir first, then along the circuit; of nodes and links it is known which are reached.
pub(super) fn find(c: &Circuit, tables: &Tables, reached: &(Vec<bool>, Vec<bool>)) -> Vec<Found> {
    let (node_on, link_on) = reached;
    let reservoir = "reservoir";
    let mut found =
        vec![Found { name: reservoir.to_owned(), kind: reservoir, reached: true, spot: None }];
    let nodes = || c.nodes.iter().enumerate().filter(|(_, n)| n.chamber.is_some());
    let chamber = |i: usize| {
        let node = &c.nodes[i];
        let (name, spot) = (node.name.clone(), Some(Spot::Node(i)));
        Found { name, kind: node.kind, reached: node_on[i], spot }
    };
    let masters = nodes().filter(|(_, n)| n.role == Role::MasterCylinder);
    found.extend(masters.map(|(i, _)| chamber(i)));
    for p in &tables.parts {
        let link = c.links.iter().position(|l| l.name == p.name);
        found.extend(link.filter(|i| c.links[*i].tube.is_some()).map(|i| {
            let (name, spot) = (p.name.clone(), Some(Spot::Link(i)));
            Found { name, kind: p.word(), reached: link_on[i], spot }
        }));
        let own = nodes().filter(|(_, n)| n.part == p.name);
        found.extend(own.map(|(i, _)| chamber(i)));
    }
    found
}

/// The same parts as the system holds them, at any time of a job.
pub(crate) fn parts<'a>(
    setting: &'a Setting,
    system: &'a System,
) -> impl Iterator<Item = Part<'a>> {
    setting.parts.iter().filter_map(|Found { name, kind, reached, spot }| {
        let holder = match *spot {
            None => Holder::Reservoir(&system.reservoir),
            Some(Spot::Link(i)) => Holder::Tube(system.tube(i)?),
            Some(Spot::Node(i)) => Holder::Chamber(system.chamber(i)?),
        };
        Some(Part { name, kind, reached: *reached, holder })
    })
}

/// What each part of [`Left`](crate::job::record::Left) holds now, in the same order.
pub(crate) fn held(setting: &Setting, system: &System) -> Vec<Held> {
    let mut held = vec![0.0; setting.species.len()];
    let of = |p: Part<'_>| {
        let volume = p.holder.held(&mut held);
        Held { volume_ml: to_ml(volume), old_ml: to_ml(setting.species.old(&held)) }
    };
    parts(setting, system).map(of).collect()
}
