//! The parts that hold fluid, and what each holds.

use super::setting::Setting;
use crate::circuit::place::Serves;
use crate::circuit::{Node, RESERVOIR};
use crate::job::record::film::Held;
use crate::keys::Role;
use crate::measures::to_ml;
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

/// Every part with a volume, the reservoir first, then along the circuit: the same ones at any time of a job.
pub(crate) fn parts<'a>(setting: &'a Setting, system: &'a System) -> Vec<Part<'a>> {
    let c = &setting.circuit;
    let (node_on, link_on) = &setting.reached;
    let (node_to, link_to) = &*setting.serves;
    let mut parts = vec![Part {
        name: "reservoir",
        kind: "reservoir",
        reached: true,
        role: Role::Reservoir,
        serves: &node_to[RESERVOIR],
        holder: Holder::Reservoir(&system.reservoir),
    }];
    let chamber = |i: usize, node: &'a Node| {
        let holder = Holder::Chamber(system.chamber(i)?);
        let (reached, serves) = (node_on[i], &node_to[i]);
        Some(Part { name: &node.name, kind: node.kind, reached, role: node.role, serves, holder })
    };
    let nodes = || c.nodes.iter().enumerate();
    let masters = nodes().filter(|(_, n)| n.role == Role::MasterCylinder);
    parts.extend(masters.filter_map(|(i, n)| chamber(i, n)));
    for p in &setting.scenario.parts {
        let link = c.links.iter().position(|l| l.name == p.name);
        parts.extend(link.and_then(|i| {
            let holder = Holder::Tube(system.tube(i)?);
            let (role, reached, serves) = (p.role(), link_on[i], &link_to[i]);
            Some(Part { name: &p.name, kind: p.word(), reached, role, serves, holder })
        }));
        let own = nodes().filter(|(_, n)| n.part == p.name);
        parts.extend(own.filter_map(|(i, n)| chamber(i, n)));
    }
    parts
}

/// What each part of [`Left`](crate::job::record::Left) holds now, in the same order.
pub(crate) fn held(setting: &Setting, system: &System) -> Vec<Held> {
    let mut held = vec![0.0; setting.species.len()];
    let parts = parts(setting, system);
    let of = |p: &Part<'_>| {
        let volume = p.holder.held(&mut held);
        Held { volume_ml: to_ml(volume), old_ml: to_ml(setting.species.old(&held)) }
    };
    parts.iter().map(of).collect()
}
