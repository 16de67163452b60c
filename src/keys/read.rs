//! A table as it was read: its values, and how it stands in the file.

use super::table::{Table, keys_of};
use std::collections::BTreeMap;
use std::fmt;
use std::ops::{Deref, DerefMut, Range};

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
    /// Bytes at which it starts, of the file or, counted on behind it, of what was set; empty if built in code, or left
    /// out.
    pub span: Range<usize>,
    /// Bytes of the value of each key that is written.
    pub spans: BTreeMap<&'static str, Range<usize>>,
    /// Keys whose value is the default.
    pub defaulted: Vec<&'static str>,
}

impl Written {
    /// Where `key` is written; where it is left out, where the table starts.
    pub fn line_of(&self, key: &str) -> Place {
        self.lines.get(key).copied().unwrap_or(self.line)
    }

    /// Place and bytes of the first of two keys that contradict each other, or of the second where that was set.
    pub fn blamed(&self, first: &str, second: &str) -> (Place, Range<usize>) {
        let [one, other] = [first, second].map(|key| self.place_of(key));
        if one.0.blamed(other.0) == one.0 { one } else { other }
    }

    /// Place and bytes of what was set last of it; else those at which it starts.
    pub fn last_set(&self) -> (Place, Range<usize>) {
        let set = self.lines.iter().filter(|(_, line)| matches!(line, Place::Set(_)));
        set.max_by_key(|(_, line)| **line)
            .map_or_else(|| self.place(), |(key, _)| self.place_of(key))
    }

    /// Place and bytes at which the table starts.
    pub fn place(&self) -> (Place, Range<usize>) {
        (self.line, self.span.clone())
    }

    /// Place and bytes of the value of `key`; where it is left out, those at which the table starts.
    pub fn place_of(&self, key: &str) -> (Place, Range<usize>) {
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
