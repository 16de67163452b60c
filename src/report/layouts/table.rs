//! Layouts side by side, as a table and the sentences that it comes to.

use crate::harmless;
use crate::job::record::{Warning, with_set};
use crate::report::View;
use crate::report::figures::{
    clock, degree, lasting, ml, name, percent, rounded, small, temperature,
};
use crate::report::grid::{self, Grid, Set};
use crate::study::difference::Difference;
use crate::study::layouts::{Layout, Layouts, Run, Span};
use Set::{Figures, Words};

/// Its pieces.
pub(in crate::report) fn blocks(answer: &Layouts, view: View) -> Vec<String> {
    let mut blocks = vec![cars(answer, view), orders(answer, view), sentences(answer, view)];
    if answer.partial {
        let text = "PARTIAL: interrupted; unfinished layouts are left out.";
        blocks.insert(0, format!("{}\n", grid::alarm(text)));
    }
    if let Some(set) = each_with_set(answer) {
        blocks.insert(0, grid::paragraph(&set, view.width, 0));
    }
    blocks
}

/// What was set in the layouts, all of them alike or one by one.
fn each_with_set(answer: &Layouts) -> Option<String> {
    let layouts = &answer.layouts;
    let set = |l: &Layout| with_set(&l.set);
    if layouts.iter().all(|l| l.set == layouts[0].set) {
        return set(layouts.first()?).map(|set| format!("Each {set}."));
    }
    let one = |l: &Layout| set(l).map(|set| format!("{} {set}.", label(answer, l)));
    Some(layouts.iter().filter_map(one).collect::<Vec<_>>().join(" "))
}

/// What each layout is called: its title, or its file where another has the same title.
pub(in crate::report) fn label(answer: &Layouts, layout: &Layout) -> String {
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
    let boiling = format!("boils\nfrom, {}", degree(view.units));
    let mut grid = Grid::new(
        view.width,
        &[
            ("layout", Words),
            ("first", Words),
            ("drained\nmL", Figures),
            ("takes\nmL", Figures),
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
                ml(run.totals.new_fluid_ml),
                clock(run.totals.flow_seconds),
                lasting(run.totals.bay_seconds),
                ml(run.left.old_ml),
                percent(run.left.old_fraction),
                temperature(run.left.lowest_boiling_c, view.units),
            ]);
        }
    }
    grid::heading("Far wheel first, near wheel first")
        + &grid.text()
        + &grid::paragraph(grid::TAKES, view.width, 0)
}

fn sentences(answer: &Layouts, view: View) -> String {
    let mut said = Vec::new();
    if let Some(between) = &answer.between {
        said.push(of_span(answer, &between.fluid, "the new fluid used", |r| r.totals.new_fluid_ml));
        said.push(of_span(answer, &between.old_left, "the old fluid left", |r| r.left.old_ml));
    }
    if let Some(most) = answer.by_order {
        said.push(format!(
            "Within a layout, the order changes the new fluid used by up to {} % ({}).",
            percent(most.share),
            label(answer, &answer.layouts[most.layout])
        ));
    }
    said.push(of_order(answer, "takes", "the new fluid used", |l| &l.fluid));
    said.push(of_order(answer, "leaves", "the old fluid left", |l| &l.old_left));
    grid::heading("What it comes to")
        + &said.iter().map(|s| grid::paragraph(s, view.width, 0)).collect::<String>()
}

/// Where the layouts lie, as far as they can be told apart.
fn of_span(answer: &Layouts, span: &Span, what: &str, of: fn(&Run) -> f64) -> String {
    let figure = |i: usize| {
        let layout = &answer.layouts[i];
        format!("{} mL ({})", ml(of(&layout.far_first)), label(answer, layout))
    };
    if span.difference.told_apart() {
        format!(
            "Between the layouts, far wheel first, {what} differs by up to {} mL or {} %: from {} to {}.",
            ml(span.difference.ml),
            percent(span.share),
            figure(span.least),
            figure(span.most)
        )
    } else {
        format!(
            "The layouts, far wheel first, are not told apart by {what}{}.",
            within(&span.difference)
        )
    }
}

/// What near first changes, layout by layout.
fn of_order(answer: &Layouts, does: &str, what: &str, of: fn(&Layout) -> &Difference) -> String {
    let (apart, alike): (Vec<&Layout>, Vec<&Layout>) =
        answer.layouts.iter().partition(|l| of(l).told_apart());
    let mut said = Vec::new();
    if !apart.is_empty() {
        let each: Vec<String> = apart
            .iter()
            .map(|l| {
                let more = if of(l).ml > 0.0 { "more" } else { "less" };
                format!("{} mL {more} ({})", ml(of(l).ml.abs()), label(answer, l))
            })
            .collect();
        said.push(format!("Near wheel first {does} {}.", each.join(", ")));
    }
    let least_sure = alike.iter().map(|l| of(l)).max_by(|a, b| a.unsure_ml.total_cmp(&b.unsure_ml));
    if let Some(least_sure) = least_sure {
        let whole = apart.is_empty();
        let names: Vec<String> = alike.iter().map(|l| label(answer, l)).collect();
        said.push(format!(
            "{}not told apart by {what}{}.",
            if whole {
                "Near wheel first and far wheel first are ".to_owned()
            } else {
                format!("The two orders of {} are ", names.join(", "))
            },
            within(least_sure)
        ));
    }
    said.join(" ")
}

/// How far the computation may be off.
fn within(difference: &Difference) -> String {
    match difference.unsure_ml.is_finite() {
        true => format!(" (within {} mL)", small(difference.unsure_ml)),
        false => {
            " (a job that had to be stopped, or of which the error is not known, tells nothing)"
                .to_owned()
        }
    }
}

/// The warnings of all jobs, each with the layout and order it belongs to; empty if there are none.
pub(in crate::report) fn warnings(answer: &Layouts, view: View) -> String {
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
    crate::report::warnings(&all, view)
}
