//! A scenario with its openings in another order.
//!
//! Steps other than openings keep their places in the procedure; what changes is which bleeder is opened in
//! which of the places for openings. Bleeders that are opened together stay together. A bleeder that is
//! opened again begins a new round, and each round goes in the new order: a procedure that flushes, works
//! a unit and flushes again stays one that does.

use crate::circuit::Scenario;
use crate::scenario::procedure::{Action, Procedure, Step, StopRule};
use crate::sorting;
use std::fmt;

/// What stop rules do when openings change places.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rules {
    /// A stop rule stays at its place: the first bleeder opened gets 240 mL, the second 180, whichever they are.
    ByPlace,
    /// A stop rule goes with its bleeders.
    WithBleeder,
}

impl Rules {
    /// How a procedure's own rules are meant. Where any opening is closed by a count of millilitres or
    /// seconds instead of by eye, the rules are those of a shop that counts by position; otherwise they
    /// say how clean a bleeder must run, and go with it. (A procedure in which all openings have the
    /// same rule is the same either way.)
    pub fn of(procedure: &Procedure) -> Self {
        let counts =
            |rule: &StopRule| !rule.clean && (rule.volume.is_some() || rule.time.is_some());
        let by_count = procedure
            .steps
            .iter()
            .any(|s| matches!(&s.action, Action::Open { until, .. } if counts(until)));
        if by_count { Self::ByPlace } else { Self::WithBleeder }
    }
}

/// An order that a scenario cannot be put into.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum OrderError {
    /// The procedure opens no bleeder of this name.
    NotOpened {
        /// The name.
        name: String,
        /// Those that it opens, in its order.
        opens: Vec<String>,
    },
    /// The order names this bleeder twice.
    Twice(String),
    /// The procedure opens this bleeder, and the order leaves it out.
    LeftOut(String),
}

impl fmt::Display for OrderError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotOpened { name, opens } => write!(
                f,
                "the procedure opens no bleeder \"{name}\": name all that it opens, with commas between, as in \"{}\"",
                opens.join(", ")
            ),
            Self::Twice(name) => write!(f, "the order names \"{name}\" twice"),
            Self::LeftOut(name) => {
                write!(f, "the procedure opens \"{name}\", but the order leaves it out")
            }
        }
    }
}

impl std::error::Error for OrderError {}

/// The scenario with the openings of its procedure in this order of bleeders, and nothing else changed.
///
/// Bleeders opened together are opened when the first of them comes in `order`.
///
/// # Errors
/// If `order` is not a permutation of the bleeders that the procedure opens.
///
/// ```
/// use farwheel::scenario::procedure::Action;
/// use farwheel::study::order::{Rules, reordered};
///
/// // The estate counts by position: 240, 180, 120 and 80 mL.
/// let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios/estate-front-rear-split.toml"));
/// let estate = farwheel::read(text, "estate.toml")?;
/// let rules = Rules::of(&estate.procedure);
/// assert_eq!(rules, Rules::ByPlace);
/// let near_first = reordered(&estate, &["LF", "RF", "LR", "RR"], rules)?;
/// let Action::Open { bleeders, until } = &near_first.procedure.steps[0].action else {
///     unreachable!("the procedure begins with an opening")
/// };
/// assert_eq!(bleeders, &["LF"]);
/// assert!((until.volume.expect("a count").value - 240e-6).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn reordered<S: AsRef<str>>(
    scenario: &Scenario,
    order: &[S],
    rules: Rules,
) -> Result<Scenario, OrderError> {
    let mut procedure = scenario.procedure.clone();
    for (place, put) in arrangement(&scenario.procedure, order)?.into_iter().enumerate() {
        procedure.steps[place] = moved(&scenario.procedure, place, put, rules);
    }
    Ok(scenario.with_procedure(procedure))
}

/// For each step of the procedure, the step whose bleeders come to its place in this order; other steps
/// stay where they are.
///
/// # Errors
/// If `order` is not a permutation of the bleeders that the procedure opens.
pub fn arrangement<S: AsRef<str>>(
    procedure: &Procedure,
    order: &[S],
) -> Result<Vec<usize>, OrderError> {
    let order: Vec<&str> = order.iter().map(AsRef::as_ref).collect();
    let openings = openings(procedure);
    judge(&order, &openings)?;
    let rank = |opening: &Opening| {
        let places = opening.bleeders.iter().filter_map(|b| order.iter().position(|o| o == b));
        places.min().unwrap_or(usize::MAX)
    };
    let mut puts: Vec<usize> = (0..procedure.steps.len()).collect();
    for round in rounds(&openings) {
        let mut sorted: Vec<&Opening> = round.iter().collect();
        sorting::by_key(&mut sorted, |o| rank(o));
        for (place, put) in round.iter().zip(sorted) {
            puts[place.step] = put.step;
        }
    }
    Ok(puts)
}

/// The step at `place` with the bleeders of the step `put`. Messages about its rule point to where that
/// is written.
pub fn moved(procedure: &Procedure, place: usize, put: usize, rules: Rules) -> Step {
    let (here, there) = (&procedure.steps[place], &procedure.steps[put]);
    match (&here.action, &there.action) {
        (Action::Open { until, .. }, Action::Open { bleeders, until: own }) => {
            let (until, line) = match rules {
                Rules::ByPlace => (*until, here.line),
                Rules::WithBleeder => (*own, there.line),
            };
            Step { line, action: Action::Open { bleeders: bleeders.clone(), until } }
        }
        _ => here.clone(),
    }
}

/// Bleeders that keep together in any order: those opened together, in the order of the procedure.
pub fn together(procedure: &Procedure) -> Vec<Vec<String>> {
    let mut groups: Vec<Vec<String>> = Vec::new();
    for opening in openings(procedure) {
        let known = |b: &&String| groups.iter().flatten().any(|k| k == *b);
        let new: Vec<String> = opening.bleeders.iter().filter(|b| !known(b)).cloned().collect();
        if !new.is_empty() {
            groups.push(new);
        }
    }
    groups
}

/// An opening of the procedure.
struct Opening<'a> {
    /// Index among the steps.
    step: usize,
    bleeders: &'a [String],
}

fn openings(procedure: &Procedure) -> Vec<Opening<'_>> {
    let steps = procedure.steps.iter().enumerate();
    steps
        .filter_map(|(step, s)| match &s.action {
            Action::Open { bleeders, .. } => Some(Opening { step, bleeders }),
            _ => None,
        })
        .collect()
}

fn judge(order: &[&str], openings: &[Opening<'_>]) -> Result<(), OrderError> {
    let opened = || openings.iter().flat_map(|o| o.bleeders);
    for (i, name) in order.iter().enumerate() {
        if order[..i].contains(name) {
            return Err(OrderError::Twice((*name).to_owned()));
        }
        if !opened().any(|b| b == name) {
            let mut opens: Vec<String> = Vec::new();
            for b in opened() {
                if !opens.contains(b) {
                    opens.push(b.clone());
                }
            }
            return Err(OrderError::NotOpened { name: (*name).to_owned(), opens });
        }
    }
    match opened().find(|b| !order.contains(&b.as_str())) {
        Some(left_out) => Err(OrderError::LeftOut(left_out.clone())),
        None => Ok(()),
    }
}

/// Openings up to where a bleeder is opened again.
fn rounds<'o, 'a>(openings: &'o [Opening<'a>]) -> Vec<&'o [Opening<'a>]> {
    let mut rounds = Vec::new();
    let mut start = 0;
    for i in 0..openings.len() {
        let seen = openings[start..i].iter().flat_map(|o| o.bleeders);
        let again = seen.into_iter().any(|b| openings[i].bleeders.contains(b));
        if again {
            rounds.push(&openings[start..i]);
            start = i;
        }
    }
    rounds.push(&openings[start..]);
    rounds
}
