//! The table a technician reads: several small ones, each answering one question.

use super::{modulator, verdict};
use crate::harmless;
use crate::job::record::{Opening, PartLeft, Record};
use crate::report::figures::{
    self, clean_at, clock, degree, lasting, ml, name, percent, pressure, rounded, small,
    temperature, volume,
};
use crate::report::grid::{self, Grid, Set};
use crate::report::{Units, View};
use Set::{Figures, Words};

/// Its pieces.
pub(super) fn blocks(record: &Record, view: View) -> Vec<String> {
    let mut blocks = vec![head(record, view)];
    blocks.extend(verdict::blocks(record, view));
    if view.details {
        blocks.extend([bleeders(record, view), cleanness(record, view), origins(record, view)]);
        if !record.steps.is_empty() {
            blocks.push(steps(record, view));
        }
        blocks.push(totals(record, view));
    }
    blocks.push(left(record, view));
    if let Some(then) = &record.if_modulator_works {
        blocks.push(modulator::render(then, view));
    }
    blocks.push(if view.details { accuracy(record, view) } else { more(view) });
    blocks
}

fn more(view: View) -> String {
    let text = "`--details` adds what was seen, where the millilitres came from, other steps, sums and the error of the computation.";
    grid::paragraph(text, view.width, 0)
}

fn head(record: &Record, view: View) -> String {
    let title = figures::shortened(&harmless(&record.scenario.title), usize::from(view.width));
    let file = figures::shortened(&harmless(&record.scenario.file), 48);
    let below = format!("{file}, supply: {}", name(&record.supply));
    grid::heading(&title)
        + &grid::with_set(&record.scenario.set, view.width)
        + &grid::paragraph(&below, view.width, 0)
}

/// Columns that name an opening: the bleeder, and the pass where there are several.
pub(super) fn naming(record: &Record) -> Vec<(&'static str, Set)> {
    let mut columns = vec![("bleeder", Words)];
    if several_passes(record) {
        columns.push(("pass", Figures));
    }
    columns
}

/// The cells under [`naming`].
pub(super) fn named(opening: &Opening, record: &Record) -> Vec<String> {
    let mut cells = vec![name(&opening.bleeder)];
    if several_passes(record) {
        cells.push(opening.pass.to_string());
    }
    cells
}

fn several_passes(record: &Record) -> bool {
    record.openings.iter().any(|o| o.pass > 1)
}

fn bleeders(record: &Record, view: View) -> String {
    // A pedal has no gauge, but strokes to count.
    let strokes = record.openings.iter().any(|o| o.strokes.is_some());
    let (metric, psi) = (view.units == Units::Metric && !strokes, !strokes);
    let mut columns = naming(record);
    columns.extend([
        ("drained\nmL", Figures),
        ("share\n%", Figures),
        ("clean\nfrom, mL", Figures),
        ("time\nmin:s", Figures),
        ("flow\nmL/s", Figures),
    ]);
    if metric {
        columns.push(("gauge, kPa\nstart → end", Figures));
    }
    if psi {
        columns.push(("gauge, psi\nstart → end", Figures));
    }
    if strokes {
        columns.push(("pedal\nstrokes", Figures));
    }
    let mut grid = Grid::new(view.width, &columns);
    let drained = record.totals.drained_ml;
    for o in &record.openings {
        let share = if drained > 0.0 { o.drained_ml / drained } else { 0.0 };
        let mut row = named(o, record);
        row.extend([
            rounded(o.drained_ml, 0),
            percent(share),
            clean_at(o.clean_state, o.clean_at_ml),
            clock(o.flow_seconds),
            rounded(o.mean_flow_ml_per_s, 2),
        ]);
        if metric {
            row.push(format!(
                "{} → {}",
                rounded(o.gauge_start_kpa, 0),
                rounded(o.gauge_end_kpa, 0)
            ));
        }
        if psi {
            row.push(format!(
                "{} → {}",
                figures::psi(o.gauge_start_kpa),
                figures::psi(o.gauge_end_kpa)
            ));
        }
        row.extend(o.strokes.map(|n| n.to_string()));
        grid.row(row);
    }
    grid::heading("What each bleeder took, in the order closed") + &grid.text()
}

fn cleanness(record: &Record, view: View) -> String {
    let mut columns = naming(record);
    columns.extend([
        ("closed because", Words),
        ("looked clean:\nseen in hose", Figures),
        ("counts as\nclean", Figures),
        ("is clean? left\non its path", Figures),
        ("hold\nmL", Figures),
    ]);
    let mut grid = Grid::new(view.width, &columns);
    for o in &record.openings {
        let mut row = named(o, record);
        let waited_for = o.waited_for.map_or(String::new(), |w| format!(", {}", w.words()));
        row.extend([
            o.closed_by.words().to_owned() + &waited_for,
            percent(o.seen_old_fraction),
            percent(o.threshold),
            percent(o.path_old_fraction),
            o.hold_ml.map_or("–".to_owned(), |hold| rounded(hold, 0)),
        ]);
        grid.row(row);
    }
    grid::heading("Looked clean, is clean: old fluid in % at the close") + &grid.text()
}

fn origins(record: &Record, view: View) -> String {
    let mut names: Vec<&'static str> = Vec::new();
    for (origin, _) in record.openings.iter().flat_map(|o| &o.origins_ml) {
        if !names.contains(origin) {
            names.push(origin);
        }
    }
    // Columns without a figure to show are left out.
    names.retain(|n| {
        let of = record.openings.iter().flat_map(|o| &o.origins_ml);
        of.filter(|x| x.0 == *n).any(|x| x.1 >= 0.05)
    });
    // What was there before it comes first.
    names.sort_by_key(|n| *n == "new fluid");
    let broken: Vec<String> = names.iter().map(|n| n.replacen(' ', "\n", 1)).collect();
    let mut columns: Vec<(&str, Set)> = naming(record);
    columns.extend(broken.iter().map(|n| (n.as_str(), Figures)));
    let mut grid = Grid::new(view.width, &columns);
    for o in &record.openings {
        let of = |origin: &str| {
            o.origins_ml.iter().find(|(n, _)| *n == origin).map_or(0.0, |(_, ml)| *ml)
        };
        let mut row = named(o, record);
        row.extend(names.iter().map(|n| ml(of(n))));
        grid.row(row);
    }
    grid::heading("Where the millilitres came from, mL") + &grid.text()
}

fn steps(record: &Record, view: View) -> String {
    let mut grid = Grid::new(
        view.width,
        &[
            ("at\nmin:s", Figures),
            ("step", Words),
            ("moved\nmL", Figures),
            ("gauge afterwards", Figures),
        ],
    );
    for s in &record.steps {
        grid.row([
            clock(s.at_s),
            s.does.to_string(),
            ml(s.moved_ml),
            pressure(s.gauge_kpa, view.units),
        ]);
    }
    grid::heading("Other steps") + &grid.text()
}

fn totals(record: &Record, view: View) -> String {
    let t = &record.totals;
    let mut out = grid::heading("Totals");
    let mut rows = vec![("drained at the bleeders", volume(t.drained_ml, view.units))];
    if t.removed_ml != 0.0 {
        rows.push(("taken out of the reservoir", volume(t.removed_ml, view.units)));
    }
    rows.push(("new fluid brought in", volume(t.new_fluid_ml, view.units)));
    rows.push(("time with a bleeder open", lasting(t.flow_seconds)));
    rows.push(("time in the bay", lasting(t.bay_seconds)));
    match t.strokes {
        Some(strokes) => rows.push(("pedal strokes", strokes.to_string())),
        None => rows.push(("re-pumps", t.repumps.to_string())),
    }
    out.push_str(&grid::pairs(&rows));
    if let Some(book) = &t.fluid {
        out.push('\n');
        out.push_str(&grid::heading("Where the loaded fluid went"));
        out.push_str(&grid::pairs(&[
            ("loaded into the supply", volume(book.loaded_ml, view.units)),
            ("  bled", volume(book.bled_ml, view.units)),
            ("  reservoir refill", volume(book.reservoir_ml, view.units)),
            ("  feed hose", volume(book.feed_hose_ml, view.units)),
            ("  left over", volume(book.left_ml, view.units)),
            (
                "least to load for this job",
                book.least_load_ml.map_or("none is enough".to_owned(), |v| volume(v, view.units)),
            ),
        ]));
    }
    out
}

/// Part by part: what bleeders reach, then what they do not.
fn left(record: &Record, view: View) -> String {
    let left = &record.left;
    let sum = format!(
        "In all {} of old fluid ({} %), water {} %.",
        volume(left.old_ml, view.units),
        percent(left.old_fraction),
        figures::water(left.water_percent),
    );
    let reached = parts(left.holding().filter(|p| p.reached), view);
    let mut text =
        grid::heading("What stays behind") + &reached + &grid::paragraph(&sum, view.width, 0);
    if let Some(trapped) = &left.trapped {
        let old = trapped.old_fraction * trapped.volume_ml;
        let sum = format!(
            "Together {}, of which {} are old.",
            volume(trapped.volume_ml, view.units),
            volume(old, view.units)
        );
        text += "\n";
        text += &grid::heading("What no bleeder reaches");
        text += &parts(left.holding().filter(|p| !p.reached), view);
        text += &grid::paragraph(&sum, view.width, 0);
    }
    text
}

fn parts<'a>(parts: impl Iterator<Item = &'a PartLeft>, view: View) -> String {
    let boiling = format!("boils\nfrom, {}", degree(view.units));
    let mut grid = Grid::new(
        view.width,
        &[
            ("part", Words),
            ("kind", Words),
            ("volume\nmL", Figures),
            ("old fluid\nmL", Figures),
            ("\n%", Figures),
            ("water\nmass %", Figures),
            (&boiling, Figures),
        ],
    );
    for p in parts {
        grid.row([
            name(&p.part),
            p.kind.to_owned(),
            ml(p.volume_ml),
            ml(p.old_fraction * p.volume_ml),
            percent(p.old_fraction),
            figures::water(p.water_percent),
            temperature(p.lowest_boiling_c, view.units),
        ]);
    }
    grid.text()
}

fn accuracy(record: &Record, view: View) -> String {
    let n = &record.numerics;
    let mut text = match (n.clean_at_error_ml, n.old_left_error_ml) {
        (None, None) => "Error of the computation: not estimated.".to_owned(),
        (clean, old) => {
            let figure = |e: Option<f64>| {
                e.map_or("not estimated".to_owned(), |e| format!("± {} mL", small(e)))
            };
            format!(
                "Error of the computation: millilitres to clean {}, old fluid left {}.",
                figure(clean),
                figure(old)
            )
        }
    };
    let worst = record.balance.volume_error_ml.abs().max(record.balance.old_error_ml.abs());
    text.push_str(&format!(" Volumes balance to {worst:.0e} mL."));
    grid::paragraph(&text, view.width, 0)
}
