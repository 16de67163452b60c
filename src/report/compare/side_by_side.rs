//! Several cars side by side: who takes most, what the order changes, one row a car.

use crate::report::View;
use crate::report::figures::{minutes, percent, rounded};
use crate::report::grid::{self, Grid, Set};
use crate::study::layouts::{Layout, Layouts, Run, Span};
use Set::{Figures, Words};

/// Its pieces.
pub(super) fn blocks(answer: &Layouts, view: View) -> Vec<String> {
    let said: String = [left(answer), by_order(answer)]
        .iter()
        .flatten()
        .map(|s| grid::paragraph(s, view.width, 0))
        .collect();
    vec![grid::verdict(&verdict(answer), view.width) + &said, table(answer, view)]
}

fn ml(x: f64) -> String {
    rounded(x, 0)
}

fn called(answer: &Layouts, layout: &Layout) -> String {
    fn names(l: &Layout) -> [&str; 2] {
        [&l.title, &l.file]
    }
    super::called(names(layout), answer.layouts.iter().map(names))
}

fn of(answer: &Layouts, i: usize) -> String {
    called(answer, &answer.layouts[i])
}

fn verdict(answer: &Layouts) -> String {
    let count = answer.layouts.len();
    match &answer.between {
        None => format!("{count} cars, of which no two can be compared: see the warnings below"),
        Some(b) if !b.fluid.difference.told_apart() => {
            format!("All {count} take as much new fluid")
        }
        Some(b) => {
            let Span { least, most, difference, share } = &b.fluid;
            let (most, least) = (of(answer, *most), of(answer, *least));
            let more = ml(difference.ml);
            format!(
                "Most new fluid: {most}; least: {least}; {more} mL or {} % between them",
                percent(*share)
            )
        }
    }
}

fn left(answer: &Layouts) -> Option<String> {
    let Span { least, most, difference, share } = &answer.between.as_ref()?.old_left;
    let figure = |i: usize| {
        format!("{} ({} mL)", of(answer, i), ml(answer.layouts[i].far_first.left.old_ml))
    };
    Some(match difference.told_apart() {
        true => format!(
            "Most old fluid stays in {}, least in {}: {} mL or {} % more.",
            figure(*most),
            figure(*least),
            ml(difference.ml),
            percent(*share)
        ),
        false => "As much old fluid stays in each.".to_owned(),
    })
}

fn by_order(answer: &Layouts) -> Option<String> {
    let most = answer.by_order?;
    let changed = answer.layouts[most.layout].fluid.ml.abs();
    Some(format!(
        "Near wheel first instead of far changes the fluid by {} % at most, {} mL ({}).",
        percent(most.share),
        ml(changed),
        of(answer, most.layout)
    ))
}

fn table(answer: &Layouts, view: View) -> String {
    let mut grid = Grid::new(
        view.width,
        &[
            ("far wheel first", Words),
            ("takes\nmL", Figures),
            ("leaves\nold, mL", Figures),
            ("\n%", Figures),
            ("in the\nbay", Figures),
            ("near first\ntakes", Figures),
            ("leaves", Figures),
        ],
    );
    for l in &answer.layouts {
        let (far, near) = (&l.far_first, &l.near_first);
        let more = |of: fn(&Run) -> f64, digits: usize| match of(near) - of(far) {
            x if rounded(x.abs(), digits) == rounded(0.0, digits) => "the same".to_owned(),
            x if x > 0.0 => format!("+{}", rounded(x, digits)),
            x => rounded(x, digits),
        };
        grid.row([
            called(answer, l),
            ml(far.totals.new_fluid_ml),
            ml(far.left.old_ml),
            percent(far.left.old_fraction),
            minutes(far.totals.bay_seconds),
            more(|r| r.totals.new_fluid_ml, 0),
            more(|r| r.left.old_ml, 1),
        ]);
    }
    let how = "Near first: mL more or less than far first.";
    grid.text() + &grid::paragraph(how, view.width, 0)
}
