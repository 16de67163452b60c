//! What somebody changes about a job who tries things: what [`decides`](super::decides) turns from end to end, set anywhere
//! between.

use super::decides::dials;
use crate::circuit::Scenario;
use crate::job::options::Options;
use serde::Serialize;
use std::fmt;

/// Something that can be set.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Control {
    /// What it is.
    pub what: &'static str,
    /// Where it stands, in SI units.
    pub own: f64,
    /// The least that is usual.
    pub least: f64,
    /// The most that is usual.
    pub most: f64,
}

/// That there is nothing of the kind, or that no car comes of it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct CannotBeSet {
    /// What was to be set.
    pub what: String,
    /// To what, in SI units.
    pub to: f64,
}

impl fmt::Display for CannotBeSet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} cannot be set to {} on this car", crate::harmless(&self.what), self.to)
    }
}

impl std::error::Error for CannotBeSet {}

/// All that can be set on this car.
pub fn controls(scenario: &Scenario, options: &Options) -> Vec<Control> {
    let control =
        |d: dials::Dial| Control { what: d.what, own: d.own, least: d.ends.0, most: d.ends.1 };
    dials::dials(scenario, options).into_iter().map(control).collect()
}

/// The scenario with one of them set, in SI units, somewhere between its ends.
///
/// # Errors
/// [`CannotBeSet`].
pub fn set(
    scenario: &Scenario,
    options: &Options,
    what: &str,
    to: f64,
) -> Result<Scenario, CannotBeSet> {
    let dial = dials::dials(scenario, options).into_iter().find(|d| d.what == what);
    let within = |d: &dials::Dial| (d.ends.0.min(d.own)..=d.ends.1.max(d.own)).contains(&to);
    let set = dial.filter(within).and_then(|d| (d.set)(to));
    set.ok_or_else(|| CannotBeSet { what: what.to_owned(), to })
}
