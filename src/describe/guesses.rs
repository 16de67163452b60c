//! Which values of a described car are still guesses: those that stand there as the answers alone would have them.

use super::car::describe;
use super::given::Answers;
use crate::circuit::Scenario;
use crate::keys::Place;
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
pub fn guesses(scenario: &Scenario) -> Vec<Guess> {
    let written = &scenario.described.answers;
    if scenario.described.written.line == Place::Nowhere {
        return Vec::new();
    }
    let again = Answers::read(written).ok().and_then(|answers| describe(&answers).ok());
    let Some(again) = again else { return Vec::new() };
    let Ok(fresh) = crate::circuit::read(&again.text, &scenario.file) else { return Vec::new() };
    let mut found = Vec::new();
    let now: BTreeMap<String, f64> =
        values(scenario).into_iter().map(|(key, _, _, v)| (key, v)).collect();
    for (key, at, line, value) in values(&fresh) {
        let Place::Line(line) = line else { continue };
        let Some(why) = again.guesses.get(&line) else { continue };
        if now.get(&key) == Some(&value) {
            found.push(Guess { key, at, why: why.clone() });
        }
    }
    found
}

/// Every quantity that is written in tables, with its name, its address, its line and its value.
fn values(scenario: &Scenario) -> Vec<(String, Address, Place, f64)> {
    let mut tables = Tables::clone(scenario);
    let all: Vec<(Address, f64)> =
        tables.quantities_mut().into_iter().map(|(at, _, q)| (at, q.value)).collect();
    let named = |(address, value): (Address, f64)| match address {
        Address::Key(at, key) => {
            let written = scenario.written(at);
            let line = *written.lines.get(key)?;
            Some((format!("{}.{key}", written.name), address, line, value))
        }
        Address::Step(..) => None,
    };
    all.into_iter().filter_map(named).collect()
}
