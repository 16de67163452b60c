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
/// Points of the own order's curve for each rung.
const FINER: i32 = 1;
/// An answer that moves by less than this share from rung to rung does not move.
const STILL: f64 = 1e-6;

/// What an order comes to on the two rungs that enclose the own order's old fluid.
struct Enclosed {
    order: usize,
    before: Sums,
    after: Sums,
}

/// What an order drains when it leaves as much old fluid as the own order does.
///
/// All stop rules are scaled together ([`super::rows::scaled`]) in steps of 0.85, for as many orders at
/// once as still need it, so that these share their beginnings too. What the own order drains is found as a
/// curve over ln(left): what is left of a washout falls exponentially. Other
/// orders follow that curve closely, and their distance from it is taken as straight between the two
/// rungs that enclose the own order's old fluid.
///
/// The own order is the first row, `first` what every order came to by the rules as they are. `None` for
/// an order whose rules cannot be scaled so far, or that was not reached.
pub(super) fn equal_drained_ml(
    ready: &Ready,
    scenario: &Scenario,
    rows: &Rows,
    first: &[Option<Sums>],
    progress: &Progress<'_>,
) -> Result<Vec<Option<f64>>, JobError> {
    let mut answers = vec![None; rows.rows.len()];
    let Some(own) = first.first().copied().flatten() else { return Ok(answers) };
    let wanted = own.left_old_ml;
    // What each came to on the rung before, while it is sought.
    let (mut cleaner, mut dirtier) = (Vec::new(), Vec::new());
    for (i, sums) in first.iter().enumerate() {
        match sums {
            Some(s) if i == 0 || s.left_old_ml == wanted => answers[i] = Some(s.drained_ml),
            Some(s) if s.left_old_ml > wanted => cleaner.push((i, *s)),
            Some(s) => dirtier.push((i, *s)),
            None => {}
        }
    }
    let mut enclosed = Vec::new();
    for (mut sought, direction) in [(cleaner, 1), (dirtier, -1)] {
        for rung in 1..=RUNGS {
            if sought.is_empty() {
                break;
            }
            let table = rows.table(scenario, RUNG.powi(direction * rung));
            let some: Vec<&[u32]> = sought.iter().map(|s| rows.rows[s.0].as_slice()).collect();
            let sums = shared::run(ready, &table, &some, progress, |_, job| job.sums(ready))?;
            let mut still = Vec::new();
            for ((order, before), after) in sought.iter().zip(sums) {
                let Some(after) = after else { continue };
                let moved = f64::from(direction) * (ln(before) - ln(&after));
                if moved < STILL {
                    continue;
                }
                let passed = f64::from(direction) * (wanted.ln() - ln(&after)) >= 0.0;
                match passed {
                    true => enclosed.push(Enclosed { order: *order, before: *before, after }),
                    false => still.push((*order, after)),
                }
            }
            sought = still;
        }
    }
    let curve = own_curve(ready, scenario, rows, own, &enclosed, progress)?;
    for e in &enclosed {
        let (x, y) = (ln(&e.before), ln(&e.after));
        let share = (x - wanted.ln()) / (x - y);
        let (from, to) = (e.before.drained_ml - at(&curve, x), e.after.drained_ml - at(&curve, y));
        answers[e.order] = Some(own.drained_ml + from + share * (to - from));
    }
    Ok(answers)
}

fn ln(sums: &Sums) -> f64 {
    sums.left_old_ml.ln()
}

/// The own order's ln(left) and millilitres drained, by rising ln(left), as far as `enclosed` reaches or its
/// rules move anything.
fn own_curve(
    ready: &Ready,
    scenario: &Scenario,
    rows: &Rows,
    own: Sums,
    enclosed: &[Enclosed],
    progress: &Progress<'_>,
) -> Result<Vec<(f64, f64)>, JobError> {
    let ends = || enclosed.iter().flat_map(|e| [ln(&e.before), ln(&e.after)]);
    let least = ends().fold(ln(&own), f64::min);
    let most = ends().fold(ln(&own), f64::max);
    let mut curve = vec![(ln(&own), own.drained_ml)];
    for (direction, end) in [(1, least), (-1, most)] {
        let towards = f64::from(direction);
        let (mut last, mut beyond) = (ln(&own), false);
        for point in 1..=FINER * (RUNGS + 2) {
            // One point beyond the end, so that every place has its three points whatever else is compared.
            if beyond {
                break;
            }
            beyond = towards * (last - end) <= 0.0;
            let share = RUNG.powf(towards * f64::from(point) / f64::from(FINER));
            let table = rows.table(scenario, share);
            let row = [rows.rows[0].as_slice()];
            let sums = shared::run(ready, &table, &row, progress, |_, job| job.sums(ready))?;
            let Some(sums) = sums.first().copied().flatten() else { break };
            if towards * (last - ln(&sums)) < STILL {
                break;
            }
            last = ln(&sums);
            curve.push((last, sums.drained_ml));
        }
    }
    curve.sort_by(|a, b| a.0.total_cmp(&b.0));
    Ok(curve)
}

/// The curve at `x`, by the parabola through the three points about it; straight beyond its ends.
fn at(curve: &[(f64, f64)], x: f64) -> f64 {
    let n = curve.len();
    let line = |a: (f64, f64), b: (f64, f64)| a.1 + (x - a.0) / (b.0 - a.0) * (b.1 - a.1);
    let after = curve.partition_point(|p| p.0 <= x);
    match n {
        1 => curve[0].1,
        2 => line(curve[0], curve[1]),
        _ if after == 0 => line(curve[0], curve[1]),
        _ if after == n => line(curve[n - 2], curve[n - 1]),
        _ => {
            let middle = if after < n - 1 { after } else { n - 2 };
            let [a, b, c] = [curve[middle - 1], curve[middle], curve[middle + 1]];
            let weight = |p: f64, q: f64, r: f64| (x - q) * (x - r) / ((p - q) * (p - r));
            weight(a.0, b.0, c.0) * a.1 + weight(b.0, a.0, c.0) * b.1 + weight(c.0, a.0, b.0) * c.1
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_parabola_is_read_exactly_and_ends_go_on_straight() {
        let f = |x: f64| 3.0 - 2.0 * x + 0.5 * x * x;
        let curve: Vec<(f64, f64)> = [0.0, 0.7, 1.0, 2.2].map(|x| (x, f(x))).to_vec();
        for x in [0.0, 0.3, 0.7, 0.9, 1.5, 2.1] {
            assert!((at(&curve, x) - f(x)).abs() < 1e-12, "{x}");
        }
        assert!((at(&curve[..2], 0.35) - 0.5 * (f(0.0) + f(0.7))).abs() < 1e-12);
        assert!((at(&curve[..1], 5.0) - f(0.0)).abs() < 1e-12);
    }
}
