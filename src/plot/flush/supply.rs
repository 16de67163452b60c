//! The gauge, and the fluid in supply and reservoir, over the time of the job.

use crate::job::record::{Opening, Record, SupplyPoint};
use crate::measures::{KPA_PER_PSI, Units};
use crate::plot::PlotError;
use crate::plot::canvas::{Canvas, Head, Spot, sheet, thinned};
use crate::plot::labels;
use crate::plot::lettering;
use crate::plot::scale::Scale;
use crate::plot::style::{
    BAND, BLUE, BLUE_WORDS, BODY, EDGE, GREY, HAIR, Hold, INK, Letter, Pen, VERMILLION,
    VERMILLION_WORDS, WIDTH,
};
use crate::plot::words::{TIE, number, of_scenario, shown};
use plotters::style::RGBColor;

const LEFT: f64 = EDGE + 64.0;
const RIGHT: f64 = WIDTH - EDGE - 64.0;
const PANEL: f64 = 240.0;
/// More names than this have no room beside each other.
const MOST_NAMES: usize = 16;
/// From one row of names to the next.
const ROW: f64 = 1.25 * BODY;
/// The gauge axis spans at least this, so that a supply without pressure is seen to have none, kPa.
const LEAST_GAUGE: f64 = 10.0;

/// A line of the picture: name, values over seconds, pen, colour of its words.
struct Trace {
    name: &'static str,
    points: Vec<(f64, f64)>,
    pen: Pen,
    words: RGBColor,
}

/// Draws the picture.
pub(super) fn draw(record: &Record, units: Units) -> Result<String, PlotError> {
    let curve: Vec<&SupplyPoint> = record
        .supply_curve
        .iter()
        .filter(|p| p.at_s.is_finite() && p.gauge_kpa.is_finite())
        .collect();
    // Gravity and pedal leave a gauge at rest: nothing to draw.
    let pressed = curve.iter().any(|p| p.gauge_kpa.abs() > 1e-6);
    let title = if pressed { "Gauge and fluid over the job" } else { "Fluid over the job" };
    let seconds = record
        .openings
        .iter()
        .map(|o| o.closed_s)
        .chain(curve.iter().map(|p| p.at_s))
        .fold(1.0, f64::max);
    // Set-up shows nothing: begin where the supply does.
    let start = curve.first().map_or(0.0, |p| (p.at_s / 60.0).floor());
    let across = Scale::new((start, seconds / 60.0), (LEFT, RIGHT));
    let names = Names::new(&record.openings, across);
    let numbered = names.as_ref().is_some_and(|n| n.numbered);
    let head = Head::new(
        title,
        &of_scenario(record),
        &format!(
            "Supply: {}. Shaded: the turn of each bleeder{}.",
            lettering::shortened(&shown(&record.supply), Letter::NOTE, 14.0 * BODY),
            if numbered { ", numbered as they were opened" } else { "" }
        ),
    );
    let captions = head.bottom() + 0.8 * BODY;
    let names_top = captions + 1.5 * BODY;
    let first_top = names_top + Names::height(names.as_ref()) + 0.65 * BODY;
    let names = (names.as_ref(), names_top);
    let fluid_top = if pressed { first_top + PANEL + 2.4 * BODY } else { first_top };
    let height = fluid_top + PANEL + 3.4 * BODY;

    sheet(height, title, |canvas| {
        canvas.head(&head)?;
        if pressed {
            bands(canvas, record, across, names, &[first_top, fluid_top])?;
            let unit = if units == Units::Us { "psi" } else { "kPa" };
            let caption = format!("gauge pressure, {unit}");
            canvas.text((EDGE, captions), &caption, Letter::NOTE)?;
            if units == Units::Metric {
                let at = (WIDTH - EDGE, captions);
                canvas.text(at, "psi", Letter::NOTE.held(Hold::Right))?;
            }
            gauge_panel(canvas, &curve, across, (first_top, units))?;
            canvas.text((EDGE, fluid_top - 1.1 * BODY), "fluid, mL", Letter::NOTE)?;
        } else {
            bands(canvas, record, across, names, &[fluid_top])?;
            canvas.text((EDGE, captions), "fluid, mL", Letter::NOTE)?;
        }
        fluid_panel(canvas, &curve, across, fluid_top)?;
        let floor = fluid_top + PANEL;
        for (value, text) in across.marks(7) {
            let x = across.at(value);
            canvas.stroke(&[(x, floor), (x, floor + 7.0)], Pen::solid(GREY, 1.5))?;
            canvas.text((x, floor + 1.1 * BODY), &text, Letter::BODY.held(Hold::Middle))?;
        }
        let below = (0.5 * (LEFT + RIGHT), floor + 2.4 * BODY);
        canvas.text(below, "minutes from the start of the job", Letter::NOTE.held(Hold::Middle))
    })
}

/// Names of the openings in turn, where their middles lie, and in which of how many rows.
struct Names {
    texts: Vec<String>,
    middles: Vec<f64>,
    rows: usize,
    numbered: bool,
}

impl Names {
    const LETTER: Letter = Letter { bold: true, ..Letter::BODY };

    /// In full on one row if they fit, else in full on two in turn, else shortened if that still tells them apart,
    /// else numbered; `None` if there are too many.
    fn new(openings: &[Opening], across: Scale) -> Option<Self> {
        if openings.len() > MOST_NAMES {
            return None;
        }
        let wanted: Vec<f64> = openings.iter().map(|o| middle(o, across)).collect();
        let in_rows = |rows: usize, texts: Vec<String>, numbered: bool| {
            let mut middles = wanted.clone();
            for row in 0..rows {
                let mine = || (row..texts.len()).step_by(rows);
                let sizes: Vec<_> = mine()
                    .map(|i| (wanted[i], lettering::width(&texts[i], Self::LETTER)))
                    .collect();
                let places = labels::apart(&sizes, EDGE, WIDTH - EDGE)?;
                for (i, place) in mine().zip(places) {
                    middles[i] = place;
                }
            }
            Some(Self { texts, middles, rows, numbered })
        };
        let names: Vec<String> = openings.iter().map(|o| shown(&o.bleeder)).collect();
        let cut = |most: f64| -> Option<Vec<String>> {
            let room = most * BODY;
            let cut: Vec<String> =
                names.iter().map(|n| lettering::shortened(n, Self::LETTER, room)).collect();
            let same = |i: usize, k: usize| (cut[i] == cut[k]) == (names[i] == names[k]);
            (0..cut.len()).all(|i| (0..i).all(|k| same(i, k))).then_some(cut)
        };
        [(1, 9.0), (2, 9.0), (2, 6.0), (2, 4.0), (2, 2.6)]
            .into_iter()
            .find_map(|(rows, most)| in_rows(rows, cut(most)?, false))
            .or_else(|| {
                let numbers = (1..=openings.len()).map(|n| n.to_string()).collect();
                in_rows(1, numbers, true)
            })
    }

    fn height(names: Option<&Self>) -> f64 {
        ROW * names.map_or(1, |n| n.rows) as f64
    }
}

fn middle(opening: &Opening, across: Scale) -> f64 {
    0.5 * (across.at(opening.opened_s / 60.0) + across.at(opening.closed_s / 60.0))
}

/// Shades the openings and names them above.
fn bands(
    canvas: &Canvas<'_>,
    record: &Record,
    across: Scale,
    (names, top): (Option<&Names>, f64),
    panels: &[f64],
) -> Result<(), PlotError> {
    for opening in &record.openings {
        let (from, to) = (across.at(opening.opened_s / 60.0), across.at(opening.closed_s / 60.0));
        for panel in panels {
            canvas.block((from, *panel), (to.max(from + 1.5), panel + PANEL), BAND)?;
        }
    }
    let Some(names) = names else {
        let text = format!("{} openings, too many to name here", record.openings.len());
        return canvas.text((LEFT, top), &text, Letter::NOTE);
    };
    let panel = panels.first().copied().unwrap_or(top);
    let row = |i: usize| top + ROW * (i % names.rows) as f64;
    // Leaders first: one from the upper row may pass a name below, which is then lettered over it.
    for (i, (opening, place)) in record.openings.iter().zip(&names.middles).enumerate() {
        let places = [(*place, row(i) + 0.75 * BODY), (middle(opening, across), panel - 2.0)];
        canvas.stroke(&places, Pen::solid(GREY, 1.2))?;
    }
    for (i, (text, place)) in names.texts.iter().zip(&names.middles).enumerate() {
        canvas.patched((*place, row(i)), text, Names::LETTER.held(Hold::Middle))?;
    }
    Ok(())
}

fn gauge_panel(
    canvas: &Canvas<'_>,
    curve: &[&SupplyPoint],
    across: Scale,
    (top, units): (f64, Units),
) -> Result<(), PlotError> {
    let (unit, kpa_each) = match units {
        Units::Metric => ("kPa", 1.0),
        Units::Us => ("psi", KPA_PER_PSI),
    };
    let gauge = Trace {
        name: "gauge",
        points: curve.iter().map(|p| (p.at_s, p.gauge_kpa / kpa_each)).collect(),
        pen: Pen::solid(VERMILLION, 3.5),
        words: VERMILLION_WORDS,
    };
    let gauges = || curve.iter().map(|p| p.gauge_kpa);
    // Below zero: a vacuum at the bleeder.
    let (low, high) =
        (1.12 * gauges().fold(0.0, f64::min), 1.12 * gauges().fold(LEAST_GAUGE, f64::max));
    let up = Scale::new((low / kpa_each, high / kpa_each), (top + PANEL, top));
    grid(canvas, up)?;
    let psi = Scale::new((low / KPA_PER_PSI, high / KPA_PER_PSI), (top + PANEL, top));
    for (value, text) in psi.marks(5).iter().filter(|_| units == Units::Metric) {
        let y = psi.at(*value);
        canvas.stroke(&[(RIGHT, y), (RIGHT + 7.0, y)], Pen::solid(GREY, 1.5))?;
        canvas.text((RIGHT + 13.0, y), text, Letter::BODY)?;
    }
    traces(canvas, &[gauge], across, up, top, unit)
}

fn fluid_panel(
    canvas: &Canvas<'_>,
    curve: &[&SupplyPoint],
    across: Scale,
    top: f64,
) -> Result<(), PlotError> {
    let supply: Vec<_> = curve.iter().filter_map(|p| Some((p.at_s, p.supply_ml?))).collect();
    let mut lines = Vec::new();
    if !supply.is_empty() {
        let pen = Pen::solid(BLUE, 3.5);
        lines.push(Trace { name: "supply", points: supply, pen, words: BLUE_WORDS });
    }
    lines.push(Trace {
        name: "reservoir",
        points: curve.iter().map(|p| (p.at_s, p.reservoir_ml)).collect(),
        pen: Pen::dashed(INK, 3.0, 12.0, 6.0),
        words: INK,
    });
    let highest = lines.iter().flat_map(|l| &l.points).map(|p| p.1).fold(1.0, f64::max);
    let up = Scale::new((0.0, 1.12 * highest), (top + PANEL, top));
    grid(canvas, up)?;
    traces(canvas, &lines, across, up, top, "mL")
}

fn grid(canvas: &Canvas<'_>, up: Scale) -> Result<(), PlotError> {
    for (value, text) in up.marks(5) {
        let y = up.at(value);
        let pen = if value == 0.0 { Pen::solid(GREY, 1.5) } else { Pen::solid(HAIR, 1.2) };
        canvas.stroke(&[(LEFT, y), (RIGHT, y)], pen)?;
        canvas.text((LEFT - 9.0, y), &text, Letter::BODY.held(Hold::Right))?;
    }
    Ok(())
}

/// Draws the lines, and beside each its name with its first and last figure, or its least and most.
fn traces(
    canvas: &Canvas<'_>,
    lines: &[Trace],
    across: Scale,
    up: Scale,
    top: f64,
    unit: &str,
) -> Result<(), PlotError> {
    let paths: Vec<Vec<Spot>> = lines
        .iter()
        .map(|l| thinned(l.points.iter().map(|(s, v)| (across.at(s / 60.0), up.at(*v))).collect()))
        .collect();
    for (line, path) in lines.iter().zip(&paths) {
        canvas.stroke(path, line.pen)?;
    }
    let texts: Vec<(usize, String)> = lines
        .iter()
        .enumerate()
        .filter_map(|(i, line)| {
            let (first, last) = (line.points.first()?.1, line.points.last()?.1);
            let values = || line.points.iter().map(|p| p.1);
            let least = values().fold(f64::INFINITY, f64::min);
            let most = values().fold(f64::NEG_INFINITY, f64::max);
            // Ends tell nothing of a line that goes far beyond them.
            let beyond = (most - first.max(last)).max(first.min(last) - least);
            let (from, to) = (number(first), number(last));
            let text = if number(least) == number(most) {
                format!("{} {from}{TIE}{unit} throughout", line.name)
            } else if beyond > 0.25 * (most - least) {
                format!("{} between {} and {}{TIE}{unit}", line.name, number(least), number(most))
            } else {
                format!("{} from {from} to {to}{TIE}{unit}", line.name)
            };
            Some((i, text))
        })
        .collect();
    let sizes: Vec<_> =
        texts.iter().map(|(i, t)| (*i, lettering::width(t, Letter::BODY), 1.3 * BODY)).collect();
    let frame = ((LEFT, top), (RIGHT, top + PANEL));
    let hairs: Vec<f64> = up.marks(5).iter().map(|(v, _)| up.at(*v)).collect();
    for ((i, text), place) in texts.iter().zip(labels::beside(&paths, &sizes, frame, &hairs)) {
        canvas.text(place, text, Letter::BODY.held(Hold::Middle).coloured(lines[*i].words))?;
    }
    Ok(())
}
