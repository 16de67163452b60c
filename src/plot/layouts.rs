//! Layouts side by side: millilitres drained with the far wheel first and with the near wheel first.

use super::canvas::{Canvas, Head, sheet};
use super::lettering;
use super::scale::Scale;
use super::scheme;
use super::style::{BLUE, BODY, EDGE, GREEN, Hold, INK, Letter, MOST_ROWS, Pen, WIDTH};
use super::words::{TIE, number, rows_left_out, share, titled};
use super::{Pictured, Pictures, PlotError};
use crate::measures::Units;
use crate::study::compare::Fleet;
use crate::study::layouts::{Layout, Layouts, Run};

const BAR: f64 = 26.0;
/// From one layout to the next.
const GAP: f64 = 20.0;
/// Where the bars begin and the longest ends, from where the names of the orders begin and from the right edge.
const BARS: (f64, f64) = (60.0, EDGE + 230.0);
const LINE: f64 = 1.4 * BODY;

/// A layout, its title broken into lines.
struct LayoutBars<'a> {
    layout: &'a Layout,
    /// Where its words begin: beside the schemes, if any is drawn.
    left: f64,
    bleeders: String,
    title: Vec<String>,
}

impl<'a> LayoutBars<'a> {
    fn new(layout: &'a Layout, left: f64) -> Self {
        let bleeders = match layout.bleeders {
            1 => format!("1{TIE}bleeder"),
            n => format!("{n}{TIE}bleeders"),
        };
        let room = WIDTH - EDGE - left - lettering::width(&bleeders, Letter::NOTE) - BODY;
        let title = lettering::wrapped(&titled(&layout.title, &layout.set), Letter::NAME, room, 2);
        Self { layout, left, bleeders, title }
    }

    fn height(&self) -> f64 {
        LINE * self.title.len().max(1) as f64 + 2.0 * BAR + GAP
    }
}

impl Pictured for Layouts {
    fn pictures() -> Pictures<Self> {
        vec![("layouts", draw)]
    }
}

impl Pictured for Fleet {
    fn pictures() -> Pictures<Self> {
        vec![("layouts", |answer, units| draw(&answer.0.layouts, units))]
    }
}

/// Draws the picture.
fn draw(answer: &Layouts, _: Units) -> Result<String, PlotError> {
    const HEADING: &str = "Far wheel first, near wheel first";
    let rows = &answer.layouts[..answer.layouts.len().min(MOST_ROWS)];
    let schemes = rows.iter().any(|l| l.hangs.is_some());
    let left = if schemes { EDGE + scheme::SIZE.0 + 16.0 } else { EDGE };
    let head = Head::new(
        HEADING,
        "The new fluid that each layout takes, and the old fluid left in it",
        &format!(
            "{}Bars: mL of new fluid until every bleeder is closed, far wheel first above near wheel first. {}",
            if answer.partial { "PARTIAL: interrupted, layouts are missing. " } else { "" },
            if schemes { scheme::HOW } else { "" }
        ),
    );
    let top = head.bottom();
    let rows: Vec<LayoutBars<'_>> = rows.iter().map(|l| LayoutBars::new(l, left)).collect();
    let bottom = top + rows.iter().map(LayoutBars::height).sum::<f64>();
    let note = rows_left_out(answer.layouts.len(), "layouts");
    let height = bottom + if note.is_some() { 1.8 * BODY } else { 0.0 };
    let most = rows
        .iter()
        .flat_map(|r| [&r.layout.far_first, &r.layout.near_first])
        .map(|r| r.totals.new_fluid_ml)
        .fold(0.0, f64::max);
    let across = Scale::new((0.0, most), (left + BARS.0, WIDTH - BARS.1));

    sheet(height, HEADING, |canvas| {
        canvas.head(&head)?;
        let mut y = top;
        for row in &rows {
            draw_row(canvas, row, y, across)?;
            y += row.height();
        }
        if let Some(note) = &note {
            canvas.text((EDGE, bottom + 0.6 * BODY), note, Letter::NOTE)?;
        }
        Ok(())
    })
}

fn draw_row(
    canvas: &Canvas<'_>,
    row: &LayoutBars<'_>,
    top: f64,
    across: Scale,
) -> Result<(), PlotError> {
    let LayoutBars { layout, left, bleeders, title } = row;
    let left = *left;
    if let Some(hangs) = &layout.hangs {
        scheme::draw(canvas, (EDGE, top), hangs)?;
    }
    for (i, line) in title.iter().enumerate() {
        canvas.text((left, top + 0.6 * BODY + LINE * i as f64), line, Letter::NAME)?;
    }
    canvas.text((WIDTH - EDGE, top + 0.6 * BODY), bleeders, Letter::NOTE.held(Hold::Right))?;
    let y = top + LINE * title.len().max(1) as f64;
    bar(canvas, ("far", &layout.far_first), (left, y), across, BLUE)?;
    bar(canvas, ("near", &layout.near_first), (left, y + BAR), across, GREEN)?;
    let begin = left + BARS.0;
    canvas.stroke(&[(begin, y), (begin, y + 2.0 * BAR)], Pen::solid(INK, 1.5))
}

fn bar(
    canvas: &Canvas<'_>,
    (first, run): (&str, &Run),
    (left, top): (f64, f64),
    across: Scale,
    colour: plotters::style::RGBColor,
) -> Result<(), PlotError> {
    let middle = top + 0.5 * BAR;
    let end = across.at(run.totals.new_fluid_ml);
    canvas.text((left, middle), first, Letter::BODY)?;
    canvas.block((left + BARS.0, top + 1.5), (end, top + BAR - 1.5), colour)?;
    canvas.text(
        (end + 8.0, middle),
        &format!("{}{TIE}mL", number(run.totals.new_fluid_ml)),
        Letter::BODY,
    )?;
    let old = format!("{} old", share(run.left.old_fraction));
    canvas.text((WIDTH - EDGE, middle), &old, Letter::NOTE.held(Hold::Right))
}
