//! The parts that hold fluid, and what each holds.

use super::path::{Fluid, Spot};
use crate::circuit::place::{Place, Serves, serves};
use crate::circuit::{Circuit, RESERVOIR, reach};
use crate::job::record::film::Held;
use crate::job::record::joined::{Between, Joined, Meeting};
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
    pub role: Role,
    pub serves: &'a Serves,
    pub holder: Holder<'a>,
}

/// A part with a volume, and where it is found; `None`: it is the reservoir.
#[derive(Debug, Clone)]
pub(crate) struct Found {
    name: String,
    kind: &'static str,
    reached: bool,
    role: Role,
    serves: Serves,
    spot: Option<Spot>,
}

/// Every part with a volume, the reservoir first, then along the circuit.
pub(super) fn find(c: &Circuit, tables: &Tables) -> Vec<Found> {
    let (node_on, link_on) = reach::reached(c);
    let (node_to, link_to) = serves(c);
    let reservoir = "reservoir";
    let mut found = vec![Found {
        name: reservoir.to_owned(),
        kind: reservoir,
        reached: true,
        role: Role::Reservoir,
        serves: node_to[RESERVOIR].clone(),
        spot: None,
    }];
    let nodes = || c.nodes.iter().enumerate().filter(|(_, n)| n.chamber.is_some());
    let chamber = |i: usize| Found {
        name: c.nodes[i].name.clone(),
        kind: c.nodes[i].kind,
        reached: node_on[i],
        role: c.nodes[i].role,
        serves: node_to[i].clone(),
        spot: Some(Spot::Node(i)),
    };
    let masters = nodes().filter(|(_, n)| n.role == Role::MasterCylinder);
    found.extend(masters.map(|(i, _)| chamber(i)));
    for p in &tables.parts {
        let link = c.links.iter().position(|l| l.name == p.name);
        found.extend(link.filter(|i| c.links[*i].tube.is_some()).map(|i| Found {
            name: p.name.clone(),
            kind: p.word(),
            reached: link_on[i],
            role: p.role(),
            serves: link_to[i].clone(),
            spot: Some(Spot::Link(i)),
        }));
        let own = nodes().filter(|(_, n)| n.part == p.name);
        found.extend(own.map(|(i, _)| chamber(i)));
    }
    found
}

/// How they join.
pub(super) fn joined(c: &Circuit, found: &[Found]) -> Joined {
    let at = |spot: Option<Spot>| found.iter().position(|f| f.spot == spot);
    let (serves, _) = serves(c);
    let nodes = c.nodes.iter().zip(&serves).enumerate().map(|(i, (n, serves))| {
        let own = Place::of_name(&n.part);
        Meeting {
            part: at(if i == RESERVOIR { None } else { Some(Spot::Node(i)) }),
            of: n.part.clone(),
            role: n.role,
            place: if *serves == Serves::default() { own } else { serves.place },
        }
    });
    let links = c.links.iter().enumerate().map(|(i, l)| Between {
        part: at(Some(Spot::Link(i))),
        from: l.from,
        to: l.to,
    });
    let bleeders = c.bleeders.iter().map(|b| (b.name.clone(), b.node));
    Joined {
        nodes: nodes.collect(),
        links: links.collect(),
        brim_ml: to_ml(c.reservoir.brim_m3),
        bleeders: bleeders.collect(),
    }
}

/// The same parts as the system holds them, at any time of a job.
pub(crate) fn parts<'a>(found: &'a [Found], system: &'a System) -> impl Iterator<Item = Part<'a>> {
    found.iter().filter_map(|Found { name, kind, reached, role, serves, spot }| {
        let holder = match *spot {
            None => Holder::Reservoir(&system.reservoir),
            Some(Spot::Link(i)) => Holder::Tube(system.tube(i)?),
            Some(Spot::Node(i)) => Holder::Chamber(system.chamber(i)?),
        };
        Some(Part { name, kind, reached: *reached, role: *role, serves, holder })
    })
}

/// What each part of [`Left`](crate::job::record::Left) holds now, in the same order.
pub(crate) fn held(found: &[Found], (system, species): Fluid<'_>) -> Vec<Held> {
    let mut held = vec![0.0; species.len()];
    let of = |p: Part<'_>| {
        let volume = p.holder.held(&mut held);
        Held { volume_ml: to_ml(volume), old_ml: to_ml(species.old(&held)) }
    };
    parts(found, system).map(of).collect()
}
