//! How the ways are laid out: every way a strip, one below the other, what several share drawn once.

use crate::job::film::{Film, Way};
use serde::Serialize;

/// A part in a row.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct Piece {
    /// Index of the part.
    pub part: usize,
    /// Where it begins, mL from the reservoir's outlet.
    pub x: f64,
}

/// Where a bleeder sits in a row.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct End {
    /// Index of the way.
    pub way: usize,
    /// Where, mL from the reservoir's outlet.
    pub x: f64,
}

/// A strip.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct Row {
    /// The row it branches off from; `None` for one that comes from the reservoir.
    pub from: Option<usize>,
    /// Where it begins, mL from the reservoir's outlet.
    pub x: f64,
    /// Its parts in turn.
    pub pieces: Vec<Piece>,
    /// Bleeders on it.
    pub ends: Vec<End>,
}

/// The strips, longest branch first.
pub(super) fn lay_out(film: &Film) -> Vec<Row> {
    let mut rows = Vec::new();
    let all: Vec<usize> = (0..film.ways.len()).collect();
    for branch in branches(film, &all, 0) {
        rows.push(Row { from: None, x: 0.0, pieces: Vec::new(), ends: Vec::new() });
        let row = rows.len() - 1;
        follow(film, &branch, 0, row, 0.0, &mut rows);
    }
    rows
}

/// Goes along what the ways of `group` share from their `depth`-th part on.
fn follow(film: &Film, group: &[usize], depth: usize, row: usize, x: f64, rows: &mut Vec<Row>) {
    let (mut depth, mut x) = (depth, x);
    loop {
        let ends = group.iter().filter(|&&way| film.ways[way].parts.len() == depth);
        rows[row].ends.extend(ends.map(|&way| End { way, x }));
        let branches = branches(film, group, depth);
        match branches.as_slice() {
            [] => return,
            [only] if only.len() == group.len() => {
                let part = film.ways[only[0]].parts[depth];
                rows[row].pieces.push(Piece { part, x });
                x += film.parts[part].volume_ml;
                depth += 1;
            }
            [first, others @ ..] => {
                follow_branch(film, first, depth, row, x, rows);
                for branch in others {
                    rows.push(Row { from: Some(row), x, pieces: Vec::new(), ends: Vec::new() });
                    let below = rows.len() - 1;
                    follow_branch(film, branch, depth, below, x, rows);
                }
                return;
            }
        }
    }
}

/// Takes the next part, which all ways of the branch share, and goes on.
fn follow_branch(
    film: &Film,
    branch: &[usize],
    depth: usize,
    row: usize,
    x: f64,
    rows: &mut Vec<Row>,
) {
    let part = film.ways[branch[0]].parts[depth];
    rows[row].pieces.push(Piece { part, x });
    follow(film, branch, depth + 1, row, x + film.parts[part].volume_ml, rows);
}

/// The ways of `group` by their `depth`-th part, the branch with the longest way first.
fn branches(film: &Film, group: &[usize], depth: usize) -> Vec<Vec<usize>> {
    let mut branches: Vec<(usize, Vec<usize>)> = Vec::new();
    for &way in group {
        let Some(&part) = film.ways[way].parts.get(depth) else { continue };
        match branches.iter_mut().find(|b| b.0 == part) {
            Some(branch) => branch.1.push(way),
            None => branches.push((part, vec![way])),
        }
    }
    let length = |way: &Way| way.parts.iter().map(|&p| film.parts[p].volume_ml).sum::<f64>();
    let longest = |b: &[usize]| b.iter().map(|&w| length(&film.ways[w])).fold(0.0, f64::max);
    branches.sort_by(|a, b| longest(&b.1).total_cmp(&longest(&a.1)));
    branches.into_iter().map(|b| b.1).collect()
}

/// Parts that lie on no way.
pub(super) fn beside(film: &Film) -> Vec<usize> {
    let on_a_way = |part: &usize| film.ways.iter().any(|w| w.parts.contains(part));
    (0..film.parts.len()).filter(|part| !on_a_way(part)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::film::FilmPart;

    fn film(ways: &[(&str, &[usize])]) -> Film {
        let part = |i| FilmPart {
            name: format!("part {i}"),
            kind: "line",
            volume_ml: 10.0 + i as f64,
            cells: 1,
            first: i,
        };
        let way = |(bleeder, parts): &(&str, &[usize])| Way {
            bleeder: (*bleeder).to_owned(),
            parts: parts.to_vec(),
        };
        Film {
            parts: (0..6).map(part).collect(),
            ways: ways.iter().map(way).collect(),
            brim_ml: 100.0,
            frames: Vec::new(),
        }
    }

    #[test]
    fn what_two_ways_share_is_drawn_once() {
        let rows = lay_out(&film(&[("near", &[0, 1]), ("far", &[0, 2, 3]), ("alone", &[4])]));
        let parts = |row: &Row| row.pieces.iter().map(|p| p.part).collect::<Vec<_>>();
        assert_eq!(rows.iter().map(parts).collect::<Vec<_>>(), [vec![0, 2, 3], vec![1], vec![4]]);
        assert_eq!((rows[1].from, rows[1].x, rows[1].pieces[0].x), (Some(0), 10.0, 10.0));
        assert_eq!(rows[0].ends, [End { way: 1, x: 10.0 + 12.0 + 13.0 }]);
        assert_eq!((rows[2].from, rows[2].ends[0].way), (None, 2));
    }

    #[test]
    fn a_bleeder_may_sit_half_way() {
        let film = film(&[("inner", &[0, 1]), ("outer", &[0, 1, 2])]);
        let rows = lay_out(&film);
        assert_eq!(rows.len(), 1);
        assert_eq!(rows[0].ends, [End { way: 0, x: 21.0 }, End { way: 1, x: 33.0 }]);
        assert_eq!(beside(&film), [3, 4, 5]);
    }
}
