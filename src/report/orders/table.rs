//! Orders ranked, as tables and the sentences that they come to.

use super::verdict;
use crate::job::record::{Warning, WarningKind};
use crate::report::View;
use crate::report::figures::{capital, clock, degree, ml, name, percent, rounded, temperature};
use crate::report::grid::{self, Grid, Set};
use crate::report::warnings::warning;
use crate::study::chance::unknowns::Spreads;
use crate::study::orders::{Orders, Standing};
use Set::{Figures, Words};

/// How the columns of the further tables differ from that.
const AS_FULL: &str =
    "Below it is reckoned with the reservoir as full at the end as by the scenario's own.";

/// Rows of a table; of more orders the first, the last and the scenario's own are shown.
const MOST: usize = 30;
/// Of more than [`MOST`]: shown at the beginning and at the end.
const ENDS: (usize, usize) = (12, 6);

/// Its pieces.
pub(super) fn blocks(answer: &Orders, view: View) -> Vec<String> {
    let mut blocks = verdict::blocks(answer, view);
    if view.details {
        blocks.extend([own_rules(answer, view), equal(answer, view), sentences(answer, view)]);
        if !answer.deciders.is_empty() {
            blocks.push(deciders(answer, view));
        }
    }
    if answer.partial {
        blocks.insert(1, partial(answer, view));
    }
    blocks
}

/// An order as it is written on the command line.
pub(super) fn written(order: &[String]) -> String {
    order.iter().map(|b| name(b)).collect::<Vec<_>>().join(", ")
}

fn partial(answer: &Orders, view: View) -> String {
    let text = format!(
        "Interrupted: {} of {} orders and {} draws are finished, and only these count below.",
        answer.orders.len(),
        answer.asked,
        answer.draws
    );
    grid::paragraph(&grid::alarm(&text), view.width, 0)
}

/// The rows to show; `None` stands for those left out.
fn shown(answer: &Orders) -> Vec<Option<&Standing>> {
    let n = answer.orders.len();
    if n <= MOST {
        return answer.orders.iter().map(Some).collect();
    }
    let own = answer.orders.iter().position(|s| s.number == 0);
    let mut rows = Vec::new();
    let mut left_out = false;
    for (i, standing) in answer.orders.iter().enumerate() {
        if i < ENDS.0 || i + ENDS.1 >= n || Some(i) == own {
            if left_out {
                rows.push(None);
            }
            rows.push(Some(standing));
            left_out = false;
        } else {
            left_out = true;
        }
    }
    rows
}

/// The place, shared by those within the margin; the scenario's own order is marked.
fn place(s: &Standing) -> String {
    format!("{}{}", if s.number == 0 { "own " } else { "" }, s.place)
}

fn own_rules(answer: &Orders, view: View) -> String {
    let boiling = format!("boils\nfrom, {}", degree(view.units));
    let mut grid = Grid::new(
        view.width,
        &[
            ("place", Figures),
            ("order", Words),
            ("drained\nmL", Figures),
            ("takes\nmL", Figures),
            ("open\nmin:s", Figures),
            ("old fluid\nleft, mL", Figures),
            ("\n%", Figures),
            (&boiling, Figures),
        ],
    );
    for row in shown(answer) {
        grid.row(match row {
            None => std::iter::repeat_n("…".to_owned(), 8).collect::<Vec<_>>(),
            Some(s) => vec![
                place(s),
                written(&s.order),
                ml(s.drained_ml),
                ml(s.new_fluid_ml),
                clock(s.flow_seconds),
                ml(s.left_old_ml),
                percent(s.left_old_fraction),
                temperature(s.lowest_boiling_c, view.units),
            ],
        });
    }
    let rules =
        if answer.by_place { "counting by position" } else { "by the scenario's own stop rules" };
    grid::heading(&format!("Orders, {rules}"))
        + &grid.text()
        + &grid::paragraph(&format!("{} {AS_FULL}", grid::TAKES), view.width, 0)
}

/// Millilitres saved, or a dash.
fn saved(ml: Option<f64>) -> String {
    ml.map_or_else(|| "–".to_owned(), |x| rounded(x, 1))
}

fn equal(answer: &Orders, view: View) -> String {
    let mut columns = vec![
        ("place", Figures),
        ("order", Words),
        ("takes\nmL", Figures),
        ("saves\nmL", Figures),
        ("told\napart", Words),
    ];
    if answer.draws > 0 {
        columns.extend([
            ("drawn:\n10 %", Figures),
            ("saves mL\n50 %", Figures),
            ("\n90 %", Figures),
            ("better\n% of draws", Figures),
        ]);
    }
    let count = columns.len();
    let mut grid = Grid::new(view.width, &columns);
    for row in shown(answer) {
        grid.row(match row {
            None => std::iter::repeat_n("…".to_owned(), count).collect::<Vec<_>>(),
            Some(s) => {
                let mut cells = vec![
                    place(s),
                    written(&s.order),
                    saved(s.equal.map(|e| e.new_fluid_ml)),
                    saved(s.equal.map(|e| e.saves_ml)),
                    match (s.number, s.told_apart) {
                        (0, _) => "",
                        (_, true) => "yes",
                        (_, false) => "no",
                    }
                    .to_owned(),
                ];
                if answer.draws > 0 {
                    let drawn = [s.saves_ml_p10, s.saves_ml_p50, s.saves_ml_p90];
                    cells.extend(drawn.map(|q| saved(q.flatten())));
                    cells.push(s.better_share.map_or_else(String::new, |b| rounded(100.0 * b, 0)));
                }
                cells
            }
        });
    }
    grid::heading(
        "The same orders, each until as little old fluid is left as by the scenario's own",
    ) + &grid.text()
}

fn sentences(answer: &Orders, view: View) -> String {
    let mut said = Vec::new();
    said.extend(worth(answer));
    said.extend(by_place(answer));
    said.extend(decides(answer));
    said.extend(apart(answer));
    said.push(draws(answer));
    grid::heading("What it comes to")
        + &said.iter().map(|s| grid::paragraph(s, view.width, 0)).collect::<String>()
}

/// What the order is worth on equal terms.
fn worth(answer: &Orders) -> Option<String> {
    let own = answer.own()?;
    let saves = |s: &Standing| s.equal.map(|e| e.saves_ml);
    let (worst, best) = answer.span(saves)?;
    let (best_ml, worst_ml) = (saves(best)?, saves(worst)?);
    let of_own = |x: f64| percent(x / own.new_fluid_ml);
    let gain = if best_ml > answer.unsure_ml {
        format!(
            "the best order ({}) takes {} mL or {} % less than the scenario's own",
            written(&best.order),
            ml(best_ml),
            of_own(best_ml)
        )
    } else {
        "no order takes less than the scenario's own by more than can be told".to_owned()
    };
    let loss = if -worst_ml > answer.unsure_ml {
        format!(
            ", the worst ({}) {} mL or {} % more",
            written(&worst.order),
            ml(-worst_ml),
            of_own(-worst_ml)
        )
    } else {
        ", and none takes more".to_owned()
    };
    Some(format!("What the order is worth here: leaving the same old fluid, {gain}{loss}."))
}

/// What the same habit in another order leaves, if rules count.
fn by_place(answer: &Orders) -> Option<String> {
    if !answer.by_place {
        return None;
    }
    let own = answer.own()?;
    let (least, most) = answer.span(|s| Some(s.left_old_ml))?;
    let brake = answer.suffers.as_ref().map_or_else(String::new, |s| {
        format!(
            " With {}, the wheel brake {} keeps {} % old fluid; with the scenario's own order, {} %.",
            written(&most.order),
            name(&s.part),
            percent(s.old_fraction),
            percent(s.own_old_fraction)
        )
    });
    Some(format!(
        "Counted by position, the same millilitres in another order leave from {} mL of old fluid ({}) to {} mL ({}); the scenario's own leaves {} mL.{brake}",
        ml(least.left_old_ml),
        written(&least.order),
        ml(most.left_old_ml),
        written(&most.order),
        ml(own.left_old_ml)
    ))
}

/// What else was tried, beside the span of the orders.
fn decides(answer: &Orders) -> Option<String> {
    let (least, most) = if answer.by_place {
        answer.span(|s| Some(s.left_old_ml)).map(|(a, b)| (a.left_old_ml, b.left_old_ml))?
    } else {
        answer.span(|s| Some(s.new_fluid_ml)).map(|(a, b)| (a.new_fluid_ml, b.new_fluid_ml))?
    };
    let (what, span) = match answer.by_place {
        true => ("the old fluid left", most - least),
        false => ("the new fluid taken", most - least),
    };
    let of = |d: &crate::study::orders::Decider| match answer.by_place {
        true => d.left_old_ml.abs(),
        false => d.new_fluid_ml.abs(),
    };
    let largest = answer.deciders.iter().max_by(|a, b| of(a).total_cmp(&of(b)))?;
    let verdict = if of(largest) > span {
        format!("{} decides more than the order", capital(largest.what))
    } else {
        "Nothing else that was tried decides more than the order".to_owned()
    };
    Some(format!(
        "By the scenario's own rules {what} differs by {} mL between the orders. {verdict}.",
        ml(span)
    ))
}

/// What else was tried.
fn deciders(answer: &Orders, view: View) -> String {
    let columns = [("instead", Words), ("takes\nmL", Figures), ("old fluid\nleft, mL", Figures)];
    let mut grid = Grid::new(view.width, &columns);
    for d in &answer.deciders {
        grid.row([d.what.to_owned(), signed(d.new_fluid_ml), signed(d.left_old_ml)]);
    }
    grid::heading("What else was tried, in the scenario's own order: so much more or less")
        + &grid.text()
}

fn signed(x: f64) -> String {
    let text = rounded(x, 1);
    // No sign before nothing: what rounding left decides it.
    if text.starts_with('-') || text == "0.0" { text } else { format!("+{text}") }
}

/// How many are not told apart, and why.
fn apart(answer: &Orders) -> Option<String> {
    let others = || answer.orders.iter().filter(|s| s.number != 0);
    let (count, alike) = (others().count(), others().filter(|s| !s.told_apart).count());
    if count == 0 {
        return None;
    }
    let why = if answer.draws > 0 { " or change sign in more than two draws of ten" } else { "" };
    Some(match alike {
        0 => format!(
            "Every other order is told apart from the scenario's own: savings are known to {} mL.",
            rounded(answer.unsure_ml, 1)
        ),
        n => format!(
            "{n} of {count} other orders are not told apart from the scenario's own: their savings lie within {} mL of nothing{why}.",
            rounded(answer.unsure_ml, 1)
        ),
    })
}

/// What stops orders, the scenario's own among them or not; empty if nothing does.
pub(super) fn warnings(answer: &Orders, view: View) -> String {
    let told = [short(answer), stopped(answer)];
    told.iter().flatten().map(|(stops, w)| warning(*stops, w, view)).collect()
}

/// A load that is not enough, and whether for the scenario's own order.
fn short(answer: &Orders) -> Option<(bool, Warning)> {
    let count = answer.orders.iter().filter(|s| s.runs_short()).count();
    let most = answer.orders.iter().filter_map(|s| s.short_ml).fold(0.0, f64::max);
    let text = format!(
        "what the scenario loads is not enough for {count} of the orders (up to {} mL short); they are compared as if it were",
        ml(most)
    );
    let own = answer.own().is_some_and(Standing::runs_short);
    (count > 0).then(|| (own, Warning::new(WarningKind::SupplyRunsDry, text)))
}

/// Orders that a warning stops, and whether the scenario's own is one of them.
fn stopped(answer: &Orders) -> Option<(bool, Warning)> {
    let count = answer.orders.iter().filter(|s| s.stopped).count();
    let text = format!(
        "{count} of the orders end with a warning that stops the job, for instance a bleeder that does not run clean: `flush` the scenario in that order to read it"
    );
    let own = answer.own().is_some_and(|own| own.stopped);
    (count > 0).then(|| (own, Warning::new(WarningKind::NotToBeDoneAsWritten, text)))
}

fn draws(answer: &Orders) -> String {
    let Some(spreads) = answer.spreads.filter(|_| answer.draws > 0) else {
        return "No draws: this is one vehicle, with the middle of every spread. `--draws 200` compares the orders on 200 vehicles.".to_owned();
    };
    let whose = match spreads {
        Spreads::Stated => "the scenario's spreads",
        Spreads::Both => "the scenario's spreads, and the program's own where it states none",
        Spreads::Default => "the program's own spreads, since the scenario states none",
    };
    format!(
        "{} draws from {whose}, seed {}; every order meets the same draws.",
        answer.draws, answer.seed
    )
}
