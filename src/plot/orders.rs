//! Orders ranked: millilitres saved against the scenario's own, each with its range over the draws.

use super::canvas::{Canvas, Head, sheet};
use super::lettering;
use super::scale::Scale;
use super::style::{
    BLUE, BODY, EDGE, GREY, HAIR, Hold, INK, Letter, PALE, Pen, VERMILLION_WORDS, WIDTH,
};
use super::words::{TIE, number, shown, titled};
use super::{Pictured, Pictures, PlotError};
use crate::study::orders::{Orders, Standing};

/// Rows shown; of more orders the first, the last and the scenario's own.
const MOST: usize = 26;
const ENDS: (usize, usize) = (14, 10);
const LINE: f64 = 1.2 * BODY;
const GAP: f64 = 12.0;
/// Names end and points begin.
const NAMES: f64 = 250.0;
const POINTS: (f64, f64) = (NAMES + 30.0, WIDTH - EDGE - 92.0);

/// A row: an order, or a gap where some are left out.
struct OrderRow<'a> {
    standing: Option<&'a Standing>,
    name: Vec<String>,
}

impl<'a> OrderRow<'a> {
    fn new(standing: Option<&'a Standing>, codes: &Codes) -> Self {
        let name = standing.map_or_else(
            || vec!["…".to_owned()],
            |s| {
                let names: Vec<&str> = s.order.iter().map(|b| codes.of(b)).collect();
                lettering::wrapped(&names.join(", "), Letter::BODY, NAMES - EDGE, 3)
            },
        );
        Self { standing, name }
    }

    fn height(&self) -> f64 {
        GAP + LINE * self.name.len() as f64
    }
}

/// What bleeders are called in an order: their names, or, where an order of them takes too many lines, the
/// first word and the initials of the others, or, where that does not tell them apart, their places in the
/// scenario's own order.
struct Codes {
    names: Vec<(String, String)>,
    /// Says what the first code stands for; `None` if names are written out.
    example: Option<String>,
}

impl Codes {
    fn new(bleeders: &[String]) -> Self {
        let whole: Vec<(String, String)> = bleeders.iter().map(|b| (b.clone(), shown(b))).collect();
        let line = whole.iter().map(|n| n.1.as_str()).collect::<Vec<_>>().join(", ");
        let fits = lettering::width(&line, Letter::BODY) <= 2.0 * (NAMES - EDGE);
        let code = |name: &str| {
            let mut words = name.split_whitespace();
            let first: String = words.next().unwrap_or_default().chars().take(4).collect();
            words.fold(first, |code, word| code + &word.chars().take(1).collect::<String>())
        };
        let codes: Vec<(String, String)> =
            whole.iter().map(|(b, name)| (b.clone(), code(name))).collect();
        let unique = codes.iter().all(|c| codes.iter().filter(|d| d.1 == c.1).count() == 1);
        if fits {
            return Self { names: whole, example: None };
        }
        let places = || (1..).map(|n: usize| n.to_string());
        let codes = if unique { codes } else { bleeders.iter().cloned().zip(places()).collect() };
        let example = codes.first().map(|c| format!("{}: {}", c.1, shown(&c.0)));
        Self { names: codes, example }
    }

    fn of<'n>(&'n self, bleeder: &'n str) -> &'n str {
        self.names.iter().find(|n| n.0 == bleeder).map_or(bleeder, |n| &n.1)
    }
}

impl Pictured for Orders {
    fn pictures() -> Pictures<Self> {
        vec![("orders", draw)]
    }
}

/// Draws the picture.
fn draw(answer: &Orders) -> Result<String, PlotError> {
    const HEADING: &str = "What another order saves";
    let codes = Codes::new(&answer.own_order);
    let rows = rows(answer, &codes);
    let mut how = if answer.draws > 0 {
        format!(
            "Each until as little old fluid is left as by the scenario's own order. Square: this vehicle; bar: eight in ten of {} drawn. Hollow: not told apart from the own order.",
            answer.draws
        )
    } else {
        "Each until as little old fluid is left as by the scenario's own order. Hollow: not told apart from the own order.".to_owned()
    };
    if let Some(example) = &codes.example {
        how = format!("{example}, and so on. {how}");
    }
    let head = Head::new(HEADING, &titled(&answer.title, &answer.set), &how);
    let top = head.bottom() + 1.6 * BODY;
    let bottom = top + rows.iter().map(OrderRow::height).sum::<f64>();
    let height = bottom + 4.2 * BODY + if answer.partial { 1.5 * BODY } else { 0.0 };
    let across = Scale::new(ends(answer, &rows), POINTS);

    sheet(height, HEADING, |canvas| {
        canvas.head(&head)?;
        for (value, text) in across.marks(5) {
            let x = across.at(value);
            canvas.stroke(&[(x, top), (x, bottom)], Pen::solid(HAIR, 1.2))?;
            canvas.text((x, bottom + 0.9 * BODY), &text, Letter::NOTE.held(Hold::Middle))?;
        }
        let mut y = top;
        for row in &rows {
            draw_range(canvas, row, y, across)?;
            y += row.height();
        }
        let zero = across.at(0.0);
        canvas.stroke(&[(zero, top), (zero, bottom)], Pen::solid(INK, 2.0))?;
        let saves = format!("saves,{TIE}mL");
        let room = WIDTH - EDGE - lettering::width(&saves, Letter::NOTE) - BODY;
        let (own, hold) =
            if zero > 0.5 * WIDTH { (zero.min(room), Hold::Right) } else { (zero, Hold::Left) };
        canvas.text((own, top - 0.7 * BODY), "own order", Letter::NOTE.held(hold))?;
        let at = (WIDTH - EDGE, top - 0.7 * BODY);
        canvas.text(at, &saves, Letter::NOTE.held(Hold::Right))?;
        let mut y = top;
        for row in &rows {
            draw_row(canvas, row, y, across)?;
            y += row.height();
        }
        let (least, most) = ends(answer, &rows);
        let below = bottom + 2.2 * BODY;
        if least < 0.0 {
            canvas.text((POINTS.0, below), "takes more, mL", Letter::NOTE)?;
        }
        if most > 0.0 {
            let at = (WIDTH - EDGE, below);
            canvas.text(at, "saves, mL", Letter::NOTE.held(Hold::Right))?;
        }
        if answer.partial {
            let letter = Letter::BODY.coloured(VERMILLION_WORDS);
            canvas.text((EDGE, bottom + 3.8 * BODY), "Interrupted: partial answer", letter)?;
        }
        Ok(())
    })
}

fn rows<'a>(answer: &'a Orders, codes: &Codes) -> Vec<OrderRow<'a>> {
    let n = answer.orders.len();
    let keep = |i: usize, s: &Standing| n <= MOST || i < ENDS.0 || i + ENDS.1 >= n || s.number == 0;
    let mut rows = Vec::new();
    let mut left_out = false;
    for (i, s) in answer.orders.iter().enumerate() {
        if keep(i, s) {
            if left_out {
                rows.push(OrderRow::new(None, codes));
            }
            rows.push(OrderRow::new(Some(s), codes));
        }
        left_out = !keep(i, s);
    }
    rows
}

/// Ends of the axis: all that is drawn, and nothing saved, with some air.
fn ends(answer: &Orders, rows: &[OrderRow<'_>]) -> (f64, f64) {
    let drawn = rows.iter().filter_map(|r| r.standing).flat_map(|s| {
        [s.equal.map(|e| e.saves_ml), s.saves_ml_p10.flatten(), s.saves_ml_p90.flatten()]
    });
    let (mut least, mut most) = (0.0_f64, 0.0_f64);
    for x in drawn.flatten() {
        (least, most) = (least.min(x), most.max(x));
    }
    let air = f64::max(0.06 * (most - least), answer.unsure_ml);
    (least - air, most + air)
}

/// What eight draws in ten save.
fn draw_range(
    canvas: &Canvas<'_>,
    row: &OrderRow<'_>,
    top: f64,
    across: Scale,
) -> Result<(), PlotError> {
    let y = top + 0.5 * row.height();
    let Some(s) = row.standing.filter(|s| s.number != 0) else { return Ok(()) };
    let (Some(low), Some(high)) = (s.saves_ml_p10.flatten(), s.saves_ml_p90.flatten()) else {
        return Ok(());
    };
    let (low, high) = (across.at(low), across.at(high));
    canvas.block((low, y - 7.0), (high, y + 7.0), PALE)?;
    canvas.stroke(&[(low, y), (high, y)], Pen::solid(GREY, 2.0))
}

fn draw_row(
    canvas: &Canvas<'_>,
    row: &OrderRow<'_>,
    top: f64,
    across: Scale,
) -> Result<(), PlotError> {
    let y = top + 0.5 * row.height();
    let own = row.standing.is_some_and(|s| s.number == 0);
    let letter = Letter { bold: own, ..Letter::BODY };
    for (i, line) in row.name.iter().enumerate() {
        let above = 0.5 * (row.name.len() as f64 - 1.0) - i as f64;
        canvas.text((EDGE, y - LINE * above), line, letter)?;
    }
    let Some(s) = row.standing else { return Ok(()) };
    let Some(equal) = s.equal else {
        let words = "cannot be made as clean";
        return canvas.text((WIDTH - EDGE, y), words, Letter::NOTE.held(Hold::Right));
    };
    let at = (across.at(equal.saves_ml), y);
    if own {
        canvas.square(at, 7.0, INK)?;
    } else if s.told_apart {
        canvas.square(at, 7.0, BLUE)?;
    } else {
        canvas.diamond(at, 8.0, Pen::solid(BLUE, 2.0))?;
    }
    let figure = if own { "own".to_owned() } else { signed(equal.saves_ml) };
    canvas.text((WIDTH - EDGE, y), &figure, letter.held(Hold::Right))
}

fn signed(x: f64) -> String {
    let text = number(x);
    if text.starts_with('-') || text == "0.0" { text } else { format!("+{text}") }
}
