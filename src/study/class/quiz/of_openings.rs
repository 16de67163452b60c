//! Questions about one bleeder.

use super::answer::unsure_ml;
use super::words::{gauge, ml, percent, question, seconds};
use super::{Answer, Asking, Choice, Known, Question};
use crate::circuit::species::NEW_FLUID;
use crate::harmless;
use crate::job::record::{ClosedBy, Does, Opening};
use crate::sorting;
use crate::study::StudyError;
use crate::study::class::origin;
use crate::study::difference::Difference;
use rand::seq::{IndexedRandom, SliceRandom};
use rand_chacha::ChaCha8Rng;

pub(super) const ALL: &[(&str, Asking)] = &[
    ("takes", |k, rng| Ok(takes(k, rng))),
    ("from the reservoir", |k, rng| Ok(from_reservoir(k, rng))),
    ("new again", |k, rng| Ok(new_again(k, rng))),
    ("still old", |k, rng| Ok(still_old(k, rng))),
    ("looks clean", |k, rng| Ok(looks_clean(k, rng))),
    ("open for", |k, rng| Ok(open_for(k, rng))),
    ("gauge falls", |k, rng| Ok(gauge_falls(k, rng))),
    ("takes most", |k, rng| Ok(takes_most(k, rng))),
    ("path holds", path_holds),
];

/// Openings of the first pass, each bleeder's first.
fn first_openings<'a>(k: &'a Known<'_>) -> Vec<&'a Opening> {
    let mut first: Vec<&Opening> = Vec::new();
    for o in k.own.openings.iter().filter(|o| o.pass == 1) {
        if first.iter().all(|f| f.bleeder != o.bleeder) {
            first.push(o);
        }
    }
    first
}

/// One of those that will do.
fn some<'a>(
    k: &'a Known<'_>,
    rng: &mut ChaCha8Rng,
    will_do: impl Fn(&Opening) -> bool,
) -> Option<&'a Opening> {
    let mut all = first_openings(k);
    all.retain(|o| will_do(o));
    all.choose(rng).copied()
}

/// "RR, number 1 of 4,".
fn placed(k: &Known<'_>, o: &Opening) -> String {
    let all = first_openings(k);
    let turn = all.iter().position(|f| f.bleeder == o.bleeder).map_or(1, |i| i + 1);
    match all.len() {
        1 => harmless(&o.bleeder),
        n => format!("{}, number {turn} of {n},", harmless(&o.bleeder)),
    }
}

fn by_eye(o: &Opening) -> bool {
    o.closed_by == ClosedBy::Clean
}

fn takes(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Option<Question> {
    let o = some(k, rng, by_eye)?;
    let (reservoir, new) = (origin(o, "reservoir"), origin(o, NEW_FLUID));
    question(
        "takes",
        format!("{} is closed once its hose looks clean. How much runs out there?", placed(k, o)),
        Answer::amount(o.drained_ml, "mL", unsure_ml(&k.own), rng),
        format!(
            "{} takes {}: {} of it old fluid out of the reservoir, {} from the lines and the brake, {} new.",
            harmless(&o.bleeder),
            ml(o.drained_ml),
            ml(reservoir),
            ml(o.drained_ml - reservoir - new),
            ml(new),
        ),
    )
}

fn from_reservoir(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Option<Question> {
    let o = some(k, rng, |o| origin(o, "reservoir") >= 2.0)?;
    let from = origin(o, "reservoir");
    question(
        "from the reservoir",
        format!(
            "How much of what runs out at {} is old fluid that lay in the reservoir?",
            placed(k, o)
        ),
        Answer::amount(from, "mL", unsure_ml(&k.own), rng),
        format!(
            "Of {} there, {} lay in the reservoir when the job began: whoever goes first washes most of it out.",
            ml(o.drained_ml),
            ml(from),
        ),
    )
}

fn new_again(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Option<Question> {
    let o = some(k, rng, |o| origin(o, NEW_FLUID) >= 2.0)?;
    let new = origin(o, NEW_FLUID);
    question(
        "new again",
        format!("At {} how much new fluid runs out again?", placed(k, o)),
        Answer::amount(new, "mL", unsure_ml(&k.own), rng),
        format!(
            "{} of {} are new: they came through mixed with old fluid before the hose looked clean.",
            ml(new),
            ml(o.drained_ml),
        ),
    )
}

fn still_old(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Option<Question> {
    let o = some(k, rng, |o| by_eye(o) && o.path_old_fraction >= 0.01)?;
    question(
        "still old",
        format!(
            "{} looks clean and is closed. What share of the fluid on its path, reservoir to bleeder, is still old?",
            harmless(&o.bleeder)
        ),
        Answer::amount(100.0 * o.path_old_fraction, "%", 0.5, rng),
        format!(
            "The hose showed {} old when {} was closed, the whole path behind it was {} old.",
            percent(o.seen_old_fraction),
            harmless(&o.bleeder),
            percent(o.path_old_fraction),
        ),
    )
}

fn looks_clean(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Option<Question> {
    let o = some(k, rng, |o| o.clean_at_ml.is_some())?;
    let at = o.clean_at_ml?;
    let is = match is_clean_at(o) {
        Some(is) => format!("its whole path is that clean from {} on", ml(is)),
        None => "its whole path is not that clean even when it is closed".to_owned(),
    };
    question(
        "looks clean",
        format!("From how many millilitres on does the hose at {} look clean?", placed(k, o)),
        Answer::amount(at, "mL", unsure_ml(&k.own), rng),
        format!(
            "It looks clean (no more than {} old) from {} on; {is}.",
            percent(o.threshold),
            ml(at),
        ),
    )
}

fn open_for(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Option<Question> {
    let o = some(k, rng, |o| o.closed_by != ClosedBy::Time)?;
    question(
        "open for",
        format!("At {} for how many seconds does fluid run out?", placed(k, o)),
        Answer::amount(o.flow_seconds, "s", 0.5, rng),
        format!(
            "{} at {:.1} mL a second are {}.",
            ml(o.drained_ml),
            o.mean_flow_ml_per_s,
            seconds(o.flow_seconds),
        ),
    )
}

fn gauge_falls(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Option<Question> {
    let pumped = |o: &Opening| {
        let meanwhile = |at_s: f64| (o.opened_s..=o.closed_s).contains(&at_s);
        k.own.steps.iter().any(|s| s.does == Does::RePump && meanwhile(s.at_s))
    };
    let supply = k.scenario.supply(k.options.supply.as_deref()).ok()?;
    supply.kind.vessel()?;
    let o = some(k, rng, |o| !pumped(o))?;
    question(
        "gauge falls",
        format!("How far does the gauge fall while {} is open?", placed(k, o)),
        Answer::amount(o.gauge_start_kpa - o.gauge_end_kpa, "kPa", 0.5, rng),
        format!(
            "From {} to {}: {} have left, and the air in the vessel has more room.",
            gauge(o.gauge_start_kpa),
            gauge(o.gauge_end_kpa),
            ml(o.drained_ml),
        ),
    )
}

fn takes_most(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Option<Question> {
    let mut all = first_openings(k);
    all.retain(|o| by_eye(o));
    sorting::by(&mut all, |a, b| b.drained_ml.total_cmp(&a.drained_ml));
    let (most, next) = (*all.first()?, *all.get(1)?);
    all.truncate(4);
    all.shuffle(rng);
    let error = Some(unsure_ml(&k.own));
    let apart = Difference::new((next.drained_ml, error), (most.drained_ml, error));
    let choice = Choice {
        options: all.iter().map(|o| harmless(&o.bleeder)).collect(),
        right: all.iter().position(|o| o.bleeder == most.bleeder)?,
        too_close: !apart.told_apart(),
    };
    question(
        "takes most",
        "At which bleeder does most run out?".to_owned(),
        Some(Answer::Choice(choice)),
        format!(
            "{} takes {}, {} comes next with {}; {} of the first's lay in the reservoir.",
            harmless(&most.bleeder),
            ml(most.drained_ml),
            harmless(&next.bleeder),
            ml(next.drained_ml),
            ml(origin(most, "reservoir")),
        ),
    )
}

fn path_holds(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Result<Option<Question>, StudyError> {
    let paths = super::super::path_ml(k.scenario);
    let Some((bleeder, path_ml)) = paths.choose(rng) else { return Ok(None) };
    let takes = k.own.openings.iter().find(|o| o.bleeder == *bleeder).map_or(0.0, |o| o.drained_ml);
    Ok(question(
        "path holds",
        format!(
            "How much fluid lies between the reservoir’s outlet and the bleeder {}?",
            harmless(bleeder)
        ),
        Answer::amount(*path_ml, "mL", 0.5, rng),
        format!(
            "Master cylinder, line, hose and brake hold {}; {} run out there, for the reservoir comes through as well.",
            ml(*path_ml),
            ml(takes),
        ),
    ))
}

/// From where on the whole path of an opening stayed at or below the threshold, mL; `None` if it was not at the close.
fn is_clean_at(opening: &Opening) -> Option<f64> {
    let (curve, threshold) = (&opening.curve, opening.threshold);
    let Some(last) = curve.iter().rposition(|p| p.path_old_fraction > threshold) else {
        return curve.first().map(|p| p.drained_ml);
    };
    let (dirty, clean) = (&curve[last], curve.get(last + 1)?);
    let share =
        (dirty.path_old_fraction - threshold) / (dirty.path_old_fraction - clean.path_old_fraction);
    Some(dirty.drained_ml + share * (clean.drained_ml - dirty.drained_ml))
}
