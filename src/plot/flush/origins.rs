//! Where each bleeder's millilitres came from: one bar an opening, its pieces named beneath it.

use crate::job::record::{Opening, Record};
use crate::measures::Units;
use crate::plot::PlotError;
use crate::plot::canvas::{Canvas, Head, sheet};
use crate::plot::lettering;
use crate::plot::scale::Scale;
use crate::plot::style::{
    BLUE, BODY, EDGE, GREEN, GREY, Hold, Letter, MOST_ROWS, NAME, NEW, NEW_RIM, ON_AREA, ON_DEEP,
    PAPER, PURPLE, Pen, VERMILLION, VIOLET, WIDTH, YELLOW,
};
use crate::plot::words::{number, of_scenario, rows_left_out, shown, turn, volume};
use plotters::style::RGBColor;

/// Height of a bar: in one column, in two.
const BARS: [f64; 2] = [46.0, 34.0];
const LINE: f64 = 1.4 * BODY;
const SWATCH: f64 = 16.0;
const BETWEEN: f64 = 20.0;
const GAP: f64 = 22.0;
/// From how many bars on they stand in two columns.
const TWO: usize = 6;
const BETWEEN_COLUMNS: f64 = 28.0;
/// An origin's colour, the same in every picture, and whether lettering on it is light.
fn colour_of(origin: &str) -> (RGBColor, bool) {
    match origin {
        "reservoir" => (VIOLET, true),
        "master cylinder" => (VERMILLION, false),
        "shared line" => (BLUE, true),
        "own line" => (GREEN, false),
        "hydraulic modulator" => (YELLOW, false),
        "another circuit" => (GREY, true),
        // Calipers and wheel cylinders.
        _ => (PURPLE, false),
    }
}

/// A piece of a bar.
struct Piece {
    name: &'static str,
    ml: f64,
    colour: RGBColor,
    light: bool,
    new: bool,
}

/// A bar with the words beneath it, broken into lines.
struct Bar<'a> {
    opening: &'a Opening,
    name: String,
    pieces: Vec<Piece>,
    lines: Vec<Vec<usize>>,
    high: f64,
}

impl Bar<'_> {
    fn height(&self) -> f64 {
        1.5 * NAME + self.high + 8.0 + LINE * self.lines.len() as f64 + GAP
    }
}

/// Draws the picture.
pub(super) fn draw(record: &Record, units: Units) -> Result<String, PlotError> {
    let openings = &record.openings;
    let shown = openings.len().min(MOST_ROWS);
    let columns = if shown < TWO { 1 } else { 2 };
    let wide = match columns {
        1 => WIDTH - 2.0 * EDGE,
        _ => 0.5 * (WIDTH - 2.0 * EDGE - BETWEEN_COLUMNS),
    };
    let bars: Vec<Bar<'_>> = (0..shown).map(|i| bar(openings, i, wide)).collect();
    let columns: Vec<&[Bar<'_>]> = bars.chunks(shown.div_ceil(columns).max(1)).collect();
    let head = Head::new(
        "Where the drained millilitres came from",
        &of_scenario(record),
        "One bar a bleeder, in the order closed; all figures in mL.",
    );
    let note = rows_left_out(record.openings.len(), "openings");
    let foot = if note.is_some() { 1.5 * BODY } else { 0.0 };
    let high = |column: &&[Bar<'_>]| column.iter().map(Bar::height).sum::<f64>();
    let highest = columns.iter().map(high).fold(0.0, f64::max);
    let height = head.bottom() + highest + foot + 6.0;
    let longest = bars.iter().map(|b| b.opening.drained_ml).fold(1.0, f64::max);

    sheet(height, "Where the drained millilitres came from", |canvas| {
        canvas.head(&head)?;
        for (i, column) in columns.iter().enumerate() {
            let left = EDGE + (wide + BETWEEN_COLUMNS) * i as f64;
            // The same scale for all.
            let across = Scale::new((0.0, longest), (left, left + wide));
            let mut top = head.bottom();
            for bar in *column {
                draw_bar(canvas, bar, (left, top, wide), (across, units))?;
                top += bar.height();
            }
        }
        if let Some(note) = &note {
            canvas.text((EDGE, head.bottom() + highest), note, Letter::NOTE)?;
        }
        Ok(())
    })
}

fn bar(openings: &[Opening], i: usize, room: f64) -> Bar<'_> {
    let opening = &openings[i];
    let pieces: Vec<Piece> = opening
        .origins_ml
        .iter()
        .filter(|(_, ml)| *ml > 0.0)
        .map(|(name, ml)| {
            let (colour, light) = colour_of(name);
            let new = is_new(name);
            Piece {
                name,
                ml: *ml,
                colour: if new { NEW } else { colour },
                light: light && !new,
                new,
            }
        })
        .collect();
    let mut lines: Vec<Vec<usize>> = vec![Vec::new()];
    let mut used = 0.0;
    // In a narrow column there is no line for what cannot be seen in the bar.
    let narrow = room < 0.5 * WIDTH;
    let told = |p: &Piece| p.ml >= 0.05 || !narrow;
    for (i, piece) in pieces.iter().enumerate().filter(|(_, p)| told(p)) {
        let wide = SWATCH + 8.0 + lettering::width(&words(piece), Letter::BODY) + BETWEEN;
        if used > 0.0 && used + wide - BETWEEN > room {
            lines.push(Vec::new());
            used = 0.0;
        }
        used += wide;
        if let Some(line) = lines.last_mut() {
            line.push(i);
        }
    }
    let name = format!("{}{}", shown(&opening.bleeder), turn(openings, i));
    Bar { opening, name, pieces, lines, high: BARS[usize::from(narrow)] }
}

fn is_new(origin: &str) -> bool {
    origin == "new fluid"
}

fn words(piece: &Piece) -> String {
    if piece.ml < 0.05 {
        format!("{} under 0.1", piece.name)
    } else {
        format!("{} {}", piece.name, number(piece.ml))
    }
}

fn draw_bar(
    canvas: &Canvas<'_>,
    bar: &Bar<'_>,
    (left, top, wide): (f64, f64, f64),
    (across, units): (Scale, Units),
) -> Result<(), PlotError> {
    // Where the name would be cut, millilitres are enough.
    let name_takes = lettering::width(&bar.name, Letter::NAME) + 14.0;
    let total =
        [volume(bar.opening.drained_ml, units), volume(bar.opening.drained_ml, Units::Metric)]
            .into_iter()
            .find(|t| name_takes + lettering::width(t, Letter::NAME) + BETWEEN <= wide)
            .unwrap_or_else(|| volume(bar.opening.drained_ml, Units::Metric));
    let room = wide - lettering::width(&total, Letter::NAME) - BETWEEN;
    let name = lettering::shortened(&bar.name, Letter::NAME, room);
    let y = top + 0.7 * NAME;
    canvas.text((left, y), &name, Letter::NAME)?;
    let after = left + lettering::width(&name, Letter::NAME) + 14.0;
    canvas.text((after, y), &total, Letter { bold: false, ..Letter::NAME })?;

    let (ceiling, floor) = (top + 1.5 * NAME, top + 1.5 * NAME + bar.high);
    let mut sum = 0.0;
    for piece in &bar.pieces {
        let (from, to) = (across.at(sum), across.at(sum + piece.ml));
        sum += piece.ml;
        canvas.block((from, ceiling), (to, floor), piece.colour)?;
        if piece.new {
            // On a narrow piece as much of the rim as it has room for.
            let wide = (0.25 * (to - from)).clamp(0.8, 3.0);
            let inset = 1.25 * f64::from(to - from > 8.0) + 0.5 * wide;
            let (left, right) = (from + inset, (to - inset).max(from + inset));
            let (top, bottom) = (ceiling + 0.5 * wide, floor - 0.5 * wide);
            canvas.frame((left, top), (right, bottom), Pen::solid(NEW_RIM, wide))?;
        }
        // A thin piece would vanish behind it.
        if to - from > 5.0 {
            canvas.stroke(&[(to, ceiling), (to, floor)], Pen::solid(PAPER, 2.5))?;
        }
        let figure = number(piece.ml);
        let letter =
            Letter::BODY.held(Hold::Middle).coloured(if piece.light { ON_DEEP } else { ON_AREA });
        if lettering::width(&figure, letter) + 8.0 < to - from {
            canvas.text((0.5 * (from + to), 0.5 * (ceiling + floor)), &figure, letter)?;
        }
    }

    for (i, line) in bar.lines.iter().enumerate() {
        let y = floor + 8.0 + LINE * (i as f64 + 0.5);
        let mut x = left;
        for piece in line.iter().map(|i| &bar.pieces[*i]) {
            let corner = (x + SWATCH, y + 0.5 * SWATCH);
            canvas.block((x, y - 0.5 * SWATCH), corner, piece.colour)?;
            canvas.frame(
                (x, y - 0.5 * SWATCH),
                corner,
                Pen::solid(if piece.new { NEW_RIM } else { GREY }, 1.5),
            )?;
            let text = words(piece);
            canvas.text((x + SWATCH + 8.0, y), &text, Letter::BODY)?;
            x += SWATCH + 8.0 + lettering::width(&text, Letter::BODY) + BETWEEN;
        }
    }
    Ok(())
}
