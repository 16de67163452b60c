//! What can be said of a scenario before anything is simulated.

use super::check::{CheckReport, DefaultLine, FluidLine, LeakTest, LineLine, PartLine, PathLine};
use super::error::JobError;
use super::mixing::{diffusion_number, overturn_time_s, wet_density_kg_m3};
use super::options::Options;
use super::pushing;
use super::record::{ScenarioName, Warning};
use super::state::{Setting, State};
use crate::circuit::{parts, paths};
use crate::fluid::blend::Fluid;
use crate::scenario::model::Scenario;
use crate::scenario::section::Section;
use crate::scenario::spec::{Default, Key};
use crate::scenario::tables;
use crate::supply::{self, Supply};

/// A transit counts as slow beside diffusion above this D t/R².
const SMALL_DIFFUSION: f64 = 0.01;

/// Surveys a scenario: volumes, paths, the gauge drop to expect, defaults in use, warnings.
///
/// # Errors
/// [`JobError`] if the scenario cannot be simulated.
pub fn check(scenario: &Scenario, options: &Options) -> Result<CheckReport, JobError> {
    let setting = Setting::new(scenario, options)?;
    let mut state = State::new(&setting)?;
    let before = state.gauge_kpa();
    state.settle(&setting);
    let leak_test = matches!(state.supply, Supply::PressureBleeder(_))
        .then(|| LeakTest { gauge_before_kpa: before, gauge_after_kpa: state.gauge_kpa() });
    let mut warnings = Vec::new();
    super::run::warn_of_pressure(&setting, &mut state);
    pushing::remark(&mut state);
    warnings.append(&mut state.warnings);
    let lines = lines(&setting, &state, &mut warnings)?;
    let mut paths: Vec<PathLine> =
        (0..setting.circuit.bleeders.len()).map(|b| path_line(&setting, b)).collect();
    paths.sort_by(|a, b| b.path_ml.total_cmp(&a.path_ml));
    for part in paths::unreached(&setting.circuit) {
        warnings.push(Warning {
            kind: "no bleeder reaches",
            text: format!("no bleeder reaches {part}: a flush leaves its fluid as it is"),
            stops_the_job: false,
        });
    }
    Ok(CheckReport {
        farwheel: env!("CARGO_PKG_VERSION"),
        scenario: ScenarioName { title: scenario.title.clone(), file: scenario.file.clone() },
        fluids: vec![
            fluid_line("old fluid", setting.blend.old_fluid(), &setting),
            fluid_line("new fluid", setting.blend.new_fluid(), &setting),
        ],
        parts: part_lines(&setting),
        capacity_ml: 1e6 * setting.circuit.capacity_m3(),
        paths,
        leak_test,
        lines,
        defaults: defaults(scenario),
        warnings,
    })
}

fn fluid_line(role: &'static str, fluid: &Fluid, setting: &Setting) -> FluidLine {
    let t = setting.blend.temperature_k();
    let old = if role == "old fluid" { 1.0 } else { 0.0 };
    FluidLine {
        role,
        grade: fluid.name.clone(),
        water_percent: fluid.water_percent,
        boiling_c: setting.blend.boiling_c(old, fluid.water_percent),
        viscosity_mm2_per_s: 1e6 * fluid.nu_m2_s(t),
        density_kg_per_m3: wet_density_kg_m3(fluid.density_kg_m3(t), 0.01 * fluid.water_percent),
    }
}

fn part_lines(setting: &Setting) -> Vec<PartLine> {
    let c = &setting.circuit;
    let mut parts = vec![PartLine {
        part: "reservoir".to_owned(),
        kind: "reservoir",
        volume_ml: 1e6 * c.reservoir.level_m3,
        from: Vec::new(),
    }];
    for n in c.nodes.iter().filter(|n| n.kind == "master cylinder") {
        parts.push(PartLine {
            part: n.name.clone(),
            kind: n.kind,
            volume_ml: 1e6 * n.chamber.map_or(0.0, |c| c.volume_m3),
            from: vec!["reservoir".to_owned()],
        });
    }
    for p in &setting.scenario.parts {
        let links = c.links.iter().filter(|l| l.name == p.name);
        let nodes = c.nodes.iter().filter(|n| n.part == p.name && n.chamber.is_some());
        let mut held: Vec<(String, f64)> = links
            .filter_map(|l| l.tube.map(|t| (l.name.clone(), t.volume_m3)))
            .chain(nodes.filter_map(|n| n.chamber.map(|c| (n.name.clone(), c.volume_m3))))
            .collect();
        if held.is_empty() {
            // A tee or a valve: listed, though it holds nothing that counts.
            held.push((p.name.clone(), 0.0));
        }
        parts.extend(held.into_iter().map(|(part, volume_m3)| PartLine {
            part,
            kind: p.kind,
            volume_ml: 1e6 * volume_m3,
            from: p.from.clone(),
        }));
    }
    parts
}

fn path_line(setting: &Setting, bleeder: usize) -> PathLine {
    let c = &setting.circuit;
    let b = &c.bleeders[bleeder];
    let mut parts = Vec::new();
    for (&link, node) in b.path.iter().zip(paths::path_nodes(c, bleeder)) {
        if c.links[link].tube.is_some() {
            parts.push(c.links[link].name.clone());
        }
        if c.nodes[node].chamber.is_some() {
            parts.push(c.nodes[node].name.clone());
        }
    }
    PathLine { bleeder: b.name.clone(), parts, path_ml: 1e6 * paths::path_volume_m3(c, bleeder) }
}

/// Time in which the density difference of old and new fluid would overturn a line's cross-section, s;
/// `None` if they are equally dense or the link is no tube.
pub(super) fn overturn_s(setting: &Setting, link: usize) -> Option<f64> {
    let tube = setting.circuit.links[link].tube?;
    let wet = |f: &Fluid| {
        let dry = f.density_kg_m3(setting.blend.temperature_k());
        wet_density_kg_m3(dry, 0.01 * f.water_percent)
    };
    let difference = (wet(setting.blend.old_fluid()) - wet(setting.blend.new_fluid())).abs();
    let mu = setting.blend.nu_m2_s(0.5) * setting.blend.density_kg_m3(0.5);
    (difference > 1e-3).then(|| overturn_time_s(tube.bore_m, difference, mu))
}

/// Transit, diffusion and overturning of each line, with the flow that the supply gives when the
/// first bleeder behind it is opened alone on old fluid.
fn lines(
    setting: &Setting,
    state: &State,
    warnings: &mut Vec<Warning>,
) -> Result<Vec<LineLine>, JobError> {
    let c = &setting.circuit;
    let mut flow = vec![0.0_f64; c.links.len()];
    for b in 0..c.bleeders.len() {
        let mut h = pushing::network(setting, state, &[b])?;
        let gauge = state.supply.push_pa();
        h.solve(c, &state.system, &setting.blend, &setting.species, gauge)?;
        for &link in &c.bleeders[b].path {
            if flow[link] == 0.0 {
                flow[link] = h.link_flow[link].abs();
            }
        }
    }
    let mut out = Vec::new();
    let (mut slow, mut turning) = (Vec::new(), Vec::new());
    for (i, l) in c.links.iter().enumerate() {
        let Some(tube) = l.tube else { continue };
        if flow[i] <= 0.0 {
            continue;
        }
        let transit_s = tube.volume_m3 / flow[i];
        let line = LineLine {
            part: l.name.clone(),
            transit_s,
            diffusion_number: diffusion_number(transit_s, tube.bore_m),
            overturn_s: overturn_s(setting, i),
        };
        if line.diffusion_number > SMALL_DIFFUSION {
            slow.push(line.part.clone());
        }
        if line.overturn_s.is_some_and(|t| t < 2.0 * transit_s) {
            turning.push(line.part.clone());
        }
        out.push(line);
    }
    if !slow.is_empty() {
        warnings.push(Warning {
            kind: "slow flow",
            text: format!(
                "fluid stays so long in {} that diffusion mixes it across the tube: the laminar answer is pessimistic there",
                slow.join(", ")
            ),
            stops_the_job: false,
        });
    }
    if !turning.is_empty() {
        warnings.push(Warning {
            kind: "old and new differ in density",
            text: format!(
                "in {} the density difference can overturn the cross-section within about a transit: plug and laminar flow do not bracket the answer there, take it as less sure",
                turning.join(", ")
            ),
            stops_the_job: false,
        });
    }
    Ok(out)
}

/// Defaults in use; parts of one kind that share one are told together.
fn defaults(scenario: &Scenario) -> Vec<DefaultLine> {
    let fixed = [
        (&scenario.vehicle, tables::VEHICLE.keys),
        (&scenario.old_fluid, tables::OLD_FLUID.keys),
        (&scenario.new_fluid, tables::NEW_FLUID.keys),
        (&scenario.reservoir, tables::RESERVOIR.keys),
        (&scenario.master_cylinder, tables::MASTER_CYLINDER.keys),
        (&scenario.clear_hose, tables::CLEAR_HOSE.keys),
        (&scenario.procedure.section, tables::PROCEDURE_KEYS),
    ];
    let supplies = scenario.supplies.iter().filter_map(|s| {
        supply::KINDS.iter().find(|k| k.name == s.kind).map(|k| (&s.section, k.keys))
    });
    let mut lines = Vec::new();
    for (section, keys) in fixed.into_iter().chain(supplies) {
        lines.extend(defaulted(section, keys).map(|(key, value)| DefaultLine {
            table: section.name.clone(),
            key,
            value: value.to_owned(),
        }));
    }
    for kind in parts::KINDS {
        let name = kind.spec.name;
        let of_kind: Vec<_> = scenario.parts.iter().filter(|p| p.kind == name).collect();
        for key in kind.spec.keys {
            let Default::Text(value) = key.default else { continue };
            let using: Vec<&str> = of_kind
                .iter()
                .filter(|p| p.section.defaulted.contains(&key.name))
                .map(|p| p.name.as_str())
                .collect();
            let table = match using.as_slice() {
                [] => continue,
                all if all.len() == of_kind.len() && all.len() > 1 => format!("every {name}"),
                some => some.join(", "),
            };
            lines.push(DefaultLine { table, key: key.name, value: value.to_owned() });
        }
    }
    lines
}

/// The keys of a table whose default is in use, and its text.
fn defaulted(
    section: &Section,
    keys: &'static [Key],
) -> impl Iterator<Item = (&'static str, &'static str)> {
    keys.iter().filter(|k| section.defaulted.contains(&k.name)).filter_map(|k| match k.default {
        Default::Text(value) => Some((k.name, value)),
        _ => None,
    })
}
