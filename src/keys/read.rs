//! A table as it was read: its values, and how it stands in the file.

use super::table::{Table, keys_of};
use std::collections::BTreeMap;
use std::ops::{Deref, DerefMut};

/// How a table stands in the file.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Written {
    /// What messages call it, for instance `reservoir` or `parts.RR`.
    pub name: String,
    /// Line on which it starts (1-based; 0 if built in code, or left out).
    pub line: usize,
    /// Line of each key that is written (1-based).
    pub lines: BTreeMap<&'static str, usize>,
    /// Keys whose value is the default.
    pub defaulted: Vec<&'static str>,
}

impl Written {
    /// The line on which `key` is written; where it is left out, that on which the table starts.
    pub fn line_of(&self, key: &str) -> usize {
        self.lines.get(key).copied().unwrap_or(self.line)
    }
}

/// A table's values, and how it stands in the file.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Read<T> {
    /// The values.
    pub values: T,
    /// How it stands in the file.
    pub written: Written,
}

impl<T: Table + Default> Read<T> {
    /// The line on which `key` is written; where it is left out, that on which the table starts.
    pub fn line_of(&self, key: &str) -> usize {
        debug_assert!(keys_of::<T>().iter().any(|k| k.name == key), "{key}");
        self.written.line_of(key)
    }
}

impl<T> Deref for Read<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.values
    }
}

impl<T> DerefMut for Read<T> {
    fn deref_mut(&mut self) -> &mut T {
        &mut self.values
    }
}
