//! When the order matters: the smallest change that makes it, and what does not.

use crate::harmless;
use crate::job::record::in_units;
use crate::report::View;
use crate::report::figures::{capital, name, percent, rounded};
use crate::report::grid::{self, Grid, Set};
use crate::study::flips::{Flip, Flips};
use Set::{Figures, Words};

/// The answer in a sentence or two; `named` begins with the car.
pub(super) fn said(flips: &Flips, named: bool, view: View) -> String {
    let margin = rounded(100.0 * flips.margin, 1);
    let margin = margin.trim_end_matches(".0");
    let who =
        if named { format!("{}: the order", name(&flips.title)) } else { "The order".to_owned() };
    let first = flips.flips.iter().find(|f| f.share_of_range.is_some());
    let (now, turn) = match flips.matters {
        false => ("no more than", "It would matter"),
        true => ("more than", "It would matter no longer"),
    };
    let when = match first {
        Some(f) => format!("{turn}, of all that was tried, soonest with {}.", change(f)),
        None if flips.matters => "Nothing that was tried makes it worth less.".to_owned(),
        None => "Nothing that was tried makes it worth more.".to_owned(),
    };
    let text = format!(
        "{who} is worth {} % of the fluid from best to worst, {now} the {margin} % that count. {when}",
        percent(flips.own.share)
    );
    grid::paragraph(&in_units(&harmless(&text), view.units), view.width, 0)
}

/// A change in words.
fn change(f: &Flip) -> String {
    let at = f.at.clone().unwrap_or_default();
    match f.share_of_range {
        Some(share) if share < 1.0 => format!(
            "{} ({} instead of {}, {} % of its usual range)",
            f.what,
            at,
            f.from,
            rounded(100.0 * share, 0)
        ),
        _ => format!("{} ({} instead of {})", f.what, at, f.from),
    }
}

/// How it is and, of what never turns it, what was done instead.
fn from(f: &Flip) -> String {
    match (&f.instead, &f.at) {
        (Some(instead), None) => format!("{}, not {instead}", f.from),
        _ => f.from.clone(),
    }
}

/// Every change that was tried.
pub(super) fn table(flips: &Flips, view: View) -> String {
    let turns = if flips.matters { "matters no more\nat" } else { "matters\nat" };
    let mut grid = Grid::new(
        view.width,
        &[
            ("changed by itself", Words),
            ("from", Words),
            (turns, Words),
            ("of usual\nrange, %", Figures),
            ("worth there\nmL", Figures),
            ("\n%", Figures),
        ],
    );
    for f in &flips.flips {
        grid.row([
            capital(f.what),
            in_units(&harmless(&from(f)), view.units),
            f.at.as_ref().map_or("nowhere".to_owned(), |at| in_units(&harmless(at), view.units)),
            f.share_of_range.map_or("–".to_owned(), |s| rounded(100.0 * s, 0)),
            rounded(f.worth.ml, 0),
            percent(f.worth.share),
        ]);
    }
    let tried = match flips.every_order {
        true => format!("all {} orders", flips.orders),
        false => format!("{} orders, not all", flips.orders),
    };
    let how = format!(
        "Worth: what the worst order takes more than the best for as much old fluid left, of {tried}; where it turns nowhere, the nearest to it that was met."
    );
    grid::heading("When the order matters") + &grid.text() + &grid::paragraph(&how, view.width, 0)
}
