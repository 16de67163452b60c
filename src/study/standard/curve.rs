//! The least fluid with which some order of a car leaves as little old fluid: what a rule is measured against.

use super::rule::{Closing, closed_by};
use crate::circuit::Scenario;
use crate::job::options::Options;
use crate::job::resume::{Ready, Sums};
use crate::keys::quantity::Quantity;
use crate::measures::from_ml;
use crate::portable;
use crate::scenario::procedure::StopRule;
use crate::study::StudyError;
use crate::study::orders::{DIRTIEST, at, sums_of_orders};
use crate::study::progress::Progress;
use crate::study::tried_orders::tried_or_every;

/// Of so many bleeders every order is tried; of more, some.
pub const MOST_GROUPS: usize = 4;
/// From one strictness of the eye to the next, and how many are tried laxer and stricter than the car's own: from three
/// times what it accepts down to a two hundredth.
const RUNG: f64 = 0.7;
const LAXER: i32 = 3;
const STRICTER: i32 = 15;
/// Points of a curve that are nearer to each other in ln(old fluid left) are one.
const SAME: f64 = 1e-6;

/// What one order takes, closed in one way, over ln(old fluid left), mL; by rising ln(left).
#[derive(Debug, Clone)]
struct Curve {
    order: usize,
    closing: Closing,
    points: Vec<(f64, f64)>,
}

/// All curves of a car.
#[derive(Debug, Clone)]
pub(super) struct Best {
    orders: Vec<Vec<String>>,
    curves: Vec<Curve>,
}

/// The best that a car can do.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Least {
    pub order: Vec<String>,
    pub closing: Closing,
    pub fluid_ml: f64,
}

impl Best {
    /// Runs every order by eyes of many kinds, and with each of these millilitres counted out at each opening.
    ///
    /// # Errors
    /// [`StudyError`].
    pub fn of(
        scenario: &Scenario,
        caps_ml: &[f64],
        options: &Options,
        progress: &Progress<'_>,
    ) -> Result<Self, StudyError> {
        let orders = tried_or_every(scenario, MOST_GROUPS);
        // One fineness for all, so that the curves are smooth.
        let lanes = Some(Ready::new(scenario, options)?.lanes());
        let options = Options { lanes, ..options.clone() };
        let own = scenario.clear_hose.threshold.value;
        let eye = |rung: i32| StopRule {
            clean: true,
            threshold: Some(Quantity::known((own * portable::powi(RUNG, rung)).min(DIRTIEST))),
            ..StopRule::default()
        };
        let count = |ml: &f64| StopRule {
            volume: Some(Quantity::known(from_ml(*ml))),
            ..StopRule::default()
        };
        let eyes: Vec<StopRule> = (-LAXER..=STRICTER).map(eye).collect();
        let counts: Vec<StopRule> = caps_ml.iter().map(count).collect();
        let mut curves = Vec::new();
        for (closing, rules) in [(Closing::Clean, eyes), (Closing::Counted, counts)] {
            let mut points = vec![Vec::new(); orders.len()];
            for rule in rules {
                let sums = sums_of_orders(&closed_by(scenario, rule), &orders, &options, progress)?;
                for (all, sums) in points.iter_mut().zip(&sums) {
                    all.extend(sums.map(|s| (ln_left(&s), s.gone_ml())));
                }
            }
            let curve = |(order, points)| Curve { order, closing, points: in_order(points) };
            curves.extend(points.into_iter().enumerate().map(curve));
        }
        Ok(Self { orders, curves })
    }

    /// The least with which as little old fluid is left. Beyond the strictest eye that was tried, curves by eye go on
    /// straight: what pockets give back slowly would take more than that.
    pub fn least(&self, left_ml: f64) -> Option<Least> {
        let x = portable::ln(left_ml.max(f64::MIN_POSITIVE));
        let reached = |c: &&Curve| match (c.points.first(), c.points.last()) {
            (Some(clean), Some(dirty)) => {
                x <= dirty.0 + SAME && (c.closing == Closing::Clean || x >= clean.0 - SAME)
            }
            _ => false,
        };
        let known = self.curves.iter().filter(reached).map(|c| (c, at(&c.points, 0, x).max(0.0)));
        // Dirtier than anything that was tried: what the laxest of all takes is more than enough.
        let laxest = self.curves.iter().filter_map(|c| Some((c, c.points.last()?.1)));
        let by_fluid = |a: &(&Curve, f64), b: &(&Curve, f64)| a.1.total_cmp(&b.1);
        let (curve, fluid_ml) = known.min_by(by_fluid).or_else(|| laxest.min_by(by_fluid))?;
        Some(Least { order: self.orders[curve.order].clone(), closing: curve.closing, fluid_ml })
    }
}

/// ln(old fluid left in mL).
fn ln_left(sums: &Sums) -> f64 {
    portable::ln(sums.left_old_ml.max(f64::MIN_POSITIVE))
}

/// By rising ln(left), what leaves less taking more; of points at one place the one that takes least.
fn in_order(mut points: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    points.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.total_cmp(&a.1)));
    let mut kept: Vec<(f64, f64)> = Vec::new();
    for point in points {
        while kept.last().is_some_and(|k| point.0 - k.0 <= SAME) {
            kept.pop();
        }
        kept.push(point);
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One stirred vessel of 100 mL washed out by V mL leaves 100·exp(−V/100): a straight line over ln(left).
    #[test]
    fn a_stirred_vessel_is_read_off_exactly() {
        let points = (1..=8).map(|k| 40.0 * f64::from(k));
        let curve = |order: usize, dearer: f64| Curve {
            order,
            closing: Closing::Clean,
            points: in_order(
                points.clone().map(|v| ((100.0_f64).ln() - v / 100.0, v + dearer)).collect(),
            ),
        };
        let best = Best {
            orders: vec![vec!["A".to_owned()], vec!["B".to_owned()]],
            curves: vec![curve(0, 7.0), curve(1, 0.0)],
        };
        for volume in [50.0, 133.0, 320.0, 500.0] {
            let least = best.least(100.0 * (-volume / 100.0_f64).exp()).expect("a curve");
            assert!((least.fluid_ml - volume).abs() < 1e-9, "{volume}: {least:?}");
            assert_eq!(least.order, ["B"]);
        }
    }
}
