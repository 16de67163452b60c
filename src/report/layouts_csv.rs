//! Layouts as CSV: one row a layout and order, columns named as in the JSON.

use super::sheet;
use crate::study::layouts::{Layout, Layouts, Run};

/// Names of the columns; `order` is `far first` or `near first`.
pub const COLUMNS: [&str; 18] = [
    "file",
    "title",
    "capacity_ml",
    "bleeders",
    "far_bleeder",
    "far_path_ml",
    "order",
    "drained_ml",
    "removed_ml",
    "new_fluid_ml",
    "flow_seconds",
    "bay_seconds",
    "repumps",
    "left_old_ml",
    "left_old_fraction",
    "left_water_percent",
    "lowest_boiling_c",
    "lowest_boiling_part",
];

/// The table as text.
///
/// # Errors
/// If the writer fails, which one into memory does not.
pub fn render(answer: &Layouts) -> Result<Vec<u8>, csv::Error> {
    let rows = answer
        .layouts
        .iter()
        .flat_map(|l| [row(l, "far first", &l.far_first), row(l, "near first", &l.near_first)]);
    sheet::render(&COLUMNS, rows, answer.partial)
}

fn row(l: &Layout, order: &str, run: &Run) -> [String; 18] {
    let (t, left) = (&run.totals, &run.left);
    [
        l.file.clone(),
        l.title.clone(),
        l.capacity_ml.to_string(),
        l.bleeders.to_string(),
        l.far_bleeder.clone(),
        l.far_path_ml.to_string(),
        order.to_owned(),
        t.drained_ml.to_string(),
        t.removed_ml.to_string(),
        t.new_fluid_ml.to_string(),
        t.flow_seconds.to_string(),
        t.bay_seconds.to_string(),
        t.repumps.to_string(),
        left.old_ml.to_string(),
        left.old_fraction.to_string(),
        left.water_percent.to_string(),
        left.lowest_boiling_c.to_string(),
        left.lowest_boiling_part.clone(),
    ]
}
