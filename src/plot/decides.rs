//! What decides on one car: each thing from one end of what is usual to the other, in fluid used and in old fluid left.

use super::canvas::{Canvas, Head, sheet};
use super::lettering;
use super::scale::Scale;
use super::style::{BAND, BLUE, BODY, EDGE, HAIR, Hold, INK, Letter, OLD, Pen, WIDTH};
use super::words::{TIE, shown, titled};
use super::{Pictured, Pictures, PlotError};
use crate::job::record::in_units;
use crate::measures::Units;
use crate::study::compare::OneCar;
use crate::study::decides::{Decides, End, Lever, ORDER};
use plotters::style::RGBColor;

const LINE: f64 = 1.25 * BODY;
const BAR: f64 = 20.0;
/// From one lever to the next.
const ROW: f64 = LINE + BAR + 14.0;
/// Where bars may lie: their ends are named beside them.
const BARS: (f64, f64) = (EDGE + 165.0, WIDTH - EDGE - 165.0);
/// What moves less than that is only named, mL.
const NEXT_TO_NOTHING_ML: f64 = 0.5;

/// One of the two quantities.
struct Panel<'a> {
    title: &'static str,
    colour: RGBColor,
    own: f64,
    rows: Vec<Row<'a>>,
    /// What moves next to nothing.
    nothing: Vec<&'static str>,
}

struct Row<'a> {
    lever: &'a Lever,
    ends: [&'a End; 2],
    at: [f64; 2],
    /// By how much they differ, mL.
    ml: f64,
}

impl Pictured for OneCar {
    fn pictures() -> Pictures<Self> {
        vec![("decides", draw)]
    }
}

impl<'a> Panel<'a> {
    fn fluid(decides: &'a Decides) -> Self {
        let row = |l: &'a Lever| Row {
            lever: l,
            ends: [&l.least, &l.most],
            at: [l.least.fluid_ml, l.most.fluid_ml],
            ml: l.fluid_ml,
        };
        Self::of("Fluid used, mL", BLUE, decides.own.fluid_ml, decides.levers.iter().map(row))
    }

    fn left(decides: &'a Decides) -> Self {
        let row = |l: &'a Lever| Row {
            lever: l,
            ends: [&l.cleanest, &l.dirtiest],
            at: [l.cleanest.old_left_ml, l.dirtiest.old_left_ml],
            ml: l.old_left_ml,
        };
        let own = decides.own.old_left_ml;
        Self::of("Old fluid left, mL", OLD, own, decides.levers.iter().map(row))
    }

    fn of(
        title: &'static str,
        colour: RGBColor,
        own: f64,
        rows: impl Iterator<Item = Row<'a>>,
    ) -> Self {
        let (mut shown, nothing): (Vec<Row<'a>>, Vec<Row<'a>>) =
            rows.partition(|r| r.ml >= NEXT_TO_NOTHING_ML);
        shown.sort_by(|a, b| b.ml.total_cmp(&a.ml));
        let nothing = nothing.iter().map(|r| r.lever.what).collect();
        Self { title, colour, own, rows: shown, nothing }
    }

    fn notes(&self) -> Vec<String> {
        if self.nothing.is_empty() {
            return Vec::new();
        }
        let text = format!("Less than 1{TIE}mL: {}.", self.nothing.join(", "));
        lettering::wrapped(&text, Letter::NOTE, WIDTH - 2.0 * EDGE, 3)
    }

    fn height(&self) -> f64 {
        3.0 * LINE + ROW * self.rows.len() as f64 + LINE * (self.notes().len() as f64 + 1.0)
    }

    fn scale(&self) -> Scale {
        let ends = || self.rows.iter().flat_map(|r| r.at).chain([self.own]);
        let (low, high) =
            (ends().fold(f64::INFINITY, f64::min), ends().fold(f64::NEG_INFINITY, f64::max));
        Scale::new((low, high), BARS)
    }
}

/// Draws the picture.
fn draw(answer: &OneCar, units: Units) -> Result<String, PlotError> {
    let layouts = &answer.0.layouts.layouts;
    let title = layouts.first().map_or(String::new(), |l| titled(&l.title, &l.set));
    let Some(decides) = &answer.0.decides else {
        const HEADING: &str = "What decides was not found out";
        let head = Head::new(HEADING, &title, "Interrupted: partial answer.");
        return sheet(head.bottom(), HEADING, |canvas| canvas.head(&head));
    };
    let heading = heading(decides);
    let head = Head::new(&heading, &title, &how(decides));
    let mut panels = [Panel::fluid(decides), Panel::left(decides)];
    if decides.counted {
        panels.reverse();
    }
    let height = head.bottom() + panels.iter().map(Panel::height).sum::<f64>();
    sheet(height, &heading, |canvas| {
        canvas.head(&head)?;
        let mut y = head.bottom();
        for panel in &panels {
            draw_panel(canvas, panel, y, units)?;
            y += panel.height();
        }
        Ok(())
    })
}

/// The answer in a sentence.
fn heading(decides: &Decides) -> String {
    let Some(first) = decides.levers.first() else {
        return "Nothing that was tried changes this job".to_owned();
    };
    let what = capital(first.what);
    let by = whole(decides.moved_ml(first));
    match decides.lever(ORDER).filter(|_| first.what != ORDER) {
        Some(order) => {
            format!("{what} decides: {by}; the order {}", whole(decides.moved_ml(order)))
        }
        None => format!("{what} decides: {by}"),
    }
}

fn how(decides: &Decides) -> String {
    let Some(order) = &decides.order else {
        return "Each thing by itself, from one end of what is usual to the other.".to_owned();
    };
    let names = |all: &[String]| all.iter().map(|n| shown(n)).collect::<Vec<_>>().join(", ");
    let own = match (order.best_saves_ml > order.unsure_ml, order.better_share) {
        (false, _) => "No order saves any against the own".to_owned(),
        (true, None) => {
            format!("The best order, {}, saves {}", names(&order.best), whole(order.best_saves_ml))
        }
        (true, Some(share)) => format!(
            "The best order, {}, saves {} against the own and some on other such cars too, {:.0} of 100",
            names(&order.best),
            whole(order.best_saves_ml),
            100.0 * share
        ),
    };
    let worst = match order.worst_costs_ml > order.unsure_ml {
        true => format!("the worst costs {}", whole(order.worst_costs_ml)),
        false => "none costs more".to_owned(),
    };
    format!("{own}; {worst}. Orders are compared at equal old fluid left.")
}

fn draw_panel(
    canvas: &Canvas<'_>,
    panel: &Panel<'_>,
    top: f64,
    units: Units,
) -> Result<(), PlotError> {
    let across = panel.scale();
    let first = top + 2.0 * LINE;
    let bottom = first + ROW * panel.rows.len() as f64;
    canvas.text((EDGE, top + 0.5 * LINE), panel.title, Letter::NAME)?;
    for (i, row) in panel.rows.iter().enumerate() {
        if row.lever.what == ORDER {
            let y = first + ROW * i as f64 - 5.0;
            canvas.block((0.5 * EDGE, y), (WIDTH - 0.5 * EDGE, y + ROW), BAND)?;
        }
    }
    for (value, text) in across.marks(5) {
        let x = across.at(value);
        canvas.stroke(&[(x, first), (x, bottom)], Pen::solid(HAIR, 1.2))?;
        canvas.text((x, bottom + 0.6 * LINE), &text, Letter::NOTE.held(Hold::Middle))?;
    }
    let own = across.at(panel.own);
    for (i, row) in panel.rows.iter().enumerate() {
        let y = first + ROW * i as f64 + LINE;
        let [from, to] = row.at.map(|x| across.at(x));
        canvas.block((from, y), (to.max(from + 3.0), y + BAR), panel.colour)?;
    }
    canvas.stroke(&[(own, first - 0.4 * LINE), (own, bottom)], Pen::solid(INK, 2.5))?;
    let letter = Letter { bold: true, ..Letter::BODY };
    let text = format!("as it is: {}", whole(panel.own));
    let half = 0.5 * lettering::width(&text, letter);
    let at = own.clamp(EDGE + half, WIDTH - EDGE - half);
    canvas.text((at, first - 0.9 * LINE), &text, letter.held(Hold::Middle))?;
    for (i, row) in panel.rows.iter().enumerate() {
        draw_words(canvas, row, first + ROW * i as f64, (across, units))?;
    }
    for (i, line) in panel.notes().iter().enumerate() {
        let y = bottom + LINE * (1.6 + i as f64);
        canvas.text((EDGE, y), line, Letter::NOTE)?;
    }
    Ok(())
}

/// What it is and by how much, above the bar; its ends beside it.
fn draw_words(
    canvas: &Canvas<'_>,
    row: &Row<'_>,
    top: f64,
    (across, units): (Scale, Units),
) -> Result<(), PlotError> {
    let bold = Letter { bold: true, ..Letter::BODY };
    let middle = top + 0.45 * LINE;
    patched(canvas, row, (EDGE, middle), &capital(row.lever.what), Letter::BODY)?;
    let right = (WIDTH - EDGE, middle);
    patched(canvas, row, right, &whole(row.ml), bold.held(Hold::Right))?;
    let beside = top + LINE + 0.5 * BAR;
    let [from, to] = row.at.map(|x| across.at(x));
    let to = to.max(from + 3.0);
    let name = |end: &End, word: &str| match row.lever.what {
        ORDER => format!("{word}: {}", shown(&end.at)),
        _ => in_units(&shown(&end.at), units),
    };
    let (least, most) = match row.ends[0].old_left_ml == row.ends[1].old_left_ml {
        true => ("best", "worst"),
        false => ("least", "most"),
    };
    let left = lettering::shortened(&name(row.ends[0], least), Letter::NOTE, from - 8.0 - EDGE);
    patched(canvas, row, (from - 8.0, beside), &left, Letter::NOTE.held(Hold::Right))?;
    let room = WIDTH - EDGE - to - 8.0;
    let right = lettering::shortened(&name(row.ends[1], most), Letter::NOTE, room);
    patched(canvas, row, (to + 8.0, beside), &right, Letter::NOTE)
}

/// Lettering over lines, on a patch of what lies behind the row.
fn patched(
    canvas: &Canvas<'_>,
    row: &Row<'_>,
    at: (f64, f64),
    text: &str,
    letter: Letter,
) -> Result<(), PlotError> {
    match row.lever.what {
        ORDER => canvas.text(at, text, letter),
        _ => canvas.patched(at, text, letter),
    }
}

fn whole(ml: f64) -> String {
    format!("{ml:.0}{TIE}mL")
}

fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or(String::new(), |c| c.to_uppercase().chain(chars).collect())
}
