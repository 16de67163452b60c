//! What stays behind: old fluid and boiling point, part by part.

use crate::job::record::{PartLeft, Record};
use crate::plot::PlotError;
use crate::plot::canvas::{Canvas, Head, sheet};
use crate::plot::lettering;
use crate::plot::scale::Scale;
use crate::plot::style::{
    BLUE, BODY, EDGE, GREY, HAIR, Hold, Letter, MOST_ROWS, NEW, OLD, ON_AREA, PAPER, Pen, WIDTH,
};
use crate::plot::words::{TIE, of_scenario, rows_left_out, share, shown};

/// Height of a bar, of a line of its name, and of the gap between rows.
const BAR: f64 = 25.0;
const LINE: f64 = 1.2 * BODY;
const GAP: f64 = 11.0;
const BARS: (f64, f64) = (250.0, 410.0);
const DOTS: (f64, f64) = (522.0, 640.0);

/// A part with its name broken into lines.
struct PartBar<'a> {
    part: &'a PartLeft,
    name: Vec<String>,
}

impl<'a> PartBar<'a> {
    fn new(part: &'a PartLeft) -> Self {
        let name = lettering::wrapped(&shown(&part.part), Letter::BODY, BARS.0 - EDGE - 14.0, 2);
        Self { part, name }
    }

    fn height(&self) -> f64 {
        GAP + BAR.max(LINE * self.name.len() as f64)
    }
}

/// Draws the picture.
pub(super) fn draw(record: &Record) -> Result<String, PlotError> {
    let left = &record.left;
    let rows: Vec<PartBar<'_>> = left.holding().take(MOST_ROWS).map(PartBar::new).collect();
    let head = Head::new(
        "What stays behind, part by part",
        &of_scenario(record),
        &format!(
            "In the whole system {} old fluid. Lowest boiling point {:.0}{TIE}°C, in {}{}{}.",
            share(left.old_fraction),
            left.lowest_boiling_c,
            if left.lowest_in_pocket() { "the pocket of " } else { "" },
            lettering::shortened(&shown(&left.lowest_boiling_part), Letter::NOTE, 22.0 * BODY),
            left.trapped.as_ref().map_or_else(String::new, |trapped| format!(
                "; {:.0}{TIE}°C where no bleeder reaches",
                trapped.lowest_boiling_c
            ))
        ),
    );
    let top = head.bottom() + 1.8 * BODY;
    let bottom = top + rows.iter().map(PartBar::height).sum::<f64>();
    let note = rows_left_out(left.holding().count(), "parts");
    let height = bottom + 2.0 * BODY + if note.is_some() { 1.5 * BODY } else { 0.0 };

    let boiling = || rows.iter().map(|r| r.part.lowest_boiling_c).filter(|c| c.is_finite());
    let (lowest, highest) =
        (boiling().fold(f64::INFINITY, f64::min), boiling().fold(f64::NEG_INFINITY, f64::max));
    let air = 5.0_f64.max(0.15 * (highest - lowest));
    let degrees = Scale::new((lowest - air, highest + air), DOTS);
    let shares = Scale::new((0.0, 1.0), BARS);

    sheet(height, "What stays behind, part by part", |canvas| {
        canvas.head(&head)?;
        let letter = Letter { bold: true, ..Letter::BODY };
        canvas.text((BARS.0, top - 0.8 * BODY), "old fluid, %", letter)?;
        canvas.text(
            (WIDTH - EDGE, top - 0.8 * BODY),
            "boils from, °C",
            letter.held(Hold::Right),
        )?;
        let marks = degree_marks(degrees);
        for (value, _) in &marks {
            let x = degrees.at(*value);
            canvas.stroke(&[(x, top), (x, bottom)], Pen::solid(HAIR, 1.2))?;
        }
        let mut y = top;
        for row in &rows {
            draw_row(canvas, row, y, shares, degrees)?;
            y += row.height();
        }
        for value in [0.0, 0.5, 1.0] {
            let x = shares.at(value);
            canvas.stroke(&[(x, bottom), (x, bottom + 7.0)], Pen::solid(GREY, 1.5))?;
            let text = format!("{:.0}", 100.0 * value);
            canvas.text((x, bottom + 1.1 * BODY), &text, Letter::NOTE.held(Hold::Middle))?;
        }
        for (value, text) in &marks {
            let x = degrees.at(*value);
            canvas.text((x, bottom + 1.1 * BODY), text, Letter::NOTE.held(Hold::Middle))?;
        }
        if let Some(note) = &note {
            canvas.text((EDGE, bottom + 2.6 * BODY), note, Letter::NOTE)?;
        }
        Ok(())
    })
}

/// As many marks as have room beside each other, three at most.
fn degree_marks(degrees: Scale) -> Vec<(f64, String)> {
    let apart = |marks: &[(f64, String)]| {
        let half = |text: &str| 0.5 * lettering::width(text, Letter::NOTE);
        marks
            .windows(2)
            .all(|m| degrees.at(m[1].0) - degrees.at(m[0].0) > half(&m[0].1) + half(&m[1].1) + 4.0)
    };
    let mut marks = (2..=6).rev().map(|most| degrees.marks(most)).filter(|m| m.len() <= 3);
    marks.find(|m| apart(m)).unwrap_or_default()
}

fn draw_row(
    canvas: &Canvas<'_>,
    row: &PartBar<'_>,
    top: f64,
    shares: Scale,
    degrees: Scale,
) -> Result<(), PlotError> {
    let part = row.part;
    let y = top + 0.5 * row.height();
    for (i, line) in row.name.iter().enumerate() {
        let above = 0.5 * (row.name.len() as f64 - 1.0) - i as f64;
        canvas.text((EDGE, y - LINE * above), line, Letter::BODY)?;
    }
    let (ceiling, floor) = (y - 0.5 * BAR, y + 0.5 * BAR);
    let edge = shares.at(part.old_fraction);
    canvas.block((BARS.0, ceiling), (BARS.1, floor), NEW)?;
    canvas.block((BARS.0, ceiling), (edge, floor), OLD)?;
    canvas.stroke(&[(edge, ceiling), (edge, floor)], Pen::solid(ON_AREA, 2.5))?;
    canvas.text((BARS.1 + 90.0, y), &share(part.old_fraction), Letter::BODY.held(Hold::Right))?;

    if part.lowest_boiling_c.is_finite() {
        let x = degrees.at(part.lowest_boiling_c);
        canvas.stroke(&[(DOTS.0, y), (DOTS.1, y)], Pen::solid(HAIR, 1.2))?;
        canvas.square((x, y), 8.0, PAPER)?;
        canvas.square((x, y), 6.5, BLUE)?;
        canvas.text(
            (WIDTH - EDGE, y),
            &format!("{:.0}", part.lowest_boiling_c),
            Letter::BODY.held(Hold::Right),
        )?;
    }
    Ok(())
}
