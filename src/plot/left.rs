//! What stays behind: old fluid and boiling point, part by part.

use super::PlotError;
use super::canvas::{Canvas, Head, sheet};
use super::lettering;
use super::scale::Scale;
use super::style::{
    BLUE, BODY, EDGE, GREY, HAIR, Hold, INK, Letter, MOST_ROWS, NEW, OLD, PAPER, Pen, WIDTH,
};
use super::words::{of_scenario, percent, rows_left_out, shown};
use crate::job::record::{PartLeft, Record};

const ROW: f64 = 37.0;
const BARS: (f64, f64) = (238.0, 408.0);
const DOTS: (f64, f64) = (520.0, 640.0);

/// Draws the picture.
pub(super) fn draw(record: &Record) -> Result<String, PlotError> {
    let left = &record.left;
    let parts: Vec<&PartLeft> = left.parts.iter().take(MOST_ROWS).collect();
    let head = Head::new(
        "What stays behind, part by part",
        &of_scenario(record),
        &format!(
            "In the whole system {} old fluid. Lowest boiling point {:.0} °C, in {}.",
            percent(left.old_fraction),
            left.lowest_boiling_c,
            lettering::shortened(&shown(&left.lowest_boiling_part), Letter::NOTE, 8.0 * BODY)
        ),
    );
    let top = head.bottom() + 2.0 * BODY;
    let bottom = top + ROW * parts.len() as f64;
    let note = rows_left_out(left.parts.len(), "parts");
    let height = bottom + 2.2 * BODY + if note.is_some() { 1.5 * BODY } else { 0.0 };

    let boiling = || parts.iter().map(|p| p.boiling_c).filter(|c| c.is_finite());
    let (lowest, highest) = (
        boiling().fold(f64::INFINITY, f64::min),
        boiling().fold(f64::NEG_INFINITY, f64::max),
    );
    let air = 5.0_f64.max(0.15 * (highest - lowest));
    let degrees = Scale::new((lowest - air, highest + air), DOTS);
    let share = Scale::new((0.0, 1.0), BARS);

    sheet(height, "What stays behind, part by part", |canvas| {
        canvas.head(&head)?;
        let letter = Letter {
            bold: true,
            ..Letter::BODY
        };
        canvas.text((BARS.0, top - 0.9 * BODY), "old fluid, %", letter)?;
        canvas.text(
            (WIDTH - EDGE, top - 0.9 * BODY),
            "boiling point, °C",
            letter.held(Hold::Right),
        )?;
        for (value, _) in degrees.marks(3) {
            let x = degrees.at(value);
            canvas.stroke(&[(x, top), (x, bottom)], Pen::solid(HAIR, 1.2))?;
        }
        for (i, part) in parts.iter().enumerate() {
            row(canvas, part, top + ROW * i as f64, share, degrees)?;
        }
        for value in [0.0, 0.5, 1.0] {
            let x = share.at(value);
            canvas.stroke(&[(x, bottom), (x, bottom + 7.0)], Pen::solid(GREY, 1.5))?;
            canvas.text(
                (x, bottom + 1.1 * BODY),
                &format!("{:.0}", 100.0 * value),
                Letter::NOTE.held(Hold::Middle),
            )?;
        }
        for (value, text) in degrees.marks(3) {
            canvas.text(
                (degrees.at(value), bottom + 1.1 * BODY),
                &text,
                Letter::NOTE.held(Hold::Middle),
            )?;
        }
        if let Some(note) = &note {
            canvas.text((EDGE, bottom + 2.6 * BODY), note, Letter::NOTE)?;
        }
        Ok(())
    })
}

fn row(
    canvas: &Canvas<'_>,
    part: &PartLeft,
    top: f64,
    share: Scale,
    degrees: Scale,
) -> Result<(), PlotError> {
    let y = top + 0.5 * ROW;
    let name = lettering::shortened(&shown(&part.part), Letter::BODY, BARS.0 - EDGE - 14.0);
    canvas.text((EDGE, y), &name, Letter::BODY)?;

    let (ceiling, floor) = (y - 0.34 * ROW, y + 0.34 * ROW);
    let edge = share.at(part.old_fraction);
    canvas.block((BARS.0, ceiling), (BARS.1, floor), NEW)?;
    canvas.block((BARS.0, ceiling), (edge, floor), OLD)?;
    canvas.stroke(&[(edge, ceiling), (edge, floor)], Pen::solid(INK, 2.5))?;
    canvas.text((BARS.1 + 8.0, y), &percent(part.old_fraction), Letter::BODY)?;

    if part.boiling_c.is_finite() {
        let x = degrees.at(part.boiling_c);
        canvas.stroke(&[(DOTS.0, y), (DOTS.1, y)], Pen::solid(HAIR, 1.2))?;
        canvas.square((x, y), 8.0, PAPER)?;
        canvas.square((x, y), 6.5, BLUE)?;
        canvas.text(
            (WIDTH - EDGE, y),
            &format!("{:.0}", part.boiling_c),
            Letter::BODY.held(Hold::Right),
        )?;
    }
    Ok(())
}
