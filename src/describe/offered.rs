//! Answers that several questions offer, and when a question applies.

use super::given::Answers;
use super::question::Choice;
use super::taken::{kind, supply_of};
use crate::measures::MM;
use crate::scenario::quantity_text::plain;
use crate::scenario::vehicle_kind::VehicleKind;

/// A word that says what it means.
pub(super) const fn word(word: &'static str) -> Choice {
    Choice { word, means: "" }
}

/// A word with what it means.
pub(super) const fn means(word: &'static str, means: &'static str) -> Choice {
    Choice { word, means }
}

pub(super) const YES_NO: &[Choice] = &[word("yes"), word("no")];
pub(super) const SIDES: &[Choice] = &[word("left"), word("right")];
pub(super) const WEAR: &[Choice] = &[
    means("new", "hardly worn"),
    means("half", "about half of the lining left"),
    means("worn", "near the mark"),
];

pub(super) fn always(_: &Answers) -> bool {
    true
}

pub(super) fn car(answers: &Answers) -> bool {
    kind(answers) != VehicleKind::Motorcycle
}

pub(super) fn motorcycle(answers: &Answers) -> bool {
    !car(answers)
}

pub(super) fn tested(answers: &Answers) -> bool {
    answers.known("tester").is_some_and(|t| t != "none")
}

pub(super) fn pushed_by(answers: &Answers, supply: &str) -> bool {
    supply_of(answers) == supply
}

pub(super) fn millimetres(m: f64) -> String {
    format!("{} mm", plain(m / MM))
}
