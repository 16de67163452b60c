//! Which values of a described car are still guesses: those that stand there as the answers alone would have them.

use super::car::describe;
use super::given::Answers;
use crate::circuit::Scenario;
use crate::keys::Place;
use crate::scenario::derived::follows_from;
use crate::scenario::mistake::Wrong;
use crate::scenario::model::Tables;
use crate::scenario::quantities::Address;
use std::collections::BTreeMap;

/// A value that was guessed.
#[derive(Debug, Clone, PartialEq)]
pub struct Guess {
    /// Its table and key.
    pub key: String,
    /// Where it stands.
    pub at: Address,
    /// Why it was guessed so.
    pub why: String,
}

/// Every guess in a scenario that [`describe`] wrote. What was measured since and written in its place is none any more:
/// the answers are described again, and what differs from that was read.
///
/// # Errors
/// If `answers` of `[described]` holds what is no answer.
pub fn guesses(scenario: &Scenario) -> Result<Vec<Guess>, Wrong> {
    let described = &scenario.described;
    if described.written.line == Place::Nowhere {
        return Ok(Vec::new());
    }
    let again = describe(&Answers::read(&described.answers)?)?;
    let Ok(fresh) = crate::circuit::read(&again.text, &scenario.file) else {
        return Ok(Vec::new());
    };
    let now: BTreeMap<String, (Address, f64)> =
        values(scenario).into_iter().map(|v| (v.name, (v.at, v.si))).collect();
    let still = |v: Value| {
        let why = again.guesses.get(&v.line?)?.clone();
        let (at, _) = now.get(&v.name).filter(|(_, si)| *si == v.si)?;
        Some(Guess { key: v.name, at: *at, why })
    };
    Ok(values(&fresh).into_iter().filter_map(still).collect())
}

/// A quantity of a scenario.
struct Value {
    /// Its table and key.
    name: String,
    at: Address,
    /// The line that says it, or says what it follows from.
    line: Option<usize>,
    si: f64,
}

fn values(scenario: &Scenario) -> Vec<Value> {
    let mut tables = Tables::clone(scenario);
    let all: Vec<(Address, f64)> =
        tables.quantities_mut().into_iter().map(|(at, _, q)| (at, q.value)).collect();
    let named = |(address, si): (Address, f64)| {
        let Address::Key(at, key) = address else { return None };
        let written = scenario.written(at);
        let said = |key: &str| match written.lines.get(key) {
            Some(Place::Line(line)) => Some(*line),
            _ => None,
        };
        let line = said(key).or_else(|| said(follows_from(key)?));
        Some(Value { name: format!("{}.{key}", written.name), at: address, line, si })
    };
    all.into_iter().filter_map(named).collect()
}
