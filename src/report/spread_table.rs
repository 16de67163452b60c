//! Ranges over random draws, and which unknown matters most.

use super::View;
use super::figures::{self, clock, name, percent, rounded, volume};
use super::grid::{self, Grid, Set};
use crate::job::shown::harmless;
use crate::study::chance::sensitivity::Index;
use crate::study::spread::Spread;
use Set::{Figures, Words};

/// More unknowns than this are summed up in a line.
const MOST_UNKNOWNS: usize = 16;

/// The whole report as text, styled as [`super::table::render`] does.
pub fn render(answer: &Spread, view: View) -> String {
    [head(answer, view), bleeders(answer, view), load(answer, view), matters(answer, view)]
        .join("\n")
}

fn head(answer: &Spread, view: View) -> String {
    let title = figures::shortened(&harmless(&answer.title), usize::from(view.width));
    let whose = if answer.default_spreads {
        "The scenario states no spreads; the program's own are used, each an estimate."
    } else {
        "Spreads as the scenario states them; everything else is taken as known."
    };
    let below = format!("{} draws, seed {}. {whose}", answer.draws, answer.seed);
    grid::heading(&title) + &grid::paragraph(&below, view.width, 0)
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
}

fn load(answer: &Spread, view: View) -> String {
    let enough = |what: &str| match answer.load_ml_p95 {
        Some(ml) => format!(
            "To be 95 % sure of enough, {what} {}: {} bottles of half a litre.",
            volume(ml, view.units),
            rounded((ml / 500.0).ceil(), 0)
        ),
        None => format!("How much to {what} cannot be said: too many draws do not end."),
    };
    let text = match (answer.loaded_ml, answer.runs_dry_share) {
        (Some(loaded), Some(share)) => format!(
            "The {} loaded run dry in {} % of the draws. {}",
            volume(loaded, view.units),
            percent(share),
            enough("load")
        ),
        _ => enough("have at hand"),
    };
    grid::heading("Fluid to have") + &grid::paragraph(&text, view.width, 0)
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
        grid.row([
            name(&m.quantity),
            rounded(m.rank_correlation, 2),
            index(&m.indices.first_order),
            index(&m.indices.total),
        ]);
    }
    let of = match answer.matters_for {
        "drained_ml" => "the millilitres drained in all",
        _ => "the old fluid left",
    };
    let rest = match answer.matters.len().saturating_sub(MOST_UNKNOWNS) {
        0 => String::new(),
        n => format!("{n} more unknowns matter less; the JSON lists them. "),
    };
    let how = format!(
        "{rest}In brackets where nineteen of twenty resamplings of the draws put it. An unknown that matters \
         alone would, once measured, take that share of the spread away."
    );
    grid::heading(&format!("What matters for {of}"))
        + &grid.text()
        + &grid::paragraph(&how, view.width, 0)
}
