//! The fair comparison: stop rules made stricter or laxer together until as much old fluid is left.

use super::rows::Rows;
use crate::job::error::JobError;
use crate::job::underway::{Ready, Sums};
use crate::scenario::model::Scenario;
use crate::study::progress::Progress;
use crate::study::shared;

/// From one rung of strictness to the next.
const RUNG: f64 = 0.85;
/// Rungs tried either way: thresholds down to a seventh, or up to seven times.
const RUNGS: i32 = 12;
/// An answer that moves by less than this share from rung to rung does not move.
const STILL: f64 = 1e-6;

/// What an order drains when it leaves as much old fluid as the own order does.
///
/// All stop rules are scaled together ([`super::rows::scaled`]) in steps of 0.85, for as many orders at
/// once as still need it, so that these share their beginnings too. Between the two rungs that enclose the
/// own order's old fluid, ln(left) is taken as straight in the millilitres drained: what is left of a washout
/// falls exponentially.
///
/// `own` is the index of the own order, `first` what every order came to by the rules as they are. `None` for
/// an order whose rules cannot be scaled so far, or that was not reached.
pub(super) fn equal_drained_ml(
    ready: &Ready,
    scenario: &Scenario,
    rows: &Rows,
    own: usize,
    first: &[Option<Sums>],
    progress: &Progress<'_>,
) -> Result<Vec<Option<f64>>, JobError> {
    let mut answers = vec![None; rows.rows.len()];
    let Some(wanted) = first[own].map(|s| s.left_old_ml) else { return Ok(answers) };
    // What each came to on the rung before, while it is sought.
    let mut cleaner: Vec<(usize, Sums)> = Vec::new();
    let mut dirtier = Vec::new();
    for (i, sums) in first.iter().enumerate() {
        match sums {
            Some(s) if i == own || s.left_old_ml == wanted => answers[i] = Some(s.drained_ml),
            Some(s) if s.left_old_ml > wanted => cleaner.push((i, *s)),
            Some(s) => dirtier.push((i, *s)),
            None => {}
        }
    }
    for (mut sought, direction) in [(cleaner, 1), (dirtier, -1)] {
        for rung in 1..=RUNGS {
            if sought.is_empty() {
                break;
            }
            let table = rows.table(scenario, RUNG.powi(direction * rung));
            let some: Vec<&[u32]> = sought.iter().map(|s| rows.rows[s.0].as_slice()).collect();
            let sums = shared::run(ready, &table, &some, progress, |_, job| job.sums(ready))?;
            let mut still = Vec::new();
            for ((i, before), now) in sought.iter().zip(sums) {
                let Some(now) = now else { continue };
                let (x, y) = (before.left_old_ml.ln(), now.left_old_ml.ln());
                let moved = f64::from(direction) * (x - y);
                let share = (x - wanted.ln()) / (x - y);
                if moved < STILL {
                    continue;
                }
                if share <= 1.0 {
                    let change = now.drained_ml - before.drained_ml;
                    answers[*i] = Some(before.drained_ml + share * change);
                } else {
                    still.push((*i, now));
                }
            }
            sought = still;
        }
    }
    Ok(answers)
}
