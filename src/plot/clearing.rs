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
use super::words::{
    clean_at, closed_by, number, of_scenario, pass_of, percent, rows_left_out, shown,
};
use crate::job::record::{Opening, Record};

const LEFT: f64 = EDGE + 84.0;
const RIGHT: f64 = WIDTH - EDGE - 6.0;
const STRIP: f64 = 128.0;
const PITCH: f64 = STRIP + 1.6 * NAME + 26.0;

/// Draws the picture.
pub(super) fn draw(record: &Record) -> Result<String, PlotError> {
    let shown: Vec<&Opening> = record.openings.iter().take(MOST_ROWS).collect();
    let head = Head::new(
        "How each bleeder ran clear",
        &of_scenario(record),
        "Old fluid in the clear hose against the millilitres drained at this bleeder: amber old, blue new. \
         Below the dashed line it looks clean.",
    );
    let top = head.bottom();
    let bottom = top + PITCH * shown.len() as f64;
    let note = rows_left_out(record.openings.len(), "openings");
    let height = bottom + 78.0 + if note.is_some() { 1.5 * BODY } else { 0.0 };
    let longest = shown.iter().map(|o| o.drained_ml).fold(1.0, f64::max);
    let across = Scale::new((0.0, longest * 1.02), (LEFT, RIGHT));

    sheet(height, "How each bleeder ran clear", |canvas| {
        canvas.head(&head)?;
        for (i, opening) in shown.iter().enumerate() {
            strip(canvas, opening, top + PITCH * i as f64, across, longest)?;
        }
        for (value, text) in across.marks(6) {
            canvas.text(
                (across.at(value), bottom - 4.0),
                &text,
                Letter::BODY.held(Hold::Middle),
            )?;
        }
        canvas.text(
            (0.5 * (LEFT + RIGHT), bottom + 28.0),
            "drained at this bleeder, mL",
            Letter::NOTE.held(Hold::Middle),
        )?;
        if let Some(note) = &note {
            canvas.text((EDGE, bottom + 28.0 + 1.5 * BODY), note, Letter::NOTE)?;
        }
        Ok(())
    })
}

fn strip(
    canvas: &Canvas<'_>,
    opening: &Opening,
    top: f64,
    across: Scale,
    longest: f64,
) -> Result<(), PlotError> {
    let ceiling = top + 1.6 * NAME;
    let floor = ceiling + STRIP;
    let up = Scale::new((0.0, 1.0), (floor, ceiling));
    let end = across.at(opening.drained_ml);

    let name = format!("{}{}", shown(&opening.bleeder), pass_of(opening));
    let name = lettering::shortened(&name, Letter::NAME, RIGHT - EDGE);
    canvas.text((EDGE, top + 0.8 * NAME), &name, Letter::NAME)?;

    let curve = thinned(
        opening
            .curve
            .iter()
            .map(|p| (across.at(p.drained_ml), up.at(p.seen_old_fraction)))
            .collect(),
    );
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
    canvas.stroke(
        &[(LEFT, level), (RIGHT, level)],
        Pen::dashed(INK, 2.0, 9.0, 6.0),
    )?;
    marks(
        canvas,
        opening,
        across,
        up,
        opening.drained_ml > 0.55 * longest,
    )
}

/// The percentages at the left edge: the ends, and the threshold in bold.
fn up_axis(canvas: &Canvas<'_>, threshold: f64, up: Scale) -> Result<(), PlotError> {
    let level = up.at(threshold);
    let letter = Letter::NOTE.held(Hold::Right);
    for value in [0.0, 1.0] {
        if (up.at(value) - level).abs() > BODY {
            canvas.text((LEFT - 9.0, up.at(value)), &percent(value), letter)?;
        }
    }
    let bold = Letter {
        bold: true,
        ..Letter::BODY.held(Hold::Right)
    };
    canvas.text((LEFT - 9.0, level), &percent(threshold), bold)
}

/// Closing point and clean-at point, each named at the side where there is room.
fn marks(
    canvas: &Canvas<'_>,
    opening: &Opening,
    across: Scale,
    up: Scale,
    to_the_left: bool,
) -> Result<(), PlotError> {
    let end = across.at(opening.drained_ml);
    let (ceiling, floor) = (up.at(1.0), up.at(0.0));
    let seen = up.at(opening.seen_old_fraction);
    canvas.stroke(&[(end, ceiling), (end, floor)], Pen::solid(INK, 2.0))?;
    canvas.square((end, seen), 6.5, INK)?;
    let diamond = Pen::solid(VERMILLION, 3.0);
    if let Some(at) = opening.clean_at_ml {
        canvas.diamond((across.at(at), up.at(opening.threshold)), 8.0, diamond)?;
    }

    let lines = [
        format!(
            "closed at {} mL: {}",
            number(opening.drained_ml),
            closed_by(opening.closed_by)
        ),
        clean_at(opening),
    ];
    for (i, text) in lines.iter().enumerate() {
        let y = ceiling + BODY * (0.75 + 1.35 * i as f64);
        let (marker, x, hold) = if to_the_left {
            (end - 20.0, end - 36.0, Hold::Right)
        } else {
            (end + 20.0, end + 36.0, Hold::Left)
        };
        let room = if to_the_left { x - LEFT } else { RIGHT - x };
        let text = lettering::shortened(text, Letter::BODY, room);
        canvas.text((x, y), &text, Letter::BODY.held(hold))?;
        if i == 0 {
            canvas.square((marker, y), 6.5, INK)?;
        } else if opening.clean_at_ml.is_some() {
            canvas.diamond((marker, y), 8.0, diamond)?;
        }
    }
    Ok(())
}
