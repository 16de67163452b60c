//! What `check` found, as text.

use super::figures::{
    self, capital, degree, lasting, ml, name, pressure, rounded, small, temperature,
};
use super::grid::{self, Grid, Set};
use super::{Report, View, warnings};
use crate::harmless;
use crate::job::check::CheckReport;
use crate::study::guesses::{LookedOver, Worth};
use Set::{Figures, Words};

impl Report for LookedOver {
    fn blocks(&self, view: View) -> Vec<String> {
        let check = &self.check;
        let mut blocks = vec![head(check, view), verdict(self, view), paths(check, view)];
        blocks.push(fluids(check, view));
        if !self.guesses.is_empty() {
            blocks.push(guesses(&self.guesses, view));
        }
        if view.details {
            blocks.push(parts(check, view));
            if !check.lines.is_empty() {
                blocks.push(lines(check, view));
            }
            if !check.defaults.is_empty() {
                blocks.push(defaults(check, view));
            }
        }
        blocks
    }

    fn warnings(&self, view: View) -> String {
        warnings(&self.check.warnings, view)
    }

    fn stopped(&self) -> bool {
        self.check.warnings.iter().any(|w| w.stops_the_job())
    }
}

/// Whether the job can be done, and what the car is in a sentence.
fn verdict(looked: &LookedOver, view: View) -> String {
    let check = &looked.check;
    let count = check.warnings.len();
    let verdict = match (looked.stopped(), count) {
        (true, _) => "Not to be done as written: see the warnings below",
        (false, 0) => "Nothing stands in the way of this job",
        (false, 1) => "This job can be done; one warning below",
        (false, _) => "This job can be done; see the warnings below",
    };
    let reservoir = check.parts.iter().find(|p| p.kind == "reservoir");
    let mut said = vec![format!(
        "The system holds {}{}.",
        figures::volume(check.capacity_ml, view.units),
        reservoir.map_or(String::new(), |r| format!(
            ", {} of it in the reservoir",
            figures::volume(r.volume_ml, view.units)
        ))
    )];
    if let (Some(far), Some(near)) = (check.paths.first(), check.paths.last())
        && check.paths.len() > 1
    {
        said.push(format!(
            "Farthest from the master cylinder is {} ({} mL on the way), nearest {} ({} mL).",
            name(&far.bleeder),
            rounded(far.path_ml, 0),
            name(&near.bleeder),
            rounded(near.path_ml, 0)
        ));
    }
    said.extend(shared(check));
    said.extend(leak_test(check, view));
    said.extend(boil(check, view));
    let guessed = looked.guesses.len();
    if guessed > 0 {
        said.push(format!("{guessed} of its figures are guesses."));
    }
    match check.defaults.len() {
        0 => {}
        1 => said.push("One key is left out and taken by default (`--details`).".to_owned()),
        n => said.push(format!("{n} keys are left out and taken by default (`--details`).")),
    }
    let said: String = said.iter().map(|s| grid::paragraph(s, view.width, 0)).collect();
    grid::verdict(verdict, view.width) + &said
}

/// Which bleeders draw through the same chamber of the master cylinder, so that what one washes out there is done for
/// the others.
fn shared(check: &CheckReport) -> Option<String> {
    let mut chambers: Vec<(&str, Vec<String>)> = Vec::new();
    for path in &check.paths {
        let chamber = path.parts.first()?;
        match chambers.iter_mut().find(|(of, _)| of == chamber) {
            Some((_, bleeders)) => bleeders.push(name(&path.bleeder)),
            None => chambers.push((chamber, vec![name(&path.bleeder)])),
        }
    }
    let told: Vec<String> = (chambers.iter())
        .map(|(chamber, bleeders)| format!("{} through {}", bleeders.join(" and "), name(chamber)))
        .collect();
    (chambers.len() > 1)
        .then(|| format!("{}; the first of them washes it out for the rest.", told.join(", ")))
}

/// At how much the fluids boil.
fn boil(check: &CheckReport, view: View) -> Option<String> {
    let told: Vec<String> = (check.fluids.iter())
        .map(|f| {
            let at = temperature(f.boiling_c, view.units);
            format!("the {} boils at {at} {}", f.role, degree(view.units))
        })
        .collect();
    (!told.is_empty()).then(|| capital(&format!("{}.", told.join(", "))))
}

/// A guess with a smaller share is not worth a tape.
const WORTH: f64 = 0.02;

fn guesses(all: &[Worth], view: View) -> String {
    let mut grid = Grid::new(
        view.width,
        &[
            ("guess", Words),
            ("of mL drained\n% of variance", Figures),
            ("of old fluid left\n% of variance", Figures),
            ("guessed", Words),
        ],
    );
    let (worth, rest): (Vec<_>, Vec<_>) = all.iter().partition(|w| w.most() >= WORTH);
    for w in &worth {
        grid.row([
            name(&w.quantity),
            rounded(100.0 * w.share_of_drained, 0),
            rounded(100.0 * w.share_of_old_left, 0),
            harmless(&w.why),
        ]);
    }
    let how = "What stands first is worth measuring first: known, it would take that share of what is uncertain away.";
    let rest = match rest.len() {
        0 => String::new(),
        1 => " One more guess has hardly any share; the JSON has it.".to_owned(),
        n => format!(" {n} more guesses have hardly any share each; the JSON lists them."),
    };
    grid::heading("Guessed by describe")
        + &grid.text()
        + &grid::paragraph(&format!("{how}{rest}"), view.width, 0)
}

fn head(report: &CheckReport, view: View) -> String {
    let title = figures::shortened(&harmless(&report.scenario.title), usize::from(view.width));
    let file = figures::shortened(&harmless(&report.scenario.file), usize::from(view.width));
    let v = &report.vehicle;
    let mut text = grid::heading(&title) + &file + "\n";
    text += &grid::with_set(&report.scenario.set, view.width);
    let said = [
        v.kind.clone(),
        v.steering.as_ref().map(|s| format!("steering wheel on the {s}")),
        v.split.as_ref().map(|s| format!("split {s}")),
    ];
    let said: Vec<String> = said.into_iter().flatten().collect();
    text += &grid::paragraph(&format!("{}.", capital(&said.join(", "))), view.width, 0);
    if let Some(note) = &v.note {
        text += &grid::paragraph(&harmless(note), view.width, 0);
    }
    text
}

fn fluids(report: &CheckReport, view: View) -> String {
    let boiling = format!("boils at\n{}", degree(view.units));
    let mut grid = Grid::new(
        view.width,
        &[
            ("fluid", Words),
            ("grade", Words),
            ("water\nmass %", Figures),
            (&boiling, Figures),
            ("viscosity\nmm²/s", Figures),
            ("density\nkg/m³", Figures),
        ],
    );
    for f in &report.fluids {
        grid.row([
            f.role.to_owned(),
            name(&f.grade),
            figures::water(f.water_percent),
            temperature(f.boiling_c, view.units),
            rounded(f.viscosity_mm2_per_s, 1),
            rounded(f.density_kg_per_m3, 0),
        ]);
    }
    grid::heading("Fluids, at the temperature of the job") + &grid.text()
}

fn parts(report: &CheckReport, view: View) -> String {
    let mut grid = Grid::new(
        view.width,
        &[("part", Words), ("kind", Words), ("volume\nmL", Figures), ("fed from", Words)],
    );
    for p in &report.parts {
        let from: Vec<String> = p.from.iter().map(|f| name(f)).collect();
        grid.row([name(&p.part), p.kind.to_owned(), ml(p.volume_ml), from.join(", ")]);
    }
    grid::heading("Parts") + &grid.text()
}

fn paths(report: &CheckReport, view: View) -> String {
    let mut grid = Grid::new(
        view.width,
        &[("bleeder", Words), ("path\nmL", Figures), ("tubes\nm", Figures), ("through", Words)],
    );
    for p in &report.paths {
        let through: Vec<String> = p.parts.iter().map(|n| name(n)).collect();
        grid.row([name(&p.bleeder), ml(p.path_ml), rounded(p.length_m, 1), through.join(" → ")]);
    }
    grid::heading("Paths from the master cylinder, largest volume first") + &grid.text()
}

/// What the gauge does when the feed valve is first opened.
fn leak_test(report: &CheckReport, view: View) -> Option<String> {
    report.leak_test.map(|test| {
        format!(
            "As the feed valve is first opened, the gauge drops once, from {} to {}; a fall that goes on is a leak.",
            pressure(test.gauge_before_kpa, view.units),
            pressure(test.gauge_after_kpa, view.units)
        )
    })
}

fn lines(report: &CheckReport, view: View) -> String {
    let mut grid = Grid::new(
        view.width,
        &[
            ("line or hose", Words),
            ("passed in", Figures),
            ("diffusion\nD·t/R²", Figures),
            ("would overturn in", Figures),
        ],
    );
    for l in &report.lines {
        let overturn = l.overturn_s.map_or("never".to_owned(), lasting);
        grid.row([
            name(&l.part),
            format!("{} s", rounded(l.transit_s, 1)),
            small(l.diffusion_number),
            overturn,
        ]);
    }
    let how = "The model holds where D·t/R² (how far water diffuses across the tube, R, in the time of passing, t) is \
               far below 1, and a line is passed well before the heavier fluid would sink under the lighter one.";
    grid::heading("What the transport model rests on")
        + &grid.text()
        + &grid::paragraph(how, view.width, 0)
}

fn defaults(report: &CheckReport, view: View) -> String {
    let mut grid = Grid::new(view.width, &[("table", Words), ("key", Words), ("taken as", Words)]);
    for d in &report.defaults {
        grid.row([harmless(&d.table), d.key.to_owned(), harmless(&d.value)]);
    }
    grid::heading("Left out of the scenario, so the default holds") + &grid.text()
}
