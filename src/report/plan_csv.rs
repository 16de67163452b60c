//! A plan as CSV: one row an opening, then the points of the trade-off curve.

use super::sheet;
use crate::study::plan::Plan;

/// Names of the columns; `what` is `opening` or `curve`.
pub const COLUMNS: [&str; 6] =
    ["what", "bleeder", "drained_ml", "flow_seconds", "left_old_fraction", "new_fluid_ml"];

/// The table as text.
///
/// # Errors
/// If the writer fails, which one into memory does not.
pub fn render(answer: &Plan) -> Result<Vec<u8>, csv::Error> {
    let openings = answer.openings.iter().map(|o| {
        let (drained, seconds) = (o.drained_ml.to_string(), o.flow_seconds.to_string());
        ["opening".to_owned(), o.bleeder.clone(), drained, seconds, String::new(), String::new()]
    });
    let curve = answer.curve.iter().map(|p| {
        let (drained, left) = (p.drained_ml.to_string(), p.left_old_fraction.to_string());
        [
            "curve".to_owned(),
            String::new(),
            drained,
            String::new(),
            left,
            p.new_fluid_ml.to_string(),
        ]
    });
    sheet::render(&COLUMNS, openings.chain(curve), answer.partial)
}
