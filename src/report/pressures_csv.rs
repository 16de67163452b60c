//! A pressure sweep as CSV: one row a job, columns named as in the JSON.

use super::sheet;
use crate::study::pressures::{Point, Pressures};

/// Names of the columns. `gauge_kpa` is empty for a supply without a gauge.
pub const COLUMNS: [&str; 22] = [
    "supply",
    "gauge_kpa",
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
    "mean_flow_ml_per_s",
    "reynolds",
    "cap_kpa",
    "master_cylinder_kpa",
    "wheel_kpa",
    "over_limit",
    "own",
    "stopped",
    "least_look_binds",
];

/// The table as text.
///
/// # Errors
/// If the writer fails, which one into memory does not.
pub fn render(answer: &Pressures) -> Result<Vec<u8>, csv::Error> {
    sheet::render(&COLUMNS, answer.points.iter().map(row), answer.partial)
}

fn row(p: &Point) -> [String; 22] {
    let (t, left) = (&p.totals, &p.left);
    [
        p.supply.clone(),
        p.gauge_kpa.map_or(String::new(), |g| g.to_string()),
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
        p.mean_flow_ml_per_s.to_string(),
        p.reynolds.to_string(),
        p.cap_kpa.to_string(),
        p.master_cylinder_kpa.to_string(),
        p.wheel_kpa.to_string(),
        p.over_limit.to_string(),
        p.own.to_string(),
        p.stopped().to_string(),
        p.least_look_binds.join("; "),
    ]
}
