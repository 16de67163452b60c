//! A job run through, and what lies where after each opening.

use crate::change::Changed;
use crate::question::Failure;
use farwheel::job::options::Options;
use farwheel::job::stepping::Stepping;
use serde_json::{Value, json};

/// Cells of a line or hose.
const CELLS: usize = 24;

/// The record, and moments: before the first step, after each opening and, where something else comes after these, at the
/// end.
pub fn run(changed: &Changed) -> Result<Value, Failure> {
    let job = changed.job()?;
    // The page shows neither whence fluid came nor curves: without them a job takes half as long.
    let options = Options { origins: false, detail: false, ..job.options };
    let mut stepping = Stepping::begin(&job.scenario, &options)?;
    let mut moments = vec![moment(&stepping)];
    let mut more = false;
    let enough = |s: &Stepping| job.openings.is_some_and(|n| s.openings().len() >= n);
    while !enough(&stepping) && !stepping.ran_dry() && stepping.next_step()? {
        let before = stepping.openings().len();
        if !stepping.hoses().is_empty() {
            stepping.until_closed()?;
        }
        more = stepping.openings().len() == before;
        if !more {
            moments.push(moment(&stepping));
        }
    }
    if more && moments.len() > 1 {
        moments.push(moment(&stepping));
    }
    let record = stepping.record()?;
    // What the page asks of it, and no more: writing and reading all of it takes as long as a quarter of the job.
    let left = json!({ "old_ml": record.left.old_ml, "old_fraction": record.left.old_fraction });
    let asked = json!({
        "openings": record.openings,
        "totals": record.totals,
        "left": left,
        "warnings": record.warnings,
    });
    Ok(json!({ "record": asked, "moments": moments }))
}

/// An old fraction as finely as a map shows it, with a third of the digits; next to nothing and next to all stay that.
fn shown(old: f64) -> f64 {
    if (0.001..=0.999).contains(&old) { (old * 1e4).round() / 1e4 } else { old }
}

/// What lies where now: of each part that holds fluid its volume and old fractions, cell by cell along lines and hoses.
pub fn moment(stepping: &Stepping) -> Value {
    let left = stepping.left();
    let old = stepping.profiles(CELLS).into_iter();
    let old: Vec<Vec<f64>> = old.map(|part| part.into_iter().map(shown).collect()).collect();
    let volumes: Vec<f64> = left.parts.iter().map(|p| p.volume_ml).collect();
    json!({
        "at_s": stepping.clock_s(),
        "openings": stepping.openings().len(),
        "old_ml": left.old_ml,
        "old_fraction": left.old_fraction,
        "volume_ml": volumes,
        "old": old,
    })
}
