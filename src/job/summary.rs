//! What stays behind, part by part.

use super::boiling::{self, judge};
use super::film::Held;
use super::record::{Left, PartLeft, TrappedLeft};
use super::state::{Setting, State};
use crate::circuit::Node;
use crate::keys::Role;
use crate::measures::to_ml;
use crate::transport::chamber::Stages;
use crate::transport::reservoir::Reservoir;
use crate::transport::tube::Piece;

/// Amounts of several parts together, m³ (water: m³ · g/mL).
#[derive(Default)]
struct Sum {
    volume: f64,
    old: f64,
    water: f64,
}

impl Sum {
    fn add(&mut self, volume: f64, old: f64, water: f64) {
        self.volume += volume;
        self.old += old;
        self.water += water;
    }

    fn old_fraction(&self) -> f64 {
        self.old / self.volume
    }

    fn water_percent(&self, setting: &Setting) -> f64 {
        setting.blend.water_percent(self.old_fraction(), self.water / self.volume)
    }
}

/// What a part is to the system that holds it.
enum Holder<'a> {
    Reservoir(&'a Reservoir),
    Tube(Piece<'a>),
    Chamber(&'a Stages),
}

impl Holder<'_> {
    /// Writes the amounts held (m³ · composition) and gives their volume, m³.
    fn held(&self, sum: &mut [f64]) -> f64 {
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
struct Part<'a> {
    name: &'a str,
    kind: &'static str,
    reached: bool,
    holder: Holder<'a>,
}

/// Every part with a volume, the reservoir first, then along the circuit: the same ones at any time of a job.
fn parts<'a>(setting: &'a Setting, state: &'a State) -> Vec<Part<'a>> {
    let (c, system) = (&setting.circuit, &state.system);
    let (node_on, link_on) = &setting.reached;
    let mut parts = vec![Part {
        name: "reservoir",
        kind: "reservoir",
        reached: true,
        holder: Holder::Reservoir(&system.reservoir),
    }];
    let chamber = |i: usize, node: &'a Node| {
        let holder = Holder::Chamber(system.chamber(i)?);
        Some(Part { name: &node.name, kind: node.kind, reached: node_on[i], holder })
    };
    let nodes = || c.nodes.iter().enumerate();
    let masters = nodes().filter(|(_, n)| n.role == Role::MasterCylinder);
    parts.extend(masters.filter_map(|(i, n)| chamber(i, n)));
    for p in &setting.scenario.parts {
        let link = c.links.iter().position(|l| l.name == p.name);
        parts.extend(link.and_then(|i| {
            let holder = Holder::Tube(system.tube(i)?);
            Some(Part { name: &p.name, kind: p.word(), reached: link_on[i], holder })
        }));
        let own = nodes().filter(|(_, n)| n.part == p.name);
        parts.extend(own.filter_map(|(i, n)| chamber(i, n)));
    }
    parts
}

/// What each part of [`left`] holds now, in the same order.
pub(super) fn held(setting: &Setting, state: &State) -> Vec<Held> {
    let mut held = vec![0.0; setting.species.len()];
    let parts = parts(setting, state);
    let of = |p: &Part<'_>| {
        let volume = p.holder.held(&mut held);
        Held { volume_ml: to_ml(volume), old_ml: to_ml(setting.species.old(&held)) }
    };
    parts.iter().map(of).collect()
}

/// Old fluid, water and boiling point of every part with a volume, the reservoir first.
pub(super) fn left(setting: &Setting, state: &State) -> Left {
    let species = &setting.species;
    let (mut all, mut trapped) = (Sum::default(), Sum::default());
    let mut held = vec![0.0; species.len()];
    let mut told = |p: &Part<'_>| {
        let volume = p.holder.held(&mut held);
        let (old, water) = (species.old(&held), held[species.water()]);
        all.add(volume, old, water);
        if !p.reached {
            trapped.add(volume, old, water);
        }
        let mean = judge(setting, &held, volume);
        let (lowest_boiling_c, pocket_boiling_c) = match &p.holder {
            Holder::Reservoir(r) => (boiling::of_reservoir(setting, r, mean.boiling_c), None),
            Holder::Tube(_) => (mean.boiling_c, None),
            Holder::Chamber(c) => boiling::of_chamber(setting, c, mean.boiling_c),
        };
        PartLeft {
            part: p.name.to_owned(),
            kind: p.kind,
            volume_ml: to_ml(volume),
            old_fraction: mean.old_fraction,
            water_percent: mean.water_percent,
            boiling_c: mean.boiling_c,
            lowest_boiling_c,
            pocket_boiling_c,
            reached: p.reached,
        }
    };
    let parts: Vec<PartLeft> = parts(setting, state).iter().map(&mut told).collect();
    let boils_first = |reached: bool| {
        let some = parts.iter().filter(|p| p.reached == reached && p.holds_some());
        some.min_by(|a, b| a.lowest_boiling_c.total_cmp(&b.lowest_boiling_c))
    };
    let (lowest_boiling_c, lowest_boiling_part) = boils_first(true)
        .map_or((f64::INFINITY, String::new()), |p| (p.lowest_boiling_c, p.part.clone()));
    let trapped = boils_first(false).map(|p| TrappedLeft {
        volume_ml: to_ml(trapped.volume),
        old_fraction: trapped.old_fraction(),
        water_percent: trapped.water_percent(setting),
        lowest_boiling_c: p.lowest_boiling_c,
        lowest_boiling_part: p.part.clone(),
    });
    Left {
        old_ml: to_ml(all.old),
        old_fraction: all.old_fraction(),
        water_percent: all.water_percent(setting),
        lowest_boiling_c,
        lowest_boiling_part,
        parts,
        trapped,
    }
}

/// Old fluid and volume of the whole system, m³: the sums of [`left`] but for the order of adding up.
pub(super) fn old_and_volume(setting: &Setting, state: &State) -> (f64, f64) {
    let mut held = vec![0.0; setting.species.len()];
    state.system.held(&mut held);
    (setting.species.old(&held), state.system.volume())
}
