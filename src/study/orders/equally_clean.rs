//! The fair comparison: stop rules made stricter or laxer together until as much old fluid is left.

use super::Equal;
use super::rows::Rows;
use crate::circuit::Scenario;
use crate::job::error::JobError;
use crate::job::resume::{Ready, Sums};
use crate::portable;
use crate::sorting;
use crate::study::difference::less;
use crate::study::progress::Progress;
use crate::study::shared;

/// From one rung of strictness to the next.
const RUNG: f64 = 0.85;
/// Rungs tried either way: thresholds down to a seventh, or up to seven times.
const RUNGS: i32 = 12;
/// An answer that moves by less than this share from rung to rung does not move.
const STILL: f64 = 1e-6;

/// What an order comes to on the two rungs that enclose the own order's old fluid.
struct Enclosed {
    order: usize,
    before: Sums,
    after: Sums,
}

/// What an order drains and saves when it leaves as much old fluid as the own order does.
///
/// All stop rules are scaled together ([`super::rows::scaled`]) in steps of 0.85, for as many orders at
/// once as still need it, so that these share their beginnings too. What the own order drains, and what leaves the
/// system in all ([`Sums::gone_ml`]), is found as a curve over ln(left): what is left of a washout falls exponentially. Other
/// orders follow that curve closely, and their distance from it is taken as straight between the two
/// rungs that enclose the own order's old fluid.
///
/// The own order is the first row, `first` what every order came to by the rules as they are. `None` for
/// an order whose rules cannot be scaled so far, or that was not reached. `each` is called whenever one has been run.
pub(super) fn equal(
    ready: &Ready,
    scenario: &Scenario,
    rows: &Rows,
    first: &[Option<Sums>],
    progress: &Progress<'_>,
    each: &(dyn Fn() + Sync),
) -> Result<Vec<Option<Equal>>, JobError> {
    let mut answers = vec![None; rows.rows.len()];
    let Some(own) = first.first().copied().flatten() else { return Ok(answers) };
    let wanted = own.left_old_ml;
    let at_equal = |drained_ml: f64, gone_ml: f64| {
        let saves_ml = less(gone_ml, own.gone_ml());
        Some(Equal { drained_ml, saves_ml, new_fluid_ml: own.new_fluid_ml - saves_ml })
    };
    // What each came to on the rung before, while it is sought.
    let (mut cleaner, mut dirtier) = (Vec::new(), Vec::new());
    for (i, sums) in first.iter().enumerate() {
        match sums {
            Some(s) if i == 0 || s.left_old_ml == wanted => {
                answers[i] = at_equal(s.drained_ml, s.gone_ml());
            }
            Some(s) if s.left_old_ml > wanted => cleaner.push((i, *s)),
            Some(s) => dirtier.push((i, *s)),
            None => {}
        }
    }
    let mut enclosed = Vec::new();
    // What the own order comes to on each rung that is run, beside the orders that need it.
    let mut curve = vec![own];
    let at_rung = |rung: i32, orders: &[usize]| {
        let table = rows.table(scenario, portable::powi(RUNG, rung));
        let some: Vec<&[u32]> = orders.iter().map(|&i| rows.rows[i].as_slice()).collect();
        shared::run(ready, &table, &some, progress, |_, job| {
            each();
            job.sums()
        })
    };
    for (mut sought, direction) in [(cleaner, 1), (dirtier, -1)] {
        let towards = f64::from(direction);
        let mut last = ln(&own);
        for rung in 1..=RUNGS {
            let ends = enclosed.iter().map(|e: &Enclosed| ln(&e.after));
            let mut reach = first.iter().flatten().map(ln).chain(ends);
            let covered = reach.all(|x| towards * (last - x) <= 0.0);
            // The parabola about the own order's figure takes a point on either side of it.
            if sought.is_empty() && covered && rung > 1 {
                break;
            }
            let orders: Vec<usize> = std::iter::once(0).chain(sought.iter().map(|s| s.0)).collect();
            let mut sums = at_rung(direction * rung, &orders)?.into_iter();
            let Some(here) = sums.next().flatten() else { break };
            let stands_still = towards * (last - ln(&here)) < STILL;
            if !stands_still {
                last = ln(&here);
                curve.push(here);
            }
            let mut still = Vec::new();
            for ((order, before), after) in sought.iter().zip(sums) {
                let Some(after) = after else { continue };
                if towards * (ln(before) - ln(&after)) < STILL {
                    continue;
                }
                match towards * (portable::ln(wanted) - ln(&after)) >= 0.0 {
                    true => enclosed.push(Enclosed { order: *order, before: *before, after }),
                    false => still.push((*order, after)),
                }
            }
            sought = still;
            if sought.is_empty() && stands_still {
                break;
            }
        }
    }
    sorting::by(&mut curve, |a, b| ln(a).total_cmp(&ln(b)));
    let origin = curve.iter().position(|s| ln(s) == ln(&own)).unwrap_or(0);
    let read = |e: &Enclosed, of: fn(&Sums) -> f64| {
        let curve: Vec<(f64, f64)> = curve.iter().map(|s| (ln(s), of(s))).collect();
        let (x, y) = (ln(&e.before), ln(&e.after));
        let share = (x - portable::ln(wanted)) / (x - y);
        let off = |s: &Sums| of(s) - at(&curve, origin, ln(s));
        let (from, to) = (off(&e.before), off(&e.after));
        of(&own) + from + share * (to - from)
    };
    for e in &enclosed {
        answers[e.order] = at_equal(read(e, |s| s.drained_ml), read(e, Sums::gone_ml));
    }
    Ok(answers)
}

fn ln(sums: &Sums) -> f64 {
    portable::ln(sums.left_old_ml)
}

/// The own order's curve (ln(left), mL drained; by rising ln(left)) at `x`: the parabola through the two points
/// about `x` and the next one toward the point `origin`, so that it does not depend on how far the curve
/// reaches; straight beyond its ends.
pub(in crate::study) fn at(curve: &[(f64, f64)], origin: usize, x: f64) -> f64 {
    let n = curve.len();
    let line = |a: (f64, f64), b: (f64, f64)| a.1 + (x - a.0) / (b.0 - a.0) * (b.1 - a.1);
    let after = curve.partition_point(|p| p.0 <= x);
    match n {
        1 => curve[0].1,
        2 => line(curve[0], curve[1]),
        _ if after == 0 => line(curve[0], curve[1]),
        _ if after == n => line(curve[n - 2], curve[n - 1]),
        _ => {
            let middle = if after > origin { after - 1 } else { after }.clamp(1, n - 2);
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
            assert!((at(&curve, 1, x) - f(x)).abs() < 1e-12, "{x}");
        }
        assert!((at(&curve[..2], 0, 0.35) - 0.5 * (f(0.0) + f(0.7))).abs() < 1e-12);
        assert!((at(&curve[..1], 0, 5.0) - f(0.0)).abs() < 1e-12);
    }
}
