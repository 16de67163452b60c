//! A table of the file while it is being read: what was found under each key, until all of it is known to be right.

use crate::keys::{LeftOut, Quantity, Read, Slot, Table, Written};
use std::collections::BTreeMap;

/// A value that was read.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Value {
    /// A quantity, SI.
    Quantity(Quantity),
    /// A list of quantities, SI.
    Quantities(Vec<Quantity>),
    /// Free text, or one of the words allowed.
    Text(String),
    /// true or false.
    Flag(bool),
    /// A whole number.
    Count(u32),
    /// A list of names.
    Names(Vec<String>),
}

/// What was read of a table; a key that was wrong, or left out without a default, is missing.
#[derive(Debug, Clone, Default)]
pub(crate) struct Section {
    pub(crate) written: Written,
    pub(crate) values: BTreeMap<&'static str, Value>,
}

impl Section {
    /// The quantity under `key` in SI units, if the table holds it.
    pub(crate) fn find_si(&self, key: &str) -> Option<f64> {
        self.quantity(key).map(|q| q.value)
    }

    /// The quantity under `key`, if the table holds it.
    pub(crate) fn quantity(&self, key: &str) -> Option<Quantity> {
        match self.values.get(key) {
            Some(Value::Quantity(q)) => Some(*q),
            _ => None,
        }
    }

    /// The quantities listed under `key`; none if absent.
    pub(crate) fn list(&self, key: &str) -> &[Quantity] {
        match self.values.get(key) {
            Some(Value::Quantities(list)) => list,
            _ => &[],
        }
    }

    /// The text or word under `key`, if any.
    pub(crate) fn text(&self, key: &str) -> Option<&str> {
        match self.values.get(key) {
            Some(Value::Text(t)) => Some(t),
            _ => None,
        }
    }

    /// The flag under `key`; false if absent.
    pub(crate) fn flag(&self, key: &str) -> bool {
        matches!(self.values.get(key), Some(Value::Flag(true)))
    }

    /// The names under `key`; empty if absent.
    pub(crate) fn names(&self, key: &str) -> &[String] {
        match self.values.get(key) {
            Some(Value::Names(n)) => n,
            _ => &[],
        }
    }

    /// Removes a value, whether written or the default.
    pub(crate) fn remove(&mut self, key: &str) {
        self.values.remove(key);
        self.written.defaulted.retain(|k| *k != key);
    }

    /// Puts the values into their places.
    pub(crate) fn fill(self, table: &mut dyn Table) -> Written {
        let Self { written, mut values } = self;
        table.each(&mut |key, slot| match (slot, values.remove(key.name)) {
            (Slot::Quantity(at), Some(Value::Quantity(q))) => *at = q,
            // Its spread has gone into other keys.
            (Slot::Maybe(at), Some(Value::Quantity(q))) if key.left_out == LeftOut::Source => {
                *at = Some(Quantity { spread: None, ..q });
            }
            (Slot::Maybe(at), Some(Value::Quantity(q))) => *at = Some(q),
            (Slot::Quantities(at), Some(Value::Quantities(list))) => *at = list,
            (Slot::Text(at), Some(Value::Text(text))) => *at = Some(text),
            (Slot::Word(at), Some(Value::Text(word))) => {
                if let Some(index) = at.all().iter().position(|w| *w == word) {
                    at.choose(index);
                }
            }
            (Slot::Flag(at), Some(Value::Flag(flag))) => *at = flag,
            (Slot::Count(at), Some(Value::Count(n))) => *at = n,
            (Slot::Names(at), Some(Value::Names(names))) => *at = names,
            // Absent; or wrong, and then no scenario comes of it.
            _ => {}
        });
        written
    }

    /// The table of this kind with its values.
    pub(crate) fn into_table<T: Table + Default>(self) -> Read<T> {
        let mut values = T::default();
        let written = self.fill(&mut values);
        Read { values, written }
    }
}
