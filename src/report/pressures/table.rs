//! A pressure sweep as tables, and the sentences that it comes to.

use crate::job::record::Warning;
use crate::report::figures::{clock, ml, name, percent, pressure, psi, rounded, small};
use crate::report::grid::{self, Grid, Set};
use crate::report::{Units, View};
use crate::study::pressures::{AIR, Change, Changes, POCKETS, Point, Pressures};
use Set::{Figures, Words};

/// Its pieces.
pub(super) fn blocks(answer: &Pressures, view: View) -> Vec<String> {
    let mut blocks = vec![sentences(answer, view), jobs(answer, view)];
    if view.details || answer.points.iter().any(|p| p.over_limit) {
        blocks.push(bears(answer, view));
    }
    if !answer.set.is_empty() {
        blocks.insert(0, grid::with_set(&answer.set, view.width));
    }
    blocks
}

/// A gauge pressure in the first unit of the view.
fn gauge(kpa: f64, units: Units) -> String {
    match units {
        Units::Metric => rounded(kpa, 0),
        Units::Us => psi(kpa),
    }
}

fn unit(units: Units) -> &'static str {
    match units {
        Units::Metric => "kPa",
        Units::Us => "psi",
    }
}

/// Name of the supply, once for the whole sweep, with an asterisk beside the scenario's own job.
fn supply(answer: &Pressures, i: usize) -> String {
    let p = &answer.points[i];
    let again = i > 0 && p.swept && answer.points[i - 1].swept;
    let label = if again { String::new() } else { name(&p.supply) };
    match (p.own, label.is_empty()) {
        (true, true) => "*".to_owned(),
        (true, false) => format!("{label} *"),
        _ => label,
    }
}

fn gauge_of(p: &Point, units: Units) -> String {
    p.gauge_kpa.map_or("–".to_owned(), |kpa| gauge(kpa, units))
}

fn jobs(answer: &Pressures, view: View) -> String {
    let shown = format!("gauge\n{}", unit(view.units));
    let mut columns = vec![
        ("supply", Words),
        (shown.as_str(), Figures),
        ("open\nmin:s", Figures),
        ("bay\nmin", Figures),
        ("drained\nmL", Figures),
        ("takes\nmL", Figures),
        ("old\nleft, mL", Figures),
        ("\n%", Figures),
        ("re-\npumps", Figures),
    ];
    if view.details {
        columns.extend([("flow\nmL/s", Figures), ("Re at\nmost", Figures)]);
    }
    let mut grid = Grid::new(view.width, &columns);
    for (i, p) in answer.points.iter().enumerate() {
        let mut row = vec![
            supply(answer, i),
            gauge_of(p, view.units),
            clock(p.totals.flow_seconds),
            rounded(p.totals.bay_seconds / 60.0, 0),
            ml(p.totals.drained_ml),
            ml(p.totals.new_fluid_ml),
            ml(p.left.old_ml),
            percent(p.left.old_fraction),
            p.totals.repumps.to_string(),
        ];
        if view.details {
            row.extend([rounded(p.mean_flow_ml_per_s, 2), rounded(p.reynolds, 0)]);
        }
        grid.row(row);
    }
    let marked =
        if answer.points.iter().any(|p| p.own) { "* as the scenario has it\n" } else { "" };
    grid::heading("The same job at other pressures")
        + &grid.text()
        + marked
        + &grid::paragraph(grid::TAKES, view.width, 0)
}

fn bears(answer: &Pressures, view: View) -> String {
    let at = unit(view.units);
    let (cap, master) = (format!("reservoir\ncap, {at}"), format!("master\ncylinder, {at}"));
    let (wheel, limit) = (format!("wheel\nseals, {at}"), format!("limit\n{at}"));
    let mut grid = Grid::new(
        view.width,
        &[
            ("supply", Words),
            (&cap, Figures),
            (&master, Figures),
            (&wheel, Figures),
            (&limit, Figures),
            ("", Words),
        ],
    );
    for (i, p) in answer.points.iter().enumerate() {
        grid.row([
            supply(answer, i),
            gauge(p.cap_kpa, view.units),
            gauge(p.master_cylinder_kpa, view.units),
            gauge(p.wheel_kpa, view.units),
            answer.limit_kpa.map_or("none stated".to_owned(), |l| gauge(l, view.units)),
            if p.over_limit { "over it".to_owned() } else { String::new() },
        ]);
    }
    grid::heading("What cap and seals bear, bleeders shut") + &grid.text()
}

fn sentences(answer: &Pressures, view: View) -> String {
    let mut said = Vec::new();
    if answer.partial {
        said.push("Interrupted: only the jobs that were finished are shown.".to_owned());
    }
    match &answer.changes {
        Some(c) => {
            said.push(of_time(c, view.units));
            said.push(of_millilitres(c, view.units));
            if c.new_fluid.told_apart {
                said.push(of_change(&c.new_fluid, "The new fluid used", view.units));
            }
            said.extend(of_causes(c));
        }
        None if answer.partial => {}
        None if answer.swept.is_none() => {
            said.push("The scenario has no pressure bleeder: only its supplies are compared.".into());
        }
        None => said.push(
            "Fewer than two gauge pressures ran to their end: what pressure changes cannot be said."
                .to_owned(),
        ),
    }
    said.extend(of_looking(answer, view.units));
    grid::heading("What pressure changes")
        + &said.iter().map(|s| grid::paragraph(s, view.width, 0)).collect::<String>()
}

fn of_time(c: &Changes, units: Units) -> String {
    let [slow, fast] = c.flow_seconds;
    let ends = format!("From {} to {}", pressure(c.from_kpa, units), pressure(c.to_kpa, units));
    if c.flow_seconds_told_apart {
        format!(
            "{ends} the time with a bleeder open goes from {} to {} min:s.",
            clock(slow),
            clock(fast)
        )
    } else {
        format!("{ends} the time with a bleeder open does not change ({} min:s).", clock(slow))
    }
}

fn of_millilitres(c: &Changes, units: Units) -> String {
    if !c.drained.told_apart && !c.old_left.told_apart {
        return match c.drained.unsure_ml.zip(c.old_left.unsure_ml) {
            Some((a, b)) => format!(
                "Millilitres do not change: neither what is drained ({} mL) nor the old fluid left ({} mL) is told apart (within {} mL).",
                ml(c.drained.least_ml),
                ml(c.old_left.least_ml),
                small(a.max(b))
            ),
            None => "Whether millilitres change cannot be said: the error of the computation is not known."
                .to_owned(),
        };
    }
    format!(
        "{} {}",
        of_change(&c.drained, "What is drained", units),
        of_change(&c.old_left, "The old fluid left", units)
    )
}

fn of_change(c: &Change, what: &str, units: Units) -> String {
    if c.told_apart {
        format!(
            "{what} changes by {} mL: {} mL at {}, {} mL at {}.",
            ml(c.difference_ml),
            ml(c.least_ml),
            pressure(c.least_at_kpa, units),
            ml(c.most_ml),
            pressure(c.most_at_kpa, units)
        )
    } else {
        format!(
            "{what} is not told apart{}.",
            c.unsure_ml.map_or(String::new(), |u| format!(" (within {} mL)", small(u)))
        )
    }
}

/// Where bleeders stay open only because they must be looked at for a while, those of one job after the other.
fn of_looking(answer: &Pressures, units: Units) -> Option<String> {
    let mut alike: Vec<(&[String], Vec<String>)> = Vec::new();
    for p in answer.points.iter().filter(|p| !p.least_look_binds.is_empty()) {
        match alike.iter_mut().find(|(names, _)| *names == p.least_look_binds) {
            Some((_, places)) => places.push(place(p, units)),
            None => alike.push((&p.least_look_binds, vec![place(p, units)])),
        }
    }
    let told: Vec<String> = alike
        .iter()
        .map(|(names, places)| {
            let names: Vec<String> = names.iter().map(|n| name(n)).collect();
            format!("{} at {}", names.join(", "), places.join(", "))
        })
        .collect();
    (!told.is_empty()).then(|| {
        format!(
            "Bleeders that looked clean at once stayed open for `least_look`, and so drained more the faster it flowed: {}.",
            told.join("; ")
        )
    })
}

/// What is left of the difference once a cause is taken out.
fn of_causes(c: &Changes) -> Vec<String> {
    let mut said: Vec<String> = c
        .because
        .iter()
        .map(|b| {
            let without = match b.what {
                AIR => "If the pressure did not squeeze the air under the reservoir's cap, so that more fluid stands in the reservoir,",
                POCKETS => "If pockets did not trade fluid by time,",
                _ => "Without both",
            };
            let of = if b.of == "drained_ml" { "what is drained" } else { "the old fluid left" };
            if b.told_apart {
                format!("{without} {of} would still change by {} mL.", ml(b.without_ml.abs()))
            } else {
                format!(
                    "{without} {of} would not change{}.",
                    b.unsure_ml.map_or(String::new(), |u| format!(" (within {} mL)", small(u)))
                )
            }
        })
        .collect();
    if !c.rate_dependent.is_empty() && (c.drained.told_apart || c.old_left.told_apart) {
        said.push(format!(
            "What else depends here on how fast it flows: {}.",
            c.rate_dependent.join("; ")
        ));
    }
    said
}

/// The warnings of all jobs, each with the jobs it belongs to; those of one kind that differ only in
/// their figures are told once, for the first. Empty if there are none.
pub(super) fn warnings(answer: &Pressures, view: View) -> String {
    // The warning, where it holds to the letter, and where with other figures.
    let mut all: Vec<(Warning, Vec<&Point>, Vec<&Point>)> = Vec::new();
    for p in &answer.points {
        for w in &p.warnings {
            match all.iter_mut().find(|(a, ..)| a.kind == w.kind && alike(&a.text, &w.text)) {
                Some((a, same, _)) if a.text == w.text => same.push(p),
                Some((.., other)) => other.push(p),
                None => all.push((w.clone(), vec![p], Vec::new())),
            }
        }
    }
    let told: Vec<Warning> = all
        .into_iter()
        .map(|(w, same, other)| {
            let at = |of: &[&Point]| {
                of.iter().map(|p| place(p, view.units)).collect::<Vec<_>>().join(", ")
            };
            let also = match other.as_slice() {
                [] => String::new(),
                other => format!("; alike, with other figures, at {}", at(other)),
            };
            Warning { text: format!("{}: {}{also}", at(&same), w.text), ..w }
        })
        .collect();
    crate::report::warnings(&told, view)
}

/// Whether two texts differ in figures only.
fn alike(a: &str, b: &str) -> bool {
    let words =
        |t: &str| -> String { t.chars().filter(|c| !(c.is_ascii_digit() || *c == '.')).collect() };
    words(a) == words(b)
}

fn place(p: &Point, units: Units) -> String {
    match p.gauge_kpa {
        Some(kpa) if p.swept => pressure(kpa, units),
        _ => name(&p.supply),
    }
}
