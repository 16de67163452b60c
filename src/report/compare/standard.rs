//! Cars under a shop's standard: who needs an exception and why, and which rule would be regretted least.

use crate::harmless;
use crate::report::View;
use crate::report::figures::{minutes, percent, rounded};
use crate::report::grid::{self, Grid, Set};
use crate::study::standard::{Car, Closing, Exception, First, Judged, Standard};
use Set::{Figures, Words};

/// Its pieces.
pub(super) fn blocks(standard: &Standard, view: View) -> Vec<String> {
    let needing: Vec<&Car> = exceptions(&standard.cars);
    let said: String = [worst(standard), instead(standard)]
        .iter()
        .flatten()
        .map(|s| grid::paragraph(&harmless(s), view.width, 0))
        .collect();
    let verdict = match (needing.len(), standard.cars.len()) {
        (0, 1) => format!("\"{}\" fits this car", standard.asked),
        (0, n) => format!("\"{}\" fits all {n} cars", standard.asked),
        (_, 1) => format!("\"{}\" does not fit this car", standard.asked),
        (1, n) => format!("\"{}\": 1 of {n} cars needs an exception", standard.asked),
        (k, n) => format!("\"{}\": {k} of {n} cars need an exception", standard.asked),
    };
    let mut blocks = vec![grid::verdict(&verdict, view.width) + &said, cars(standard, view)];
    let reasons: String =
        needing.iter().map(|c| grid::paragraph(&why(c, standard), view.width, 2)).collect();
    if !reasons.is_empty() {
        blocks.push(grid::heading("Exceptions, and why") + &reasons);
    }
    blocks.push(rules(standard, view));
    blocks
}

fn exceptions(cars: &[Car]) -> Vec<&Car> {
    cars.iter().filter(|c| c.exception.is_some()).collect()
}

fn ml(x: f64) -> String {
    rounded(x, 0)
}

fn called(car: &Car, standard: &Standard) -> String {
    fn names(car: &Car) -> [&str; 2] {
        [&car.title, &car.file]
    }
    super::called(names(car), standard.cars.iter().map(names))
}

fn worst(standard: &Standard) -> Option<String> {
    let car = standard.cars.get(standard.worst).filter(|_| standard.cars.len() > 1)?;
    Some(format!(
        "It takes {} mL ({} %) more than the best order at the worst: {}.",
        ml(car.regret_ml),
        percent(car.regret_share),
        called(car, standard)
    ))
}

/// The rule that is regretted least, if it is another.
fn instead(standard: &Standard) -> Option<String> {
    let best = standard.least_regret()?;
    let asked = standard.judged()?;
    if best.rule == asked.rule {
        return Some("No other rule is regretted less.".to_owned());
    }
    let needing = exceptions(&standard.least_regret_cars);
    let with = match needing.len() {
        0 => "no exception".to_owned(),
        1 => format!("one exception ({})", called(needing[0], standard)),
        n => format!("{n} exceptions"),
    };
    let figure = |j: &Judged| format!("{} mL at the worst", ml(j.worst_regret_ml));
    Some(format!(
        "Regretted least of all rules: \"{}\", {}, with {with}. A higher cap does no better.",
        best.rule,
        figure(best)
    ))
}

/// Why a car needs an exception, in a sentence.
fn why(car: &Car, standard: &Standard) -> String {
    let text = match car.exception {
        Some(Exception::Stopped) if !car.still_dirty.is_empty() => format!(
            "{} would be closed while still dirty; {}",
            car.still_dirty.join(", "),
            left(car)
        ),
        Some(Exception::Stopped) => "a warning stops the job (flush says which)".to_owned(),
        Some(Exception::RunsShort) => format!(
            "the load is {} mL short of what this takes",
            ml(car.short_ml.unwrap_or_default())
        ),
        Some(Exception::Dirtier) => left(car),
        Some(Exception::TakesMore) | None => format!(
            "{} mL ({} %) more than {}, {}, takes for as little old fluid left",
            ml(car.regret_ml),
            percent(car.regret_share),
            car.best_order.join(", "),
            match car.best_closing {
                Closing::Clean => "closed by eye",
                Closing::Counted => "counted",
            }
        ),
    };
    format!("{}: {}.", called(car, standard), harmless(&text))
}

fn left(car: &Car) -> String {
    format!(
        "{} mL of old fluid would stay, by its own procedure {} mL",
        ml(car.old_left_ml),
        ml(car.own_old_left_ml)
    )
}

fn cars(standard: &Standard, view: View) -> String {
    let mut grid = Grid::new(
        view.width,
        &[
            ("car", Words),
            ("takes\nmL", Figures),
            ("in the\nbay", Figures),
            ("old left\nmL", Figures),
            ("own way\nleaves", Figures),
            ("above\nits best", Figures),
            ("\n%", Figures),
            ("exception", Words),
        ],
    );
    for c in &standard.cars {
        grid.row([
            called(c, standard),
            ml(c.fluid_ml),
            minutes(c.bay_seconds),
            ml(c.old_left_ml),
            ml(c.own_old_left_ml),
            ml(c.regret_ml),
            percent(c.regret_share),
            c.exception.map_or("", word).to_owned(),
        ]);
    }
    let how = "Above its best: mL more than that order of the car which takes least for as little old fluid left.";
    grid.text() + &grid::paragraph(how, view.width, 0)
}

fn word(exception: Exception) -> &'static str {
    match exception {
        Exception::Stopped => "stops",
        Exception::RunsShort => "runs short",
        Exception::Dirtier => "dirtier",
        _ => "takes more",
    }
}

/// The rules, the best for the fleet first: of each order and way of closing the best cap or, in detail, all.
fn rules(standard: &Standard, view: View) -> String {
    let mut grid = Grid::new(
        view.width,
        &[
            ("rule", Words),
            ("cars\nfailing", Figures),
            ("above best\nat worst, mL", Figures),
            ("on", Words),
            ("all cars\nmL", Figures),
        ],
    );
    let mut seen: Vec<(First, Closing)> = Vec::new();
    for j in &standard.rules {
        let family = (j.rule.first, j.rule.closing);
        if !view.details && seen.contains(&family) && j.rule != standard.asked {
            continue;
        }
        seen.push(family);
        let own = if j.rule == standard.asked { " (the standard)" } else { "" };
        grid.row([
            format!("{}{own}", j.rule),
            j.failing.len().to_string(),
            ml(j.worst_regret_ml),
            standard.cars.get(j.worst).map_or(String::new(), |c| called(c, standard)),
            ml(j.fluid_ml),
        ]);
    }
    let how = "Best rule first: fewest cars that must be stopped, run short or stay dirtier than by their own procedure; then the least above the best order at the worst, then in all. Of each order and way of closing the best cap; every cap with --details.";
    grid::heading("Rules for all") + &grid.text() + &grid::paragraph(how, view.width, 0)
}
