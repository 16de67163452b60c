//! A plan as CSV: one row an opening, then the points of the trade-off curve.

use crate::study::plan::Plan;

/// Names of the columns; `what` is `opening` or `curve`.
pub const COLUMNS: [&str; 5] =
    ["what", "bleeder", "drained_ml", "flow_seconds", "left_old_fraction"];

/// The table as text.
///
/// # Errors
/// If the writer fails, which one into memory does not.
pub fn render(answer: &Plan) -> Result<Vec<u8>, csv::Error> {
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(COLUMNS)?;
    for o in &answer.openings {
        let (drained, seconds) = (o.drained_ml.to_string(), o.flow_seconds.to_string());
        out.write_record(["opening", &o.bleeder, &drained, &seconds, ""])?;
    }
    for p in &answer.curve {
        let (drained, left) = (p.drained_ml.to_string(), p.left_old_fraction.to_string());
        out.write_record(["curve", "", &drained, "", &left])?;
    }
    out.into_inner().map_err(|e| e.into_error().into())
}
