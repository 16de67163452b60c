//! A table as it was read: its values, and how it stands in the file.

use super::table::{Table, keys_of};
use std::collections::BTreeMap;
use std::fmt;
use std::ops::{Deref, DerefMut};

/// Where something stands in what was read.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// Nowhere: it was built in code, or left out.
    #[default]
    Nowhere,
    /// On this line of the file, from 1.
    Line(usize),
    /// In the value of this number, from 1, of those set over the file's.
    Set(usize),
}

impl Place {
    /// Of two places that contradict each other the one that was set, if that is only the second; else the first.
    #[must_use]
    pub fn blamed(self, second: Self) -> Self {
        match (self, second) {
            (Self::Nowhere | Self::Line(_), Self::Set(_)) => second,
            _ => self,
        }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nowhere => f.write_str("in no file"),
            Self::Line(line) => write!(f, "line {line}"),
            Self::Set(number) => write!(f, "--set {number}"),
        }
    }
}

/// How a table stands in the file.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Written {
    /// What messages call it, for instance `reservoir` or `parts.RR`.
    pub name: String,
    /// Where it starts.
    pub line: Place,
    /// Where each key stands that is written.
    pub lines: BTreeMap<&'static str, Place>,
    /// Keys whose value is the default.
    pub defaulted: Vec<&'static str>,
}

impl Written {
    /// Where `key` is written; where it is left out, where the table starts.
    pub fn line_of(&self, key: &str) -> Place {
        self.lines.get(key).copied().unwrap_or(self.line)
    }

    /// Where the first of two keys is written that contradict each other, or where the second was set.
    pub fn blamed(&self, first: &str, second: &str) -> Place {
        self.line_of(first).blamed(self.line_of(second))
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
    /// Where `key` is written; where it is left out, where the table starts.
    pub fn line_of(&self, key: &str) -> Place {
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
