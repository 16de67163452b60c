//! Which orders a study tries that has no time for all of them.

use super::order::together;
use super::ranking::{Ranked, far_first, near_first};
use crate::circuit::Scenario;

/// The orders to compare with the scenario's own: none named, which stands for every order, if there are no more than
/// `most` groups of bleeders; otherwise far first, near first, the own order backwards, and each bleeder first or last.
pub(super) fn tried(scenario: &Scenario, most: usize) -> Vec<Vec<String>> {
    let groups = together(&scenario.procedure);
    if groups.len() <= most {
        return Vec::new();
    }
    let names = |ranked: Vec<Ranked>| ranked.into_iter().map(|r| r.bleeder).collect();
    let mut orders: Vec<Vec<String>> =
        vec![names(far_first(scenario)), names(near_first(scenario))];
    orders.push(groups.iter().rev().flatten().cloned().collect());
    for i in 0..groups.len() {
        let mut others = groups.clone();
        let one = others.remove(i);
        orders.push([std::slice::from_ref(&one), &others[..]].concat().concat());
        orders.push([&others[..], &[one]].concat().concat());
    }
    orders
}

/// The same with every order written out, the scenario's own first.
pub(super) fn tried_or_every(scenario: &Scenario, most: usize) -> Vec<Vec<String>> {
    let own: Vec<String> = together(&scenario.procedure).concat();
    let mut orders = tried(scenario, most);
    if orders.is_empty() {
        return super::orders::every_order(scenario);
    }
    orders.insert(0, own);
    orders
}
