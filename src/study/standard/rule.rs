//! A shop's standard as an object: which wheel first, when a bleeder is closed, and after how many millilitres at the
//! latest.

use crate::circuit::Scenario;
use crate::keys::bounds::DRAINED;
use crate::keys::quantity::Quantity;
use crate::measures::{from_ml, to_ml};
use crate::scenario::mistake::Wrong;
use crate::scenario::procedure::{Action, StopRule};
use crate::scenario::{quantity_text, suggest};
use crate::study::StudyError;
use crate::study::order::{Rules, reordered, together};
use crate::study::ranking::{Ranked, far_first, near_first};
use serde::Serialize;
use std::fmt;

/// Which wheel goes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum First {
    /// The bleeders in falling order of path volume.
    #[serde(rename = "far first")]
    Far,
    /// In rising order.
    #[serde(rename = "near first")]
    Near,
    /// As the car's own procedure has them.
    #[serde(rename = "as written")]
    AsWritten,
}

/// What closes a bleeder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Closing {
    /// What is seen counts as clean, by the car's own `[clear_hose]`; the millilitres are the most it may take.
    #[serde(rename = "clean")]
    Clean,
    /// The millilitres alone: each opening gets as many, whatever is seen.
    #[serde(rename = "counted")]
    Counted,
}

/// One rule for all cars.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Rule {
    /// Which wheel goes first.
    pub first: First,
    /// What closes a bleeder.
    pub closing: Closing,
    /// Millilitres at one bleeder: of `clean` the most, of `counted` exactly so many.
    pub at_most_ml: f64,
}

impl First {
    /// All, in the order in which equally good ones are named.
    pub const ALL: [Self; 3] = [Self::Far, Self::Near, Self::AsWritten];

    /// As it is written.
    pub fn words(self) -> &'static str {
        match self {
            Self::Far => "far first",
            Self::Near => "near first",
            Self::AsWritten => "as written",
        }
    }

    /// The bleeders of a car in this order.
    pub fn order(self, scenario: &Scenario) -> Vec<String> {
        let names = |ranked: Vec<Ranked>| ranked.into_iter().map(|r| r.bleeder).collect();
        match self {
            Self::Far => names(far_first(scenario)),
            Self::Near => names(near_first(scenario)),
            Self::AsWritten => together(&scenario.procedure).concat(),
        }
    }
}

impl Closing {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Clean, Self::Counted];

    /// As it is written.
    pub fn word(self) -> &'static str {
        match self {
            Self::Clean => "clean",
            Self::Counted => "counted",
        }
    }
}

impl fmt::Display for Rule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let cap = quantity_text::plain(self.at_most_ml);
        write!(f, "{}, {}, at most {cap} mL", self.first.words(), self.closing.word())
    }
}

/// What a standard looks like, for remedies.
const EXAMPLE: &str = "write for instance \"far first, clean, at most 300 mL\"";

impl Rule {
    /// Reads a standard: its three parts, in any order, with commas between.
    ///
    /// # Errors
    /// What is wrong, and what would be right.
    ///
    /// ```
    /// use farwheel::study::standard::{Closing, First, Rule};
    /// let rule = Rule::parse("at most 0.3 L, far first, clean")?;
    /// assert_eq!(rule, Rule { first: First::Far, closing: Closing::Clean, at_most_ml: 300.0 });
    /// assert_eq!(rule.to_string(), "far first, clean, at most 300 mL");
    /// assert!(Rule::parse("far first, clean").unwrap_err().remedy.contains("at most"));
    /// # Ok::<(), farwheel::scenario::mistake::Wrong>(())
    /// ```
    pub fn parse(text: &str) -> Result<Self, Wrong> {
        const LONGEST: usize = 200;
        if text.len() > LONGEST {
            return Err(Wrong::new("this is too long for a standard", EXAMPLE));
        }
        let (mut first, mut closing, mut at_most_ml) = (None, None, None);
        for part in text.split(',') {
            let words = part.split_whitespace().collect::<Vec<_>>().join(" ");
            let lower = words.to_ascii_lowercase();
            if let Some(found) = First::ALL.into_iter().find(|f| f.words() == lower) {
                once(&mut first, found, "which wheel goes first")?;
            } else if let Some(found) = Closing::ALL.into_iter().find(|c| c.word() == lower) {
                once(&mut closing, found, "what closes a bleeder")?;
            } else if lower.starts_with("at most ") {
                once(&mut at_most_ml, cap_ml(&words["at most ".len()..])?, "the millilitres")?;
            } else {
                return Err(not_understood(&words));
            }
        }
        let lacks = |what: &str, add: &str| {
            Wrong::new(format!("it does not say {what}"), format!("add {add}; {EXAMPLE}"))
        };
        Ok(Self {
            first: first.ok_or_else(|| {
                lacks("which wheel goes first", "`far first`, `near first` or `as written`")
            })?,
            closing: closing
                .ok_or_else(|| lacks("what closes a bleeder", "`clean` or `counted`"))?,
            at_most_ml: at_most_ml.ok_or_else(|| {
                lacks("how much may be drained at one bleeder", "for instance `at most 300 mL`")
            })?,
        })
    }

    /// The scenario with this rule in place of its own order and stop rules. Its other steps, its passes and what it opens
    /// together stay, and so does what counts as clean in its clear hose.
    ///
    /// # Errors
    /// [`StudyError::Order`].
    pub fn on(&self, scenario: &Scenario) -> Result<Scenario, StudyError> {
        let order = self.first.order(scenario);
        Ok(closed_by(&reordered(scenario, &order, Rules::WithBleeder)?, self.stop_rule()))
    }

    /// When it closes a bleeder.
    pub(super) fn stop_rule(&self) -> StopRule {
        let cap = Some(Quantity::known(from_ml(self.at_most_ml)));
        match self.closing {
            Closing::Clean => StopRule { clean: true, at_most: cap, ..StopRule::default() },
            Closing::Counted => StopRule { volume: cap, ..StopRule::default() },
        }
    }
}

/// The scenario with every opening closed so.
pub(super) fn closed_by(scenario: &Scenario, rule: StopRule) -> Scenario {
    let mut procedure = scenario.procedure.clone();
    for step in &mut procedure.steps {
        if let Action::Open { until, .. } = &mut step.action {
            *until = rule;
        }
    }
    scenario.with_procedure(procedure)
}

fn once<T>(held: &mut Option<T>, found: T, what: &str) -> Result<(), Wrong> {
    match held.replace(found) {
        None => Ok(()),
        Some(_) => Err(Wrong::new(format!("it says twice {what}"), "say it once")),
    }
}

fn cap_ml(text: &str) -> Result<f64, Wrong> {
    let read = quantity_text::parse(text, &DRAINED)?;
    match read.spread {
        None => Ok(to_ml(read.value)),
        Some(_) => Err(Wrong::new("a standard is one value", "leave out what follows ±")),
    }
}

fn not_understood(words: &str) -> Wrong {
    if words.is_empty() {
        return Wrong::new("a comma has nothing beside it", EXAMPLE);
    }
    let known = ["far first", "near first", "as written", "clean", "counted", "at most 300 mL"];
    let remedy = match suggest::near(&words.to_lowercase(), known).as_slice() {
        [] => format!(
            "its parts are `far first`, `near first` or `as written`; `clean` or `counted`; `at most` and millilitres: {EXAMPLE}"
        ),
        near => format!("did you mean {}? {EXAMPLE}", suggest::either(near)),
    };
    Wrong::new(format!("`{words}` is no part of a standard"), remedy)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_come_in_any_order_and_unit() {
        let rule = |first, closing, at_most_ml| Rule { first, closing, at_most_ml };
        for (text, wanted) in [
            ("far first, clean, at most 300 mL", rule(First::Far, Closing::Clean, 300.0)),
            ("At most 0.25 L,counted ,  Near  First", rule(First::Near, Closing::Counted, 250.0)),
            ("as written, at most 300 ml, clean", rule(First::AsWritten, Closing::Clean, 300.0)),
        ] {
            let read = Rule::parse(text).unwrap_or_else(|w| panic!("{text}: {}", w.what));
            let near = (read.at_most_ml - wanted.at_most_ml).abs() < 0.1;
            assert!(near && (read.first, read.closing) == (wanted.first, wanted.closing), "{read}");
        }
    }

    #[test]
    fn what_is_wrong_says_what_would_be_right() {
        for (text, what, remedy) in [
            ("", "a comma has nothing", "far first, clean"),
            ("far first", "what closes a bleeder", "`clean` or `counted`"),
            ("clean, at most 300 mL", "which wheel goes first", "`as written`"),
            ("far first, counted", "how much may be drained", "at most 300 mL"),
            ("far frist, clean, at most 300 mL", "`far frist` is no part", "`far first`"),
            ("far first, clean, 300 mL", "`300 mL` is no part", "`at most` and millilitres"),
            ("far first, near first, clean, at most 1 L", "says twice which wheel", "once"),
            ("far first, clean, at most 300", "", "mL"),
            ("far first, clean, at most 3 bar", "", "mL"),
            ("far first, clean, at most 300 mL ± 20 mL", "one value", "±"),
            ("far first, clean, at most 0 mL", "", ""),
            ("far first, clean, at most 90 L", "", ""),
        ] {
            let wrong = Rule::parse(text).expect_err(text);
            let told = format!("{}; {}", wrong.what, wrong.remedy);
            assert!(wrong.what.contains(what) && wrong.remedy.contains(remedy), "{text}: {told}");
        }
    }
}
