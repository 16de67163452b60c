//! Layouts side by side, as a table and the sentences that it comes to.

use super::View;
use super::figures::{clock, degree, lasting, ml, name, percent, rounded, small, temperature};
use super::grid::{self, Grid, Set};
use crate::job::record::Warning;
use crate::job::shown::harmless;
use crate::study::layouts::{Layout, Layouts, Run, Span};
use crate::study::verdict::Difference;
use Set::{Figures, Words};

/// The whole report as text, styled as [`super::table::render`] does.
pub fn render(answer: &Layouts, view: View) -> String {
    let mut blocks = vec![cars(answer, view), orders(answer, view), sentences(answer, view)];
    let warnings = warnings(answer, view);
    if !warnings.is_empty() {
        blocks.push(warnings);
    }
    blocks.join("\n")
}

/// What each layout is called: its title, or its file where another has the same title.
fn label(answer: &Layouts, layout: &Layout) -> String {
    let alike = answer.layouts.iter().filter(|l| l.title == layout.title).count();
    name(if alike > 1 { &layout.file } else { &layout.title })
}

fn cars(answer: &Layouts, view: View) -> String {
    let mut grid = Grid::new(
        view.width,
        &[
            ("layout", Words),
            ("holds\nmL", Figures),
            ("bleeders", Figures),
            ("far wheel", Words),
            ("its path\nmL", Figures),
        ],
    );
    for l in &answer.layouts {
        grid.row([
            label(answer, l),
            rounded(l.capacity_ml, 0),
            l.bleeders.to_string(),
            name(&l.far_bleeder),
            ml(l.far_path_ml),
        ]);
    }
    grid::heading("Layouts") + &grid.text()
}

fn orders(answer: &Layouts, view: View) -> String {
    let boiling = format!("lowest boil-\ning pt, {}", degree(view.units));
    let mut grid = Grid::new(
        view.width,
        &[
            ("layout", Words),
            ("first", Words),
            ("drained\nmL", Figures),
            ("open\nmin:s", Figures),
            ("in the\nbay", Figures),
            ("old fluid\nleft, mL", Figures),
            ("\n%", Figures),
            (&boiling, Figures),
        ],
    );
    for l in &answer.layouts {
        for (first, run) in [("far", &l.far_first), ("near", &l.near_first)] {
            grid.row([
                if first == "far" { label(answer, l) } else { String::new() },
                first.to_owned(),
                ml(run.totals.drained_ml),
                clock(run.totals.flow_seconds),
                lasting(run.totals.bay_seconds),
                ml(run.left.old_ml),
                percent(run.left.old_fraction),
                temperature(run.left.lowest_boiling_c, view.units),
            ]);
        }
    }
    grid::heading("Far wheel first, near wheel first") + &grid.text()
}

fn sentences(answer: &Layouts, view: View) -> String {
    let mut out = String::new();
    if let Some(between) = &answer.between {
        let text = format!(
            "{} {}",
            of_span(answer, &between.drained, "drained", |r| r.totals.drained_ml),
            of_span(answer, &between.old_left, "old fluid left", |r| r.left.old_ml)
        );
        out.push_str(&grid::paragraph(&format!("Far wheel first: {text}"), view.width, 0));
    }
    out.push_str(&grid::paragraph(
        &of_order(answer, "drains", "fluid", |l| &l.drained),
        view.width,
        0,
    ));
    out.push_str(&grid::paragraph(
        &of_order(answer, "leaves", "old fluid", |l| &l.old_left),
        view.width,
        0,
    ));
    out
}

/// Where the layouts lie, as far as they can be told apart.
fn of_span(answer: &Layouts, span: &Span, what: &str, of: fn(&Run) -> f64) -> String {
    let figure = |i: usize| {
        let layout = &answer.layouts[i];
        format!("{} mL ({})", ml(of(&layout.far_first)), label(answer, layout))
    };
    if span.difference.told_apart() {
        format!(
            "{what} from {} to {}, a difference of {} mL.",
            figure(span.least),
            figure(span.most),
            ml(span.difference.ml)
        )
    } else {
        format!("the layouts are not told apart by what is {what}{}.", within(&span.difference))
    }
}

/// What near first changes, layout by layout.
fn of_order(answer: &Layouts, does: &str, what: &str, of: fn(&Layout) -> &Difference) -> String {
    let (apart, alike): (Vec<&Layout>, Vec<&Layout>) =
        answer.layouts.iter().partition(|l| of(l).told_apart());
    let names = |list: &[&Layout]| -> String {
        list.iter().map(|l| label(answer, l)).collect::<Vec<_>>().join("; ")
    };
    let mut said = Vec::new();
    if !apart.is_empty() {
        let each: Vec<String> = apart
            .iter()
            .map(|l| {
                let d = of(l).ml;
                let more = if d > 0.0 { "more" } else { "less" };
                format!("{} mL {more} ({})", ml(d.abs()), label(answer, l))
            })
            .collect();
        said.push(format!("Near wheel first {does} {}.", each.join(", ")));
    }
    match (apart.is_empty(), alike.as_slice()) {
        (_, []) => {}
        (true, all) => said.push(format!(
            "By the {what} it {does}, near wheel first is not told apart from far wheel first{}.",
            all.iter()
                .map(|l| of(l))
                .max_by(|a, b| a.unsure_ml.total_cmp(&b.unsure_ml))
                .map_or(String::new(), within)
        )),
        (false, some) => said.push(format!("Not told apart: {}.", names(some))),
    }
    said.join(" ")
}

/// How far the computation may be off.
fn within(difference: &Difference) -> String {
    match difference.unsure_ml.is_finite() {
        true => format!(" (within {} mL)", small(difference.unsure_ml)),
        false => " (the error of the computation was not estimated)".to_owned(),
    }
}

/// The warnings of all jobs, each with the layout and order it belongs to; empty if there are none.
pub fn warnings(answer: &Layouts, view: View) -> String {
    let mut all: Vec<Warning> = Vec::new();
    for l in &answer.layouts {
        let (far, near) = (&l.far_first.warnings, &l.near_first.warnings);
        let mut add = |w: &Warning, order: &str| {
            let text = format!("{} ({order}): {}", harmless(&l.file), w.text);
            all.push(Warning { text, ..w.clone() });
        };
        for w in far {
            add(w, if near.contains(w) { "either wheel first" } else { "far wheel first" });
        }
        for w in near.iter().filter(|w| !far.contains(w)) {
            add(w, "near wheel first");
        }
    }
    super::table::warnings(&all, view)
}
