//! Questions about the whole job and the car.

use super::answer::unsure_ml;
use super::words::{list, ml, percent, question, seconds};
use super::{Answer, Asking, Choice, Known, Question};
use crate::harmless;
use crate::job::record::PartLeft;
use crate::sorting;
use crate::study::difference::Difference;
use rand::seq::SliceRandom;
use rand_chacha::ChaCha8Rng;

pub(super) const ALL: &[(&str, Asking)] = &[
    ("old left", |k, rng| Ok(old_left(k, rng))),
    ("drained", |k, rng| Ok(drained(k, rng))),
    ("time open", |k, rng| Ok(time_open(k, rng))),
    ("stays most", |k, rng| Ok(stays_most(k, rng))),
    ("load", |k, rng| Ok(load(k, rng))),
    ("out of reach", |k, rng| Ok(out_of_reach(k, rng))),
    ("beyond reach", |k, rng| Ok(beyond_reach(k, rng))),
    ("system holds", |k, rng| Ok(system_holds(k, rng))),
];

fn old_left(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Option<Question> {
    let left = &k.own.left;
    question(
        "old left",
        "The job is done, every bleeder shut. What share of the fluid in the whole system is still old?"
            .to_owned(),
        Answer::amount(100.0 * left.old_fraction, "%", 0.5, rng),
        format!(
            "{} of old fluid stay, {} of all; {} is the oldest place, {} old.",
            ml(left.old_ml),
            percent(left.old_fraction),
            harmless(&left.oldest_part),
            percent(left.oldest_fraction),
        ),
    )
}

fn several(k: &Known<'_>) -> Option<()> {
    (k.own.openings.len() > 1).then_some(())
}

fn drained(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Option<Question> {
    several(k)?;
    let total = k.own.totals.drained_ml;
    let first = k.own.openings.iter().min_by(|a, b| a.opened_s.total_cmp(&b.opened_s))?;
    question(
        "drained",
        "How much runs out of all bleeders together?".to_owned(),
        Answer::amount(total, "mL", unsure_ml(&k.own), rng),
        format!(
            "{} in all, {} of them at {}, which is opened first.",
            ml(total),
            ml(first.drained_ml),
            harmless(&first.bleeder),
        ),
    )
}

fn time_open(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Option<Question> {
    several(k)?;
    let t = &k.own.totals;
    question(
        "time open",
        "For how many seconds is a bleeder open, all of them together?".to_owned(),
        Answer::amount(t.flow_seconds, "s", 1.0, rng),
        format!(
            "{} out of {:.0} minutes in the bay: the rest is setting up, moving from wheel to wheel and ending the job.",
            seconds(t.flow_seconds),
            t.bay_seconds / 60.0,
        ),
    )
}

/// A part by its name, and by its kind where the name does not tell.
fn named(p: &PartLeft) -> String {
    let name = harmless(&p.part);
    if name.contains(p.kind) { name } else { format!("{name} ({})", p.kind) }
}

fn old_ml(p: &PartLeft) -> f64 {
    p.old_fraction * p.volume_ml
}

fn stays_most(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Option<Question> {
    let mut parts: Vec<&PartLeft> = k.own.left.holding().filter(|p| old_ml(p) > 0.0).collect();
    sorting::by(&mut parts, |a, b| old_ml(b).total_cmp(&old_ml(a)));
    let most = *parts.first()?;
    // Others of some size: among small ones nobody would look for most.
    let mut others: Vec<&PartLeft> =
        parts[1..].iter().copied().filter(|p| p.volume_ml >= 0.05 * most.volume_ml).collect();
    others.shuffle(rng);
    others.truncate(3);
    let next = *others.iter().max_by(|a, b| old_ml(a).total_cmp(&old_ml(b)))?;
    let error = k.own.numerics.old_left_error_ml;
    let apart = Difference::new((old_ml(next), error), (old_ml(most), error));
    let mut options = [&others[..], &[most]].concat();
    options.shuffle(rng);
    let choice = Choice {
        options: options.iter().map(|p| named(p)).collect(),
        right: options.iter().position(|p| p.part == most.part)?,
        too_close: !apart.told_apart(),
    };
    question(
        "stays most",
        "In which of these does most old fluid stay?".to_owned(),
        Some(Answer::Choice(choice)),
        format!(
            "{} keeps {} ({} of what it holds), {} {}.",
            harmless(&most.part),
            ml(old_ml(most)),
            percent(most.old_fraction),
            harmless(&next.part),
            ml(old_ml(next)),
        ),
    )
}

fn load(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Option<Question> {
    let t = &k.own.totals;
    let book = t.fluid.as_ref()?;
    let least = book.least_load_ml?;
    question(
        "load",
        "How much new fluid must be loaded at least, so that the supply does not run dry?"
            .to_owned(),
        Answer::amount(least, "mL", unsure_ml(&k.own), rng),
        format!(
            "{} run out, {} fill the feed hose, {} raise the reservoir, and what the supply cannot give up stays in it.",
            ml(t.drained_ml),
            ml(book.feed_hose_ml),
            ml(book.reservoir_ml),
        ),
    )
}

fn out_of_reach(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Option<Question> {
    let left = &k.own.left;
    let (mut out, mut within): (Vec<&PartLeft>, Vec<&PartLeft>) =
        left.holding().partition(|p| !p.reached);
    out.shuffle(rng);
    within.shuffle(rng);
    let one = *out.first()?;
    let mut options: Vec<&PartLeft> = within.into_iter().take(3).chain([one]).collect();
    options.shuffle(rng);
    let choice = Choice {
        options: options.iter().map(|p| named(p)).collect(),
        right: options.iter().position(|p| p.part == one.part)?,
        too_close: false,
    };
    let all: Vec<String> = out.iter().map(|p| p.part.clone()).take(6).collect();
    question(
        "out of reach",
        "Through which of these does no fluid run, whichever bleeder is open?".to_owned(),
        Some(Answer::Choice(choice)).filter(|_| options.len() > 1),
        format!("{} lie behind shut valves: no bleeder reaches them.", list(&all)),
    )
}

fn beyond_reach(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Option<Question> {
    let trapped = k.own.left.trapped.as_ref()?;
    question(
        "beyond reach",
        "How much fluid lies where no bleeder reaches it?".to_owned(),
        Answer::amount(trapped.volume_ml, "mL", 0.1, rng),
        format!(
            "{} lie there, after this job {} old.",
            ml(trapped.volume_ml),
            percent(trapped.old_fraction),
        ),
    )
}

fn system_holds(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Option<Question> {
    let parts = &k.own.left.parts;
    let all: f64 = parts.iter().map(|p| p.volume_before_ml).sum();
    let reservoir: f64 =
        parts.iter().filter(|p| p.kind == "reservoir").map(|p| p.volume_before_ml).sum();
    question(
        "system holds",
        "How much fluid is in the whole system before the job, the reservoir included?".to_owned(),
        Answer::amount(all, "mL", 0.5, rng),
        format!(
            "{} in all, {} of them in the reservoir; the job drains {}.",
            ml(all),
            ml(reservoir),
            ml(k.own.totals.drained_ml),
        ),
    )
}
