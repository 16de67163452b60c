//! What a scenario may say and its writer hardly meant: told, and taken at its word.

use crate::circuit::Circuit;
use crate::job::record::{Warning, WarningKind, at_line};
use crate::measures::to_ml;
use crate::parts::Kind;
use crate::scenario::model::{Part, Tables};
use std::collections::BTreeSet;

/// Outside diameter of the commonest brake tube, 3/16 in, m (common practice, no source).
const USUAL_OUTSIDE_M: f64 = 4.76e-3;
/// What is this close to it counts as it, m: 4.75 mm and 4.8 mm are said of the same tube.
const ABOUT_M: f64 = 0.05e-3;

/// Everything of the kind.
pub(crate) fn warnings(scenario: &Tables, circuit: &Circuit) -> Vec<Warning> {
    let unusual = scenario
        .unusual
        .iter()
        .map(|u| Warning::new(WarningKind::Unusual, format!("{}{}", u.text, at_line(u.line))));
    let found = unusual
        .chain(outside_for_bore(scenario))
        .chain(wear_without_effect(scenario))
        .chain(wear_not_stated(scenario))
        .chain(without_effect(scenario));
    found.chain(another_split(scenario, circuit)).collect()
}

/// Lines whose bore is what tube usually measures outside.
fn outside_for_bore(scenario: &Tables) -> Option<Warning> {
    let outside = |p: &&Part| matches!(&p.kind, Kind::Line(line) if (line.bore.value - USUAL_OUTSIDE_M).abs() < ABOUT_M);
    let lines: Vec<&Part> = scenario.parts.iter().filter(outside).collect();
    let first = lines.first()?;
    let names: Vec<&str> = lines.iter().map(|p| p.name.as_str()).collect();
    let text = format!(
        "{}: brake tube of 3/16 in (4.76 mm) usually measures that outside; its bore is less by two walls, 3.33 mm with walls of 0.71 mm{}",
        names.join(", "),
        at_line(first.written.line_of("bore"))
    );
    Some(Warning::new(WarningKind::BoreOrOutside, text))
}

/// Keys that are written and mean nothing beside others.
fn without_effect(scenario: &Tables) -> Vec<Warning> {
    let idle = scenario.parts.iter().flat_map(|p| p.kind.idle().into_iter().map(move |i| (p, i)));
    let written = idle.filter(|(p, (key, _))| !p.written.defaulted.contains(key));
    let warning = |(p, (key, lacks)): (&Part, (&str, &str))| {
        Warning::new(
            WarningKind::KeyWithoutEffect,
            format!(
                "`{key}` of {} is without effect, since {lacks}, or leave `{key}` out{}",
                p.name,
                at_line(p.written.line_of(key))
            ),
        )
    };
    let hose = &scenario.clear_hose;
    let hangs_open = (!hose.end_in_fluid && hose.end_above.value < 0.0).then(|| {
        Warning::new(
            WarningKind::KeyWithoutEffect,
            format!(
                "`end_above` below the bleeder is without effect, since the hose hangs open there, runs empty and draws nothing: write \"0 m\", or leave `end_in_fluid` out if the end is in fluid{}",
                at_line(hose.line_of("end_above"))
            ),
        )
    });
    written.map(warning).chain(hangs_open).collect()
}

/// Wear of the pads where nothing says what worn pads change.
fn wear_without_effect(scenario: &Tables) -> Option<Warning> {
    let any = scenario.parts.iter().any(|p| p.kind.wears());
    let vehicle = (&scenario.vehicle.written, any, scenario.vehicle.pad_wear.value);
    let parts = scenario.parts.iter().filter_map(|p| {
        let wear = p.kind.own_wear()?;
        Some((&p.written, p.kind.wears(), wear.value))
    });
    let mut all = std::iter::once(vehicle).chain(parts);
    let (table, ..) = all.find(|(_, counts, wear)| *wear > 0.0 && !counts)?;
    let text = format!(
        "no caliper says what it holds with worn pads, so `pad_wear` of [{}] is without effect: give `worn_pads` beside `new_pads`{}",
        table.name,
        at_line(table.line_of("pad_wear"))
    );
    Some(Warning::new(WarningKind::WearWithoutEffect, text))
}

/// Brakes that hold more with worn pads, where nothing says how far they are worn.
fn wear_not_stated(scenario: &Tables) -> Option<Warning> {
    if !scenario.vehicle.written.defaulted.contains(&"pad_wear") {
        return None;
    }
    // Pads that state their wear hold the same whatever the vehicle's.
    let more = |p: &Part| p.kind.worn_m3(1.0) - p.kind.worn_m3(0.0);
    let brakes: Vec<(&Part, f64)> =
        scenario.parts.iter().map(|p| (p, more(p))).filter(|(_, m3)| *m3 > 0.0).collect();
    let (part, most) = brakes.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let text = format!(
        "`pad_wear` of [vehicle] is left out, so pads and shoes count as new: worn out, {} holds {:.0} mL more and all brakes together {:.0} mL more, which takes more fluid to flush; say how far they are worn, for instance `pad_wear = \"50 % ± 30 %\"`{}",
        part.name,
        to_ml(*most),
        to_ml(brakes.iter().map(|(_, m3)| m3).sum()),
        at_line(scenario.vehicle.line_of("pad_wear"))
    );
    Some(Warning::new(WarningKind::WearNotStated, text))
}

/// Wheels of the two circuits of each split, in the order of [`WHEELS`] (DIN 74000, from memory).
const SPLITS: [(&str, [&str; 2]); 5] = [
    ("II", ["LF RF", "LR RR"]),
    ("X", ["LF RR", "RF LR"]),
    ("HI", ["LF RF LR RR", "LF RF"]),
    ("LL", ["LF RF LR", "LF RF RR"]),
    ("HH", ["LF RF LR RR", "LF RF LR RR"]),
];
const WHEELS: [&str; 4] = ["LF", "RF", "LR", "RR"];

/// A `split` that is not what the parts are joined to. Told only where every brake's bleeder begins with its wheel.
fn another_split(scenario: &Tables, circuit: &Circuit) -> Option<Warning> {
    let stated = scenario.vehicle.split?.words();
    let mut served: Vec<(usize, BTreeSet<usize>)> = Vec::new();
    for bleeder in &circuit.bleeders {
        let node = &circuit.nodes[bleeder.node];
        if !node.role.is_service_brake() {
            continue;
        }
        let first = bleeder.name.split_whitespace().next()?;
        let wheel = WHEELS.iter().position(|w| *w == first)?;
        let outlet = node.tag.outlet?;
        match served.iter_mut().find(|(o, _)| *o == outlet) {
            Some((_, wheels)) => {
                wheels.insert(wheel);
            }
            None => served.push((outlet, BTreeSet::from([wheel]))),
        }
    }
    let mut circuits: Vec<String> = served
        .iter()
        .map(|(_, wheels)| wheels.iter().map(|w| WHEELS[*w]).collect::<Vec<_>>().join(" "))
        .collect();
    circuits.sort();
    let is = |of: &[&str; 2]| {
        let mut of = *of;
        of.sort_unstable();
        circuits == of
    };
    let found = SPLITS.iter().find(|(_, of)| is(of)).map(|(name, _)| *name);
    if found == Some(stated) {
        return None;
    }
    let found =
        found.map_or_else(|| "none of the standard splits".to_owned(), |f| format!("split {f}"));
    let text = format!(
        "`split` says {stated}, but the circuits serve {}: that is {found}; look at what each line starts `from`{}",
        circuits.join(", and "),
        at_line(scenario.vehicle.line_of("split"))
    );
    Some(Warning::new(WarningKind::SplitAndPartsDiffer, text))
}
