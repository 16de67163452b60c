//! One row a job; `gauge_kpa` is empty for a supply without a gauge.

use crate::report::Sheet;
use crate::report::sheet;
use crate::report::sheet::Column::{self, One, Sums};
use crate::study::pressures::{Point, Pressures};

const COLUMNS: [Column<Point>; 12] = [
    One("supply", |p| p.supply.as_str().into()),
    One("gauge_kpa", |p| p.gauge_kpa.into()),
    Sums(|p| (&p.totals, &p.left)),
    One("mean_flow_ml_per_s", |p| p.mean_flow_ml_per_s.into()),
    One("reynolds", |p| p.reynolds.into()),
    One("cap_kpa", |p| p.cap_kpa.into()),
    One("master_cylinder_kpa", |p| p.master_cylinder_kpa.into()),
    One("wheel_kpa", |p| p.wheel_kpa.into()),
    One("over_limit", |p| p.over_limit.into()),
    One("own", |p| p.own.into()),
    One("stopped", |p| p.stopped().into()),
    One("least_look_binds", |p| p.least_look_binds.join("; ").into()),
];

pub(super) fn render(answer: &Pressures) -> Sheet {
    sheet::render(&COLUMNS, &answer.points, answer.partial)
}
