//! All pipes on the grid: where they run, and as long as what they hold.

use super::block::Block;
use super::grid::{Cell, Grid, Path};
use super::net::Net;
use super::pipe::{Course, clash};
use crate::sorting;

/// Runs that are routed; all others lie apart.
const MOST_ROUTED: usize = 60;

/// Which runs take their room first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Manner {
    /// All the shortest way, near ones first; then detours, the longest first.
    WaysFirst,
    /// One after another with its detour, first those that lack most: the others go round or beneath.
    DetoursFirst,
}

/// Courses by run; `None`: there was no way, or it is not asked for. All or nothing: it gives up at the first of them.
pub(super) fn route(
    net: &Net,
    length: &dyn Fn(usize) -> f64,
    blocks: &mut [Option<Block>],
    grid: &mut Grid,
    (manner, all_or_nothing): (Manner, bool),
    not_these: &[usize],
) -> Vec<Option<Course>> {
    let mut ports: Vec<_> =
        blocks.iter().map(|b| b.as_ref().map_or_else(Vec::new, |b| b.ports(grid))).collect();
    let reached: Vec<Cell> = ports.iter().flatten().map(|p| p.cell).collect();
    let wanted = |grid: &mut Grid, to: bool| {
        for cell in &reached {
            grid.change(*cell, |on| on.wanted = to);
        }
    };
    wanted(grid, true);
    let mut order = order(net, length, blocks, manner);
    order.retain(|r| !not_these.contains(r));
    let mut paths: Vec<Option<Path>> = vec![None; net.runs.len()];
    let mut courses: Vec<Option<Course>> = vec![None; net.runs.len()];
    for (rank, r) in order.iter().enumerate() {
        let [a, b] = net.runs[*r].ends;
        // A pipe that begins and ends at one corner of a block has no room there.
        let way = grid.route(&ports[a], &ports[b]);
        let way = way.filter(|(start, _, end)| a != b || !clash(start, end));
        if let Some((start, cells, end)) = way {
            for (v, taken) in [(a, start), (b, end)] {
                ports[v].retain(|p| *p == taken || !clash(p, &taken));
            }
            let path = Path { start, cells, end };
            grid.take(rank, &path);
            if manner == Manner::DetoursFirst {
                courses[*r] = fit(path, (rank, length(*r)), &mut blocks[b], grid);
            } else {
                paths[*r] = Some(path);
            }
        }
        if all_or_nothing && paths[*r].is_none() && courses[*r].is_none() {
            return courses;
        }
    }
    wanted(grid, false);
    let mut ranks: Vec<usize> = (0..order.len()).collect();
    sorting::by(&mut ranks, |a, b| length(order[*b]).total_cmp(&length(order[*a])));
    for rank in ranks {
        let r = order[rank];
        let Some(path) = paths[r].take() else { continue };
        courses[r] = fit(path, (rank, length(r)), &mut blocks[net.runs[r].ends[1]], grid);
        if all_or_nothing && courses[r].is_none() {
            return courses;
        }
    }
    courses
}

/// In which order they are routed: pipes before what only joins.
fn order(
    net: &Net,
    length: &dyn Fn(usize) -> f64,
    blocks: &[Option<Block>],
    manner: Manner,
) -> Vec<usize> {
    let mut order: Vec<usize> = (0..net.runs.len()).collect();
    order.sort_by_cached_key(|r| {
        let run = &net.runs[*r];
        let centre = |v: usize| blocks[v].as_ref().map_or((0.0, 0.0), Block::centre);
        let (a, b) = (centre(run.ends[0]), centre(run.ends[1]));
        let far = (a.0 - b.0).abs() + (a.1 - b.1).abs();
        let first = if manner == Manner::WaysFirst { far } else { far - length(*r) };
        (run.parts.is_empty(), first as i64, *r)
    });
    order.truncate(MOST_ROUTED);
    order
}

/// A way with detours until its pipe has room; the rest the block at its end makes good, which stands farther away.
fn fit(
    mut path: Path,
    (rank, length): (usize, f64),
    end: &mut Option<Block>,
    grid: &mut Grid,
) -> Option<Course> {
    let slack = end.as_ref().map_or(0.0, |b| b.slack);
    loop {
        let beneath = path.crossings(grid, |other| other < rank);
        let lacks = length - Course::new(&path, 0.0, &beneath).room();
        if lacks <= slack {
            let longer = lacks.max(0.0);
            if let Some(block) = end.as_mut().filter(|_| longer > 0.0) {
                block.shift(longer);
            }
            return Some(Course::new(&path, longer, &beneath));
        }
        if !path.lengthen(grid, rank) {
            return None;
        }
    }
}
