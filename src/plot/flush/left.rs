//! What stays behind: the vehicle from above before and after, to scale by volume, and a table axle by axle.

use crate::above::{self, Area, Car, Edge, Shape, Tire};
use crate::job::record::region::{Region, Sort};
use crate::job::record::{Left, PartLeft, Record};
use crate::measures::Units;
use crate::plot::PlotError;
use crate::plot::canvas::{Canvas, Head, Spot, sheet};
use crate::plot::lettering;
use crate::plot::style::{
    BAND, BODY, EDGE, GREY, HAIR, Hold, INK, Letter, NAME, NEW, OLD, ON_AREA, PAPER, Pen, WIDTH,
};
use crate::plot::words::{
    TIE, degree, number, of_scenario, share, shown, temperature, volume, whole_percent,
};

const LINE: f64 = 1.25 * BODY;
/// Between the two cars.
const BETWEEN: f64 = 32.0;
const WIDE: f64 = 0.5 * (WIDTH - 2.0 * EDGE - BETWEEN);
/// Half the width of an outline.
const RIM: f64 = 1.4;
/// Rows of the table.
const ROW: f64 = 1.5 * BODY;
const MOST_ROWS: usize = 16;
/// Where the columns of the table end.
const COLUMNS: [f64; 3] = [448.0, 548.0, WIDTH - EDGE];

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
    let car = above::layout(left, WIDE);
    let legend = head.bottom() + LINE * answer.len() as f64 + 1.1 * BODY;
    let captions = legend + 1.7 * NAME;
    let top = captions + 0.9 * NAME;
    let bottom = top + car.high;
    // The oldest first: below the fifth row hardly anybody reads.
    let mut rows: Vec<&Region> = left.axles.iter().collect();
    rows.sort_by(|a, b| b.old_fraction.total_cmp(&a.old_fraction));
    rows.truncate(MOST_ROWS);
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
            let name = match evenly(left, when) {
                Some(old) => format!("{name}: all {old} old"),
                None => name.to_owned(),
            };
            canvas.text((x, captions), &name, Letter::NAME)?;
            draw_car(canvas, left, &car, (x, top), when)?;
        }
        draw_table(canvas, &rows, table, units)
    })
}

/// How old all parts are, in whole per cent, where they are as old as one another.
fn evenly(left: &Left, when: When) -> Option<String> {
    let mut olds = left.parts.iter().map(|p| whole_percent(when.of(p).1));
    let first = olds.next()?;
    olds.all(|old| old == first).then_some(first)
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
    let side = (car.square_ml * car.area_per_ml).sqrt();
    let area = Area { x, y: y - 0.5 * side, wide: side, high: side };
    rim(canvas, area)?;
    let text = format!("{}{TIE}mL; in tires: % old", car.square_ml);
    canvas.text((x + side + 8.0, y), &text, Letter::BODY)
}

fn block(canvas: &Canvas<'_>, a: Area, colour: plotters::style::RGBColor) -> Result<(), PlotError> {
    canvas.block((a.x, a.y), (a.x + a.wide, a.y + a.high), colour)
}

fn rim(canvas: &Canvas<'_>, a: Area) -> Result<(), PlotError> {
    canvas.frame((a.x, a.y), (a.x + a.wide, a.y + a.high), Pen::solid(INK, 1.5))
}

/// One of the two cars: what joins and holds nothing, the parts filled, and by wheel and reservoir how much is old.
fn draw_car(
    canvas: &Canvas<'_>,
    left: &Left,
    car: &Car,
    (x, top): Spot,
    when: When,
) -> Result<(), PlotError> {
    let here = |a: &Area| Area { x: a.x + x, y: a.y + top, ..*a };
    outline(canvas, here(&car.body))?;
    for line in &car.connectors {
        let line: Vec<Spot> = line.iter().map(|(px, py)| (px + x, py + top)).collect();
        canvas.stroke(&line, Pen::solid(GREY, 1.5))?;
    }
    for joint in &car.joints {
        block(canvas, here(joint), PAPER)?;
        rim(canvas, here(joint))?;
    }
    let filled = |shape: &Shape, share: f64| {
        let (volume, _) = when.of(&left.parts[shape.part]);
        let volume = if volume.is_finite() { volume } else { 0.0 };
        shape.filled(car.area_per_ml * volume * share)
    };
    let pieces = || car.shapes.iter().flat_map(|s| &s.pieces).map(|p| here(&p.area));
    // One outline around all pieces: a larger shape beneath. What holds less than it can stays empty above.
    for a in pieces() {
        let (x, y, rim) = (a.x - RIM, a.y - RIM, 2.0 * RIM);
        block(canvas, Area { x, y, wide: a.wide + rim, high: a.high + rim }, INK)?;
    }
    for a in pieces() {
        block(canvas, a, PAPER)?;
    }
    for shape in &car.shapes {
        let (_, old) = when.of(&left.parts[shape.part]);
        for area in filled(shape, 1.0) {
            block(canvas, here(&area), NEW)?;
        }
        for area in filled(shape, if old.is_finite() { old.clamp(0.0, 1.0) } else { 0.0 }) {
            block(canvas, here(&area), OLD)?;
        }
        match (shape.pieces.as_slice(), left.parts[shape.part].belongs.sort.is_pipe()) {
            ([first, ..], true) => seam(canvas, here(&first.area), first.from)?,
            (pieces, _) => pieces.iter().try_for_each(|p| rim(canvas, here(&p.area)))?,
        }
    }
    let percent = |part: usize| whole_percent(when.of(&left.parts[part]).1);
    let old_ml = |parts: &[usize]| {
        let of = parts.iter().map(|part| when.of(&left.parts[*part]));
        // Beneath a tire there is no room for more than two figures and a point.
        match of.map(|(volume, old)| volume * old).sum() {
            ml if ml < 9.95 => format!("{}{TIE}mL", number(ml)),
            ml => format!("{ml:.0}{TIE}mL"),
        }
    };
    let letter = Letter { bold: when == When::After, ..Letter::BODY.held(Hold::Middle) };
    let evenly = evenly(left, when).is_some();
    for wheel in wheels(car) {
        let middle = Letter::BODY.held(Hold::Middle);
        let Some(below) = wheel.last().map(|t| here(&t.area)) else { continue };
        let x = below.x + 0.5 * below.wide;
        // Of several bleeders at a wheel the words that they share stand above all of them, as does a long name.
        let (name, first) = (shared_words(&wheel), here(&wheel[0].area));
        let room = lettering::width(&name, middle) <= first.wide - 4.0 && first.high > 2.4 * BODY;
        let inside = wheel.len() == 1 && room;
        let held = |t: &Tire| t.part.filter(|part| *part < left.parts.len());
        let parts = || wheel.iter().filter_map(|t| held(t));
        for tire in &wheel {
            block(canvas, here(&tire.area), PAPER)?;
            rim(canvas, here(&tire.area))?;
            let Some(part) = held(tire).filter(|_| !evenly) else { continue };
            let bare = percent(part).replace([TIE, '%'], "");
            let down = if inside { 0.62 * BODY } else { 0.0 };
            canvas.text((x, here(&tire.area).y + 0.5 * tire.area.high + down), &bare, letter)?;
        }
        let above_percent = if evenly { 0.0 } else { 0.62 * BODY };
        let up = if inside { 0.5 * first.high - above_percent } else { -0.8 * BODY };
        let name = lettering::shortened(&name, middle, first.wide + 24.0);
        canvas.text((x, first.y + up), &name, middle)?;
        if parts().next().is_some() {
            let text = old_ml(&parts().collect::<Vec<_>>());
            canvas.text((x, below.y + below.high + 0.8 * BODY), &text, letter)?;
        }
    }
    let reservoir = car.shapes.iter().find(|s| left.parts[s.part].belongs.sort == Sort::Reservoir);
    let fluid = reservoir.and_then(|s| filled(s, 1.0).first().map(|a| (s.part, here(a))));
    if let Some((part, fluid)) = fluid {
        let mut lines = vec![old_ml(&[part])];
        lines.extend((!evenly).then(|| percent(part)));
        let letter = Letter { colour: ON_AREA, ..letter };
        let fits = |text: &String| lettering::width(text, letter) < fluid.wide - 4.0;
        if lines.iter().all(fits) && fluid.high > 2.6 * BODY {
            let (x, y) = (fluid.x + 0.5 * fluid.wide, fluid.y + 0.5 * fluid.high);
            let up = 0.5 * (lines.len() - 1) as f64;
            for (i, line) in lines.iter().enumerate() {
                canvas.text((x, y + 1.24 * BODY * (i as f64 - up)), line, letter)?;
            }
        }
    }
    Ok(())
}

/// The tires wheel by wheel: those that stand right below one another are one wheel's.
fn wheels(car: &Car) -> Vec<Vec<&Tire>> {
    let mut tires: Vec<&Tire> = car.tires.iter().collect();
    tires.sort_by(|a, b| a.area.x.total_cmp(&b.area.x).then(a.area.y.total_cmp(&b.area.y)));
    let with = |a: &&Tire, b: &&Tire| {
        a.area.x == b.area.x && b.area.y - a.area.y - a.area.high < 0.5 * a.area.high
    };
    tires.chunk_by(with).map(<[&Tire]>::to_vec).collect()
}

/// The words with which all names of a wheel's bleeders begin; of one alone its name.
fn shared_words(wheel: &[&Tire]) -> String {
    let names: Vec<String> = wheel.iter().map(|t| shown(&t.name)).collect();
    let [first, others @ ..] = names.as_slice() else { return String::new() };
    let shared = |n: usize| {
        let words: Vec<&str> = first.split(' ').take(n).collect();
        words.join(" ")
    };
    let begins = |text: &String| {
        others.iter().all(|o| o.split(' ').zip(text.split(' ')).all(|(a, b)| a == b))
    };
    let most = first.split(' ').count();
    (0..=most).rev().map(shared).find(begins).unwrap_or_default()
}

/// A tick where a pipe's part begins.
fn seam(canvas: &Canvas<'_>, a: Area, from: Edge) -> Result<(), PlotError> {
    let (right, bottom) = (a.x + a.wide, a.y + a.high);
    let line = match from {
        Edge::Left => [(a.x, a.y), (a.x, bottom)],
        Edge::Right => [(right, a.y), (right, bottom)],
        Edge::Top => [(a.x, a.y), (right, a.y)],
        Edge::Bottom => [(a.x, bottom), (right, bottom)],
    };
    canvas.stroke(&line, Pen::solid(INK, RIM))
}

/// The body, front up: narrower there.
fn outline(canvas: &Canvas<'_>, a: Area) -> Result<(), PlotError> {
    let (right, bottom) = (a.x + a.wide, a.y + a.high);
    let (nose, tail) = (0.14 * a.high, 0.05 * a.high);
    let body = [
        (a.x + 0.5 * nose, a.y),
        (right - 0.5 * nose, a.y),
        (right, a.y + nose),
        (right, bottom - tail),
        (right - tail, bottom),
        (a.x + tail, bottom),
        (a.x, bottom - tail),
        (a.x, a.y + nose),
    ];
    canvas.fill(&body, BAND)
}

/// Axle by axle: how much is old, and from when on it boils.
fn draw_table(
    canvas: &Canvas<'_>,
    rows: &[&Region],
    top: f64,
    units: Units,
) -> Result<(), PlotError> {
    let right = Letter::NOTE.held(Hold::Right);
    canvas.text((EDGE, top), "after the flush", Letter::NOTE)?;
    let boils = format!("boils, {}", degree(units));
    for (x, text) in COLUMNS.iter().zip(["old, %", "old, mL", &boils]) {
        canvas.text((*x, top), text, right)?;
    }
    let first = top + 0.8 * LINE;
    canvas.stroke(&[(EDGE, first), (WIDTH - EDGE, first)], Pen::solid(GREY, 1.5))?;
    for (i, region) in rows.iter().enumerate() {
        let y = first + ROW * (i as f64 + 0.5);
        let room = COLUMNS[0] - EDGE - lettering::width("000.0", Letter::BODY) - 10.0;
        let name = lettering::shortened(&shown(&region.name), Letter::BODY, room);
        canvas.text((EDGE, y), &name, Letter::BODY)?;
        let boils =
            region.lowest_boiling_c.map_or("–".to_owned(), |lowest| temperature(lowest, units));
        let percent = whole_percent(region.old_fraction).replace([TIE, '%'], "");
        let figures = [percent, number(region.old_ml), boils];
        for (k, (x, text)) in COLUMNS.iter().zip(figures).enumerate() {
            let letter = Letter { bold: k == 0, ..Letter::BODY };
            canvas.text((*x, y), &text, letter.held(Hold::Right))?;
        }
        let below = y + 0.5 * ROW;
        canvas.stroke(&[(EDGE, below), (WIDTH - EDGE, below)], Pen::solid(HAIR, 1.0))?;
    }
    Ok(())
}
