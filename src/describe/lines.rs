//! The text of a scenario being written, line by line, each value marked as read or guessed.

use crate::portable;
use crate::scenario::quantity_text::plain;
use std::collections::BTreeMap;

/// Where a value comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Mark {
    /// It was answered.
    Read,
    /// It was guessed, for this reason.
    Guessed(String),
}

/// A guess with its reason.
pub(super) fn guessed(why: &str) -> Mark {
    Mark::Guessed(why.to_owned())
}

/// Lines as they are written.
#[derive(Debug, Default)]
pub(super) struct Lines {
    text: String,
    count: usize,
    /// Marks by line, from 1.
    pub marks: BTreeMap<usize, Mark>,
}

impl Lines {
    /// A line as it stands.
    pub fn line(&mut self, text: &str) {
        self.text.push_str(text);
        self.text.push('\n');
        self.count += 1;
    }

    /// A line that holds a value, with its mark behind it.
    pub fn marked(&mut self, text: &str, mark: Mark) {
        let comment = match &mark {
            Mark::Read => "read".to_owned(),
            Mark::Guessed(why) => format!("guessed: {why}"),
        };
        self.line(&format!("{text} # {comment}"));
        self.marks.insert(self.count, mark);
    }

    /// The whole text.
    pub fn into_text(self) -> (String, BTreeMap<usize, Mark>) {
        (self.text, self.marks)
    }
}

/// A number to three digits: more would promise what no estimate holds.
pub(super) fn figure(x: f64) -> String {
    if x == 0.0 {
        return "0".to_owned();
    }
    let digits = 2 - portable::log10(x.abs()).floor() as i32;
    let scale = portable::powi(10.0, digits);
    plain((x * scale).round() / scale)
}

/// A value in quotes with a spread in percent of it.
pub(super) fn share(value: f64, unit: &str, half: f64) -> String {
    format!("\"{} {unit} ± {} %\"", figure(value), figure(100.0 * half))
}

/// A value in quotes with a spread in its own unit.
pub(super) fn within(value: f64, unit: &str, half: f64) -> String {
    format!("\"{} {unit} ± {} {unit}\"", figure(value), figure(half))
}

/// A text in quotes.
pub(super) fn quoted(text: &str) -> String {
    format!("\"{text}\"")
}
