//! Figures and names as questions and reasons say them.

use super::{Answer, Question};
use crate::harmless;
use crate::measures::{PSI, from_kpa};

pub(super) fn ml(ml: f64) -> String {
    figure(ml, "mL")
}

/// A share as percent.
pub(super) fn percent(share: f64) -> String {
    figure(100.0 * share, "%")
}

pub(super) fn seconds(s: f64) -> String {
    figure(s, "s")
}

pub(super) fn gauge(kpa: f64) -> String {
    format!("{kpa:.0} kPa ({:.1} psi)", from_kpa(kpa) / PSI)
}

/// Whole from ten on, with a tenth below; less than a tenth is said to be that.
fn figure(x: f64, unit: &str) -> String {
    match x.abs() {
        a if a < 0.05 && a > 1e-6 => format!("under 0.1 {unit}"),
        a if a < 9.95 && unit != "s" => format!("{x:.1} {unit}"),
        _ => format!("{x:.0} {unit}"),
    }
}

pub(super) fn list(names: &[String]) -> String {
    let names: Vec<String> = names.iter().map(|n| harmless(n)).collect();
    match names.as_slice() {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        _ => names.concat(),
    }
}

/// Names with commas, as an order is written.
pub(super) fn order(names: &[String]) -> String {
    let names: Vec<String> = names.iter().map(|n| harmless(n)).collect();
    names.join(", ")
}

/// A question, if there is an answer.
pub(super) fn question(
    about: &'static str,
    asks: String,
    answer: Option<Answer>,
    reason: String,
) -> Option<Question> {
    Some(Question { about, asks, answer: answer?, reason })
}
