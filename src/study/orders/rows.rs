//! Orders as rows of steps that share a table.

use crate::circuit::Scenario;
use crate::keys::quantity::Quantity;
use crate::scenario::procedure::{Action, StopRule};
use crate::study::order::{OrderError, Rules, arrangement, moved, together};
use crate::study::shared::Placed;
use std::collections::HashMap;

/// Orders of one procedure, each as a row of indices into a table of steps.
#[derive(Debug, Clone)]
pub(super) struct Rows {
    /// The orders, bleeder by bleeder.
    pub orders: Vec<Vec<String>>,
    /// The steps of each.
    pub rows: Vec<Vec<u32>>,
    rules: Rules,
    /// Pass, place and step whose bleeders come there, of each entry of the table.
    entries: Vec<(u32, usize, usize)>,
}

impl Rows {
    /// These orders of a scenario's procedure.
    ///
    /// # Errors
    /// If one is not a permutation of the bleeders that it opens.
    pub fn new(scenario: &Scenario, orders: Vec<Vec<String>>) -> Result<Self, OrderError> {
        let p = &scenario.procedure;
        let mut known: HashMap<(u32, usize, usize), u32> = HashMap::new();
        let (mut entries, mut rows) = (Vec::new(), Vec::with_capacity(orders.len()));
        let places: Vec<(u32, usize)> =
            p.in_turn().map(|((pass, number), _)| (pass, number - 1)).collect();
        for order in &orders {
            let puts = arrangement(p, order)?;
            let row = places.iter().map(|&(pass, place)| {
                let key = (pass, place, puts[place]);
                *known.entry(key).or_insert_with(|| {
                    entries.push(key);
                    entries.len() as u32 - 1
                })
            });
            rows.push(row.collect());
        }
        Ok(Self { orders, rows, rules: Rules::of(p), entries })
    }

    /// Some of the orders, by their numbers, with the same table.
    pub fn some(&self, numbers: &[usize]) -> Self {
        Self {
            orders: numbers.iter().map(|&i| self.orders[i].clone()).collect(),
            rows: numbers.iter().map(|&i| self.rows[i].clone()).collect(),
            rules: self.rules,
            entries: self.entries.clone(),
        }
    }

    /// The steps, with every stop rule made `share` times as strict or lax ([`scaled`]).
    pub fn table(&self, scenario: &Scenario, share: f64) -> Vec<Placed> {
        let own = scenario.clear_hose.threshold.value;
        let entry = |&(pass, place, put): &(u32, usize, usize)| {
            let mut step = moved(&scenario.procedure, place, put, self.rules);
            if let Action::Open { until, .. } = &mut step.action {
                *until = scaled(until, share, own);
            }
            Placed { step, pass, number: place + 1 }
        };
        self.entries.iter().map(entry).collect()
    }
}

/// The largest threshold that still says anything.
pub(in crate::study) const DIRTIEST: f64 = 0.95;

/// A stop rule that leaves more old fluid if `share` is above 1, less if below, and is the same at 1: the
/// threshold of a rule that goes by eye is multiplied by it (`own` is the clear hose's), counts of a rule
/// that goes by millilitres or seconds are divided by it.
pub(super) fn scaled(rule: &StopRule, share: f64, own: f64) -> StopRule {
    let mut out = *rule;
    if share == 1.0 {
        return out;
    }
    if rule.clean {
        let threshold = rule.threshold.map_or(own, |t| t.value);
        out.threshold = Some(Quantity::known((share * threshold).min(threshold.max(DIRTIEST))));
    } else {
        for count in [&mut out.volume, &mut out.time, &mut out.at_least, &mut out.at_most] {
            *count = count.map(|q| Quantity::known(q.value / share));
        }
    }
    out
}

/// Orders in which this many groups of bleeders can be opened, if that is a number at all.
pub(super) fn count_orders(groups: usize) -> Option<usize> {
    (1..=groups).try_fold(1_usize, |n, k| n.checked_mul(k))
}

/// Every order of the bleeders that a procedure opens, its own first; those opened together stay
/// together. See first how many they are ([`count_orders`]).
pub(in crate::study) fn every_order(scenario: &Scenario) -> Vec<Vec<String>> {
    let groups = together(&scenario.procedure);
    let mut orders = Vec::new();
    extend(&mut orders, &mut Vec::new(), &groups);
    orders
}

/// Permutations in rising order of places, so that the first is the groups as they stand.
fn extend(orders: &mut Vec<Vec<String>>, begun: &mut Vec<usize>, groups: &[Vec<String>]) {
    if begun.len() == groups.len() {
        orders.push(begun.iter().flat_map(|&g| groups[g].iter().cloned()).collect());
        return;
    }
    for g in 0..groups.len() {
        if !begun.contains(&g) {
            begun.push(g);
            extend(orders, begun, groups);
            begun.pop();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_scaled_rule_is_stricter_below_one() {
        let eye = StopRule { clean: true, ..StopRule::default() };
        let near = |q: Option<Quantity>, x: f64| q.is_some_and(|q| (q.value - x).abs() < 1e-15);
        assert!(near(scaled(&eye, 0.5, 0.2).threshold, 0.1));
        assert!(near(scaled(&eye, 10.0, 0.2).threshold, DIRTIEST));
        assert_eq!(scaled(&eye, 1.0, 0.2), eye);
        let count = StopRule { volume: Some(Quantity::known(240e-6)), ..StopRule::default() };
        assert!(near(scaled(&count, 0.8, 0.2).volume, 300e-6));
    }
}
