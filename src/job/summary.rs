//! What stays behind, part by part.

use super::record::{Left, PartLeft};
use super::state::{Setting, State};

/// Old fluid, water and boiling point of every part with a volume, the reservoir first.
pub(super) fn left(setting: &Setting, state: &State) -> Left {
    let (c, s) = (&setting.circuit, &setting.species);
    let mut held = vec![0.0; s.len()];
    let mut parts = Vec::new();
    let mut sums = (0.0, 0.0, 0.0);
    let mut add = |name: &str, kind: &'static str, volume: f64, held: &[f64]| {
        let (old, water) = (s.old(held), held[s.water()]);
        sums = (sums.0 + volume, sums.1 + old, sums.2 + water);
        parts.push(part(setting, name, kind, volume, old, water));
    };
    state.system.reservoir.held(&mut held);
    add("reservoir", "reservoir", state.system.reservoir.volume(), &held);
    for (i, node) in c.nodes.iter().enumerate() {
        if let (Some(chamber), true) = (state.system.chamber(i), node.kind == "master cylinder") {
            chamber.held(&mut held);
            add(&node.name, node.kind, chamber.volume(), &held);
        }
    }
    for p in &setting.scenario.parts {
        let link = c.links.iter().position(|l| l.name == p.name);
        if let Some(tube) = link.and_then(|i| state.system.tube(i)) {
            tube.held(&mut held);
            add(&p.name, p.kind, tube.volume(), &held);
        }
        for (i, node) in c.nodes.iter().enumerate().filter(|(_, n)| n.part == p.name) {
            if let Some(chamber) = state.system.chamber(i) {
                chamber.held(&mut held);
                add(&node.name, node.kind, chamber.volume(), &held);
            }
        }
    }
    let (volume, old, water) = sums;
    let lowest = parts
        .iter()
        .min_by(|a, b| a.boiling_c.total_cmp(&b.boiling_c))
        .map_or((f64::INFINITY, String::new()), |p| (p.boiling_c, p.part.clone()));
    let old_fraction = old / volume;
    Left {
        old_ml: 1e6 * old,
        old_fraction,
        water_percent: setting.blend.water_percent(old_fraction, water / volume),
        lowest_boiling_c: lowest.0,
        lowest_boiling_part: lowest.1,
        parts,
    }
}

/// Old fluid and volume of the whole system, m³: the sums of [`left`] but for the order of adding up.
pub(super) fn old_and_volume(setting: &Setting, state: &State) -> (f64, f64) {
    let mut held = vec![0.0; setting.species.len()];
    state.system.held(&mut held);
    (setting.species.old(&held), state.system.volume())
}

fn part(
    setting: &Setting,
    name: &str,
    kind: &'static str,
    volume: f64,
    old: f64,
    water: f64,
) -> PartLeft {
    let per = if volume > 0.0 { volume.recip() } else { 0.0 };
    // Rounding may leave a part in 10¹⁶ below nothing.
    let old_fraction = (old * per).clamp(0.0, 1.0);
    let water_percent = setting.blend.water_percent(old_fraction, (water * per).max(0.0));
    PartLeft {
        part: name.to_owned(),
        kind,
        volume_ml: 1e6 * volume,
        old_fraction,
        water_percent,
        boiling_c: setting.blend.boiling_c(old_fraction, water_percent),
    }
}
