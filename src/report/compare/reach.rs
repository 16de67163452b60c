//! What each opening reaches: shares of the old fluid that stood in each part.

use crate::harmless;
use crate::report::View;
use crate::report::figures::{name, rounded};
use crate::report::grid::{self, Grid, Set};
use crate::study::reach::{Opened, PartReach, Reach};
use Set::{Figures, Words};

/// Openings that find room side by side.
const MOST: usize = 8;

/// A row a part, a column an opening.
pub(super) fn table(reach: &Reach, view: View) -> String {
    let shown = &reach.openings[..reach.openings.len().min(MOST)];
    let otherwise = reach.parts.iter().any(|p| p.moved_otherwise.abs() > 5e-3);
    let heads: Vec<String> = shown.iter().map(head).collect();
    let mut columns = vec![("part", Words), ("old\nmL", Figures)];
    columns.extend(heads.iter().map(|h| (h.as_str(), Figures)));
    columns.extend(otherwise.then_some(("other\nsteps", Figures)));
    columns.push(("left\n%", Figures));
    let mut grid = Grid::new(view.width, &columns);
    for p in &reach.parts {
        let mut row = vec![name(&p.part), rounded(p.old_ml, 1)];
        row.extend((0..shown.len()).map(|i| cell(p, i)));
        row.extend(otherwise.then(|| rounded(100.0 * p.moved_otherwise, 0)));
        row.push(rounded(100.0 * p.left, 0));
        grid.row(row);
    }
    let mut how = "Share of the part's old fluid, %, that each opening moves on; a dash where none can be moved, since nothing runs through the part to what is opened.".to_owned();
    let trapped: Vec<String> =
        reach.parts.iter().filter(|p| p.trapped()).map(|p| name(&p.part)).collect();
    if !trapped.is_empty() {
        how += &format!(" No opening reaches {}.", trapped.join(", "));
    }
    if reach.openings.len() > MOST {
        how += &format!(" {} openings more: see the JSON.", reach.openings.len() - MOST);
    }
    grid::heading("What each opening reaches")
        + &grid.text()
        + &grid::paragraph(&how, view.width, 0)
}

fn head(opened: &Opened) -> String {
    const LONGEST: usize = 12;
    let names = harmless(&opened.bleeders.join("+"));
    let short: String = names.chars().take(LONGEST).collect();
    let again = if opened.pass > 1 { format!("\npass {}", opened.pass) } else { String::new() };
    short + &again
}

fn cell(p: &PartReach, i: usize) -> String {
    if p.reached[i] { rounded(100.0 * p.moved[i], 0) } else { "–".to_owned() }
}
