//! Orders ranked: the new fluid of the whole job from nothing on, and in figures what is saved against the scenario's
//! own, with its range over the draws.

use super::canvas::{Canvas, Head, sheet};
use super::lettering;
use super::scale::Scale;
use super::style::{
    BLUE, BODY, EDGE, GREY, HAIR, Hold, INK, Letter, PALE, Pen, VERMILLION_WORDS, WIDTH,
};
use super::words::{number, shown, titled, volume};
use super::{Pictured, Pictures, PlotError};
use crate::measures::Units;
use crate::study::orders::{Orders, Standing};

/// Rows shown; of more orders the first, the last and the scenario's own.
const MOST: usize = 26;
const ENDS: (usize, usize) = (14, 10);
const LINE: f64 = 1.2 * BODY;
const GAP: f64 = 12.0;
/// Names end; bars begin and the longest ends; the columns of figures end.
const NAMES: f64 = 226.0;
const BARS: (f64, f64) = (NAMES + 14.0, 448.0);
const FLUID: f64 = 514.0;
const SAVES: f64 = 592.0;
/// Half the height of a bar.
const HALF: f64 = 8.0;

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
fn draw(answer: &Orders, units: Units) -> Result<String, PlotError> {
    const HEADING: &str = "What another order saves";
    let codes = Codes::new(&answer.own_order);
    let rows = rows(answer, &codes);
    let mut how =
        "Bars: new fluid of the whole job, until as little old fluid is left as by the own order. \
                   Saves: against that, mL"
            .to_owned();
    if answer.draws > 0 {
        how += &format!("; beside it eight in ten of {} drawn vehicles", answer.draws);
    }
    how += ". Pale: not told apart from the own order.";
    if let Some(example) = &codes.example {
        how = format!("{example}, and so on. {how}");
    }
    let head = Head::new(HEADING, &titled(&answer.title, &answer.set), &how);
    let own = answer.orders.iter().find(|s| s.number == 0).and_then(|s| s.equal);
    let mut top = head.bottom() + 1.6 * BODY;
    let whole = own.map(|own| format!("Own order: {}.", volume(own.new_fluid_ml, units)));
    if whole.is_some() {
        top += 1.4 * BODY;
    }
    let bottom = top + rows.iter().map(OrderRow::height).sum::<f64>();
    let height = bottom + 3.0 * BODY + if answer.partial { 1.5 * BODY } else { 0.0 };
    let used = rows.iter().filter_map(|r| Some(r.standing?.equal?.new_fluid_ml));
    let across = Scale::new((0.0, used.fold(1.0, f64::max)), BARS);

    sheet(height, HEADING, |canvas| {
        canvas.head(&head)?;
        if let Some(whole) = &whole {
            canvas.text((EDGE, head.bottom() + 0.4 * BODY), whole, Letter::BODY)?;
        }
        for (value, text) in across.marks(4) {
            let x = across.at(value);
            canvas.stroke(&[(x, top), (x, bottom)], Pen::solid(HAIR, 1.2))?;
            canvas.text((x, bottom + 0.9 * BODY), &text, Letter::NOTE.held(Hold::Middle))?;
        }
        let right = Letter::NOTE.held(Hold::Right);
        canvas.text((FLUID, top - 0.7 * BODY), "used, mL", right)?;
        canvas.text((SAVES, top - 0.7 * BODY), "saves", right)?;
        if answer.draws > 0 {
            canvas.text((WIDTH - EDGE, top - 0.7 * BODY), "8 in 10", right)?;
        }
        let mut y = top;
        for row in &rows {
            draw_row(canvas, row, y, across)?;
            y += row.height();
        }
        canvas.stroke(&[(BARS.0, top), (BARS.0, bottom)], Pen::solid(GREY, 1.5))?;
        if let Some(own) = own {
            let x = across.at(own.new_fluid_ml);
            canvas.stroke(&[(x, top), (x, bottom)], Pen::dashed(INK, 2.0, 8.0, 5.0))?;
        }
        let below = (0.5 * (BARS.0 + BARS.1), bottom + 2.2 * BODY);
        canvas.text(below, "new fluid used, mL", Letter::NOTE.held(Hold::Middle))?;
        if answer.partial {
            let letter = Letter::BODY.coloured(VERMILLION_WORDS);
            canvas.text((EDGE, bottom + 3.6 * BODY), "Interrupted: partial answer", letter)?;
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
    let right = letter.held(Hold::Right);
    let Some(equal) = s.equal else {
        let words = "cannot be made as clean";
        return canvas.text((WIDTH - EDGE, y), words, Letter::NOTE.held(Hold::Right));
    };
    let (from, to) = ((BARS.0, y - HALF), (across.at(equal.new_fluid_ml), y + HALF));
    let (area, rim) = match (own, s.told_apart) {
        (true, _) => (INK, INK),
        (false, true) => (BLUE, BLUE),
        (false, false) => (PALE, BLUE),
    };
    canvas.block(from, to, area)?;
    canvas.frame(from, to, Pen::solid(rim, 1.5))?;
    canvas.text((FLUID, y), &number(equal.new_fluid_ml), right)?;
    let figure = if own { "own".to_owned() } else { signed(equal.saves_ml, 1) };
    canvas.text((SAVES, y), &figure, right)?;
    match (s.saves_ml_p10.flatten(), s.saves_ml_p90.flatten()) {
        (Some(low), Some(high)) if !own => {
            let range = format!("{} to {}", signed(low, 0), signed(high, 0));
            canvas.text((WIDTH - EDGE, y), &range, Letter::NOTE.held(Hold::Right))
        }
        _ => Ok(()),
    }
}

fn signed(x: f64, digits: usize) -> String {
    let text = format!("{x:.*}", if x.abs() < 99.95 { digits } else { 0 });
    match text.trim_start_matches('-') {
        "0" | "0.0" => text.trim_start_matches('-').to_owned(),
        size if x < 0.0 => format!("–{size}"),
        size => format!("+{size}"),
    }
}
