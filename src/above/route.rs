//! All pipes on the grid: first where they run, then as long as what they hold.

use super::block::Block;
use super::grid::{Grid, Path};
use super::net::Net;
use super::pipe::Course;

/// Runs that are routed; all others lie apart.
const MOST_ROUTED: usize = 60;

/// Courses by run; `None`: there was no way.
pub(super) fn route(
    net: &Net,
    length: &dyn Fn(usize) -> f64,
    blocks: &mut [Option<Block>],
    grid: &mut Grid,
) -> Vec<Option<Course>> {
    let ports: Vec<_> =
        blocks.iter().map(|b| b.as_ref().map_or_else(Vec::new, |b| b.ports(grid))).collect();
    let wanted = |grid: &mut Grid, to: bool| {
        for port in ports.iter().flatten() {
            grid.change(port.cell, |on| on.wanted = to);
        }
    };
    wanted(grid, true);
    let mut order: Vec<usize> = (0..net.runs.len()).collect();
    // Short ways first, and pipes before what only joins.
    order.sort_by_cached_key(|r| {
        let run = &net.runs[*r];
        let centre = |v: usize| blocks[v].as_ref().map_or((0.0, 0.0), Block::centre);
        let (a, b) = (centre(run.ends[0]), centre(run.ends[1]));
        (run.parts.is_empty(), ((a.0 - b.0).abs() + (a.1 - b.1).abs()) as i64, *r)
    });
    order.truncate(MOST_ROUTED);
    let mut paths: Vec<Option<Path>> = vec![None; net.runs.len()];
    for (rank, r) in order.iter().enumerate() {
        let [a, b] = net.runs[*r].ends;
        if let Some((start, cells, end)) = grid.route(&ports[a], &ports[b]) {
            let path = Path { start, cells, end };
            grid.take(rank, &path);
            paths[*r] = Some(path);
        }
    }
    wanted(grid, false);
    let mut courses: Vec<Option<Course>> = vec![None; net.runs.len()];
    // The longest first: they need room.
    let mut ranks: Vec<usize> = (0..order.len()).collect();
    ranks.sort_by(|a, b| length(order[*b]).total_cmp(&length(order[*a])));
    for rank in ranks {
        let r = order[rank];
        let Some(path) = &mut paths[r] else { continue };
        let end = blocks[net.runs[r].ends[1]].as_mut();
        let slack = end.as_ref().map_or(0.0, |b| b.slack);
        let needed = length(r);
        loop {
            let course = Course::new(path, 0.0, &path.crossings(grid, |other| other < rank));
            let lacks = needed - course.room();
            if lacks <= slack {
                let longer = lacks.max(0.0);
                if let Some(block) = end.filter(|_| longer > 0.0) {
                    block.shift(longer);
                }
                let beneath = path.crossings(grid, |other| other < rank);
                courses[r] = Some(Course::new(path, longer, &beneath));
                break;
            }
            if !path.lengthen(grid, rank) {
                break;
            }
        }
    }
    courses
}
