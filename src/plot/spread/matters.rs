//! Which unknown matters most: shares of the variance, the largest at the top, to the side on which more of
//! the unknown moves the answer.

use super::ranges::partly;
use crate::measures::Units;
use crate::plot::PlotError;
use crate::plot::canvas::{Canvas, Head, sheet};
use crate::plot::lettering;
use crate::plot::scale::Scale;
use crate::plot::style::{BLUE, BODY, EDGE, GREY, HAIR, Hold, INK, Letter, PALE, Pen, WIDTH};
use crate::plot::words::{TIE, shown, titled};
use crate::study::chance::sensitivity::{Index, Indices};
use crate::study::spread::{Direction, Matter, Spread};
use plotters::style::RGBColor;

/// More unknowns are summed up in words.
const MOST: usize = 12;
/// Unknowns with a smaller total index are summed up too, but for the first [`FEWEST`].
const LEAST: f64 = 0.005;
const FEWEST: usize = 3;
const BAR: f64 = 25.0;
const LINE: f64 = 1.45 * BODY;
const MIDDLE: f64 = 0.5 * WIDTH;
/// Longest bar or interval.
const REACH: f64 = MIDDLE - EDGE - 6.0;

/// Draws the picture.
pub(super) fn draw(answer: &Spread, _: Units) -> Result<String, PlotError> {
    const HEADING: &str = "Which unknown matters most";
    let of = match answer.matters_for {
        "drained_ml" => "drained",
        _ => "old fluid left",
    };
    let known: Vec<(&Matter, Indices)> =
        answer.matters.iter().filter_map(|m| Some((m, m.indices?.within_a_whole()))).collect();
    let shown_rows = known.iter().take(MOST).take_while(|(_, i)| i.total.value >= LEAST).count();
    let (rows, unseen) = known.split_at(shown_rows.max(known.len().min(FEWEST)));
    let how = match rows.is_empty() {
        true => {
            format!("{}Interrupted before any share of the variance was finished.", partly(answer))
        }
        false => format!(
            "{}Bars: share of the variance of the mL {of} that each unknown makes, estimated from {} draws; thin \
             line: where 19 of 20 resamplings put it.",
            partly(answer),
            answer.draws
        ),
    };
    let head = Head::new(HEADING, &titled(&answer.title, &answer.set), &how);
    let rest = rest(answer, known.len(), unseen);
    let room = WIDTH - 2.0 * EDGE;
    let rest: Vec<String> =
        rest.iter().flat_map(|r| lettering::wrapped(r, Letter::NOTE, room, 2)).collect();
    let sides = head.bottom() + 0.4 * BODY;
    let top = if rows.is_empty() { head.bottom() } else { sides + 3.2 * BODY };
    let rows: Vec<ShareBar<'_>> =
        rows.iter().map(|(matter, indices)| ShareBar::new(matter, indices)).collect();
    let bottom = top + rows.iter().map(ShareBar::height).sum::<f64>();
    let height = bottom + 1.4 * BODY * rest.len() as f64 + 0.5 * EDGE;
    let high = |r: &ShareBar<'_>| r.indices.total.high.max(r.indices.first_order.high);
    let most = rows.iter().map(high).fold(0.05, f64::max);

    sheet(height, HEADING, |canvas| {
        canvas.head(&head)?;
        if !rows.is_empty() {
            for (i, line) in ["the more of it,", &format!("the less is {of}")].iter().enumerate() {
                let y = sides + 1.25 * BODY * i as f64;
                canvas.text((EDGE, y), line, Letter::BODY)?;
            }
            for (i, line) in ["the more of it,", &format!("the more is {of}")].iter().enumerate() {
                let y = sides + 1.25 * BODY * i as f64;
                canvas.text((WIDTH - EDGE, y), line, Letter::BODY.held(Hold::Right))?;
            }
        }
        let mut y = top;
        for row in &rows {
            draw_row(canvas, row, y, most)?;
            y += row.height();
        }
        for (i, line) in rest.iter().enumerate() {
            let y = bottom + BODY * (0.5 + 1.4 * i as f64);
            canvas.text((EDGE, y), line, Letter::NOTE)?;
        }
        Ok(())
    })
}

/// An unknown, its name broken into lines.
struct ShareBar<'a> {
    matter: &'a Matter,
    indices: &'a Indices,
    name: Vec<String>,
}

impl<'a> ShareBar<'a> {
    fn new(matter: &'a Matter, indices: &'a Indices) -> Self {
        let room = WIDTH - 2.0 * EDGE;
        let name = lettering::wrapped(&shown(matter.called()), Letter::NAME, room, 2);
        Self { matter, indices, name }
    }

    fn height(&self) -> f64 {
        LINE * self.name.len().max(1) as f64 + 2.0 * BAR + 16.0
    }
}

/// What is not shown, in words.
fn rest(answer: &Spread, known: usize, unseen: &[(&Matter, Indices)]) -> Vec<String> {
    let mut said = Vec::new();
    if let Some((_, next)) = unseen.first() {
        let n = unseen.len();
        said.push(match percent(next.total.value).as_str() {
            "0" => format!("{n} more: each less than 1{TIE}% with others."),
            size => format!("{n} more: each {size}{TIE}% or less with others."),
        });
    }
    let missing = answer.matters.len() - known;
    if missing > 0 && known > 0 {
        said.push(format!("Not finished, left out: {missing}."));
    }
    said
}

fn draw_row(canvas: &Canvas<'_>, row: &ShareBar<'_>, top: f64, most: f64) -> Result<(), PlotError> {
    let ShareBar { matter, indices, name } = row;
    for (i, line) in name.iter().enumerate() {
        canvas.text((EDGE, top + 0.65 * BODY + LINE * i as f64), line, Letter::NAME)?;
    }
    let y = top + LINE * name.len().max(1) as f64;
    let told = matter.direction != Direction::Untold;
    let (alone, with) = if told { (BLUE, PALE) } else { (GREY, HAIR) };
    let side = if matter.direction == Direction::Falls { -1.0 } else { 1.0 };
    let across = Scale::new((0.0, most), (MIDDLE, MIDDLE + side * REACH));
    bar(canvas, "alone", &indices.first_order, y, across, side, alone)?;
    bar(canvas, "with others", &indices.total, y + BAR, across, side, with)?;
    let axis = [(MIDDLE, y - 2.0), (MIDDLE, y + 2.0 * BAR + 2.0)];
    canvas.stroke(&axis, Pen::solid(INK, 2.0))?;
    if !told {
        let end = across.at(indices.total.high.max(indices.first_order.high));
        let text = "direction not told";
        if WIDTH - EDGE - end > lettering::width(text, Letter::NOTE) + 12.0 {
            canvas.text((WIDTH - EDGE, y + BAR), text, Letter::NOTE.held(Hold::Right))?;
        }
    }
    Ok(())
}

fn bar(
    canvas: &Canvas<'_>,
    name: &str,
    index: &Index,
    top: f64,
    across: Scale,
    side: f64,
    colour: RGBColor,
) -> Result<(), PlotError> {
    let middle = top + 0.5 * BAR;
    let end = across.at(index.value);
    let (left, right) = (MIDDLE.min(end), MIDDLE.max(end));
    canvas.block((left, top + 1.5), (right, top + BAR - 1.5), colour)?;
    let outline = Pen::solid(INK, 1.2);
    canvas.frame((left, top + 1.5), (right, top + BAR - 1.5), outline)?;
    let (low, high) = (across.at(index.low), across.at(index.high));
    for x in [low, high] {
        canvas.rimmed(&[(x, middle - 6.0), (x, middle + 6.0)], Pen::solid(INK, 2.0))?;
    }
    canvas.rimmed(&[(low, middle), (high, middle)], Pen::solid(INK, 2.0))?;
    // The free half says what the bar is.
    let text = format!(
        "{name} {}{TIE}% ({} to {})",
        percent(index.value),
        percent(index.low),
        percent(index.high)
    );
    let hold = if side > 0.0 { Hold::Right } else { Hold::Left };
    canvas.text((MIDDLE - side * 12.0, middle), &text, Letter::BODY.held(hold))
}

/// A share as whole percent.
fn percent(share: f64) -> String {
    format!("{:.0}", 100.0 * share)
}
