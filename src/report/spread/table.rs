//! Ranges over random draws, and which unknown matters most.

use crate::harmless;
use crate::report::View;
use crate::report::figures::{self, clock, name, percent, rounded, taken_as_known, volume};
use crate::report::grid::{self, Grid, Set};
use crate::study::chance::sensitivity::{Index, Indices};
use crate::study::chance::unknowns::Spreads;
use crate::study::spread::{LEAST_DRAWS, Matter, Spread, WholeSpread};
use Set::{Figures, Words};

/// More unknowns than this are summed up in a line.
const MOST_UNKNOWNS: usize = 16;

/// In place of an index that was not finished.
const NOT_DONE: &str = "not done";

/// Its pieces.
pub(super) fn blocks(answer: &Spread, view: View) -> Vec<String> {
    let mut blocks = vec![head(answer, view)];
    if !answer.bleeders.is_empty() {
        blocks.extend([load(answer, view), bleeders(answer, view)]);
        blocks.push(if view.details { matters(answer, view) } else { most(answer, view) });
    }
    blocks
}

fn head(answer: &Spread, view: View) -> String {
    let title = figures::shortened(&harmless(&answer.title), usize::from(view.width));
    let whose = match answer.spreads {
        Spreads::Stated => {
            "Spreads as the scenario states them; everything else is taken as known."
        }
        Spreads::Both => {
            "Spreads as the scenario states them, and where it states none the program's own, each an estimate."
        }
        Spreads::Default => {
            "The scenario states no spreads; the program's own are used, each an estimate."
        }
    };
    let known = taken_as_known(&answer.taken_as_known).map_or(String::new(), |k| format!(" {k}"));
    let below = format!("{} draws, seed {}. {whose}{known}", answer.draws, answer.seed);
    let mut out = grid::heading(&title)
        + &grid::with_set(&answer.set, view.width)
        + &grid::paragraph(&below, view.width, 0);
    if answer.partial {
        out += &format!("{}\n", grid::alarm("PARTIAL: interrupted."));
        out += &grid::paragraph(&what_it_rests_on(answer), view.width, 0);
    }
    out
}

/// What a partial answer rests on, in words.
fn what_it_rests_on(answer: &Spread) -> String {
    let Some(wanted) = answer.draws_wanted else {
        return "All draws for the ranges were finished; sensitivities that were not are left out."
            .to_owned();
    };
    let done = answer.draws;
    if answer.bleeders.is_empty() {
        return format!(
            "{done} of {wanted} draws were finished: too few to say ranges of ({LEAST_DRAWS} at least)."
        );
    }
    format!(
        "Ranges rest on the first {done} of {wanted} draws. Draws come in random order, so these are still a \
         random sample, only not as evenly spread as the whole. Shares of variance were not reached."
    )
}

/// Three quantiles in one cell; a dash where it was not reached.
fn range(quantiles: [Option<f64>; 3], show: impl Fn(f64) -> String) -> String {
    quantiles.map(|q| q.map_or("never".to_owned(), &show)).join(" / ")
}

fn bleeders(answer: &Spread, view: View) -> String {
    let mut grid = Grid::new(
        view.width,
        &[
            ("bleeder", Words),
            ("ran clean in\n% of draws", Figures),
            ("clean from, mL\n10 / 50 / 90 %", Figures),
            ("time, min:s\n10 / 50 / 90 %", Figures),
        ],
    );
    for b in &answer.bleeders {
        grid.row([
            name(&b.bleeder),
            percent(b.clean_share),
            range([b.clean_at_ml_p10, b.clean_at_ml_p50, b.clean_at_ml_p90], |x| rounded(x, 0)),
            range([b.seconds_p10, b.seconds_p50, b.seconds_p90], clock),
        ]);
    }
    grid::heading("What each bleeder takes, in 10, 50 and 90 % of the draws no more than")
        + &grid.text()
        + &answer.in_all.as_ref().map_or(String::new(), |all| in_all(all, view))
}

fn in_all(all: &WholeSpread, view: View) -> String {
    let minutes = |s: f64| rounded(s / 60.0, 0);
    let ml = |x: f64| rounded(x, 0);
    let text = format!(
        "In all: drained {} mL, {} minutes in the bay, {} mL of old fluid left.",
        range([all.drained_ml_p10, all.drained_ml_p50, all.drained_ml_p90], ml),
        range([all.bay_seconds_p10, all.bay_seconds_p50, all.bay_seconds_p90], minutes),
        range([all.left_old_ml_p10, all.left_old_ml_p50, all.left_old_ml_p90], ml),
    );
    grid::paragraph(&text, view.width, 0)
}

fn load(answer: &Spread, view: View) -> String {
    let enough = |what: &str| match answer.load_ml_p95 {
        Some(ml) => format!(
            "To be 95 % sure of enough, {what} {}{}.",
            volume(ml, view.units) + &by_hand(answer, view),
            match answer.bottles_p95 {
                None => String::new(),
                Some(1) => format!(": one bottle of {} mL", rounded(answer.bottle_ml, 0)),
                Some(n) => format!(": {n} bottles of {} mL", rounded(answer.bottle_ml, 0)),
            }
        ),
        None => format!("How much to {what} cannot be said: too many draws do not end."),
    };
    let text = match (answer.loaded_ml, answer.runs_dry_share) {
        (Some(loaded), Some(share)) => format!(
            "The {} loaded runs dry in {} % of the draws. {}",
            volume(loaded, view.units),
            percent(share),
            enough("load")
        ),
        _ => enough("have at hand"),
    };
    grid::verdict(&have(answer, view), view.width) + &grid::paragraph(&text, view.width, 0)
}

/// What to have, in a heading.
fn have(answer: &Spread, view: View) -> String {
    match (answer.bottles_p95, answer.have_ml_p95.or(answer.load_ml_p95)) {
        (Some(n), Some(ml)) => format!(
            "Have {n} × {} mL: {} are enough for 95 of 100",
            rounded(answer.bottle_ml, 0),
            volume(ml.round(), view.units).replacen(".0 mL", " mL", 1)
        ),
        _ => "Fluid to have".to_owned(),
    }
}

/// What is poured in besides what is loaded, if anything.
fn by_hand(answer: &Spread, view: View) -> String {
    match (answer.load_ml_p95, answer.have_ml_p95) {
        (Some(load), Some(have)) if have - load >= 0.05 => {
            format!("; with what is poured in by hand have {}", volume(have, view.units))
        }
        _ => String::new(),
    }
}

/// What an unknown must explain of the variance to be named.
const NAMED: f64 = 0.05;

/// The unknowns that matter, in a sentence.
fn most(answer: &Spread, view: View) -> String {
    // Only what more draws would not take away.
    let explains = |m: &Matter| {
        m.indices.map(|i| i.within_a_whole().first_order).filter(|i| i.low > 0.0).map(|i| i.value)
    };
    let mut named: Vec<(&Matter, f64)> =
        answer.matters.iter().filter_map(|m| Some((m, explains(m)?))).collect();
    named.retain(|(_, share)| *share >= NAMED);
    named.sort_by(|a, b| b.1.total_cmp(&a.1));
    let of = of_what(answer);
    let told: Vec<String> = (named.iter().take(3))
        .map(|(m, share)| format!("{} ({} %)", name(m.called()), rounded(100.0 * share, 0)))
        .collect();
    let text = match told.is_empty() {
        false => format!("What decides {of}, in shares of their variance: {}.", told.join(", ")),
        true if answer.matters.iter().any(|m| m.indices.is_none()) => {
            format!("What decides {of} was not finished.")
        }
        true => format!("No single unknown decides {of}."),
    };
    let rest = format!("`--details` lists all {} unknowns.", answer.matters.len());
    grid::paragraph(&format!("{text} {rest}"), view.width, 0)
}

/// What the unknowns are ranked for.
fn of_what(answer: &Spread) -> &'static str {
    match answer.matters_for {
        "drained_ml" => "the millilitres drained in all",
        _ => "the millilitres of old fluid left",
    }
}

fn matters(answer: &Spread, view: View) -> String {
    let mut grid = Grid::new(
        view.width,
        &[
            ("unknown", Words),
            ("rank\ncorrelation", Figures),
            ("alone\n% of variance", Figures),
            ("with others\n% of variance", Figures),
        ],
    );
    let index = |i: &Index| {
        let share = |x: f64| rounded(100.0 * x, 0);
        format!("{} ({} to {})", share(i.value), share(i.low), share(i.high))
    };
    for m in answer.matters.iter().take(MOST_UNKNOWNS) {
        let indices = m.indices.map(Indices::within_a_whole);
        grid.row([
            name(m.called()),
            rounded(m.rank_correlation, 2),
            indices.map_or(NOT_DONE.to_owned(), |i| index(&i.first_order)),
            indices.map_or(NOT_DONE.to_owned(), |i| index(&i.total)),
        ]);
    }
    let of = of_what(answer);
    let rest = match answer.matters.len().saturating_sub(MOST_UNKNOWNS) {
        0 => String::new(),
        n => format!("{n} more unknowns matter less; the JSON lists them. "),
    };
    let how = format!(
        "{rest}In brackets where nineteen of twenty resamplings of the draws put it (0 to 100 at most). An unknown that matters \
         alone would, once measured, take that share of the spread away."
    );
    grid::heading(&format!("What matters for {of}"))
        + &grid.text()
        + &grid::paragraph(&how, view.width, 0)
}
