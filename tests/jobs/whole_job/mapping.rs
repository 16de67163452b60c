//! From a scenario and the record of its job to the same job for the reference.
//!
//! Taken from the program: the volumes of the parts (from the circuit it built), the drained volume at which
//! each bleeder was closed (as clean or not) and that at which the least look was over, and how much fluid stood in
//! the reservoir when: matters of pressure and time, of which the reference knows nothing here. Everything else is
//! worked out anew.

use super::geometry::{composition, parts, path};
use super::reference::*;
use farwheel::Scenario;
use farwheel::circuit::species::Group;
use farwheel::circuit::{Circuit, RESERVOIR};
use farwheel::job::record::{CleanState, Does, Opening, Record};
use farwheel::scenario::procedure::{Action, StopRule};
use farwheel::scenario::tables::Filling;
use std::f64::consts::PI;

/// A job for the reference.
pub struct Mapped {
    /// The car.
    pub car: ReferenceCar,
    /// Its steps: one opening for each of the record's.
    pub steps: Vec<ReferenceStep>,
    /// Largest distance of the reservoir's volume from the straight line that the reference is told, mL.
    pub bent_ml: f64,
}

/// Maps a job; says what stands in the way if the reference cannot express it.
pub fn map(scenario: &Scenario, record: &Record) -> Result<Mapped, String> {
    let circuit = scenario.circuit();
    if !scenario.supplies.iter().any(|s| s.name == record.supply && s.kind.vessel().is_some()) {
        return Err(format!("its supply \"{}\" is no pressure bleeder", record.supply));
    }
    let rules = opened(scenario)?;
    if rules.len() != record.openings.len() {
        return Err("not every opening was made".to_owned());
    }
    let (parts, index) = parts(circuit, scenario)?;
    if let Some(part) = parts.iter().find(|p| p.kind.trades_by_time()) {
        return Err(format!("the pocket of \"{}\" trades by time", part.name));
    }
    let mut mapped = Mapped {
        car: ReferenceCar {
            common: (0.0, vec![]),
            space: Chamber::plain(0.0, 1),
            unit: vec![],
            compartments: vec![],
            feed: composition(None),
            paths: circuit.bleeders.iter().map(|b| path(circuit, &b.name, &index)).collect(),
            parts,
            watched_ml: {
                let bore = scenario.clear_hose.bore.value;
                1e6 * PI / 4.0 * bore * bore * scenario.clear_hose.watched.value
            },
            filling: match scenario.clear_hose.filling {
                Filling::Old => composition(Some((Group::Reservoir, 1.0))),
                _ => composition(None),
            },
        },
        steps: vec![],
        bent_ml: 0.0,
    };
    reservoir(circuit, scenario, record, &rules, &mut mapped)?;
    Ok(mapped)
}

/// The stop rules of the openings in turn, one bleeder at a time.
fn opened(scenario: &Scenario) -> Result<Vec<&StopRule>, String> {
    let mut one_pass = Vec::new();
    for step in &scenario.procedure.steps {
        match &step.action {
            Action::Open { bleeders, until } => match bleeders.as_slice() {
                [_] => one_pass.push(until),
                _ => return Err("several bleeders are open at once".to_owned()),
            },
            Action::Wait { .. } => return Err("it waits".to_owned()),
            Action::WorkModulator { .. } => return Err("it works the modulator".to_owned()),
            Action::Syringe { .. }
            | Action::TopUp { .. }
            | Action::SetLevel { .. }
            | Action::RePump { .. }
            | Action::Load { .. }
            | Action::Relieve => {}
        }
    }
    Ok(one_pass.repeat(scenario.procedure.tasks.passes.max(1) as usize))
}

/// The reservoir as it is when the first bleeder is opened, and what it does from then on.
fn reservoir(
    circuit: &Circuit,
    scenario: &Scenario,
    record: &Record,
    rules: &[&StopRule],
    mapped: &mut Mapped,
) -> Result<(), String> {
    let r = &circuit.reservoir;
    let compartment_ml = 1e6 * r.compartment_m3;
    let below_ml = compartment_ml * r.outlets.len() as f64;
    let mut common_ml = 1e6 * r.level_m3 - below_ml;
    if common_ml <= 0.0 {
        return Err("its reservoir is not filled to above the wall".to_owned());
    }
    let old = composition(Some((Group::Reservoir, circuit.nodes[RESERVOIR].filling.old_fraction)));
    mapped.car.compartments = vec![(compartment_ml, old.clone()); r.outlets.len()];
    let mut common = old;
    // What was done by hand before the first opening, worked out from the scenario alone.
    let steps = &scenario.procedure.steps;
    for step in steps.iter().take_while(|s| !matches!(s.action, Action::Open { .. })) {
        let to_ml = match &step.action {
            Action::Syringe { leave } => (1e6 * leave.value - below_ml).min(common_ml),
            Action::TopUp { to } => (1e6 * to.value - below_ml).max(common_ml),
            Action::SetLevel { to } => 1e6 * to.value - below_ml,
            _ => continue,
        };
        if to_ml <= 0.0 {
            return Err("the syringe reaches below the wall".to_owned());
        }
        pour(&mut common, common_ml, to_ml, &mapped.car.feed);
        common_ml = to_ml;
    }
    let hold_m3 = scenario.clear_hose.hold.map(|q| q.value);
    for (k, opening) in record.openings.iter().enumerate() {
        let levels = levels(record, opening)?;
        let start_ml = levels[0].1 - below_ml;
        let (drained_ml, last_ml) = levels[levels.len() - 1];
        if k == 0 {
            // New fluid rises into the reservoir as the feed is opened or the supply pumped up.
            if start_ml < common_ml - 1e-3 {
                return Err(format!("the reservoir lost {} mL", common_ml - start_ml));
            }
            pour(&mut common, common_ml, start_ml, &mapped.car.feed);
        } else {
            let between = drawn_between(record, &record.openings[k - 1], opening);
            let draw_to_ml = (common_ml - between).min(start_ml);
            mapped.steps.push(ReferenceStep::Reservoir { draw_to_ml, fill_to_ml: start_ml });
        }
        let rise = (last_ml - levels[0].1) / drained_ml;
        for (at_ml, level_ml) in &levels {
            let straight = levels[0].1 + rise * at_ml;
            mapped.bent_ml = mapped.bent_ml.max((level_ml - straight).abs());
        }
        mapped.steps.push(ReferenceStep::Open {
            path: circuit.bleeder(&opening.bleeder).ok_or("an unknown bleeder")?,
            stop: Stop {
                hold_ml: rules[k].hold.map(|q| q.value).or(hold_m3).map(|hold| 1e6 * hold),
                clean_at_most: matches!(
                    opening.clean_state,
                    CleanState::Already | CleanState::Reached
                ),
                looked_ml: looked_ml(opening, scenario.clear_hose.least_look.value),
                ..Stop::volume(opening.drained_ml, opening.threshold)
            },
            rise,
        });
        common_ml = last_ml - below_ml;
    }
    let first_ml = levels(record, &record.openings[0])?[0].1 - below_ml;
    mapped.car.common = (first_ml, common);
    Ok(())
}

/// Fills up with the feed; drawing down leaves the content as it is.
fn pour(content: &mut Composition, from_ml: f64, to_ml: f64, feed: &[f64]) {
    let poured = (to_ml - from_ml).max(0.0);
    for (c, new) in content.iter_mut().zip(feed) {
        *c = (*c * from_ml + new * poured) / (from_ml + poured);
    }
}

/// (drained mL, fluid in the reservoir mL) over one opening. The first is found by going back one
/// step at the rate of the second, since fluid may rise as the feed is opened.
fn levels(record: &Record, opening: &Opening) -> Result<Vec<(f64, f64)>, String> {
    let again = record
        .steps
        .iter()
        .any(|s| s.step == 0 && s.at_s > opening.opened_s && s.at_s <= opening.closed_s);
    if again {
        return Err(format!("the supply is pumped up while {} is open", opening.bleeder));
    }
    let mut levels = vec![(0.0, 0.0)];
    for point in &opening.curve[1..] {
        let supply = record.supply_curve.iter().find(|s| s.at_s == point.at_s);
        levels.push((point.drained_ml, supply.ok_or("no level at a step")?.reservoir_ml));
    }
    levels[0].1 = match levels[..] {
        [_, (v1, r1), (v2, r2), ..] => r1 - v1 * (r2 - r1) / (v2 - v1),
        // Of a single step: as it was left.
        _ => {
            let before = record.supply_curve.iter().rfind(|s| s.at_s <= opening.opened_s);
            before.ok_or("no level before an opening")?.reservoir_ml
        }
    };
    Ok(levels)
}

/// Drained when fluid had flowed for so long, mL; more than was drained if it had not.
fn looked_ml(opening: &Opening, look_s: f64) -> f64 {
    let curve = opening.curve.windows(2);
    let ends = curve.map(|p| (p[0].at_s, p[1].at_s, p[0].drained_ml, p[1].drained_ml));
    let until_s = opening.opened_s + look_s;
    let mut passes = ends.filter(|(from, to, _, _)| *from < until_s && until_s <= *to);
    let at =
        passes.next().map(|(from, to, v0, v1)| v0 + (v1 - v0) * (until_s - from) / (to - from));
    // Closed at that very moment, but for rounding.
    let (seconds, drained) = (opening.closed_s - opening.opened_s, opening.drained_ml);
    at.map(|ml: f64| ml.min(drained)).unwrap_or(if seconds >= look_s - 1e-9 {
        drained
    } else {
        f64::INFINITY
    })
}

/// Taken out of the reservoir by hand between two openings, mL.
fn drawn_between(record: &Record, one: &Opening, next: &Opening) -> f64 {
    let steps = record.steps.iter().filter(|s| s.at_s >= one.closed_s && s.at_s <= next.opened_s);
    steps
        .filter(|s| matches!(s.does, Does::Syringe | Does::SetLevel))
        .map(|s| -s.moved_ml.min(0.0))
        .sum()
}
