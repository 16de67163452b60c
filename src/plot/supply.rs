//! The gauge, and the fluid in supply and reservoir, over the time of the job.

use super::PlotError;
use super::canvas::{Canvas, Head, Place, sheet, thinned};
use super::lettering;
use super::scale::Scale;
use super::style::{BLUE, BODY, EDGE, GREY, HAIR, Hold, INK, Letter, Pen, VERMILLION, WIDTH};
use super::words::{number, of_scenario, shown};
use crate::job::record::{Record, SupplyPoint};
use plotters::style::RGBColor;

const LEFT: f64 = EDGE + 64.0;
const RIGHT: f64 = WIDTH - EDGE - 64.0;
const PANEL: f64 = 250.0;
const BAND: RGBColor = RGBColor(0xEC, 0xEA, 0xE2);
const KPA_PER_PSI: f64 = 6.894_757_293_168;

/// A line of the picture: name, values, pen.
struct Trace {
    name: &'static str,
    points: Vec<(f64, f64)>,
    pen: Pen,
}

/// Draws the picture.
pub(super) fn draw(record: &Record) -> Result<String, PlotError> {
    let head = Head::new(
        "Gauge and fluid over the job",
        &of_scenario(record),
        &format!(
            "Supply: {}. Shaded: a bleeder is open.",
            shown(&record.supply)
        ),
    );
    let curve = &record.supply_curve;
    let seconds = record
        .openings
        .iter()
        .map(|o| o.closed_s)
        .chain(curve.iter().map(|p| p.at_s))
        .fold(1.0, f64::max);
    let across = Scale::new((0.0, seconds / 60.0), (LEFT, RIGHT));
    let names = head.bottom() + 1.2 * BODY;
    let gauge_top = names + 1.4 * BODY + 1.9 * BODY;
    let fluid_top = gauge_top + PANEL + 2.4 * BODY;
    let height = fluid_top + PANEL + 3.6 * BODY;

    sheet(height, "Gauge and fluid over the job", |canvas| {
        canvas.head(&head)?;
        bands(canvas, record, across, names, &[gauge_top, fluid_top])?;
        gauge_panel(canvas, curve, across, gauge_top)?;
        fluid_panel(canvas, curve, across, fluid_top)?;
        let floor = fluid_top + PANEL;
        for (value, text) in across.marks(7) {
            let x = across.at(value);
            canvas.stroke(&[(x, floor), (x, floor + 7.0)], Pen::solid(GREY, 1.5))?;
            canvas.text(
                (x, floor + 1.1 * BODY),
                &text,
                Letter::BODY.held(Hold::Middle),
            )?;
        }
        canvas.text(
            (0.5 * (LEFT + RIGHT), floor + 2.4 * BODY),
            "minutes from the start of the job",
            Letter::NOTE.held(Hold::Middle),
        )
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
    let letter = Letter {
        bold: true,
        ..Letter::BODY
    };
    let first_top = tops.first().copied().unwrap_or(names);
    let most = 6.0 * BODY;
    let mut labels = Vec::new();
    for opening in &record.openings {
        let (from, to) = (
            across.at(opening.opened_s / 60.0),
            across.at(opening.closed_s / 60.0),
        );
        for top in tops {
            canvas.block((from, *top), (to.max(from + 1.5), top + PANEL), BAND)?;
        }
        let name = lettering::shortened(&shown(&opening.bleeder), letter, most);
        let wide = lettering::width(&name, letter);
        labels.push((0.5 * (from + to), wide, name));
    }
    let Some(places) = apart(
        &labels.iter().map(|(x, w, _)| (*x, *w)).collect::<Vec<_>>(),
        EDGE,
        WIDTH - EDGE,
    ) else {
        let text = format!("{} openings, too many to name here", labels.len());
        return canvas.text((LEFT, names), &text, Letter::NOTE);
    };
    for ((x, _, name), place) in labels.iter().zip(places) {
        canvas.text((place, names), name, letter.held(Hold::Middle))?;
        let from = names + 0.7 * BODY;
        canvas.stroke(
            &[
                (place, from),
                (place, from + 4.0),
                (*x, first_top - 1.9 * BODY),
                (*x, first_top),
            ],
            Pen::solid(GREY, 1.2),
        )?;
    }
    Ok(())
}

/// Middles of labels (middle wanted, width) in the order of the middles wanted, moved so that none overlap
/// and all lie between two ends; `None` if they do not fit.
fn apart(labels: &[(f64, f64)], low: f64, high: f64) -> Option<Vec<f64>> {
    const AIR: f64 = 10.0;
    let mut order: Vec<usize> = (0..labels.len()).collect();
    order.sort_by(|a, b| labels[*a].0.total_cmp(&labels[*b].0));
    let mut places = vec![0.0; labels.len()];
    let mut edge = low;
    for i in &order {
        let (wanted, wide) = labels[*i];
        places[*i] = wanted.max(edge + 0.5 * wide);
        edge = places[*i] + 0.5 * wide + AIR;
    }
    let mut edge = high;
    for i in order.iter().rev() {
        let wide = labels[*i].1;
        places[*i] = places[*i].min(edge - 0.5 * wide);
        edge = places[*i] - 0.5 * wide - AIR;
    }
    (edge + AIR >= low - 1e-9).then_some(places)
}

fn gauge_panel(
    canvas: &Canvas<'_>,
    curve: &[SupplyPoint],
    across: Scale,
    top: f64,
) -> Result<(), PlotError> {
    let gauge = Trace {
        name: "gauge",
        points: curve.iter().map(|p| (p.at_s, p.gauge_kpa)).collect(),
        pen: Pen::solid(VERMILLION, 3.5),
    };
    let highest = curve.iter().map(|p| p.gauge_kpa).fold(1.0, f64::max);
    let up = Scale::new((0.0, 1.12 * highest), (top + PANEL, top));
    grid(canvas, up, "gauge pressure, kPa")?;
    let psi = Scale::new((0.0, 1.12 * highest / KPA_PER_PSI), (top + PANEL, top));
    canvas.text(
        (WIDTH - EDGE, top - 0.85 * BODY),
        "psi",
        Letter::NOTE.held(Hold::Right),
    )?;
    for (value, text) in psi.marks(5) {
        let y = psi.at(value);
        canvas.stroke(&[(RIGHT, y), (RIGHT + 7.0, y)], Pen::solid(GREY, 1.5))?;
        canvas.text((RIGHT + 13.0, y), &text, Letter::BODY)?;
    }
    traces(canvas, &[gauge], across, up, "kPa")
}

fn fluid_panel(
    canvas: &Canvas<'_>,
    curve: &[SupplyPoint],
    across: Scale,
    top: f64,
) -> Result<(), PlotError> {
    let supply: Vec<_> = curve
        .iter()
        .filter_map(|p| Some((p.at_s, p.supply_ml?)))
        .collect();
    let mut lines = Vec::new();
    if !supply.is_empty() {
        lines.push(Trace {
            name: "supply",
            points: supply,
            pen: Pen::solid(BLUE, 3.5),
        });
    }
    lines.push(Trace {
        name: "reservoir",
        points: curve.iter().map(|p| (p.at_s, p.reservoir_ml)).collect(),
        pen: Pen::dashed(INK, 3.0, 12.0, 6.0),
    });
    let highest = lines
        .iter()
        .flat_map(|l| &l.points)
        .map(|p| p.1)
        .fold(1.0, f64::max);
    let up = Scale::new((0.0, 1.12 * highest), (top + PANEL, top));
    grid(canvas, up, "fluid, mL")?;
    traces(canvas, &lines, across, up, "mL")
}

fn grid(canvas: &Canvas<'_>, up: Scale, unit: &str) -> Result<(), PlotError> {
    let top = up.at(f64::INFINITY);
    canvas.text((EDGE, top - 0.85 * BODY), unit, Letter::NOTE)?;
    for (value, text) in up.marks(5) {
        let y = up.at(value);
        let pen = if value == 0.0 {
            Pen::solid(GREY, 1.5)
        } else {
            Pen::solid(HAIR, 1.2)
        };
        canvas.stroke(&[(LEFT, y), (RIGHT, y)], pen)?;
        canvas.text((LEFT - 9.0, y), &text, Letter::BODY.held(Hold::Right))?;
    }
    Ok(())
}

/// Draws the lines; each is named at its start, with its first and last figure.
fn traces(
    canvas: &Canvas<'_>,
    lines: &[Trace],
    across: Scale,
    up: Scale,
    unit: &str,
) -> Result<(), PlotError> {
    for line in lines {
        let places: Vec<Place> = line
            .points
            .iter()
            .map(|(s, v)| (across.at(s / 60.0), up.at(*v)))
            .collect();
        canvas.stroke(&thinned(places), line.pen)?;
    }
    let mut taken: Vec<f64> = Vec::new();
    for line in lines {
        let (Some(first), Some(last)) = (line.points.first(), line.points.last()) else {
            continue;
        };
        let text = format!(
            "{}: {} {unit} at the start, {} at the end",
            line.name,
            number(first.1),
            number(last.1)
        );
        let mut y = up.at(first.1) - 0.8 * BODY;
        while taken.iter().any(|t| (t - y).abs() < 1.2 * BODY) {
            y -= 1.2 * BODY;
        }
        taken.push(y);
        let text = lettering::shortened(&text, Letter::BODY, RIGHT - LEFT - 12.0);
        canvas.text(
            (LEFT + 10.0, y),
            &text,
            Letter::BODY.coloured(line.pen.colour),
        )?;
    }
    Ok(())
}
