//! What comes of the comparison: keep the order or change it, what that is worth, and what matters more.

use super::table::written;
use crate::harmless;
use crate::report::View;
use crate::report::figures::{
    clock, degree, lasting, ml, name, percent, rounded, shortened, temperature,
};
use crate::report::grid::{self, Grid, Set};
use crate::study::orders::{Decider, Orders, Standing};
use Set::{Figures, Words};

/// Its pieces.
pub(super) fn blocks(answer: &Orders, view: View) -> Vec<String> {
    let said = [worth(answer), same(answer), places(answer), suffers(answer), decides(answer)];
    let lines = said.iter().flatten().flat_map(|s| s.lines());
    let said: String = lines.map(|s| grid::paragraph(s, view.width, 2)).collect();
    let title = shortened(&harmless(&answer.title), usize::from(view.width));
    let head = grid::heading(&title) + &grid::with_set(&answer.set, view.width);
    vec![head, grid::verdict(&verdict(answer), view.width) + &said, ends(answer, view)]
}

/// What an order saves against the scenario's own, mL.
fn saves(s: &Standing) -> Option<f64> {
    s.equal.map(|e| e.saves_ml)
}

/// The best of the others, if it saves more than can be put down to the computation.
fn better(answer: &Orders) -> Option<(&Standing, f64)> {
    let (_, best) = answer.span(saves)?;
    let ml = saves(best)?;
    (best.number != 0 && ml > answer.unsure_ml).then_some((best, ml))
}

/// The worst of the others, if it takes more than can be put down to the computation.
fn worse(answer: &Orders) -> Option<(&Standing, f64)> {
    let (worst, _) = answer.span(saves)?;
    let ml = -saves(worst)?;
    (worst.number != 0 && ml > answer.unsure_ml).then_some((worst, ml))
}

/// By how much orders must differ to be of different places, mL.
fn margin_ml(answer: &Orders) -> f64 {
    answer.own().map_or(0.0, |own| answer.margin * own.new_fluid_ml)
}

/// Keep or change.
fn verdict(answer: &Orders) -> String {
    let one_place = answer.orders.iter().all(|s| s.place == 1);
    match better(answer) {
        Some((best, ml)) if ml > margin_ml(answer) => {
            format!("Change the order to {}", written(&best.order))
        }
        _ if one_place && answer.orders.len() > 1 => {
            "Keep the order: here any order will do".to_owned()
        }
        _ => "Keep the order: no other is worth the change".to_owned(),
    }
}

/// What the best and the worst of the others come to beside the own, for as little old fluid left.
fn worth(answer: &Orders) -> Option<String> {
    let own = answer.own()?;
    let of_own = |x: f64| percent(x / own.new_fluid_ml);
    let best = match better(answer) {
        Some((best, less)) => format!(
            "the best other, {}, takes {} mL less new fluid ({} % of the job){}",
            written(&best.order),
            rounded(less, 0),
            of_own(less),
            sooner(own, best)
        ),
        None => "no other takes less new fluid".to_owned(),
    };
    let worst = match worse(answer) {
        Some((worst, more)) => format!(
            "; the worst, {}, takes {} mL more ({} %)",
            written(&worst.order),
            rounded(more, 0),
            of_own(more)
        ),
        None => "; none takes more".to_owned(),
    };
    Some(format!("For as little old fluid left, {best}{worst}."))
}

/// By how much sooner bleeders are shut again in all, if that is a second at least.
fn sooner(own: &Standing, other: &Standing) -> String {
    match own.flow_seconds - other.flow_seconds {
        less if less >= 1.0 => format!(" and runs {} less", lasting(less)),
        less if less <= -1.0 => format!(" and runs {} more", lasting(-less)),
        _ => String::new(),
    }
}

/// The orders that cost or save no more than can be put down to the computation: whoever finds one of them handier may
/// take it.
fn same(answer: &Orders) -> Option<String> {
    let alike = |s: &&Standing| s.number != 0 && s.equal.is_some() && !s.told_apart;
    let all: Vec<String> = answer.orders.iter().filter(alike).map(|s| written(&s.order)).collect();
    let more = match all.len() {
        0 => return None,
        n if n > MOST_ALIKE => format!(" ({} more)", n - MOST_ALIKE),
        _ => String::new(),
    };
    let some = all[..all.len().min(MOST_ALIKE)].join("; ");
    Some(format!("As good as the own, as far as can be told: {some}{more}."))
}

/// So many of those that make no difference are named.
const MOST_ALIKE: usize = 3;

/// How many orders stand where the best does.
fn places(answer: &Orders) -> Option<String> {
    let count = answer.orders.len();
    let first = answer.orders.iter().filter(|s| s.place == 1).count();
    let own = answer.own()?.place == 1;
    (count > 2).then(|| {
        let margin = rounded(100.0 * answer.margin, 1);
        let margin = margin.trim_end_matches(".0");
        match first == count {
            true => format!("All {count} orders lie within {margin} % of the fluid."),
            false => format!(
                "{first} of {count} orders lie within {margin} % of the fluid of the best{}.",
                if own {
                    ", the scenario's own among them"
                } else {
                    "; the scenario's own does not"
                }
            ),
        }
    })
}

/// Who is worse off where rules count by position.
fn suffers(answer: &Orders) -> Option<String> {
    let s = answer.suffers.as_ref()?;
    let (_, most) = answer.span(|s| Some(s.left_old_ml))?;
    (most.number != 0).then(|| {
        format!(
            "Counted by position, {} would leave the most: wheel brake {} would keep {} % old fluid ({} % in the scenario's own order).",
            written(&most.order),
            name(&s.part),
            percent(s.old_fraction),
            percent(s.own_old_fraction),
        )
    })
}

/// What was tried beside the order, the most first.
fn decides(answer: &Orders) -> Option<String> {
    let span = match answer.span(saves) {
        Some((worst, best)) => saves(best)? - saves(worst)?,
        None => return None,
    };
    let of = |d: &Decider| d.new_fluid_ml.abs().max(d.left_old_ml.abs());
    let mut all: Vec<&Decider> = answer.deciders.iter().collect();
    all.sort_by(|a, b| of(b).total_cmp(&of(a)));
    let more: Vec<String> = all.iter().filter(|d| of(d) > span).map(|d| told(d)).collect();
    Some(match more.is_empty() {
        false => format!("What matters more than the order:\n{}.", more.join(";\n")),
        true if all.is_empty() => return None,
        true => "Nothing else that was tried matters more than the order.".to_owned(),
    })
}

fn told(d: &Decider) -> String {
    let by = |x: f64| {
        let text = rounded(x.abs(), 0);
        format!("{text} mL {}", if x < 0.0 { "less" } else { "more" })
    };
    format!("{} ({} new fluid, {} old fluid left)", d.what, by(d.new_fluid_ml), by(d.left_old_ml))
}

/// The best, the own and the worst.
fn ends(answer: &Orders, view: View) -> String {
    let boiling = format!("boils\nfrom, {}", degree(view.units));
    let mut grid = Grid::new(
        view.width,
        &[
            ("", Words),
            ("order", Words),
            ("takes\nmL", Figures),
            ("open\nmin:s", Figures),
            ("old fluid\nleft, mL", Figures),
            (&boiling, Figures),
            ("for as little\nleft, mL", Figures),
        ],
    );
    let mut rows: Vec<(&str, &Standing)> = Vec::new();
    rows.extend(better(answer).map(|(best, _)| ("best", best)));
    rows.extend(answer.own().map(|own| ("own", own)));
    rows.extend(worse(answer).map(|(worst, _)| ("worst", worst)));
    for (what, s) in rows {
        grid.row([
            what.to_owned(),
            written(&s.order),
            ml(s.new_fluid_ml),
            clock(s.flow_seconds),
            ml(s.left_old_ml),
            temperature(s.lowest_boiling_c, view.units),
            s.equal.map_or("–".to_owned(), |e| ml(e.new_fluid_ml)),
        ]);
    }
    let how = "takes: new fluid by the stop rules as they are; last, what it takes with all of them made stricter or laxer until as little old fluid is left as in the scenario's own order. `--details` lists every order.";
    grid.text() + &grid::paragraph(how, view.width, 0)
}
