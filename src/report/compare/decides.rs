//! What decides on one car, on one axis: millilitres of fluid used.

use super::flips;
use crate::harmless;
use crate::job::record::in_units;
use crate::report::View;
use crate::report::figures::{capital, rounded};
use crate::report::grid::{self, Grid, Set};
use crate::study::decides::{Decides, End, LINES, Lever, ORDER};
use crate::study::flips::Flips;
use Set::{Figures, Words};

/// What an end of a lever comes to: fluid used or, where that is counted, old fluid left.
fn at(decides: &Decides, e: &End) -> f64 {
    if decides.counted { e.old_left_ml } else { e.fluid_ml }
}

/// Both ends of a lever by that.
fn ends<'a>(decides: &Decides, l: &'a Lever) -> [&'a End; 2] {
    if decides.counted { [&l.cleanest, &l.dirtiest] } else { [&l.least, &l.most] }
}

/// What the levers move.
fn of_what(decides: &Decides) -> &'static str {
    if decides.counted { "old fluid left" } else { "fluid used" }
}

/// What decides, and what the order is worth beside it.
pub(super) fn verdict(decides: &Decides, flips: Option<&Flips>, view: View) -> String {
    let Some(first) = decides.levers.first() else {
        return grid::verdict("Nothing that was tried changes this job", view.width);
    };
    let order = decides.lever(ORDER);
    let beside = match order {
        Some(order) if first.what != ORDER => {
            format!("; the order {} mL", ml(decides.moved_ml(order)))
        }
        _ => String::new(),
    };
    let verdict = format!(
        "{} decides: {} mL of {}{beside}",
        capital(first.what),
        ml(decides.moved_ml(first)),
        of_what(decides)
    );
    let mut said = vec![from_to(decides, first)];
    said.extend(decides.levers.get(1).filter(|l| l.what != ORDER).map(|second| {
        let [from, to] = ends(decides, second);
        let by = ml(decides.moved_ml(second));
        format!("Then {}: {by} mL (least {}, most {}).", second.what, from.at, to.at)
    }));
    said.extend(decides.lever(LINES).map(|l| {
        format!("The {} are worth {} mL, all of them together.", l.what, ml(decides.moved_ml(l)))
    }));
    let said = in_units(&harmless(&said.join(" ")), view.units);
    let paragraphs = [Some(said), by_order(decides).map(|text| harmless(&text))];
    let paragraphs: String =
        paragraphs.iter().flatten().map(|s| grid::paragraph(s, view.width, 0)).collect();
    let when = flips.map_or(String::new(), |f| flips::said(f, false, view));
    grid::verdict(&harmless(&verdict), view.width) + &paragraphs + &when
}

fn from_to(decides: &Decides, l: &Lever) -> String {
    let [from, to] = ends(decides, l);
    format!(
        "From {} mL ({}) to {} mL ({}); as it is, {} mL.",
        ml(at(decides, from)),
        from.at,
        ml(at(decides, to)),
        to.at,
        ml(at(decides, &decides.own))
    )
}

/// The best order and the worst beside the own, and whether the best saves on other such cars too.
fn by_order(decides: &Decides) -> Option<String> {
    let order = decides.order.as_ref()?;
    let of = |ml: f64| ml > order.unsure_ml;
    let names = |all: &[String]| all.join(", ");
    let best = match of(order.best_saves_ml) {
        true => format!(
            "the best order, {}, saves {} mL against its own, {}",
            names(&order.best),
            ml(order.best_saves_ml),
            names(&order.own)
        ),
        false => "no order saves any that can be told against its own".to_owned(),
    };
    let worst = match of(order.worst_costs_ml) {
        true => {
            format!("the worst, {}, costs {} mL", names(&order.worst), ml(order.worst_costs_ml))
        }
        false => "none costs more".to_owned(),
    };
    let some = match order.every_order {
        true => String::new(),
        false => format!(" ({} orders were tried, not all.)", order.tried),
    };
    Some(format!(
        "For as little old fluid left, {best}; {worst}.{some}{}",
        on_other_cars(decides).map_or(String::new(), |text| format!(" {text}"))
    ))
}

/// In how many draws the best order saves.
fn on_other_cars(decides: &Decides) -> Option<String> {
    let order = decides.order.as_ref()?;
    let (share, low, high) = (order.better_share?, order.saves_ml_p10?, order.saves_ml_p90?);
    if order.best_saves_ml <= order.unsure_ml {
        return None;
    }
    Some(format!(
        "The best saves in {} of 100 such cars, in eight of ten {} to {} mL.",
        rounded(100.0 * share, 0),
        ml(low),
        ml(high)
    ))
}

fn ml(x: f64) -> String {
    rounded(x, 0)
}

/// Every lever.
pub(super) fn table(decides: &Decides, view: View) -> String {
    let mut grid = Grid::new(
        view.width,
        &[
            ("changed by itself", Words),
            ("least\nmL", Figures),
            ("at", Words),
            ("most\nmL", Figures),
            ("at", Words),
            ("fluid\nmL", Figures),
            ("old left\nmL", Figures),
        ],
    );
    for l in &decides.levers {
        let [from, to] = ends(decides, l);
        grid.row([
            l.what.to_owned(),
            ml(at(decides, from)),
            in_units(&harmless(&from.at), view.units),
            ml(at(decides, to)),
            in_units(&harmless(&to.at), view.units),
            ml(l.fluid_ml),
            ml(l.old_left_ml),
        ]);
    }
    let how = format!(
        "Each from one end of what is usual to the other, all else as it is: where {} is least and most, and by how much fluid used and old fluid left differ. Orders are compared in fluid for as much old fluid left.",
        of_what(decides)
    );
    let stopped = match decides.stopped.is_empty() {
        true => String::new(),
        false => {
            let text = format!(
                "Left out, since the job must be stopped there: {}.",
                decides.stopped.join("; ")
            );
            grid::paragraph(&harmless(&text), view.width, 0)
        }
    };
    grid.text() + &grid::paragraph(&how, view.width, 0) + &stopped
}
