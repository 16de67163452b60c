//! The clearing curves: what the technician sees in the clear hose, opening by opening.
//!
//! One strip an opening, drawn like the hose itself: old fluid below the curve, new fluid above.

use crate::job::record::{Opening, Record};
use crate::plot::PlotError;
use crate::plot::canvas::{Canvas, Head, Spot, sheet, thinned};
use crate::plot::lettering;
use crate::plot::scale::Scale;
use crate::plot::style::{
    BODY, EDGE, GREY, HAIR, Hold, INK, Letter, MOST_ROWS, NAME, NEW, OLD, ON_AREA, Pen, VERMILLION,
    WIDTH,
};
use crate::plot::words::{TIE, clean_at, mark, number, of_scenario, rows_left_out, shown, turn};

const LEFT: f64 = EDGE + 78.0;
const RIGHT: f64 = WIDTH - EDGE - 6.0;
/// From the percentages to the strip: a diamond at its beginning has room.
const LABEL: f64 = 14.0;
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

/// A piece of the words above a strip.
type Piece = (Marker, String, Letter);

/// A strip with the words above it.
struct Strip<'a> {
    opening: &'a Opening,
    /// Name, from where on it looked clean, where it was closed.
    words: [Piece; 3],
}

impl<'a> Strip<'a> {
    fn new(openings: &'a [Opening], i: usize) -> Self {
        let opening = &openings[i];
        let name = format!("{}{}", shown(&opening.bleeder), turn(openings, i));
        let closed = format!(
            "closed at {}{TIE}mL: {}",
            number(opening.drained_ml),
            opening.closed_by.words()
        );
        let diamond = if opening.clean_at_ml.is_some() { Marker::Diamond } else { Marker::None };
        let words = [
            (Marker::None, lettering::shortened(&name, Letter::NAME, ROOM), Letter::NAME),
            (diamond, clean_at(opening), Letter::BODY),
            (Marker::Square, closed, Letter::BODY),
        ];
        Self { opening, words }
    }
}

const ROOM: f64 = WIDTH - 2.0 * EDGE;

/// How many of a strip's words stand on each of its lines: the same in all strips, so that they line up.
fn breaks(strips: &[Strip<'_>]) -> &'static [usize] {
    let fits = |from: usize, to: usize| {
        strips.iter().all(|s| {
            let wide: f64 = s.words[from..to].iter().map(|p| width(p) + BETWEEN).sum();
            wide - BETWEEN <= ROOM
        })
    };
    match (fits(0, 3), fits(1, 3)) {
        (true, _) => &[3],
        (false, true) => &[1, 2],
        (false, false) => &[1, 1, 1],
    }
}

fn height(breaks: &[usize]) -> f64 {
    LINE * breaks.len() as f64 + AIR.0 + STRIP + AIR.1
}

const BETWEEN: f64 = 16.0;
const MARKER: f64 = 24.0;

fn width((marker, text, letter): &Piece) -> f64 {
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
    let openings = &record.openings;
    let strips: Vec<Strip<'_>> =
        (0..openings.len().min(MOST_ROWS)).map(|i| Strip::new(openings, i)).collect();
    let breaks = breaks(&strips);
    let head = Head::new(
        "How each bleeder ran clear",
        &of_scenario(record),
        &format!(
            "Old fluid (amber) and new fluid (blue) in the clear hose{}. Below the dashed line it looks clean.",
            put_on(record)
        ),
    );
    let top = head.bottom();
    let bottom = top + height(breaks) * strips.len() as f64;
    let note = rows_left_out(openings.len(), "openings");
    let whole = bottom + 3.2 * BODY + if note.is_some() { 1.5 * BODY } else { 0.0 };
    let longest = strips.iter().map(|s| s.opening.drained_ml).fold(1.0, f64::max);
    let across = Scale::new((0.0, longest * 1.02), (LEFT, RIGHT));

    sheet(whole, "How each bleeder ran clear", |canvas| {
        canvas.head(&head)?;
        for (i, strip) in strips.iter().enumerate() {
            draw_strip(canvas, strip, breaks, top + height(breaks) * i as f64, across)?;
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
    breaks: &[usize],
    top: f64,
    across: Scale,
) -> Result<(), PlotError> {
    let opening = strip.opening;
    let mut rest = &strip.words[..];
    for (i, n) in breaks.iter().enumerate() {
        let (line, others) = rest.split_at((*n).min(rest.len()));
        words(canvas, line, top + LINE * (i as f64 + 0.5))?;
        rest = others;
    }
    let ceiling = top + LINE * breaks.len() as f64 + AIR.0;
    let floor = ceiling + STRIP;
    let up = Scale::new((0.0, 1.0), (floor, ceiling));
    let end = across.at(opening.drained_ml);

    let curve: Vec<Spot> = opening
        .curve
        .iter()
        .filter(|p| p.drained_ml.is_finite() && p.seen_old_fraction.is_finite())
        .map(|p| (across.at(p.drained_ml), up.at(p.seen_old_fraction)))
        .collect();
    let curve = thinned(curve);
    canvas.block((LEFT, ceiling), (end, floor), NEW)?;
    if let (Some(first), Some(last)) = (curve.first(), curve.last()) {
        let mut area: Vec<Spot> = vec![(first.0, floor)];
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
    canvas.stroke(&curve, Pen::solid(ON_AREA, 3.0))?;

    up_axis(canvas, opening.threshold, up)?;
    let level = up.at(opening.threshold);
    canvas.stroke(&[(LEFT, level), (end, level)], Pen::dashed(ON_AREA, 2.0, 9.0, 6.0))?;
    canvas.stroke(&[(end, level), (RIGHT, level)], Pen::dashed(INK, 2.0, 9.0, 6.0))?;
    canvas.stroke(&[(end, ceiling), (end, floor)], Pen::solid(INK, 2.0))?;
    // At the top, where the diamond never is.
    canvas.mark((end, ceiling), 6.5)?;
    match opening.clean_at_ml {
        Some(at) => canvas.diamond((across.at(at), level), 8.0, DIAMOND),
        None => Ok(()),
    }
}

fn words(canvas: &Canvas<'_>, line: &[Piece], y: f64) -> Result<(), PlotError> {
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
            canvas.text((LEFT - LABEL, up.at(value)), &mark(value), letter)?;
        }
    }
    let bold = Letter { bold: true, ..Letter::BODY.held(Hold::Right) };
    canvas.text((LEFT - LABEL, level), &mark(threshold), bold)
}
