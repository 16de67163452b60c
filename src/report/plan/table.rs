//! The plan as a technician reads it, and how it is known to be best.

use crate::job::harmless;
use crate::job::record::Does;
use crate::report::View;
use crate::report::figures::{
    self, clock, degree, lasting, ml, name, percent, rounded, temperature, volume,
};
use crate::report::grid::{self, Grid, Set};
use crate::study::plan::Plan;
use Set::{Figures, Words};

/// Its pieces.
pub(super) fn blocks(answer: &Plan, view: View) -> Vec<String> {
    vec![head(answer, view), openings(answer, view), comes_to(answer, view), curve(answer, view)]
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
    grid::heading("The plan") + &grid.text()
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
    let mut text = grid::heading("What it comes to") + &grid::pairs(&rows);
    if !answer.unreached.is_empty() {
        let names: Vec<String> = answer.unreached.iter().map(|n| name(n)).collect();
        text += &grid::paragraph(
            &format!(
                "No bleeder reaches {}: no target of single parts counts there.",
                names.join(", ")
            ),
            view.width,
            0,
        );
    }
    text + "\n" + &grid::heading("How sure it is") + &grid::paragraph(&answer.proof, view.width, 0)
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
