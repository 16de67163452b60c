//! Orders as CSV: one row an order, columns named as in the JSON.

use super::sheet;
use crate::study::orders::{Orders, Standing};

/// Names of the columns; empty cells are what was not asked for or cannot be said.
pub const COLUMNS: [&str; 16] = [
    "place",
    "order",
    "drained_ml",
    "flow_seconds",
    "left_old_ml",
    "left_old_fraction",
    "lowest_boiling_c",
    "equal_drained_ml",
    "saves_ml",
    "told_apart",
    "saves_ml_p10",
    "saves_ml_p50",
    "saves_ml_p90",
    "better_share",
    "new_fluid_ml",
    "equal_new_fluid_ml",
];

/// The table as text.
///
/// # Errors
/// If the writer fails, which one into memory does not.
pub fn render(answer: &Orders) -> Result<Vec<u8>, csv::Error> {
    sheet::render(&COLUMNS, answer.orders.iter().map(row), answer.partial)
}

fn row(s: &Standing) -> [String; 16] {
    let figure = |x: Option<f64>| x.map_or_else(String::new, |x| x.to_string());
    [
        s.place.to_string(),
        s.order.join(", "),
        s.drained_ml.to_string(),
        s.flow_seconds.to_string(),
        s.left_old_ml.to_string(),
        s.left_old_fraction.to_string(),
        s.lowest_boiling_c.to_string(),
        figure(s.equal.map(|e| e.drained_ml)),
        figure(s.equal.map(|e| e.saves_ml)),
        s.told_apart.to_string(),
        figure(s.saves_ml_p10.flatten()),
        figure(s.saves_ml_p50.flatten()),
        figure(s.saves_ml_p90.flatten()),
        figure(s.better_share),
        s.new_fluid_ml.to_string(),
        figure(s.equal.map(|e| e.new_fluid_ml)),
    ]
}
