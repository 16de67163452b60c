//! What can be said of a scenario before anything is simulated.

use super::slow::NO_FLOW;
use super::{cautions, likely_mistakes, pumps, valves};
use crate::circuit::{paths, reach};
use crate::fluid::blend::Fluid;
use crate::job::error::JobError;
use crate::job::record::check::{
    CheckReport, DefaultLine, FluidLine, LeakTest, LineLine, PartLine, PathLine, VehicleLine,
};
use crate::job::record::{ScenarioName, Warning, WarningKind, at_line, which};
use crate::job::state::{DIFFUSION_M2_S, Job, Setting, overturn_s, wet_density_kg_m3};
use crate::keys::table::keys_in;
use crate::keys::{Form, Key, LeftOut, Role, bounds};
use crate::measures::{to_ml, to_mm2_s};
use crate::parts;
use crate::scenario::model::Tables;
use crate::scenario::quantities::At;
use crate::sorting;
use crate::transport::lanes::{SMALL_DIFFUSION, diffusion_number};
use std::sync::Arc;

/// Surveys a setting: volumes, paths, the gauge drop to expect, defaults in use, warnings.
///
/// # Errors
/// [`JobError`] if the scenario cannot be simulated.
pub(crate) fn check(setting: Setting) -> Result<CheckReport, JobError> {
    let setting = Arc::new(setting);
    let scenario = &setting.scenario;
    let mut job = Job::new(Arc::clone(&setting))?;
    // As pumped, before the feed valve takes a little off.
    cautions::warn_of_pressure(&mut job);
    let before = job.gauge_kpa();
    job.settle();
    let leak_test = (job.supply.feed_hose().is_some())
        .then(|| LeakTest { gauge_before_kpa: before, gauge_after_kpa: job.gauge_kpa() });
    let mut warnings = Vec::new();
    valves::warn_of_states(&mut job);
    cautions::remark(&mut job);
    warnings.append(&mut job.warnings);
    warnings.extend(cautions::never_opened(&setting));
    warnings.extend(likely_mistakes::warnings(scenario, &setting.circuit));
    warnings.extend(cautions::warnings(&setting, job.supply.as_ref()));
    warnings.extend(below_min(&setting));
    warnings.extend(cautions::foreseen(&job)?);
    warnings.extend(pumps::foreseen(&job));
    let (lines, stuck) = lines(&job)?;
    warnings.extend(stuck.into_iter().map(|b| valves::no_flow(&job, b)));
    warnings.extend(less_sure(&lines));
    let mut paths: Vec<PathLine> =
        (0..setting.circuit.bleeders.len()).map(|b| path_line(&setting, b)).collect();
    sorting::by(&mut paths, |a, b| b.path_ml.total_cmp(&a.path_ml));
    warnings.extend(no_bleeder_reaches(&setting));
    Ok(CheckReport {
        farwheel: env!("CARGO_PKG_VERSION"),
        scenario: ScenarioName::of(scenario),
        fluids: vec![
            fluid_line("old fluid", setting.blend.old_fluid(), &setting),
            fluid_line("new fluid", setting.blend.new_fluid(), &setting),
        ],
        parts: part_lines(&setting),
        capacity_ml: to_ml(setting.circuit.capacity_m3()),
        paths,
        leak_test,
        lines,
        defaults: defaults(scenario),
        warnings,
        vehicle: VehicleLine {
            steering: (scenario.vehicle.spoken().sides)
                .then(|| scenario.vehicle.steering.words().to_owned()),
            split: scenario.vehicle.split.map(|s| s.words().to_owned()),
            note: scenario.vehicle.note.clone(),
            kind: scenario.vehicle.kind.map(|k| k.words().to_owned()),
        },
    })
}

/// The parts whose fluid no volume drained at the bleeders removes.
fn no_bleeder_reaches(setting: &Setting) -> Option<Warning> {
    let parts = reach::unreached(&setting.circuit);
    if parts.is_empty() {
        return None;
    }
    let names: Vec<&str> = parts.iter().map(|(name, _)| name.as_str()).collect();
    let ml: f64 = parts.iter().map(|(_, m3)| to_ml(*m3)).sum();
    let modulators = &setting.circuit.modulators;
    let remedy = if modulators.is_empty() {
        String::new()
    } else {
        let units: Vec<&str> = modulators.iter().map(|m| m.name.as_str()).collect();
        format!("; working {} (a step work_modulator) stirs it into the circuit", units.join(", "))
    };
    Some(Warning::new(
        WarningKind::NoBleederReaches,
        format!(
            "{}: no volume drained at the bleeders removes the {ml:.1} mL of fluid in there{remedy}",
            names.join(", ")
        ),
    ))
}

fn below_min(setting: &Setting) -> Option<Warning> {
    let r = &setting.circuit.reservoir;
    (r.level_m3 < r.min_m3 * (1.0 - 1e-9)).then(|| {
        Warning::new(
            WarningKind::ReservoirBelowMin,
            format!(
                "the reservoir begins with {:.0} mL, below MIN ({:.0} mL): worn pads or a leak; find out which before flushing{}",
                to_ml(r.level_m3),
                to_ml(r.min_m3),
                at_line(setting.scenario.reservoir.line_of("level"))
            ),
        )
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
        viscosity_mm2_per_s: to_mm2_s(fluid.nu_m2_s(t)),
        density_kg_per_m3: wet_density_kg_m3(fluid.density_kg_m3(t), 0.01 * fluid.water_percent),
    }
}

fn part_lines(setting: &Setting) -> Vec<PartLine> {
    let c = &setting.circuit;
    let mut parts = vec![PartLine {
        part: "reservoir".to_owned(),
        kind: "reservoir",
        volume_ml: to_ml(c.reservoir.level_m3),
        from: Vec::new(),
    }];
    for n in c.nodes.iter().filter(|n| n.role == Role::MasterCylinder) {
        parts.push(PartLine {
            part: n.name.clone(),
            kind: n.kind,
            volume_ml: to_ml(n.chamber.map_or(0.0, |c| c.volume_m3)),
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
            kind: p.word(),
            volume_ml: to_ml(volume_m3),
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
    let tubes = b.path.iter().filter_map(|&link| c.links[link].bore_and_length_m());
    PathLine {
        bleeder: b.name.clone(),
        parts,
        path_ml: to_ml(paths::path_volume_m3(c, bleeder)),
        length_m: tubes.map(|(_, length_m)| length_m).sum(),
    }
}

/// Transit, diffusion and overturning of each line, with the least flow that the supply gives when a bleeder behind it
/// is opened alone on old fluid; and the bleeders at which nothing flows.
pub(crate) fn lines(job: &Job) -> Result<(Vec<LineLine>, Vec<usize>), JobError> {
    let c = &job.setting.circuit;
    let mut flow = vec![0.0_f64; c.links.len()];
    let mut stuck = Vec::new();
    for b in 0..c.bleeders.len() {
        let mut h = job.network(&[b])?;
        let gauge = job.supply.push_pa();
        h.solve(job.setting.flowing(), &job.system, gauge, 0.0)?;
        if h.exit_flow[0] < NO_FLOW {
            stuck.push(b);
            continue;
        }
        for &link in &c.bleeders[b].path {
            let this = h.link_flow[link].abs();
            flow[link] = if flow[link] == 0.0 { this } else { flow[link].min(this) };
        }
    }
    let mut out = Vec::new();
    for (i, l) in c.links.iter().enumerate() {
        let (Some(tube), Some((bore_m, _))) = (l.tube, l.bore_and_length_m()) else { continue };
        if flow[i] <= 0.0 {
            continue;
        }
        let transit_s = tube.volume_m3 / flow[i];
        out.push(LineLine {
            part: l.name.clone(),
            transit_s,
            diffusion_number: diffusion_number(DIFFUSION_M2_S, transit_s, bore_m),
            overturn_s: overturn_s(&job.setting, i),
        });
    }
    Ok((out, stuck))
}

/// Lines in which the model of transport holds less well than elsewhere.
pub(crate) fn less_sure(lines: &[LineLine]) -> Vec<Warning> {
    let of = |which: &dyn Fn(&&LineLine) -> bool| -> Vec<String> {
        lines.iter().filter(which).map(|l| l.part.clone()).collect()
    };
    let slow = of(&|l| l.diffusion_number > SMALL_DIFFUSION);
    let turning = of(&|l| l.overturn_s.is_some_and(|t| t < 2.0 * l.transit_s));
    let mut warnings = Vec::new();
    if !slow.is_empty() {
        warnings.push(Warning::new(
            WarningKind::SlowFlow,
            format!(
                "fluid stays so long in {} that it mixes across the tube: it looks clean later than computed there, by a tenth and more, or to a strict eye sooner",
                slow.join(", ")
            ),
        ));
    }
    if !turning.is_empty() {
        warnings.push(Warning::new(
            WarningKind::DensitiesDiffer,
            format!(
                "in {} the heavier fluid can sink under the lighter within about the time fluid takes to pass: the millilitres are less sure there than the computation's own error says, and a higher flow makes them surer",
                which(&turning, lines.len())
            ),
        ));
    }
    warnings
}

/// Defaults in use; parts of one kind that share one are told together.
fn defaults(scenario: &Tables) -> Vec<DefaultLine> {
    let mut lines = Vec::new();
    for (at, written, table) in scenario.clone().tables_mut() {
        if matches!(at, At::Part(_)) {
            continue;
        }
        for key in keys_in(table).into_iter().filter(|key| !counts_nowhere(scenario, at, key)) {
            let left_out = match key.left_out {
                LeftOut::Text(value) => {
                    let value = water_of_the_family(scenario, at, key).unwrap_or(value);
                    written.defaulted.contains(&key.name).then_some(value)
                }
                LeftOut::Rule(rule) => (!written.lines.contains_key(key.name)).then_some(rule),
                LeftOut::Required | LeftOut::Absent | LeftOut::Source => None,
            };
            if let Some(value) = left_out {
                let (table, value) = (written.name.clone(), value.to_owned());
                lines.push(DefaultLine { table, key: key.name, value });
            }
        }
    }
    for kind in parts::Kind::all() {
        let name = kind.spec().name;
        let of_kind: Vec<_> = scenario.parts.iter().filter(|p| p.word() == name).collect();
        for key in keys_in(&mut *kind.clone()) {
            let LeftOut::Text(value) = key.left_out else { continue };
            let using: Vec<&str> = of_kind
                .iter()
                .filter(|p| p.written.defaulted.contains(&key.name))
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

/// Whether a key that is left out counts nowhere in this scenario, so that its default is not worth a line.
fn counts_nowhere(scenario: &Tables, at: At, key: &Key) -> bool {
    match (at, key.name) {
        (At::Vehicle, "pad_wear") => {
            scenario.parts.iter().all(|p| !p.kind.wears() || p.kind.own_wear().is_some())
        }
        (At::Vehicle, "steering") => !scenario.vehicle.spoken().sides,
        _ => false,
    }
}

/// What stands in place of a table's default for the water of fluids that dissolve hardly any.
fn water_of_the_family(scenario: &Tables, at: At, key: Key) -> Option<&'static str> {
    let water = match at {
        At::OldFluid => scenario.old_fluid.grade.family.default_water()?.0,
        At::NewFluid => scenario.new_fluid.grade.family.default_water()?.1,
        _ => return None,
    };
    matches!(key.form, Form::Quantity(bound) if bound.is(&bounds::WATER)).then_some(water)
}
