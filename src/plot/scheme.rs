//! A car from above, front up: which wheel hangs on which chamber of the master cylinder.

use super::PlotError;
use super::canvas::{Canvas, Spot};
use super::style::{BAND, GREY, INK, PURPLE, Pen};
use crate::study::scheme::Hang;

/// Room that it takes: right, down.
pub(super) const SIZE: Spot = (74.0, 86.0);
/// A wheel, half its sides.
const WHEEL: Spot = (6.0, 11.0);
/// From one circuit's line to the other's, where both run.
const APART: f64 = 9.0;

/// How to read it.
pub(super) const HOW: &str =
    "Schemes, front up: solid lines hang on one chamber, dashed on the other.";

/// The two circuits.
fn pen(chamber: usize) -> Pen {
    match chamber {
        0 => Pen::solid(INK, 2.6),
        _ => Pen::dashed(PURPLE, 3.2, 5.0, 3.0),
    }
}

/// Draws it with its upper left corner at `at`.
pub(super) fn draw(canvas: &Canvas<'_>, at: Spot, hangs: &[Hang]) -> Result<(), PlotError> {
    let (left, right) = (at.0 + WHEEL.0, at.0 + SIZE.0 - WHEEL.0);
    let middle = 0.5 * (left + right);
    let (top, bottom) = (at.1, at.1 + SIZE.1);
    let (front, rear) = (top + 24.0, bottom - 17.0);
    let nose = 12.0;
    let body = [
        (left + nose + 4.0, top),
        (right - nose - 4.0, top),
        (right - 9.0, top + nose),
        (right - 9.0, bottom),
        (left + 9.0, bottom),
        (left + 9.0, top + nose),
    ];
    canvas.fill(&body, BAND)?;
    let wheel = |i: usize| {
        (if i.is_multiple_of(2) { left } else { right }, if i < 2 { front } else { rear })
    };
    for i in 0..4 {
        let (x, y) = wheel(i);
        canvas.block((x - WHEEL.0, y - WHEEL.1), (x + WHEEL.0, y + WHEEL.1), GREY)?;
    }
    let side = |chamber: usize| if chamber == 0 { -0.5 * APART } else { 0.5 * APART };
    for hang in hangs {
        for &chamber in &hang.chambers {
            let (x, y) = wheel(hang.wheel);
            let inner = if x < middle { x + WHEEL.0 } else { x - WHEEL.0 };
            let (trunk, y) = (middle + side(chamber), y + side(chamber));
            canvas.stroke(&[(trunk, top + 8.0), (trunk, y), (inner, y)], pen(chamber))?;
        }
    }
    for chamber in 0..2 {
        let x = middle + side(chamber);
        canvas.square((x, top + 7.0), 0.5 * APART - 0.7, pen(chamber).colour)?;
    }
    Ok(())
}
