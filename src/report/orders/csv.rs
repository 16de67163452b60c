//! One row an order; empty cells are what was not asked for or cannot be said.

use crate::report::Sheet;
use crate::report::sheet;
use crate::report::sheet::Column::{self, One};
use crate::study::orders::{Orders, Standing};

const COLUMNS: [Column<Standing>; 16] = [
    One("place", |s| s.place.into()),
    One("order", |s| s.order.join(", ").into()),
    One("drained_ml", |s| s.drained_ml.into()),
    One("flow_seconds", |s| s.flow_seconds.into()),
    One("left_old_ml", |s| s.left_old_ml.into()),
    One("left_old_fraction", |s| s.left_old_fraction.into()),
    One("lowest_boiling_c", |s| s.lowest_boiling_c.into()),
    One("equal_drained_ml", |s| s.equal.map(|e| e.drained_ml).into()),
    One("saves_ml", |s| s.equal.map(|e| e.saves_ml).into()),
    One("told_apart", |s| s.told_apart.into()),
    One("saves_ml_p10", |s| s.saves_ml_p10.flatten().into()),
    One("saves_ml_p50", |s| s.saves_ml_p50.flatten().into()),
    One("saves_ml_p90", |s| s.saves_ml_p90.flatten().into()),
    One("better_share", |s| s.better_share.into()),
    One("new_fluid_ml", |s| s.new_fluid_ml.into()),
    One("equal_new_fluid_ml", |s| s.equal.map(|e| e.new_fluid_ml).into()),
];

pub(super) fn render(answer: &Orders) -> Sheet {
    sheet::render(&COLUMNS, &answer.orders, answer.partial)
}
