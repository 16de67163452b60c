//! The clearing curves: what the technician sees in the clear hose, opening by opening.
//!
//! One strip an opening, drawn like the hose itself: old fluid below the curve, new fluid above. Many stand in two
//! columns, on one scale.

use crate::job::record::{Opening, Record};
use crate::measures::Units;
use crate::plot::PlotError;
use crate::plot::canvas::{Canvas, Head, Spot, sheet, thinned};
use crate::plot::lettering;
use crate::plot::scale::Scale;
use crate::plot::style::{
    BODY, EDGE, GREY, HAIR, Hold, INK, Letter, NAME, NEW, OLD, ON_AREA, Pen, VERMILLION, WIDTH,
};
use crate::plot::words::{clean_at, left_out, mark, of_scenario, shown, turn, volume};

/// From the edge of a column to its strips, where the percentages stand, and from the strips to its other edge.
const LEFT: f64 = 78.0;
const RIGHT: f64 = 6.0;
/// From the percentages to the strip: a diamond at its beginning has room.
const LABEL: f64 = 14.0;
/// Strips shown, and from how many on they stand in two columns.
const MOST: usize = 16;
const TWO: usize = 6;
const BETWEEN_COLUMNS: f64 = 28.0;
/// From the last line of words to the strip, and from the strip to the next words.
const AIR: (f64, f64) = (12.0, 18.0);
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

/// How the strips stand: how wide a column is, how high a strip.
#[derive(Clone, Copy)]
struct Sheet {
    columns: usize,
    wide: f64,
    strip: f64,
    line: f64,
}

impl Sheet {
    fn new(strips: usize) -> Self {
        let whole = WIDTH - 2.0 * EDGE;
        match strips {
            TWO.. => Self {
                columns: 2,
                wide: 0.5 * (whole - BETWEEN_COLUMNS),
                strip: 54.0,
                line: 1.2 * NAME,
            },
            _ => Self { columns: 1, wide: whole, strip: 120.0, line: 1.4 * NAME },
        }
    }

    fn rows(self, strips: usize) -> usize {
        strips.div_ceil(self.columns)
    }

    /// Left edge of a column.
    fn edge(self, column: usize) -> f64 {
        EDGE + (self.wide + BETWEEN_COLUMNS) * column as f64
    }

    /// Millilitres along a strip: the same scale for all.
    fn across(self, column: usize, longest: f64) -> Scale {
        let edge = self.edge(column);
        Scale::new((0.0, longest * 1.02), (edge + LEFT, edge + self.wide - RIGHT))
    }

    fn marks(self) -> usize {
        if self.columns == 1 { 6 } else { 4 }
    }
}

impl<'a> Strip<'a> {
    fn new(openings: &'a [Opening], i: usize, room: f64, units: Units) -> Self {
        let opening = &openings[i];
        let name = format!("{}{}", shown(&opening.bleeder), turn(openings, i));
        let (at, why) = (volume(opening.drained_ml, units), opening.closed_by.words());
        let whole = format!("closed at {at}: {why}");
        // In a narrow column the marker says that it was closed, and in the end the figure is enough.
        let fits = |text: &String| lettering::width(text, Letter::BODY) <= room - MARKER;
        let closed = [whole, format!("{at}: {why}"), at].into_iter().find(fits).unwrap_or_default();
        let diamond = if opening.clean_at_ml.is_some() { Marker::Diamond } else { Marker::None };
        let words = [
            (Marker::None, name, Letter::NAME),
            (diamond, clean_at(opening), Letter::BODY),
            (Marker::Square, closed, Letter::BODY),
        ]
        .map(|(marker, text, letter)| {
            let before = if marker == Marker::None { 0.0 } else { MARKER };
            (marker, lettering::shortened(&text, letter, room - before), letter)
        });
        Self { opening, words }
    }
}

/// How many of a strip's words stand on each of its lines: the same in all strips, so that they line up.
fn breaks(strips: &[Strip<'_>], room: f64) -> &'static [usize] {
    let fits = |from: usize, to: usize| {
        strips.iter().all(|s| {
            let wide: f64 = s.words[from..to].iter().map(|p| width(p) + BETWEEN).sum();
            wide - BETWEEN <= room
        })
    };
    match (fits(0, 3), fits(1, 3)) {
        (true, _) => &[3],
        (false, true) => &[1, 2],
        (false, false) => &[1, 1, 1],
    }
}

fn height(breaks: &[usize], layout: Sheet) -> f64 {
    layout.line * breaks.len() as f64 + AIR.0 + layout.strip + AIR.1
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
pub(super) fn draw(record: &Record, units: Units) -> Result<String, PlotError> {
    let openings = &record.openings;
    let shown = openings.len().min(MOST);
    let layout = Sheet::new(shown);
    let strips: Vec<Strip<'_>> =
        (0..shown).map(|i| Strip::new(openings, i, layout.wide, units)).collect();
    let rows = layout.rows(shown);
    let breaks = breaks(&strips, layout.wide);
    let each = height(breaks, layout);
    let head = Head::new(
        "How each bleeder ran clear",
        &of_scenario(record),
        &format!(
            "Old fluid (amber) and new fluid (blue) in the clear hose{}. Below the dashed line it looks clean. Square: closed.",
            put_on(record)
        ),
    );
    let top = head.bottom();
    let bottom = top + each * rows as f64;
    let note = left_out(openings.len(), MOST, "openings");
    let whole = bottom + 3.2 * BODY + if note.is_some() { 1.5 * BODY } else { 0.0 };
    let longest = strips.iter().map(|s| s.opening.drained_ml).fold(1.0, f64::max);

    sheet(whole, "How each bleeder ran clear", |canvas| {
        canvas.head(&head)?;
        for (i, strip) in strips.iter().enumerate() {
            let (column, row) = (i / rows, i % rows);
            let place = (layout.edge(column), top + each * row as f64);
            draw_strip(canvas, strip, breaks, place, (layout, layout.across(column, longest)))?;
        }
        for column in 0..layout.columns {
            let across = layout.across(column, longest);
            for (value, text) in across.marks(layout.marks()) {
                let at = (across.at(value), bottom + 0.3 * BODY);
                canvas.text(at, &text, Letter::BODY.held(Hold::Middle))?;
            }
            let below = (layout.edge(column) + 0.5 * (layout.wide + LEFT), bottom + 1.8 * BODY);
            let text = if layout.columns == 1 {
                "drained at this bleeder, mL"
            } else {
                "drained there, mL"
            };
            canvas.text(below, text, Letter::NOTE.held(Hold::Middle))?;
        }
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
    (edge, top): Spot,
    (layout, across): (Sheet, Scale),
) -> Result<(), PlotError> {
    let (left, right) = (edge + LEFT, edge + layout.wide - RIGHT);
    let opening = strip.opening;
    let mut rest = &strip.words[..];
    for (i, n) in breaks.iter().enumerate() {
        let (line, others) = rest.split_at((*n).min(rest.len()));
        words(canvas, line, (edge, top + layout.line * (i as f64 + 0.5)))?;
        rest = others;
    }
    let ceiling = top + layout.line * breaks.len() as f64 + AIR.0;
    let floor = ceiling + layout.strip;
    let up = Scale::new((0.0, 1.0), (floor, ceiling));
    let end = across.at(opening.drained_ml);

    let curve: Vec<Spot> = opening
        .curve
        .iter()
        .filter(|p| p.drained_ml.is_finite() && p.seen_old_fraction.is_finite())
        .map(|p| (across.at(p.drained_ml), up.at(p.seen_old_fraction)))
        .collect();
    let curve = thinned(curve);
    canvas.block((left, ceiling), (end, floor), NEW)?;
    if let (Some(first), Some(last)) = (curve.first(), curve.last()) {
        let mut area: Vec<Spot> = vec![(first.0, floor)];
        area.extend_from_slice(&curve);
        area.push((last.0, floor));
        canvas.fill(&area, OLD)?;
    }
    for (value, _) in across.marks(layout.marks()) {
        let x = across.at(value);
        canvas.stroke(&[(x, floor), (x, floor + 7.0)], Pen::solid(GREY, 1.5))?;
    }
    canvas.stroke(&[(left, floor), (right, floor)], Pen::solid(GREY, 1.5))?;
    canvas.stroke(&[(end, ceiling), (right, ceiling)], Pen::solid(HAIR, 1.0))?;
    canvas.stroke(&curve, Pen::solid(ON_AREA, 3.0))?;

    up_axis(canvas, opening.threshold, left, up)?;
    let level = up.at(opening.threshold);
    canvas.stroke(&[(left, level), (end, level)], Pen::dashed(ON_AREA, 2.0, 9.0, 6.0))?;
    canvas.stroke(&[(end, level), (right, level)], Pen::dashed(INK, 2.0, 9.0, 6.0))?;
    canvas.stroke(&[(end, ceiling), (end, floor)], Pen::solid(INK, 2.0))?;
    // At the top, where the diamond never is.
    canvas.mark((end, ceiling), 6.5)?;
    match opening.clean_at_ml {
        Some(at) => canvas.diamond((across.at(at), level), 8.0, DIAMOND),
        None => Ok(()),
    }
}

fn words(canvas: &Canvas<'_>, line: &[Piece], (edge, y): Spot) -> Result<(), PlotError> {
    let mut x = edge;
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
fn up_axis(canvas: &Canvas<'_>, threshold: f64, left: f64, up: Scale) -> Result<(), PlotError> {
    let level = up.at(threshold);
    let letter = Letter::NOTE.held(Hold::Right);
    for value in [0.0, 1.0] {
        if (up.at(value) - level).abs() > BODY {
            canvas.text((left - LABEL, up.at(value)), &mark(value), letter)?;
        }
    }
    let bold = Letter { bold: true, ..Letter::BODY.held(Hold::Right) };
    canvas.text((left - LABEL, level), &mark(threshold), bold)
}
