//! Valves that can hold fluid back: what `check` and `flush` say of them.

use super::slow;
use crate::circuit::paths;
use crate::job::record::{Warning, WarningKind, at_line, in_both_units};
use crate::job::state::{Job, Setting};
use crate::measures::to_kpa;
use crate::parts::passage::Passage;
use crate::supply::Supply;
use std::sync::Arc;

/// What holds fluid back on the way to a bleeder at which nothing flows, and what to do about it;
/// the valve with the highest cracking pressure where there are several, `None` if there is none.
pub(crate) fn what_holds(setting: &Setting, bleeder: usize) -> Option<String> {
    let c = &setting.circuit;
    let valves = c.bleeders[bleeder].path.iter().filter_map(|&i| match c.links[i].passage {
        Passage::Check { cracking_pa, .. } => {
            let part = setting.scenario.parts.iter().find(|p| p.name == c.links[i].name)?;
            Some((cracking_pa, part))
        }
        _ => None,
    });
    let (cracking_pa, part) = valves.max_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(format!(
        "the {} \"{}\" passes nothing below {:.0} kPa{}: {}",
        part.word(),
        part.name,
        to_kpa(cracking_pa),
        at_line(part.written.line),
        part.kind.remedy()
    ))
}

/// The warning of a bleeder at which nothing flows, or would flow, with the job's supply.
pub(crate) fn no_flow(job: &Job, bleeder: usize) -> Warning {
    let (setting, supply): (&Setting, &dyn Supply) = (&job.setting, job.supply.as_ref());
    let name = &setting.circuit.bleeders[bleeder].name;
    let by_pedal = supply.strokes().is_some();
    let why = if by_pedal && paths::chambers_of(&setting.circuit, &[bleeder]).is_empty() {
        format!(
            "no chamber of the master cylinder leads there, so the brake {} moves nothing: push with another supply",
            setting.scenario.vehicle.spoken().pedal
        )
    } else {
        what_holds(setting, bleeder).unwrap_or_else(|| slow::remedy_of_none(job, bleeder))
    };
    let pressure_pa = if by_pedal { supply.push_pa() } else { supply.gauge_pa() };
    let pressure = in_both_units(pressure_pa);
    Warning::new(
        WarningKind::NoFlow,
        format!("at {name} nothing flows ({pressure} at the supply): {why}"),
    )
}

/// Warns of the states of valves that matter to a flush, of those on the way to some bleeder.
pub(crate) fn warn_of_states(job: &mut Job) {
    let setting = Arc::clone(&job.setting);
    let c = &setting.circuit;
    let on_a_path =
        |name: &str| c.bleeders.iter().any(|b| b.path.iter().any(|&i| c.links[i].name == name));
    for p in setting.scenario.parts.iter().filter(|p| on_a_path(&p.name)) {
        if let Some(text) = p.kind.state() {
            let text = format!("{} \"{}\"{}: {text}", p.word(), p.name, at_line(p.written.line));
            job.warn(WarningKind::StateOfAValve, text);
        }
    }
}
