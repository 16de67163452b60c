//! What stays behind, part by part.

use super::boiling::{self, judge};
use crate::job::record::{Left, PartLeft, TrappedLeft};
use crate::job::state::{Job, Setting};
use crate::keys::Role;
use crate::measures::to_ml;
use crate::transport::chamber::Stages;

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

/// Goes from part to part.
struct Round<'a> {
    setting: &'a Setting,
    parts: Vec<PartLeft>,
    all: Sum,
    trapped: Sum,
    held: Vec<f64>,
}

impl Round<'_> {
    /// Adds a part whose amounts stand in `held`; it has no places but its mean.
    fn add(&mut self, name: &str, kind: &'static str, volume_m3: f64, reached: bool) {
        let species = &self.setting.species;
        let (old, water) = (species.old(&self.held), self.held[species.water()]);
        self.all.add(volume_m3, old, water);
        if !reached {
            self.trapped.add(volume_m3, old, water);
        }
        let mean = judge(self.setting, &self.held, volume_m3);
        self.parts.push(PartLeft {
            part: name.to_owned(),
            kind,
            volume_ml: to_ml(volume_m3),
            old_fraction: mean.old_fraction,
            water_percent: mean.water_percent,
            boiling_c: mean.boiling_c,
            lowest_boiling_c: mean.boiling_c,
            pocket_boiling_c: None,
            reached,
        });
    }

    fn add_chamber(&mut self, name: &str, kind: &'static str, chamber: &Stages, reached: bool) {
        chamber.held(&mut self.held);
        self.add(name, kind, chamber.volume(), reached);
        if let Some(part) = self.parts.last_mut() {
            (part.lowest_boiling_c, part.pocket_boiling_c) =
                boiling::of_chamber(self.setting, chamber, part.boiling_c);
        }
    }
}

/// Old fluid, water and boiling point of every part with a volume, the reservoir first.
pub(crate) fn left(job: &Job) -> Left {
    let (c, system) = (&job.setting.circuit, &job.system);
    let (node_on, link_on) = &job.setting.reached;
    let mut round = Round {
        setting: &job.setting,
        parts: Vec::new(),
        all: Sum::default(),
        trapped: Sum::default(),
        held: vec![0.0; job.setting.species.len()],
    };
    system.reservoir.held(&mut round.held);
    round.add("reservoir", "reservoir", system.reservoir.volume(), true);
    round.parts[0].lowest_boiling_c =
        boiling::of_reservoir(&job.setting, &system.reservoir, round.parts[0].boiling_c);
    for (i, node) in c.nodes.iter().enumerate() {
        if let (Some(chamber), true) = (system.chamber(i), node.role == Role::MasterCylinder) {
            round.add_chamber(&node.name, node.kind, chamber, node_on[i]);
        }
    }
    for p in &job.setting.scenario.parts {
        let link = c.links.iter().position(|l| l.name == p.name);
        if let Some((i, tube)) = link.and_then(|i| Some((i, system.tube(i)?))) {
            tube.held(&mut round.held);
            round.add(&p.name, p.word(), tube.volume(), link_on[i]);
        }
        for (i, node) in c.nodes.iter().enumerate().filter(|(_, n)| n.part == p.name) {
            if let Some(chamber) = system.chamber(i) {
                round.add_chamber(&node.name, node.kind, chamber, node_on[i]);
            }
        }
    }
    let Round { parts, all, trapped, .. } = round;
    let boils_first = |reached: bool| {
        let some = parts.iter().filter(|p| p.reached == reached && p.holds_some());
        some.min_by(|a, b| a.lowest_boiling_c.total_cmp(&b.lowest_boiling_c))
    };
    let (lowest_boiling_c, lowest_boiling_part) = boils_first(true)
        .map_or((f64::INFINITY, String::new()), |p| (p.lowest_boiling_c, p.part.clone()));
    let trapped = boils_first(false).map(|p| TrappedLeft {
        volume_ml: to_ml(trapped.volume),
        old_fraction: trapped.old_fraction(),
        water_percent: trapped.water_percent(&job.setting),
        lowest_boiling_c: p.lowest_boiling_c,
        lowest_boiling_part: p.part.clone(),
    });
    Left {
        old_ml: to_ml(all.old),
        old_fraction: all.old_fraction(),
        water_percent: all.water_percent(&job.setting),
        lowest_boiling_c,
        lowest_boiling_part,
        parts,
        trapped,
    }
}

/// Old fluid and volume of the whole system, m³: the sums of [`left`] but for the order of adding up.
pub(crate) fn old_and_volume(job: &Job) -> (f64, f64) {
    let mut held = vec![0.0; job.setting.species.len()];
    job.system.held(&mut held);
    (job.setting.species.old(&held), job.system.volume())
}
