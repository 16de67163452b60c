//! What is said once of all openings: when to close, and what the millilitres and their ranges rest on.

use super::phrases::{ml, range};
use crate::keys::quantity::Quantity;
use crate::measures::to_ml;
use crate::report::figures::{rounded, taken_as_known};
use crate::study::job_card::{BleederTask, JobCard};

/// The millilitres at which every one of several openings ends in any case.
pub(super) fn at_most_everywhere(all: &[&BleederTask]) -> Option<Quantity> {
    let first = all.first()?.until.at_most?;
    let same = |t: &&BleederTask| t.until.at_most.is_some_and(|q| q.value == first.value);
    (all.len() > 1 && all.iter().all(same)).then_some(first)
}

/// When to close.
pub(super) fn stop_rule(card: &JobCard, all: &[&BleederTask]) -> String {
    let mut text = String::new();
    if all.iter().any(|t| t.until.clean) {
        text.push_str(&format!(
            "Looks clean: over the first {} mm of clear hose no more than {} % old fluid is to be seen (nearly the colour of new) and it stays so. ",
            rounded(card.watched_mm, 0),
            rounded(100.0 * card.threshold, 0)
        ));
    }
    if all.iter().any(|t| t.until.volume.is_some()) {
        text.push_str("Counted out: read the catch bottle, close at the millilitres given. ");
    }
    if all.iter().any(|t| t.until.time.is_some()) {
        text.push_str("By the clock: close after the time given. ");
    }
    if let Some(most) = at_most_everywhere(all) {
        text.push_str(&format!("Close each at {} in any case. ", ml(to_ml(most.value))));
    }
    text.push_str("Looking clean is not being clean: see what stays behind.");
    text
}

/// What the figures of the order are, and what they rest on.
pub(super) fn range_note(card: &JobCard, all: &[&BleederTask]) -> String {
    let ranged = all.iter().any(|t| range(t).is_some());
    let mut text = "Big figure: mL drained when closed.".to_owned();
    match card.draws {
        Some(n) if ranged => text.push_str(&format!(
            " In brackets: 8 in 10 such {} look clean within this range ({n} draws).{}",
            card.spoken.vehicles,
            without_range(all)
        )),
        Some(_) => text.push_str(&without_range(all)),
        None => text.push_str(" No range: nothing in the scenario is uncertain."),
    }
    if let Some(known) = taken_as_known(&card.taken_as_known) {
        text.push_str(&format!(" {known}"));
    }
    text + &guesses(card)
}

/// Why openings have no range.
fn without_range(all: &[&BleederTask]) -> String {
    let times = |of: &str| all.iter().filter(|t| t.bleeder == of).count();
    let none: Vec<_> = all.iter().filter(|t| range(t).is_none()).collect();
    let twice = none.iter().filter(|t| times(&t.bleeder) > 1).count();
    let said = |n: usize, why: &str| match n {
        0 => String::new(),
        n if n == all.len() => format!(" No range: {why}."),
        _ => format!(" No range in brackets: {why}."),
    };
    said(twice, "the bleeder is opened more than once")
        + &said(none.len() - twice, "too many draws never looked clean there, or it never did")
}

/// How much of what the figures rest on nobody measured.
fn guesses(card: &JobCard) -> String {
    let counted = |n: usize, one: &str, several: &str| match n {
        0 => None,
        1 => Some(format!("1 {one}")),
        n => Some(format!("{n} {several}")),
    };
    let guesses = counted(card.guesses, "guess", "guesses");
    let usual = counted(card.defaults, "usual value", "usual values");
    let all: Vec<String> = guesses.into_iter().chain(usual).collect();
    let listed = match card.guesses {
        0 => "check --details lists them",
        _ => "check says which are worth measuring",
    };
    match all.is_empty() {
        true => String::new(),
        false => format!(" Rests on {}: {listed}.", all.join(" and ")),
    }
}
