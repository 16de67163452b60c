//! Ranges over random draws: millilitres to clean and minutes at each bleeder.

use crate::measures::Units;
use crate::plot::PlotError;
use crate::plot::canvas::{Canvas, Head, Spot, sheet};
use crate::plot::lettering;
use crate::plot::scale::Scale;
use crate::plot::style::{
    BLUE, BODY, EDGE, GREEN, GREY, HAIR, Hold, INK, Letter, MOST_ROWS, Pen, WIDTH,
};
use crate::plot::words::{TIE, rows_left_out, shown, titled};
use crate::study::spread::{BleederSpread, Spread};
use plotters::style::RGBColor;

/// From one bleeder to the next: with a name of one line or of two, and with a longer one above the range.
const ROWS: [f64; 3] = [46.0, 62.0, 70.0];
const LINE: f64 = 1.2 * BODY;
/// Half the height of a range.
const HALF: f64 = 8.0;
/// Where the axes begin and end.
const AXIS: (f64, f64) = (150.0, 480.0);
const GAP: f64 = 30.0;
/// Room for a name beside the range.
const BESIDE: f64 = AXIS.0 - EDGE - 14.0;

/// One of the two panels.
struct Panel {
    name: &'static str,
    of: fn(&BleederSpread) -> [Option<f64>; 3],
    show: fn(f64) -> String,
    colour: RGBColor,
}

const PANELS: [Panel; 2] = [
    Panel {
        name: "mL drained until it looks clean",
        of: |b| [b.clean_at_ml_p10, b.clean_at_ml_p50, b.clean_at_ml_p90],
        show: |ml| format!("{ml:.0}"),
        colour: BLUE,
    },
    Panel {
        name: "Minutes with the bleeder open",
        of: |b| [b.seconds_p10, b.seconds_p50, b.seconds_p90].map(|s| s.map(|s| s / 60.0)),
        show: clock,
        colour: GREEN,
    },
];

/// Minutes as minutes and seconds, 4:05.
fn clock(minutes: f64) -> String {
    let all = (60.0 * minutes).round();
    format!("{:.0}:{:02.0}", (all / 60.0).floor(), all % 60.0)
}

/// Draws the picture.
pub(super) fn draw(answer: &Spread, _: Units) -> Result<String, PlotError> {
    const HEADING: &str = "How much and how long: ranges";
    let rows = &answer.bleeders[..answer.bleeders.len().min(MOST_ROWS)];
    let how = format!(
        "{}Upright mark: half of {} random draws need no more. Bar: from what 10{TIE}% to what 90{TIE}% need at most.{}",
        partly(answer),
        answer.draws,
        if rows.iter().any(unbounded) {
            " Arrow: more than one draw in ten never runs clean."
        } else {
            ""
        }
    );
    let head = Head::new(HEADING, &titled(&answer.title, &answer.set), &how);
    let top = head.bottom() + 0.4 * BODY;
    let lines = |b: &BleederSpread| lettering::wrapped(&shown(&b.bleeder), Letter::BODY, BESIDE, 3);
    let row = ROWS[rows.iter().map(|b| lines(b).len()).max().unwrap_or(1).clamp(1, 3) - 1];
    let panel = 1.6 * BODY + row * rows.len() as f64 + 1.6 * BODY + GAP;
    let note = rows_left_out(answer.bleeders.len(), "bleeders");
    let bottom = if rows.is_empty() { top } else { top + 2.0 * panel };
    let height = bottom + if note.is_some() { 1.8 * BODY } else { 0.0 };

    sheet(height, HEADING, |canvas| {
        canvas.head(&head)?;
        for (i, of) in PANELS.iter().enumerate().filter(|_| !rows.is_empty()) {
            draw_panel(canvas, of, rows, (top + panel * i as f64, row))?;
        }
        if let Some(note) = &note {
            canvas.text((EDGE, bottom), note, Letter::NOTE)?;
        }
        Ok(())
    })
}

fn unbounded(b: &BleederSpread) -> bool {
    b.clean_at_ml_p90.is_none()
}

/// What a partial answer says of itself.
pub(super) fn partly(answer: &Spread) -> String {
    match (answer.partial, answer.draws_wanted) {
        (false, _) => String::new(),
        (true, None) => "PARTIAL: interrupted. ".to_owned(),
        (true, Some(wanted)) => {
            let few = if answer.bleeders.is_empty() { ", too few to show ranges" } else { "" };
            format!("PARTIAL: interrupted after {} of {wanted} draws{few}. ", answer.draws)
        }
    }
}

fn draw_panel(
    canvas: &Canvas<'_>,
    panel: &Panel,
    rows: &[BleederSpread],
    (top, height): (f64, f64),
) -> Result<(), PlotError> {
    canvas.text((EDGE, top + 0.5 * BODY), panel.name, Letter::NAME)?;
    canvas.text(
        (WIDTH - EDGE, top + 0.5 * BODY),
        &format!("10 / 50 / 90{TIE}%"),
        Letter::NOTE.held(Hold::Right),
    )?;
    let most = rows.iter().flat_map(panel.of).flatten().fold(0.0, f64::max);
    let across = Scale::new((0.0, 1.04 * most), AXIS);
    let (first, last) = (top + 1.6 * BODY, top + 1.6 * BODY + height * rows.len() as f64);
    for (value, text) in across.marks(5) {
        let x = across.at(value);
        canvas.stroke(&[(x, first), (x, last)], Pen::solid(HAIR, 1.2))?;
        canvas.text((x, last + 0.8 * BODY), &text, Letter::NOTE.held(Hold::Middle))?;
    }
    for (i, row) in rows.iter().enumerate() {
        let y = first + height * (i as f64 + 0.5);
        let name = shown(&row.bleeder);
        let mut below = y;
        if height < ROWS[2] {
            let lines = lettering::wrapped(&name, Letter::BODY, BESIDE, 2);
            for (k, line) in lines.iter().enumerate() {
                let above = 0.5 * (lines.len() as f64 - 1.0) - k as f64;
                canvas.text((EDGE, y - LINE * above), line, Letter::BODY)?;
            }
        } else {
            below = y + 0.22 * height;
            let name = lettering::shortened(&name, Letter::BODY, WIDTH - 2.0 * EDGE);
            canvas.patched((EDGE, y - 0.2 * height), &name, Letter::BODY)?;
        }
        draw_range(canvas, panel, (panel.of)(row), below, across)?;
    }
    Ok(())
}

fn draw_range(
    canvas: &Canvas<'_>,
    panel: &Panel,
    range: [Option<f64>; 3],
    y: f64,
    across: Scale,
) -> Result<(), PlotError> {
    let told: Vec<String> =
        range.iter().map(|q| q.map_or("never".to_owned(), panel.show)).collect();
    let [low, middle, high] = range;
    if let Some(low) = low {
        let from = across.at(low);
        let to = high.map_or(AXIS.1, |high| across.at(high));
        canvas.block((from, y - HALF), (to.max(from + 2.0), y + HALF), panel.colour)?;
        if high.is_none() {
            arrow(canvas, (AXIS.1, y), panel.colour)?;
        }
        if let Some(middle) = middle {
            let x = across.at(middle);
            canvas.rimmed(&[(x, y - 1.8 * HALF), (x, y + 1.8 * HALF)], Pen::solid(INK, 4.0))?;
        }
    } else {
        canvas.stroke(&[(AXIS.0, y), (AXIS.1, y)], Pen::dashed(GREY, 2.5, 8.0, 7.0))?;
        arrow(canvas, (AXIS.1, y), GREY)?;
    }
    let text = if low.is_none() { "hardly ever clean".to_owned() } else { told.join(" / ") };
    canvas.text((WIDTH - EDGE, y), &text, Letter::BODY.held(Hold::Right))
}

/// It goes on beyond the axis.
fn arrow(canvas: &Canvas<'_>, (x, y): Spot, colour: RGBColor) -> Result<(), PlotError> {
    canvas.fill(&[(x, y - 15.0), (x + 18.0, y), (x, y + 15.0)], colour)
}
