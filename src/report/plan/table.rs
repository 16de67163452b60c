//! The plan as a technician reads it, and how it is known to be best.

use crate::harmless;
use crate::job::record::Does;
use crate::report::View;
use crate::report::figures::{
    self, clock, degree, lasting, minutes, ml, name, percent, rounded, temperature, volume, whole,
};
use crate::report::grid::{self, Grid, Set};
use crate::study::plan::Plan;
use Set::{Figures, Words};

/// Its pieces.
pub(super) fn blocks(answer: &Plan, view: View) -> Vec<String> {
    let mut blocks = vec![head(answer, view), verdict(answer, view), openings(answer, view)];
    if view.details {
        blocks.extend([comes_to(answer, view), proof(answer, view)]);
    }
    blocks.push(curve(answer, view));
    blocks
}

/// What the plan takes and leaves beside the own procedure, and how sure that is.
fn verdict(answer: &Plan, view: View) -> String {
    let (t, left, own) = (&answer.totals, &answer.left, &answer.own);
    let whole = |x: f64| whole(x, view.units);
    let verdict = format!(
        "Takes {} new fluid and {} in the bay; leaves {} % old",
        whole(t.new_fluid_ml),
        minutes(t.bay_seconds),
        percent(left.old_fraction)
    );
    let (less, sense) = match own.new_fluid_ml - t.new_fluid_ml {
        less if less >= 0.0 => (less, "more"),
        more => (-more, "less"),
    };
    let mut said = vec![does(answer, view)];
    said.push(format!(
        "The scenario's own procedure takes {} ({} {sense}) and leaves {} % old, in {}.",
        whole(own.new_fluid_ml),
        whole(less),
        percent(own.left_old_fraction),
        minutes(answer.own_bay_seconds),
    ));
    said.extend(answer.cleaner().map(|p| {
        format!(
            "{} % old instead would take {}, {} more.",
            percent(p.left_old_fraction),
            whole(p.new_fluid_ml),
            whole(p.new_fluid_ml - t.new_fluid_ml)
        )
    }));
    if !view.details {
        said.extend(unreached(answer));
        said.push(format!("{} (`--details` says how that is known.)", answer.proved));
    }
    let boils = |c: f64, part: &str| {
        format!("{} {} in {part}", temperature(c, view.units), degree(view.units))
    };
    said.push(match &answer.first_to_boil {
        Some(first) => format!(
            "The first wheel brake to boil does so at {}.",
            boils(first.lowest_boiling_c, &name(&first.part))
        ),
        None => {
            let part = left.parts.iter().find(|p| p.part == left.lowest_boiling_part);
            let place = match (part, left.lowest_in_pocket()) {
                (Some(part), false) => figures::of_kind(part),
                _ => figures::lowest_place(left),
            };
            format!("It boils first at {}.", boils(left.lowest_boiling_c, &place))
        }
    });
    let said: String = said.iter().map(|s| grid::paragraph(s, view.width, 0)).collect();
    grid::verdict(&verdict, view.width) + &said
}

/// What is done, in a sentence: what the syringe takes, which bleeder comes first, how often they are opened.
fn does(answer: &Plan, view: View) -> String {
    let syringed = match answer.totals.removed_ml {
        ml if ml > 0.0 => {
            format!(
                "Syringe {} out of the reservoir and fill it up with new fluid; then open",
                whole(ml, view.units)
            )
        }
        _ => "Open".to_owned(),
    };
    let mut turns: Vec<(&str, usize)> = Vec::new();
    for o in &answer.openings {
        match turns.iter_mut().find(|(bleeder, _)| *bleeder == o.bleeder) {
            Some((_, times)) => *times += 1,
            None => turns.push((&o.bleeder, 1)),
        }
    }
    let order: Vec<String> = turns.iter().map(|(bleeder, _)| name(bleeder)).collect();
    let often = match turns.iter().map(|(_, times)| *times).max() {
        Some(2..) => {
            let twice = turns.iter().filter(|(_, times)| *times > 1).count();
            let which = if twice == turns.len() { "each" } else { "some" };
            format!(", then {which} again ({} openings)", answer.openings.len())
        }
        _ => String::new(),
    };
    format!("{syringed} {}{often}.", order.join(", "))
}

fn head(answer: &Plan, view: View) -> String {
    let title =
        figures::shortened(&harmless(&answer.record.scenario.title), usize::from(view.width));
    let t = &answer.targets;
    let asked: Vec<String> = [
        t.old_anywhere.map(|x| format!("old fluid anywhere at most {} %", percent(x))),
        t.old_overall.map(|x| format!("old fluid overall at most {} %", percent(x))),
        t.water_percent.map(|x| format!("water overall at most {} %", rounded(x, 2))),
        t.boiling_c.map(|x| {
            format!(
                "boiling point at the wheel brakes at least {} {}",
                temperature(x, view.units),
                degree(view.units)
            )
        }),
    ]
    .into_iter()
    .flatten()
    .collect();
    let met = match answer.met_share {
        Some(share) => format!(" Met in {} % of the draws, seed {}.", percent(share), answer.seed),
        None => String::new(),
    };
    let partial = if answer.partial { " PARTIAL: ended early." } else { "" };
    grid::heading(&title)
        + &grid::with_set(&answer.record.scenario.set, view.width)
        + &grid::paragraph(&format!("Targets: {}.{met}{partial}", asked.join(", ")), view.width, 0)
}

fn openings(answer: &Plan, view: View) -> String {
    let mut grid = Grid::new(
        view.width,
        &[("step", Words), ("mL", Figures), ("min:s", Figures), ("old on its\npath, %", Figures)],
    );
    for s in answer.record.steps.iter().filter(|s| s.step > 0) {
        if matches!(s.does, Does::Syringe | Does::TopUp) {
            grid.row([s.does.to_string(), ml(s.moved_ml), String::new(), String::new()]);
        }
    }
    for o in &answer.openings {
        grid.row([
            format!("open {}", name(&o.bleeder)),
            ml(o.drained_ml),
            clock(o.flow_seconds),
            percent(o.path_old_fraction),
        ]);
    }
    let how = "New fluid used is what is drained and syringed, and what the system holds more at the end.";
    grid::heading("The plan") + &grid.text() + &grid::paragraph(how, view.width, 0)
}

fn comes_to(answer: &Plan, view: View) -> String {
    let (t, left) = (&answer.totals, &answer.left);
    let mut rows = vec![
        ("drained at the bleeders", volume(t.drained_ml, view.units)),
        ("taken by syringe", volume(t.removed_ml, view.units)),
        ("new fluid used", volume(t.new_fluid_ml, view.units)),
        ("time in the bay", lasting(t.bay_seconds)),
        ("old fluid left", format!("{} % ({} mL)", percent(left.old_fraction), ml(left.old_ml))),
        ("water left", format!("{} %", figures::water(left.water_percent))),
        (
            "lowest boiling point",
            format!(
                "{} {} in {}",
                temperature(left.lowest_boiling_c, view.units),
                degree(view.units),
                figures::lowest_place(left)
            ),
        ),
    ];
    if let Some(first) = &answer.first_to_boil {
        let c = temperature(first.lowest_boiling_c, view.units);
        let text = format!("{c} {} in {}", degree(view.units), figures::name(&first.part));
        rows.push(("of the wheel brakes", text));
    }
    rows.push((
        "own procedure",
        format!(
            "{} used{}, {} % old left",
            volume(answer.own.new_fluid_ml, view.units),
            match answer.own_removed_ml {
                syringed if syringed > 0.0 =>
                    format!(", {} by syringe", volume(syringed, view.units)),
                _ => String::new(),
            },
            percent(answer.own.left_old_fraction)
        ),
    ));
    let unreached = unreached(answer).map_or(String::new(), |u| grid::paragraph(&u, view.width, 0));
    grid::heading("What it comes to") + &grid::pairs(&rows) + &unreached
}

fn unreached(answer: &Plan) -> Option<String> {
    let names: Vec<String> = answer.unreached.iter().map(|n| name(n)).collect();
    (!names.is_empty()).then(|| {
        format!("No bleeder reaches {}: no target of single parts counts there.", names.join(", "))
    })
}

fn proof(answer: &Plan, view: View) -> String {
    grid::heading("How sure it is") + &grid::paragraph(&answer.proof, view.width, 0)
}

fn curve(answer: &Plan, view: View) -> String {
    let columns =
        [("new fluid, mL", Figures), ("drained, mL", Figures), ("old fluid left, %", Figures)];
    let mut grid = Grid::new(view.width, &columns);
    for p in &answer.curve {
        grid.row([ml(p.new_fluid_ml), ml(p.drained_ml), rounded(100.0 * p.left_old_fraction, 2)]);
    }
    let syringed = if answer.syringed {
        "first syringed, as in the plan"
    } else {
        "not syringed, as in the plan"
    };
    grid::heading(&format!("Fluid against old fluid left, reservoir {syringed}")) + &grid.text()
}
