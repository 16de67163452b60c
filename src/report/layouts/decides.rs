//! What decides on one car, on one axis: millilitres of fluid used.

use crate::harmless;
use crate::report::View;
use crate::report::figures::{capital, rounded};
use crate::report::grid::{self, Grid, Set};
use crate::study::decides::{Decides, End, Lever, ORDER};
use Set::{Figures, Words};

/// Its pieces.
pub(super) fn blocks(decides: &Decides, view: View) -> Vec<String> {
    vec![verdict(decides, view), table(decides, view)]
}

/// What is looked at: fluid used or, where millilitres are counted, old fluid left.
fn moved(decides: &Decides, l: &Lever) -> f64 {
    if decides.counted { l.old_left_ml } else { l.fluid_ml }
}

fn verdict(decides: &Decides, view: View) -> String {
    let Some(first) = decides.levers.first() else {
        return grid::verdict("Nothing that was tried changes this job", view.width);
    };
    let (of, at): (&str, fn(&End) -> f64) = match decides.counted {
        true => ("old fluid left", |e| e.old_left_ml),
        false => ("fluid used", |e| e.fluid_ml),
    };
    let by = ml(moved(decides, first));
    let verdict = format!("{} decides: {by} mL of {of}", capital(first.what));
    let mut said = vec![format!(
        "From {} mL ({}) to {} mL ({}); as it is, {} mL.",
        ml(at(&first.least)),
        first.least.at,
        ml(at(&first.most)),
        first.most.at,
        ml(at(&decides.own))
    )];
    said.extend(beside_the_order(decides, first));
    grid::verdict(&verdict, view.width) + &grid::paragraph(&said.join(" "), view.width, 0)
}

/// What the order is worth beside what decides.
fn beside_the_order(decides: &Decides, first: &Lever) -> Option<String> {
    let order = decides.levers.iter().find(|l| l.what == ORDER)?;
    if first.what == ORDER {
        return Some("Nothing else that was tried is worth more.".to_owned());
    }
    Some(format!(
        "The order of the bleeders is worth {} mL from best to worst.",
        ml(moved(decides, order))
    ))
}

fn ml(x: f64) -> String {
    rounded(x, 0)
}

fn table(decides: &Decides, view: View) -> String {
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
    let at = |e: &End| if decides.counted { e.old_left_ml } else { e.fluid_ml };
    for l in &decides.levers {
        grid.row([
            l.what.to_owned(),
            ml(at(&l.least)),
            l.least.at.clone(),
            ml(at(&l.most)),
            l.most.at.clone(),
            ml(l.fluid_ml),
            ml(l.old_left_ml),
        ]);
    }
    let how = "Each from one end of what is usual to the other, all else as it is: fluid used (where millilitres are counted, old fluid left), and by how much both differ.";
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
    grid.text() + &grid::paragraph(how, view.width, 0) + &stopped
}
