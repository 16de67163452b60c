//! One row a job; `gauge_kpa` is empty for a supply without a gauge.

use crate::report::Sheet;
use crate::report::sheet::Column::{self, One, Sums};
use crate::report::sheet::{self, figure};
use crate::study::pressures::{Point, Pressures};

const COLUMNS: [Column<Point>; 12] = [
    One("supply", |p| p.supply.clone()),
    One("gauge_kpa", |p| figure(p.gauge_kpa)),
    Sums(|p| (&p.totals, &p.left)),
    One("mean_flow_ml_per_s", |p| p.mean_flow_ml_per_s.to_string()),
    One("reynolds", |p| p.reynolds.to_string()),
    One("cap_kpa", |p| p.cap_kpa.to_string()),
    One("master_cylinder_kpa", |p| p.master_cylinder_kpa.to_string()),
    One("wheel_kpa", |p| p.wheel_kpa.to_string()),
    One("over_limit", |p| p.over_limit.to_string()),
    One("own", |p| p.own.to_string()),
    One("stopped", |p| p.stopped().to_string()),
    One("least_look_binds", |p| p.least_look_binds.join("; ")),
];

pub(super) fn render(answer: &Pressures) -> Sheet {
    sheet::render(&COLUMNS, &answer.points, answer.partial)
}
