//! A checked table: every key of its description has its value, or is rightly absent.

use super::quantity::Quantity;
use std::collections::BTreeMap;

/// A checked value.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A quantity, SI.
    Quantity(Quantity),
    /// Free text, or one of the words allowed.
    Text(String),
    /// true or false.
    Flag(bool),
    /// A whole number.
    Count(u32),
    /// A list of names.
    Names(Vec<String>),
}

/// A checked table of the scenario.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Section {
    /// What messages call it, for instance `reservoir` or `parts.RR`.
    pub name: String,
    /// Line of the file on which it starts (1-based; 0 if built in code).
    pub line: usize,
    /// Its values by key; keys left out without a default are missing here.
    pub values: BTreeMap<&'static str, Value>,
    /// Keys whose value is the default.
    pub defaulted: Vec<&'static str>,
    /// Line of each key that is written (1-based).
    pub lines: BTreeMap<&'static str, usize>,
}

impl Section {
    /// The line on which `key` is written; where it is left out, that on which the table starts.
    pub fn line_of(&self, key: &str) -> usize {
        self.lines.get(key).copied().unwrap_or(self.line)
    }

    /// The quantity under `key` in SI units.
    ///
    /// # Panics
    /// If the table's description has no such quantity: a mistake in this crate, not in a scenario.
    pub fn si(&self, key: &str) -> f64 {
        self.find_si(key).unwrap_or_else(|| panic!("table {} has no quantity {key}", self.name))
    }

    /// The quantity under `key` in SI units, if the table holds it.
    pub fn find_si(&self, key: &str) -> Option<f64> {
        match self.values.get(key) {
            Some(Value::Quantity(q)) => Some(q.value),
            _ => None,
        }
    }

    /// The text or word under `key`, if any.
    pub fn text(&self, key: &str) -> Option<&str> {
        match self.values.get(key) {
            Some(Value::Text(t)) => Some(t),
            _ => None,
        }
    }

    /// The flag under `key`; false if absent.
    pub fn flag(&self, key: &str) -> bool {
        matches!(self.values.get(key), Some(Value::Flag(true)))
    }

    /// The whole number under `key`, if any.
    pub fn count(&self, key: &str) -> Option<u32> {
        match self.values.get(key) {
            Some(Value::Count(n)) => Some(*n),
            _ => None,
        }
    }

    /// The names under `key`; empty if absent.
    pub fn names(&self, key: &str) -> &[String] {
        match self.values.get(key) {
            Some(Value::Names(n)) => n,
            _ => &[],
        }
    }
}
