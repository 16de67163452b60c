//! The clearing curves: what the technician sees in the clear hose, opening by opening.
//!
//! One strip an opening, drawn like the hose itself: old fluid below the curve, new fluid above.

use super::PlotError;
use super::canvas::{Canvas, Head, Place, sheet, thinned};
use super::lettering;
use super::scale::Scale;
use super::style::{
    BODY, EDGE, GREY, HAIR, Hold, INK, Letter, MOST_ROWS, NAME, NEW, OLD, Pen, VERMILLION, WIDTH,
};
use super::words::{TIE, clean_at, mark, number, of_scenario, pass_of, rows_left_out, shown};
use crate::job::record::{Opening, Record};

const LEFT: f64 = EDGE + 78.0;
const RIGHT: f64 = WIDTH - EDGE - 6.0;
const STRIP: f64 = 120.0;
const LINE: f64 = 1.4 * NAME;
/// From the last line of words to the strip, and from the strip to the next words.
const AIR: (f64, f64) = (12.0, 22.0);
const DIAMOND: Pen = Pen::solid(VERMILLION, 3.0);

/// What stands before a piece of the words above a strip.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Marker {
    None,
    Square,
    Diamond,
}

/// A strip with the words above it, broken into lines.
struct Strip<'a> {
    opening: &'a Opening,
    lines: Vec<Vec<(Marker, String, Letter)>>,
}

impl<'a> Strip<'a> {
    fn new(opening: &'a Opening) -> Self {
        let room = WIDTH - 2.0 * EDGE;
        let name = format!("{}{}", shown(&opening.bleeder), pass_of(opening));
        let closed = format!(
            "closed at {}{TIE}mL: {}",
            number(opening.drained_ml),
            opening.closed_by.words()
        );
        let diamond = if opening.clean_at_ml.is_some() { Marker::Diamond } else { Marker::None };
        let pieces = [
            (Marker::None, lettering::shortened(&name, Letter::NAME, room), Letter::NAME),
            (diamond, clean_at(opening), Letter::BODY),
            (Marker::Square, closed, Letter::BODY),
        ];
        let whole: f64 = pieces.iter().map(|p| width(p) + BETWEEN).sum::<f64>() - BETWEEN;
        let pieces = pieces.to_vec();
        let lines = if whole <= room {
            vec![pieces]
        } else {
            // The name on a line of its own; the marks together if they can be.
            let (name, marks) = pieces.split_at(1);
            let marks_wide: f64 = marks.iter().map(|p| width(p) + BETWEEN).sum::<f64>() - BETWEEN;
            let mut lines = vec![name.to_vec()];
            if marks_wide <= room {
                lines.push(marks.to_vec());
            } else {
                lines.extend(marks.iter().map(|m| vec![m.clone()]));
            }
            lines
        };
        Self { opening, lines }
    }

    fn height(&self) -> f64 {
        LINE * self.lines.len() as f64 + AIR.0 + STRIP + AIR.1
    }
}

const BETWEEN: f64 = 16.0;
const MARKER: f64 = 24.0;

fn width((marker, text, letter): &(Marker, String, Letter)) -> f64 {
    let before = if *marker == Marker::None { 0.0 } else { MARKER };
    before + lettering::width(text, *letter)
}

/// With what the clear hose is put on, as the first curve shows it.
fn put_on(record: &Record) -> &'static str {
    match record.openings.iter().find_map(|o| o.curve.first()).map(|p| p.seen_old_fraction) {
        None => "",
        Some(seen) if seen < 0.5 => ", put on full of new",
        Some(_) => ", put on full of old",
    }
}

/// Draws the picture.
pub(super) fn draw(record: &Record) -> Result<String, PlotError> {
    let strips: Vec<Strip<'_>> = record.openings.iter().take(MOST_ROWS).map(Strip::new).collect();
    let head = Head::new(
        "How each bleeder ran clear",
        &of_scenario(record),
        &format!(
            "Old fluid (amber) and new fluid (blue) in the clear hose{}. Below the dashed line it looks clean.",
            put_on(record)
        ),
    );
    let top = head.bottom();
    let bottom = top + strips.iter().map(Strip::height).sum::<f64>();
    let note = rows_left_out(record.openings.len(), "openings");
    let height = bottom + 3.2 * BODY + if note.is_some() { 1.5 * BODY } else { 0.0 };
    let longest = strips.iter().map(|s| s.opening.drained_ml).fold(1.0, f64::max);
    let across = Scale::new((0.0, longest * 1.02), (LEFT, RIGHT));

    sheet(height, "How each bleeder ran clear", |canvas| {
        canvas.head(&head)?;
        let mut y = top;
        for strip in &strips {
            draw_strip(canvas, strip, y, across)?;
            y += strip.height();
        }
        for (value, text) in across.marks(6) {
            canvas.text(
                (across.at(value), bottom + 0.3 * BODY),
                &text,
                Letter::BODY.held(Hold::Middle),
            )?;
        }
        let below = (0.5 * (LEFT + RIGHT), bottom + 1.8 * BODY);
        canvas.text(below, "drained at this bleeder, mL", Letter::NOTE.held(Hold::Middle))?;
        if let Some(note) = &note {
            canvas.text((EDGE, bottom + 3.4 * BODY), note, Letter::NOTE)?;
        }
        Ok(())
    })
}

fn draw_strip(
    canvas: &Canvas<'_>,
    strip: &Strip<'_>,
    top: f64,
    across: Scale,
) -> Result<(), PlotError> {
    let opening = strip.opening;
    for (i, line) in strip.lines.iter().enumerate() {
        words(canvas, line, top + LINE * (i as f64 + 0.5))?;
    }
    let ceiling = top + LINE * strip.lines.len() as f64 + AIR.0;
    let floor = ceiling + STRIP;
    let up = Scale::new((0.0, 1.0), (floor, ceiling));
    let end = across.at(opening.drained_ml);

    let curve: Vec<Place> = opening
        .curve
        .iter()
        .filter(|p| p.drained_ml.is_finite() && p.seen_old_fraction.is_finite())
        .map(|p| (across.at(p.drained_ml), up.at(p.seen_old_fraction)))
        .collect();
    let curve = thinned(curve);
    canvas.block((LEFT, ceiling), (end, floor), NEW)?;
    if let (Some(first), Some(last)) = (curve.first(), curve.last()) {
        let mut area: Vec<Place> = vec![(first.0, floor)];
        area.extend_from_slice(&curve);
        area.push((last.0, floor));
        canvas.fill(&area, OLD)?;
    }
    for (value, _) in across.marks(6) {
        let x = across.at(value);
        canvas.stroke(&[(x, floor), (x, floor + 7.0)], Pen::solid(GREY, 1.5))?;
    }
    canvas.stroke(&[(LEFT, floor), (RIGHT, floor)], Pen::solid(GREY, 1.5))?;
    canvas.stroke(&[(end, ceiling), (RIGHT, ceiling)], Pen::solid(HAIR, 1.0))?;
    canvas.stroke(&curve, Pen::solid(INK, 3.0))?;

    up_axis(canvas, opening.threshold, up)?;
    let level = up.at(opening.threshold);
    canvas.stroke(&[(LEFT, level), (RIGHT, level)], Pen::dashed(INK, 2.0, 9.0, 6.0))?;
    canvas.stroke(&[(end, ceiling), (end, floor)], Pen::solid(INK, 2.0))?;
    canvas.square((end, up.at(opening.seen_old_fraction)), 6.5, INK)?;
    match opening.clean_at_ml {
        Some(at) => canvas.diamond((across.at(at), level), 8.0, DIAMOND),
        None => Ok(()),
    }
}

fn words(canvas: &Canvas<'_>, line: &[(Marker, String, Letter)], y: f64) -> Result<(), PlotError> {
    let mut x = EDGE;
    for piece in line {
        let (marker, text, letter) = piece;
        let middle = (x + 8.0, y + 1.0);
        match marker {
            Marker::None => {}
            Marker::Square => canvas.square(middle, 6.5, INK)?,
            Marker::Diamond => canvas.diamond(middle, 8.0, DIAMOND)?,
        }
        let before = if *marker == Marker::None { 0.0 } else { MARKER };
        canvas.text((x + before, y), text, *letter)?;
        x += width(piece) + BETWEEN;
    }
    Ok(())
}

/// The percentages at the left edge: the ends, and the threshold in bold.
fn up_axis(canvas: &Canvas<'_>, threshold: f64, up: Scale) -> Result<(), PlotError> {
    let level = up.at(threshold);
    let letter = Letter::NOTE.held(Hold::Right);
    for value in [0.0, 1.0] {
        if (up.at(value) - level).abs() > BODY {
            canvas.text((LEFT - 9.0, up.at(value)), &mark(value), letter)?;
        }
    }
    let bold = Letter { bold: true, ..Letter::BODY.held(Hold::Right) };
    canvas.text((LEFT - 9.0, level), &mark(threshold), bold)
}
