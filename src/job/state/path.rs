//! The parts along the path to one bleeder, and how much old fluid is left in them.

use crate::circuit::species::{Group, Species};
use crate::circuit::{Circuit, paths};
use crate::transport::system::System;

/// Where a part lies in the circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Spot {
    Link(usize),
    Node(usize),
}

/// The parts with a volume along a path, in flow order, and its reservoir outlet.
#[derive(Debug, Clone)]
pub(crate) struct Path {
    /// Lines that run on into one another without any remixing between them are one part.
    parts: Vec<Vec<Spot>>,
    outlet: usize,
    /// Volume that `steps_per_path` steps drain: all of the path, but no more than [`OWN_TIMES`]
    /// what this bleeder alone draws from. Behind a large shared line that other bleeders have
    /// cleaned, only the small own parts still change what is seen. Out of plug flow fronts come that nothing has smeared: half.
    pub pace_m3: f64,
}

/// Fluid where it lies, and what it is made of.
pub(crate) type Fluid<'s> = (&'s System, &'s Species);

/// See [`Path::pace_m3`].
const OWN_TIMES: f64 = 4.0;
/// See [`Path::pace_m3`].
const BEHIND_PLUG: f64 = 0.5;
/// A part counts as dirty in full if it holds this multiple of the threshold (an estimate): what is only a
/// little dirtier mixes on its way with what is cleaner and can hardly lift what is seen far above it.
const DIRTY_ENOUGH: f64 = 2.0;

impl Path {
    pub(crate) fn new(c: &Circuit, bleeder: usize) -> Self {
        let links = &c.bleeders[bleeder].path;
        let mut parts: Vec<Vec<Spot>> = Vec::new();
        for (&link, node) in links.iter().zip(paths::path_nodes(c, bleeder)) {
            if c.links[link].tube.is_some() {
                let last = parts.last_mut().filter(|part| {
                    matches!(part.last(), Some(Spot::Link(l)) if c.joint_of(*l, link) == Some(0.0))
                });
                match last {
                    Some(part) => part.push(Spot::Link(link)),
                    None => parts.push(vec![Spot::Link(link)]),
                }
            }
            if c.nodes[node].chamber.is_some() {
                parts.push(vec![Spot::Node(node)]);
            }
        }
        let own: f64 = parts
            .iter()
            .flatten()
            .filter_map(|spot| match *spot {
                Spot::Link(i) if c.links[i].tag.group == Group::OwnLine => {
                    c.links[i].tube.map(|t| t.volume_m3)
                }
                Spot::Node(i) if c.nodes[i].tag.group == Group::WheelBrake => {
                    c.nodes[i].chamber.map(|c| c.volume_m3)
                }
                _ => None,
            })
            .sum();
        let volume_m3 = paths::path_volume_m3(c, bleeder);
        let pace_m3 = if own > 0.0 { volume_m3.min(OWN_TIMES * own) } else { volume_m3 };
        let plug = links.iter().any(|&l| c.links[l].tube.is_some_and(|t| t.plug));
        Self {
            pace_m3: if plug { BEHIND_PLUG * pace_m3 } else { pace_m3 },
            outlet: links.first().and_then(|&l| c.links[l].outlet).unwrap_or(0),
            parts,
        }
    }

    /// Volume and old volume of one part.
    fn part((system, species): Fluid<'_>, spot: Spot) -> (f64, f64) {
        match spot {
            Spot::Link(i) => {
                system.tube(i).map_or((0.0, 0.0), |t| (t.volume(), species.old(t.tally())))
            }
            Spot::Node(i) => system
                .chamber(i)
                .map_or((0.0, 0.0), |c| (c.volume(), c.held_of(|row| species.old(row)))),
        }
    }

    /// Old fraction from the reservoir's outlet to the bleeder.
    pub(crate) fn old_fraction(&self, fluid: Fluid<'_>) -> f64 {
        let parts = self.parts.iter().flatten().map(|&p| Self::part(fluid, p));
        // The chamber of the master cylinder holds less while the pedal is down.
        let (volume, old) = parts.fold((0.0, 0.0), |sum, part| (sum.0 + part.0, sum.1 + part.1));
        old / volume
    }

    /// What must run out clean before the path can be taken to be: of each part (the reservoir's share included) that
    /// is dirtier than the threshold, what lies between it and the bleeder, or the less of that the less
    /// dirty it is.
    pub(crate) fn to_run_out(&self, fluid: Fluid<'_>, threshold: f64) -> f64 {
        let share = |volume: f64, old: f64| {
            ((old / (threshold * volume) - 1.0) / (DIRTY_ENOUGH - 1.0)).clamp(0.0, 1.0)
        };
        let (mut most, mut behind) = (0.0_f64, 0.0);
        for part in self.parts.iter().rev() {
            let each = part.iter().map(|&spot| Self::part(fluid, spot));
            let (volume, old) = each.fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
            most = most.max(share(volume, old) * behind);
            behind += volume;
        }
        let reservoir = &fluid.0.reservoir;
        let old = reservoir.held_over(self.outlet, |row| fluid.1.old(row));
        most.max(share(reservoir.over_outlet_m3(self.outlet), old) * behind)
    }
}
