//! An answer as CSV with one row an item, columns named as in the JSON.

use super::Sheet;
use crate::job::record::{Left, Totals};

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

/// What a sheet holds of each row.
pub(super) enum Column<R> {
    /// One column: its name and its cell.
    One(&'static str, fn(&R) -> String),
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

    fn cells(&self, row: &R) -> Vec<String> {
        match self {
            Self::One(_, of) => vec![of(row)],
            Self::Sums(of) => {
                let (totals, left) = of(row);
                let totals = TOTALS.iter().map(|f| f.2(totals)).map(|x| x.to_string());
                let figures = totals.chain(LEFT.iter().map(|f| f.2(left)).map(|x| x.to_string()));
                figures.chain([left.lowest_boiling_part.clone()]).collect()
            }
        }
    }
}

/// The sheet as text. Where the study was interrupted a last column `partial` holds `true` in every row, as the
/// JSON then has a key of that name.
///
/// # Errors
/// If the writer fails, which one into memory does not.
pub(super) fn render<'a, R: 'a>(
    columns: &[Column<R>],
    rows: impl IntoIterator<Item = &'a R>,
    partial: bool,
) -> Sheet {
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(columns.iter().flat_map(Column::names).chain(partial.then_some("partial")))?;
    let end = || partial.then(|| "true".to_owned());
    for row in rows {
        out.write_record(columns.iter().flat_map(|c| c.cells(row)).chain(end()))?;
    }
    out.into_inner().map_err(|e| e.into_error().into())
}

/// A figure, or an empty cell if there is none.
pub(super) fn figure(x: Option<f64>) -> String {
    x.map_or_else(String::new, |x| x.to_string())
}
