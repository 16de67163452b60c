//! What stays behind: the vehicle from above before and after, to scale by volume, and a table axle by axle.

use crate::above::{self, Area, Block, Car};
use crate::circuit::place::Side;
use crate::job::record::region::Region;
use crate::job::record::{Left, PartLeft, Record};
use crate::measures::Units;
use crate::plot::PlotError;
use crate::plot::canvas::{Canvas, Head, Spot, sheet};
use crate::plot::lettering;
use crate::plot::style::{
    BAND, BODY, EDGE, GREY, HAIR, Hold, INK, Letter, NAME, NEW, OLD, Pen, WIDTH,
};
use crate::plot::words::{
    TIE, degree, number, of_scenario, share, shown, temperature, volume, whole_percent,
};

const LINE: f64 = 1.25 * BODY;
/// Between the two cars, which have wheels at their sides.
const BETWEEN: f64 = 32.0;
const WIDE: f64 = 0.5 * (WIDTH - 2.0 * EDGE - BETWEEN);
/// From the outline of the body to what lies in it, above and below.
const BODY_AIR: f64 = 12.0;
/// Half the width of an outline.
const RIM: f64 = 1.4;
/// Rows of the table.
const ROW: f64 = 1.5 * BODY;
const MOST_ROWS: usize = 16;
/// Where the columns of the table end.
const COLUMNS: [f64; 4] = [404.0, 508.0, 584.0, WIDTH - EDGE];

/// One of the two cars.
#[derive(Clone, Copy, PartialEq, Eq)]
enum When {
    Before,
    After,
}

impl When {
    /// Volume and old fraction of a part.
    fn of(self, part: &PartLeft) -> (f64, f64) {
        match self {
            Self::Before => (part.volume_before_ml, part.old_fraction_before),
            Self::After => (part.volume_ml, part.old_fraction),
        }
    }
}

/// Draws the picture.
pub(super) fn draw(record: &Record, units: Units) -> Result<String, PlotError> {
    const HEADING: &str = "Where old fluid stays";
    let left = &record.left;
    let head = Head::new(HEADING, &of_scenario(record), "");
    let answer = answer(left, units);
    let car = above::layout(left, WIDE, 2.0 * LINE);
    let legend = head.bottom() + LINE * answer.len() as f64 + 1.1 * BODY;
    let captions = legend + 1.7 * NAME;
    let top = captions + 0.9 * NAME + BODY_AIR;
    let bottom = top + car.high + BODY_AIR;
    let rows = &left.axles[..left.axles.len().min(MOST_ROWS)];
    let table = bottom + 2.0 * BODY;
    let height = table + 1.3 * LINE + ROW * rows.len() as f64 + 0.8 * BODY;

    sheet(height, HEADING, |canvas| {
        canvas.head(&head)?;
        for (i, (text, letter)) in answer.iter().enumerate() {
            canvas.text((EDGE, head.bottom() + LINE * (i as f64 + 0.5)), text, *letter)?;
        }
        draw_legend(canvas, &car, legend)?;
        for (when, name, x) in [
            (When::Before, "Before", EDGE),
            (When::After, "After the flush", EDGE + WIDE + BETWEEN),
        ] {
            canvas.text((x, captions), name, Letter::NAME)?;
            outline(canvas, (x, top), car.high)?;
            for block in &car.blocks {
                draw_block(canvas, left, block, (x, top), car.area_per_ml, when)?;
            }
        }
        draw_table(canvas, rows, table, units)
    })
}

/// What has to be known first: how much, which part, where it boils.
fn answer(left: &Left, units: Units) -> Vec<(String, Letter)> {
    let unit = degree(units);
    let called = |name: &str| {
        let part = left.parts.iter().find(|p| p.part == name);
        let shown = lettering::shortened(&shown(name), Letter::BODY, 16.0 * BODY);
        match part.filter(|p| !name.contains(p.kind)) {
            Some(part) => format!("{} {shown}", part.kind),
            None => shown,
        }
    };
    let mut said = vec![(
        format!(
            "Still old: {}, {} of all fluid in the system.",
            volume(left.old_ml, units),
            share(left.old_fraction)
        ),
        Letter { bold: true, ..Letter::BODY },
    )];
    let room = WIDTH - 2.0 * EDGE;
    let mut more = Vec::new();
    if !left.oldest_part.is_empty() {
        let oldest = whole_percent(left.oldest_fraction);
        more.push(format!("Oldest: {}, {oldest} old.", called(&left.oldest_part)));
    }
    if left.lowest_boiling_c.is_finite() {
        let pocket = if left.lowest_in_pocket() { "the pocket of " } else { "" };
        let boils = temperature(left.lowest_boiling_c, units);
        more.push(format!(
            "Boils first: {pocket}{}, at {boils}{TIE}{unit}.",
            called(&left.lowest_boiling_part)
        ));
    }
    if let Some(trapped) = &left.trapped {
        more.push(format!(
            "Where no bleeder reaches: {}{TIE}mL, {} old, boils at {}{TIE}{unit}.",
            number(trapped.volume_ml),
            whole_percent(trapped.old_fraction),
            temperature(trapped.lowest_boiling_c, units)
        ));
    }
    for text in more {
        let lines = lettering::wrapped(&text, Letter::BODY, room, 2);
        said.extend(lines.into_iter().map(|l| (l, Letter::BODY)));
    }
    said
}

/// What the colours mean, and how large a millilitre is.
fn draw_legend(canvas: &Canvas<'_>, car: &Car, y: f64) -> Result<(), PlotError> {
    let mut x = EDGE;
    for (colour, text) in [(OLD, "old fluid"), (NEW, "new fluid")] {
        let area = Area { x, y: y - 9.0, wide: 18.0, high: 18.0 };
        block(canvas, area, colour)?;
        rim(canvas, area)?;
        canvas.text((x + 26.0, y), text, Letter::BODY)?;
        x += 26.0 + lettering::width(text, Letter::BODY) + 28.0;
    }
    let side = (5.0 * car.area_per_ml).sqrt().min(36.0);
    let area = Area { x, y: y - 0.5 * side, wide: side, high: side };
    rim(canvas, area)?;
    let ml = side * side / car.area_per_ml;
    let text = format!("this large: {}{TIE}mL", number(ml).trim_end_matches(".0"));
    canvas.text((x + side + 8.0, y), &text, Letter::BODY)
}

fn block(canvas: &Canvas<'_>, a: Area, colour: plotters::style::RGBColor) -> Result<(), PlotError> {
    canvas.block((a.x, a.y), (a.x + a.wide, a.y + a.high), colour)
}

fn rim(canvas: &Canvas<'_>, a: Area) -> Result<(), PlotError> {
    canvas.frame((a.x, a.y), (a.x + a.wide, a.y + a.high), Pen::solid(INK, 1.5))
}

/// The body, front up: narrower there.
fn outline(canvas: &Canvas<'_>, (x, top): Spot, high: f64) -> Result<(), PlotError> {
    let (left, right) = (x - 5.0, x + WIDE + 5.0);
    let (top, bottom) = (top - BODY_AIR, top + high + BODY_AIR);
    let (nose, tail) = (26.0_f64.min(0.2 * high), 10.0_f64.min(0.1 * high));
    let body = [
        (left + nose, top),
        (right - nose, top),
        (right, top + nose),
        (right, bottom - tail),
        (right - tail, bottom),
        (left + tail, bottom),
        (left, bottom - tail),
        (left, top + nose),
    ];
    canvas.fill(&body, BAND)
}

/// A region in one of the two cars: its shapes filled, and what they hold.
fn draw_block(
    canvas: &Canvas<'_>,
    left: &Left,
    block_of: &Block,
    (x, top): Spot,
    area_per_ml: f64,
    when: When,
) -> Result<(), PlotError> {
    let here = |a: &Area| Area { x: a.x + x, y: a.y + top, ..*a };
    if let Some(wheel) = &block_of.wheel {
        block(canvas, here(wheel), GREY)?;
    }
    for shape in &block_of.shapes {
        let (volume, old) = when.of(&left.parts[shape.part]);
        if !volume.is_finite() {
            continue;
        }
        let full = shape.filled(area_per_ml * volume);
        // One outline around all pieces: a larger shape beneath.
        for area in &full {
            let a = here(area);
            let (x, y, rim) = (a.x - RIM, a.y - RIM, 2.0 * RIM);
            block(canvas, Area { x, y, wide: a.wide + rim, high: a.high + rim }, INK)?;
        }
        for area in &full {
            block(canvas, here(area), NEW)?;
        }
        for area in shape.filled(area_per_ml * volume * if old.is_finite() { old } else { 0.0 }) {
            block(canvas, here(&area), OLD)?;
        }
    }
    let region = &left.regions[block_of.region];
    let (old_ml, old_fraction) = match when {
        When::Before => (region.old_before_ml, region.old_fraction_before),
        When::After => (region.old_ml, region.old_fraction),
    };
    let words = here(&block_of.words);
    let (x, hold) = match block_of.side {
        Some(Side::Right) => (words.x + words.wide, Hold::Right),
        _ => (words.x, Hold::Left),
    };
    let name = fitting(region, words.wide);
    let old = if old_ml > 9.95 { format!("{old_ml:.0}") } else { number(old_ml) };
    let letter = Letter { bold: when == When::After, ..Letter::BODY.held(hold) };
    let figures = format!("{old}{TIE}mL, {}", whole_percent(old_fraction));
    let figures = lettering::shortened(&figures, letter, words.wide);
    let y = words.y + 0.5 * LINE;
    canvas.text((x, y), &name, Letter::BODY.held(hold))?;
    canvas.text((x, y + LINE), &figures, letter)
}

/// What a region is called; where that does not fit, a wheel cylinder as a cylinder, and lines, which lie by the brake of
/// their wheel, without the wheel.
fn fitting(region: &Region, room: f64) -> String {
    let name = shown(&region.name);
    let parts = match region.belongs.sort.is_brake() {
        true => name.split_once(' ').map(|(_, rest)| rest),
        false => name.rsplit_once(' ').map(|(sort, _)| sort),
    };
    match parts {
        Some(sort) if lettering::width(&name, Letter::BODY) > room && region.is_corner() => {
            lettering::shortened(sort, Letter::BODY, room)
        }
        _ => lettering::shortened(&name, Letter::BODY, room),
    }
}

/// Axle by axle: how much was old, how much is, and from when on it boils.
fn draw_table(
    canvas: &Canvas<'_>,
    rows: &[Region],
    top: f64,
    units: Units,
) -> Result<(), PlotError> {
    let right = Letter::NOTE.held(Hold::Right);
    canvas.text((EDGE, top), "old fluid", Letter::NOTE)?;
    let boils = format!("boils, {}", degree(units));
    for (x, text) in COLUMNS.iter().zip(["before, mL", "after, mL", "old, %", &boils]) {
        canvas.text((*x, top), text, right)?;
    }
    let first = top + 0.8 * LINE;
    canvas.stroke(&[(EDGE, first), (WIDTH - EDGE, first)], Pen::solid(GREY, 1.5))?;
    for (i, region) in rows.iter().enumerate() {
        let y = first + ROW * (i as f64 + 0.5);
        let room = COLUMNS[0] - EDGE - lettering::width("000.0", Letter::BODY) - 10.0;
        let name = lettering::shortened(&shown(&region.name), Letter::BODY, room);
        canvas.text((EDGE, y), &name, Letter::BODY)?;
        let boils = if region.lowest_boiling_c.is_finite() {
            temperature(region.lowest_boiling_c, units)
        } else {
            "–".to_owned()
        };
        let percent = whole_percent(region.old_fraction).replace([TIE, '%'], "");
        let figures = [number(region.old_before_ml), number(region.old_ml), percent, boils];
        for (k, (x, text)) in COLUMNS.iter().zip(figures).enumerate() {
            let letter = Letter { bold: k == 2, ..Letter::BODY };
            canvas.text((*x, y), &text, letter.held(Hold::Right))?;
        }
        let below = y + 0.5 * ROW;
        canvas.stroke(&[(EDGE, below), (WIDTH - EDGE, below)], Pen::solid(HAIR, 1.0))?;
    }
    Ok(())
}
