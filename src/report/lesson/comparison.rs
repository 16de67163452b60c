//! What the orders come to, side by side.

use super::words;
use crate::report::figures::{lasting, percent, rounded};
use crate::report::wording::Words;
use crate::study::lesson::{Against, Run};
use serde::Serialize;

/// A row of what two orders come to: what, and for each run its figure and the difference from the own order.
#[derive(Debug, Serialize)]
pub(super) struct Comparison {
    what: String,
    figures: Vec<String>,
    differences: Vec<String>,
}

/// The rows of the comparison.
pub(super) fn comparisons(runs: &[Run], w: &Words) -> Vec<Comparison> {
    let row = |what: &str, figure: &dyn Fn(&Run) -> String, difference: &dyn Fn(&Run) -> String| {
        Comparison {
            what: what.to_owned(),
            figures: runs.iter().map(figure).collect(),
            differences: runs.iter().map(difference).collect(),
        }
    };
    let against =
        |r: &Run, of: fn(&Against) -> String| r.against_own.as_ref().map_or(String::new(), of);
    vec![
        row("drained", &|r| format!("{} mL", rounded(r.record.totals.drained_ml, 1)), &|r| {
            against(r, |a| words::difference(a.drained))
        }),
        row(
            "new fluid used",
            &|r| format!("{} mL", rounded(r.record.totals.new_fluid_ml, 1)),
            &|r| against(r, |a| words::difference(a.new_fluid)),
        ),
        row(
            "old fluid left",
            &|r| {
                let left = &r.record.left;
                format!("{} mL ({} %)", rounded(left.old_ml, 1), percent(left.old_fraction))
            },
            &|r| against(r, |a| words::difference(a.old_left)),
        ),
        row(&format!("{} open", w.bleeder), &|r| lasting(r.record.totals.flow_seconds), &|r| {
            against(r, words::slower)
        }),
    ]
}
