//! The gauge, and the fluid in supply and reservoir, over the time of the job.

use super::PlotError;
use super::canvas::{Canvas, Head, Place, sheet, thinned};
use super::labels;
use super::lettering;
use super::scale::Scale;
use super::style::{BLUE, BODY, EDGE, GREY, HAIR, Hold, INK, Letter, Pen, VERMILLION, WIDTH};
use super::words::{TIE, number, of_scenario, shown};
use crate::job::record::{Record, SupplyPoint};
use plotters::style::RGBColor;

const LEFT: f64 = EDGE + 64.0;
const RIGHT: f64 = WIDTH - EDGE - 64.0;
const PANEL: f64 = 240.0;
const BAND: RGBColor = RGBColor(0xEC, 0xEA, 0xE2);
/// More names than this have no room beside each other.
const MOST_NAMES: usize = 16;
/// The gauge axis spans at least this, so that a supply without pressure is seen to have none, kPa.
const LEAST_GAUGE: f64 = 10.0;
const KPA_PER_PSI: f64 = 6.894_757_293_168;

/// A line of the picture: name, values over seconds, pen.
struct Trace {
    name: &'static str,
    points: Vec<(f64, f64)>,
    pen: Pen,
}

/// Draws the picture.
pub(super) fn draw(record: &Record) -> Result<String, PlotError> {
    let curve: Vec<&SupplyPoint> = record
        .supply_curve
        .iter()
        .filter(|p| p.at_s.is_finite() && p.gauge_kpa.is_finite())
        .collect();
    // Gravity and pedal leave a gauge at rest: nothing to draw.
    let pressed = curve.iter().any(|p| p.gauge_kpa.abs() > 1e-6);
    let title = if pressed { "Gauge and fluid over the job" } else { "Fluid over the job" };
    let head = Head::new(
        title,
        &of_scenario(record),
        &format!(
            "Supply: {}. Shaded: the turn of each bleeder.",
            lettering::shortened(&shown(&record.supply), Letter::NOTE, 14.0 * BODY)
        ),
    );
    let seconds = record
        .openings
        .iter()
        .map(|o| o.closed_s)
        .chain(curve.iter().map(|p| p.at_s))
        .fold(1.0, f64::max);
    // Set-up shows nothing: begin where the supply does.
    let start = curve.first().map_or(0.0, |p| (p.at_s / 60.0).floor());
    let across = Scale::new((start, seconds / 60.0), (LEFT, RIGHT));
    let captions = head.bottom() + 0.8 * BODY;
    let names = captions + 1.5 * BODY;
    let first_top = names + 1.9 * BODY;
    let fluid_top = if pressed { first_top + PANEL + 2.4 * BODY } else { first_top };
    let height = fluid_top + PANEL + 3.4 * BODY;

    sheet(height, title, |canvas| {
        canvas.head(&head)?;
        if pressed {
            bands(canvas, record, across, names, &[first_top, fluid_top])?;
            canvas.text((EDGE, captions), "gauge pressure, kPa", Letter::NOTE)?;
            canvas.text((WIDTH - EDGE, captions), "psi", Letter::NOTE.held(Hold::Right))?;
            gauge_panel(canvas, &curve, across, first_top)?;
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

/// Shades the openings and names them above, pushed apart where they would touch.
fn bands(
    canvas: &Canvas<'_>,
    record: &Record,
    across: Scale,
    names: f64,
    tops: &[f64],
) -> Result<(), PlotError> {
    let letter = Letter { bold: true, ..Letter::BODY };
    let mut middles = Vec::new();
    for opening in &record.openings {
        let (from, to) = (across.at(opening.opened_s / 60.0), across.at(opening.closed_s / 60.0));
        for top in tops {
            canvas.block((from, *top), (to.max(from + 1.5), top + PANEL), BAND)?;
        }
        middles.push(0.5 * (from + to));
    }
    // Names in full if they fit, else shortened more and more.
    let found = [6.0, 4.0, 2.6].into_iter().find_map(|most| {
        let names: Vec<String> = record
            .openings
            .iter()
            .take(MOST_NAMES)
            .map(|o| lettering::shortened(&shown(&o.bleeder), letter, most * BODY))
            .collect();
        let sizes: Vec<_> =
            middles.iter().zip(&names).map(|(x, n)| (*x, lettering::width(n, letter))).collect();
        let places = labels::apart(&sizes, EDGE, WIDTH - EDGE)?;
        Some((names, places))
    });
    let Some((names_shown, places)) = found.filter(|_| record.openings.len() <= MOST_NAMES) else {
        let text = format!("{} openings, too many to name here", record.openings.len());
        return canvas.text((LEFT, names), &text, Letter::NOTE);
    };
    let panel = tops.first().copied().unwrap_or(names);
    for ((x, name), place) in middles.iter().zip(&names_shown).zip(places) {
        canvas.text((place, names), name, letter.held(Hold::Middle))?;
        let (from, to) = (names + 0.75 * BODY, panel - 2.0);
        canvas.stroke(&[(place, from), (*x, to)], Pen::solid(GREY, 1.2))?;
    }
    Ok(())
}

fn gauge_panel(
    canvas: &Canvas<'_>,
    curve: &[&SupplyPoint],
    across: Scale,
    top: f64,
) -> Result<(), PlotError> {
    let gauge = Trace {
        name: "gauge",
        points: curve.iter().map(|p| (p.at_s, p.gauge_kpa)).collect(),
        pen: Pen::solid(VERMILLION, 3.5),
    };
    let gauges = || curve.iter().map(|p| p.gauge_kpa);
    // Below zero: a vacuum at the bleeder.
    let (low, high) =
        (1.12 * gauges().fold(0.0, f64::min), 1.12 * gauges().fold(LEAST_GAUGE, f64::max));
    let up = Scale::new((low, high), (top + PANEL, top));
    grid(canvas, up)?;
    let psi = Scale::new((low / KPA_PER_PSI, high / KPA_PER_PSI), (top + PANEL, top));
    for (value, text) in psi.marks(5) {
        let y = psi.at(value);
        canvas.stroke(&[(RIGHT, y), (RIGHT + 7.0, y)], Pen::solid(GREY, 1.5))?;
        canvas.text((RIGHT + 13.0, y), &text, Letter::BODY)?;
    }
    traces(canvas, &[gauge], across, up, top, "kPa")
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
        lines.push(Trace { name: "supply", points: supply, pen: Pen::solid(BLUE, 3.5) });
    }
    lines.push(Trace {
        name: "reservoir",
        points: curve.iter().map(|p| (p.at_s, p.reservoir_ml)).collect(),
        pen: Pen::dashed(INK, 3.0, 12.0, 6.0),
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

/// Draws the lines, and beside each its name with its first and last figure.
fn traces(
    canvas: &Canvas<'_>,
    lines: &[Trace],
    across: Scale,
    up: Scale,
    top: f64,
    unit: &str,
) -> Result<(), PlotError> {
    let paths: Vec<Vec<Place>> = lines
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
            let (first, last) = (number(first), number(last));
            let steady = line.points.iter().all(|p| number(p.1) == first);
            let text = if steady {
                format!("{} {first}{TIE}{unit} throughout", line.name)
            } else {
                format!("{} from {first} to {last}{TIE}{unit}", line.name)
            };
            Some((i, text))
        })
        .collect();
    let sizes: Vec<_> =
        texts.iter().map(|(i, t)| (*i, lettering::width(t, Letter::BODY), 1.3 * BODY)).collect();
    let frame = ((LEFT, top), (RIGHT, top + PANEL));
    let hairs: Vec<f64> = up.marks(5).iter().map(|(v, _)| up.at(*v)).collect();
    for ((i, text), place) in texts.iter().zip(labels::beside(&paths, &sizes, frame, &hairs)) {
        canvas.text(place, text, Letter::BODY.held(Hold::Middle).coloured(lines[*i].pen.colour))?;
    }
    Ok(())
}
