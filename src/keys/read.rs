//! A table as it was read: its values, and how it stands in the file.

use super::table::{Table, keys_of};
use std::collections::BTreeMap;
use std::ops::{Deref, DerefMut, Range};

/// How a table stands in the file.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Written {
    /// What messages call it, for instance `reservoir` or `parts.RR`.
    pub name: String,
    /// Line on which it starts (1-based; 0 if built in code, or left out).
    pub line: usize,
    /// Line of each key that is written (1-based).
    pub lines: BTreeMap<&'static str, usize>,
    /// Bytes of the file at which it starts; empty if built in code, or left out.
    pub span: Range<usize>,
    /// Bytes of the value of each key that is written.
    pub spans: BTreeMap<&'static str, Range<usize>>,
    /// Keys whose value is the default.
    pub defaulted: Vec<&'static str>,
}

impl Written {
    /// The line on which `key` is written; where it is left out, that on which the table starts.
    pub fn line_of(&self, key: &str) -> usize {
        self.lines.get(key).copied().unwrap_or(self.line)
    }

    /// Line and bytes at which the table starts.
    pub fn place(&self) -> (usize, Range<usize>) {
        (self.line, self.span.clone())
    }

    /// Line and bytes of the value of `key`; where it is left out, those at which the table starts.
    pub fn place_of(&self, key: &str) -> (usize, Range<usize>) {
        (self.line_of(key), self.spans.get(key).unwrap_or(&self.span).clone())
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
