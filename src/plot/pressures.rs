//! A pressure sweep: minutes above, millilitres below, the vehicle's limit, other supplies at the edge.

use super::canvas::{Canvas, Head, Spot, sheet};
use super::labels;
use super::lettering;
use super::scale::Scale;
use super::style::{
    BLUE, BLUE_WORDS, BODY, EDGE, GREY, HAIR, Hold, INK, Letter, PAPER, Pen, VERMILLION,
    VERMILLION_WORDS, WIDTH,
};
use super::words::{TIE, number, shown, titled};
use super::{Pictured, Pictures, PlotError};
use crate::measures::{KPA_PER_PSI, Units};
use crate::study::pressures::{Point, Pressures};
use plotters::style::RGBColor;

const LEFT: f64 = EDGE + 62.0;
const PANEL: f64 = 230.0;
/// Room for the names of other supplies.
const SIDE: f64 = 312.0;

/// One line of a panel.
struct Line {
    name: &'static str,
    of: fn(&Point) -> f64,
    colour: RGBColor,
    words: RGBColor,
}

/// A panel: what it shows, its lines, and how a figure is written.
struct Panel {
    title: &'static str,
    lines: Vec<Line>,
    figure: fn(f64) -> String,
}

fn panels(units: Units) -> [Panel; 2] {
    [
        Panel {
            title: "minutes with a bleeder open",
            lines: vec![Line {
                name: "",
                of: |p| p.totals.flow_seconds / 60.0,
                colour: VERMILLION,
                words: VERMILLION_WORDS,
            }],
            figure: |minutes| {
                let seconds = (60.0 * minutes).round();
                format!("{:.0}:{:02.0}{TIE}min", (seconds / 60.0).floor(), seconds % 60.0)
            },
        },
        Panel {
            // Figures beside the lines leave no room for both units.
            title: match units {
                Units::Metric => "mL of new fluid; old fluid left",
                Units::Us => "mL of new fluid; old fluid left (1 US fl oz: 29.6 mL)",
            },
            lines: vec![
                Line {
                    name: "new fluid",
                    of: |p| p.totals.new_fluid_ml,
                    colour: BLUE,
                    words: BLUE_WORDS,
                },
                Line { name: "old fluid left", of: |p| p.left.old_ml, colour: INK, words: INK },
            ],
            figure: |ml| format!("{}{TIE}mL", number(ml)),
        },
    ]
}

impl Pictured for Pressures {
    fn pictures() -> Pictures<Self> {
        vec![("pressures", draw)]
    }
}

/// Draws the picture.
fn draw(answer: &Pressures, units: Units) -> Result<String, PlotError> {
    const HEADING: &str = "What the gauge pressure changes";
    let swept: Vec<&Point> = answer.points.iter().filter(|p| p.swept).collect();
    let others: Vec<&Point> = answer.points.iter().filter(|p| !p.swept).collect();
    let mut how = Vec::new();
    if answer.partial {
        how.push("PARTIAL: interrupted, jobs are missing.");
    }
    if !others.is_empty() {
        how.push("Diamonds: other supplies, at the top edge if beyond the scale.");
    }
    if swept.iter().any(|p| p.stopped()) {
        how.push("Hollow squares: the job would have to be stopped.");
    }
    let head = Head::new(HEADING, &titled(&answer.title, &answer.set), &how.join(" "));
    let right = if others.is_empty() { WIDTH - EDGE - 16.0 } else { WIDTH - EDGE - SIDE };
    let gauges = || swept.iter().filter_map(|p| p.gauge_kpa);
    let highest = gauges().fold(answer.limit_kpa.unwrap_or(0.0), f64::max).max(1.0);
    // A limit far beyond the range would squeeze it.
    let most = gauges().fold(1.0, f64::max);
    let highest = if highest > 1.6 * most && most > 1.0 { most } else { highest };
    let across = Scale::new((0.0, 1.04 * highest / KPA_PER_PSI), (LEFT, right));
    let panels = panels(units);
    // The title of a panel, and below it the word at the limit.
    let first = head.bottom() + 2.4 * BODY;
    let next = PANEL + 3.4 * BODY;
    let floor = first + next + PANEL;
    let below = if units == Units::Us { 3.7 } else { 5.0 };
    sheet(floor + below * BODY, HEADING, |canvas| {
        canvas.head(&head)?;
        for (i, panel) in panels.iter().enumerate() {
            let top = first + next * i as f64;
            canvas.text((EDGE, top - 1.8 * BODY), panel.title, Letter::NOTE)?;
            draw_panel(canvas, panel, answer, (&swept, &others), across, (top, right))?;
        }
        axis(canvas, (across, units), floor, right)
    })
}

/// The gauge below the lower panel, in psi and, among metric units, kPa.
fn axis(
    canvas: &Canvas<'_>,
    (across, units): (Scale, Units),
    floor: f64,
    right: f64,
) -> Result<(), PlotError> {
    let metric = units == Units::Metric;
    canvas.text((EDGE, floor + 1.1 * BODY), "psi", Letter::NOTE)?;
    if metric {
        canvas.text((EDGE, floor + 2.4 * BODY), "kPa", Letter::NOTE)?;
    }
    for (value, text) in across.marks(5) {
        let x = across.at(value);
        canvas.stroke(&[(x, floor), (x, floor + 7.0)], Pen::solid(GREY, 1.5))?;
        canvas.text((x, floor + 1.1 * BODY), &text, Letter::BODY.held(Hold::Middle))?;
        if metric {
            let kpa = format!("{:.0}", value * KPA_PER_PSI);
            canvas.text((x, floor + 2.4 * BODY), &kpa, Letter::NOTE.held(Hold::Middle))?;
        }
    }
    let down = if metric { 3.8 } else { 2.5 };
    let below = (0.5 * (LEFT + right), floor + down * BODY);
    canvas.text(below, "gauge pressure", Letter::NOTE.held(Hold::Middle))
}

fn draw_panel(
    canvas: &Canvas<'_>,
    panel: &Panel,
    answer: &Pressures,
    (swept, others): (&[&Point], &[&Point]),
    across: Scale,
    (top, right): (f64, f64),
) -> Result<(), PlotError> {
    let all = |points: &[&Point]| -> f64 {
        let each = panel.lines.iter().flat_map(|l| points.iter().map(|p| (l.of)(p)));
        each.filter(|v| v.is_finite()).fold(0.0, f64::max)
    };
    // A supply that takes ten times as long is drawn at the edge, with its figure.
    let high = if swept.is_empty() {
        all(others)
    } else {
        all(swept).max(all(others).min(1.25 * all(swept)))
    };
    let up = Scale::new((0.0, 1.16 * high.max(1e-6)), (top + PANEL, top));
    for (value, text) in up.marks(5) {
        let y = up.at(value);
        let pen = if value == 0.0 { Pen::solid(GREY, 1.5) } else { Pen::solid(HAIR, 1.2) };
        canvas.stroke(&[(LEFT, y), (right, y)], pen)?;
        canvas.text((LEFT - 9.0, y), &text, Letter::BODY.held(Hold::Right))?;
    }
    limit(canvas, answer, across, (top, right))?;
    let at = |p: &Point, v: f64| -> Option<Spot> {
        Some((across.at(p.gauge_kpa? / KPA_PER_PSI), up.at(v)))
    };
    let mut paths: Vec<Vec<Spot>> = Vec::new();
    for line in &panel.lines {
        let path: Vec<Spot> = swept.iter().filter_map(|p| at(p, (line.of)(p))).collect();
        canvas.stroke(&path, Pen::solid(line.colour, 3.5))?;
        if path.len() <= 30 {
            for (place, p) in path.iter().zip(swept) {
                mark(canvas, *place, p.stopped(), line.colour)?;
            }
        }
        paths.push(path);
    }
    // Lettering keeps clear of the limit too.
    if let Some(kpa) = answer.limit_kpa {
        let x = across.at(kpa / KPA_PER_PSI);
        paths.push(vec![(x, top), (x, top + PANEL)]);
    }
    names(canvas, panel, swept, &paths, (top, right))?;
    edge(canvas, panel, others, up, (top, right))
}

/// A filled square; hollow where the job had to be stopped.
fn mark(canvas: &Canvas<'_>, at: Spot, stopped: bool, colour: RGBColor) -> Result<(), PlotError> {
    canvas.square(at, 5.5, colour)?;
    if stopped { canvas.square(at, 2.8, PAPER) } else { Ok(()) }
}

fn limit(
    canvas: &Canvas<'_>,
    answer: &Pressures,
    across: Scale,
    (top, right): (f64, f64),
) -> Result<(), PlotError> {
    let Some(kpa) = answer.limit_kpa else { return Ok(()) };
    let x = across.at(kpa / KPA_PER_PSI);
    if x >= right - 1.0 {
        return Ok(());
    }
    canvas.stroke(&[(x, top), (x, top + PANEL)], Pen::dashed(INK, 2.0, 8.0, 5.0))?;
    canvas.text((x + 6.0, top - 0.7 * BODY), "limit", Letter::BODY.held(Hold::Right))
}

/// Each line's first and last figure beside it.
fn names(
    canvas: &Canvas<'_>,
    panel: &Panel,
    swept: &[&Point],
    paths: &[Vec<Spot>],
    (top, right): (f64, f64),
) -> Result<(), PlotError> {
    let (Some(first), Some(last)) = (swept.first(), swept.last()) else { return Ok(()) };
    let mut texts = Vec::new();
    for line in &panel.lines {
        let (from, to) = ((panel.figure)((line.of)(first)), (panel.figure)((line.of)(last)));
        // The unit once.
        let bare = from.split(TIE).next().unwrap_or(&from);
        let figures = if from == to { from.clone() } else { format!("{bare} to {to}") };
        texts.push(format!("{} {figures}", line.name).trim().to_owned());
    }
    let sizes: Vec<_> = texts
        .iter()
        .enumerate()
        .map(|(i, t)| (i, lettering::width(t, Letter::BODY), 1.3 * BODY))
        .collect();
    let places = labels::beside(paths, &sizes, ((LEFT, top), (right, top + PANEL)), &[]);
    for ((text, place), line) in texts.iter().zip(places).zip(&panel.lines) {
        canvas.text(place, text, Letter::BODY.held(Hold::Middle).coloured(line.words))?;
    }
    Ok(())
}

/// Other supplies: a diamond at the right edge, name and figure beside it, pushed apart.
fn edge(
    canvas: &Canvas<'_>,
    panel: &Panel,
    others: &[&Point],
    up: Scale,
    (top, right): (f64, f64),
) -> Result<(), PlotError> {
    // The first line of a panel: of two, the figures of the second are in the table.
    let Some(line) = panel.lines.first() else { return Ok(()) };
    let wanted: Vec<(f64, f64)> =
        others.iter().map(|p| (up.at((line.of)(p)), 1.15 * BODY)).collect();
    let Some(places) = labels::apart(&wanted, top - 0.6 * BODY, top + PANEL + 0.6 * BODY) else {
        return canvas.text((right + 24.0, top + BODY), "others: see table", Letter::NOTE);
    };
    for ((p, (y, _)), place) in others.iter().zip(&wanted).zip(places) {
        let figure = (panel.figure)((line.of)(p));
        let room = WIDTH - EDGE - right - 34.0 - lettering::width(&figure, Letter::BODY) - 6.0;
        let name = lettering::shortened(&shown(&p.supply), Letter::BODY, room);
        canvas.stroke(&[(right + 10.0, *y), (right + 28.0, place)], Pen::solid(GREY, 1.2))?;
        canvas.diamond((right + 8.0, *y), 7.0, Pen::solid(line.colour, 2.5))?;
        canvas.text((right + 32.0, place), &format!("{name} {figure}"), Letter::BODY)?;
    }
    Ok(())
}
