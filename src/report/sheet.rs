//! CSV. Every cell of every sheet goes through here, text and figures apart, so that no text can be a formula to a
//! spreadsheet; [`Csv`] cannot be made elsewhere.

use crate::job::record::{Left, Totals};

/// A sheet, finished.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Csv(Vec<u8>);

/// CSV. That it cannot be made comes of the writer, which in memory does not fail.
pub type Sheet = Result<Csv, csv::Error>;

impl Csv {
    /// As bytes.
    pub fn as_bytes(&self) -> &[u8] {
        &self.0
    }
}

/// What a text begins with that a spreadsheet runs, from memory of what is said of "CSV injection": signs of a formula,
/// also in full width, and what is skipped before one.
const RUN: &[char] = &['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠'];

/// Whether a spreadsheet could run the text, apostrophes and spaces at its beginning left aside.
fn is_run(text: &str) -> bool {
    text.trim_start_matches(['\'', ' ']).starts_with(RUN)
}

/// A text as a cell of CSV: one that a spreadsheet could run as a formula gets an apostrophe before it, one more if it
/// begins with some already. [`from_cell`] gives back any text as it was.
///
/// ```
/// use farwheel::report::{from_cell, to_cell};
/// assert_eq!(to_cell("=1+2"), "'=1+2");
/// assert_eq!(to_cell("'=1+2"), "''=1+2");
/// assert_eq!(to_cell("'RR'"), "'RR'");
/// assert_eq!(from_cell("''=1+2"), "'=1+2");
/// assert_eq!(from_cell("-3.5"), "-3.5");
/// ```
pub fn to_cell(text: &str) -> String {
    if is_run(text) { format!("'{text}") } else { text.to_owned() }
}

/// A cell as the text that it was made of; a figure is as it is.
pub fn from_cell(cell: &str) -> &str {
    cell.strip_prefix('\'').filter(|_| is_run(cell)).unwrap_or(cell)
}

/// A cell: what it holds decides how it is written.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    /// A text, whosever it is.
    Text(String),
    /// A figure; empty if there is none, or if it is no number.
    Figure(Option<f64>),
    /// A number of things.
    Count(u64),
    /// `true` or `false`.
    Flag(bool),
}

impl Cell {
    /// Nothing.
    pub(super) const EMPTY: Self = Self::Figure(None);

    fn written(&self) -> String {
        match self {
            Self::Text(text) => to_cell(text),
            Self::Figure(x) => {
                x.filter(|x| x.is_finite()).map_or_else(String::new, |x| x.to_string())
            }
            Self::Count(n) => n.to_string(),
            Self::Flag(yes) => yes.to_string(),
        }
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<f64> for Cell {
    fn from(x: f64) -> Self {
        Self::Figure(Some(x))
    }
}

impl From<Option<f64>> for Cell {
    fn from(x: Option<f64>) -> Self {
        Self::Figure(x)
    }
}

impl From<usize> for Cell {
    fn from(n: usize) -> Self {
        Self::Count(n as u64)
    }
}

impl From<u32> for Cell {
    fn from(n: u32) -> Self {
        Self::Count(n.into())
    }
}

impl From<u64> for Cell {
    fn from(n: u64) -> Self {
        Self::Count(n)
    }
}

impl From<bool> for Cell {
    fn from(yes: bool) -> Self {
        Self::Flag(yes)
    }
}

/// A sheet under way.
pub(super) struct Rows(csv::Writer<Vec<u8>>);

impl Rows {
    /// With the names of its columns, which are the program's own.
    ///
    /// # Errors
    /// If the writer fails, which one into memory does not. So of the next two.
    pub(super) fn new(columns: impl IntoIterator<Item = &'static str>) -> Result<Self, csv::Error> {
        let mut out = csv::Writer::from_writer(Vec::new());
        out.write_record(columns)?;
        Ok(Self(out))
    }

    /// Adds a row.
    pub(super) fn add(&mut self, cells: impl IntoIterator<Item = Cell>) -> Result<(), csv::Error> {
        self.0.write_record(cells.into_iter().map(|cell| cell.written()))
    }

    /// The sheet.
    pub(super) fn finish(self) -> Sheet {
        self.0.into_inner().map(Csv).map_err(|e| e.into_error().into())
    }
}

/// A figure: its name, its unit, what it is.
type Figure<T> = (&'static str, &'static str, fn(&T) -> f64);

/// The sums over a job.
pub(super) const TOTALS: [Figure<Totals>; 6] = [
    ("drained_ml", "mL", |t| t.drained_ml),
    ("removed_ml", "mL", |t| t.removed_ml),
    ("new_fluid_ml", "mL", |t| t.new_fluid_ml),
    ("flow_seconds", "s", |t| t.flow_seconds),
    ("bay_seconds", "s", |t| t.bay_seconds),
    ("repumps", "", |t| f64::from(t.repumps)),
];

/// What a job leaves.
pub(super) const LEFT: [Figure<Left>; 4] = [
    ("left_old_ml", "mL", |l| l.old_ml),
    ("left_old_fraction", "", |l| l.old_fraction),
    ("left_water_percent", "mass %", |l| l.water_percent),
    ("lowest_boiling_c", "°C", |l| l.lowest_boiling_c),
];

/// What a sheet of one row an item holds of each.
pub(super) enum Column<R> {
    /// One column: its name and its cell.
    One(&'static str, fn(&R) -> Cell),
    /// [`TOTALS`], [`LEFT`], and the part that boils first.
    Sums(fn(&R) -> (&Totals, &Left)),
}

impl<R> Column<R> {
    fn names(&self) -> Vec<&'static str> {
        match self {
            Self::One(name, _) => vec![name],
            Self::Sums(_) => {
                let names = TOTALS.iter().map(|f| f.0).chain(LEFT.iter().map(|f| f.0));
                names.chain(["lowest_boiling_part"]).collect()
            }
        }
    }

    fn cells(&self, row: &R) -> Vec<Cell> {
        match self {
            Self::One(_, of) => vec![of(row)],
            Self::Sums(of) => {
                let (totals, left) = of(row);
                let totals = TOTALS.iter().map(|f| Cell::from(f.2(totals)));
                let figures = totals.chain(LEFT.iter().map(|f| Cell::from(f.2(left))));
                figures.chain([left.lowest_boiling_part.as_str().into()]).collect()
            }
        }
    }
}

/// A sheet of one row an item, columns named as in the JSON. Where the study was interrupted a last column `partial`
/// holds `true` in every row, as the JSON then has a key of that name.
///
/// # Errors
/// As [`Rows::new`].
pub(super) fn render<'a, R: 'a>(
    columns: &[Column<R>],
    rows: impl IntoIterator<Item = &'a R>,
    partial: bool,
) -> Sheet {
    let names = columns.iter().flat_map(Column::names);
    let mut out = Rows::new(names.chain(partial.then_some("partial")))?;
    let end = || partial.then_some(Cell::Flag(true));
    for row in rows {
        out.add(columns.iter().flat_map(|c| c.cells(row)).chain(end()))?;
    }
    out.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What spreadsheets take for a formula or a command (from memory of advice on "CSV injection").
    const EVIL: [&str; 12] = [
        "=1+2",
        "+1+2",
        "-1+2",
        "@SUM(1,2)",
        "\t=1+2",
        "\r=1+2",
        "\n=1+2",
        "=cmd|' /C calc'!A0",
        "＝1+2",
        "  =1+2",
        "'=1+2",
        "''  '=1+2",
    ];
    const GOOD: [&str; 8] = ["", "RR", "'", "''", "'RR'", "5=3", "rear - left", "'rear' =left"];

    #[test]
    fn a_text_that_could_be_run_begins_with_an_apostrophe() {
        for evil in EVIL {
            assert!(to_cell(evil).starts_with('\''), "{evil:?}");
        }
        for good in GOOD {
            assert_eq!(to_cell(good), good);
        }
    }

    #[test]
    fn any_text_comes_back() {
        let signs = ['\'', ' ', '=', '-', '\t', 'a', '＋', '"', ','];
        let mut texts: Vec<String> = vec![String::new()];
        for _ in 0..5 {
            let longer = texts.iter().flat_map(|t| signs.iter().map(move |s| format!("{t}{s}")));
            let mut all: Vec<String> = longer.collect();
            all.push(String::new());
            texts = all;
        }
        assert!(texts.len() > 50_000);
        let known = EVIL.iter().chain(&GOOD).map(|t| (*t).to_owned());
        for text in texts.into_iter().chain(known) {
            assert_eq!(from_cell(&to_cell(&text)), text, "{text:?}");
            // Nor is one cell that of two texts.
            assert_eq!(to_cell(from_cell(&to_cell(&text))), to_cell(&text), "{text:?}");
        }
    }

    #[test]
    fn figures_stay_figures() {
        let cells =
            [Cell::from(-3.5), Cell::from(Some(-1e-7)), Cell::from(f64::NAN), Cell::from(7_usize)];
        assert_eq!(cells.map(|c| c.written()), ["-3.5", "-0.0000001", "", "7"]);
        for figure in ["-3.5", "-0.0000001", "", "7", "true"] {
            assert_eq!(from_cell(figure), figure);
        }
    }
}
