//! One row an order; empty cells are what was not asked for or cannot be said.

use crate::report::Sheet;
use crate::report::sheet::Column::{self, One};
use crate::report::sheet::{self, figure};
use crate::study::orders::{Orders, Standing};

const COLUMNS: [Column<Standing>; 16] = [
    One("place", |s| s.place.to_string()),
    One("order", |s| s.order.join(", ")),
    One("drained_ml", |s| s.drained_ml.to_string()),
    One("flow_seconds", |s| s.flow_seconds.to_string()),
    One("left_old_ml", |s| s.left_old_ml.to_string()),
    One("left_old_fraction", |s| s.left_old_fraction.to_string()),
    One("lowest_boiling_c", |s| s.lowest_boiling_c.to_string()),
    One("equal_drained_ml", |s| figure(s.equal.map(|e| e.drained_ml))),
    One("saves_ml", |s| figure(s.equal.map(|e| e.saves_ml))),
    One("told_apart", |s| s.told_apart.to_string()),
    One("saves_ml_p10", |s| figure(s.saves_ml_p10.flatten())),
    One("saves_ml_p50", |s| figure(s.saves_ml_p50.flatten())),
    One("saves_ml_p90", |s| figure(s.saves_ml_p90.flatten())),
    One("better_share", |s| figure(s.better_share)),
    One("new_fluid_ml", |s| s.new_fluid_ml.to_string()),
    One("equal_new_fluid_ml", |s| figure(s.equal.map(|e| e.new_fluid_ml))),
];

pub(super) fn render(answer: &Orders) -> Sheet {
    sheet::render(&COLUMNS, &answer.orders, answer.partial)
}
