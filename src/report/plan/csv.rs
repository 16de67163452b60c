//! One row an opening, then one a point of the trade-off curve; `what` is `opening` or `curve`.

use crate::report::Sheet;
use crate::report::sheet;
use crate::report::sheet::Column::{self, One};
use crate::study::plan::Plan;

/// What, bleeder, drained, flow time, old fraction left, new fluid.
type PlanLine<'a> = (&'static str, &'a str, f64, Option<f64>, Option<f64>, Option<f64>);

fn columns<'a>() -> [Column<PlanLine<'a>>; 6] {
    [
        One("what", |r| r.0.into()),
        One("bleeder", |r| r.1.into()),
        One("drained_ml", |r| r.2.into()),
        One("flow_seconds", |r| r.3.into()),
        One("left_old_fraction", |r| r.4.into()),
        One("new_fluid_ml", |r| r.5.into()),
    ]
}

pub(super) fn render(answer: &Plan) -> Sheet {
    let openings = answer.openings.iter().map(|o| -> PlanLine<'_> {
        ("opening", &o.bleeder, o.drained_ml, Some(o.flow_seconds), None, None)
    });
    let curve = answer.curve.iter().map(|p| -> PlanLine<'_> {
        ("curve", "", p.drained_ml, None, Some(p.left_old_fraction), Some(p.new_fluid_ml))
    });
    sheet::render(&columns(), &openings.chain(curve).collect::<Vec<_>>(), answer.partial)
}
