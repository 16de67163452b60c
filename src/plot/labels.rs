//! Finds places for labels: apart from each other, and clear of the lines they name.

use super::canvas::Place;

/// Middles of labels (middle wanted, width), moved so that none overlap and all lie between two
/// ends; `None` if they do not fit.
pub(super) fn apart(labels: &[(f64, f64)], low: f64, high: f64) -> Option<Vec<f64>> {
    const AIR: f64 = 10.0;
    let mut order: Vec<usize> = (0..labels.len()).collect();
    order.sort_by(|a, b| labels[*a].0.total_cmp(&labels[*b].0));
    let mut places = vec![0.0; labels.len()];
    let mut edge = low;
    for i in &order {
        let (wanted, wide) = labels[*i];
        places[*i] = wanted.max(edge + 0.5 * wide);
        edge = places[*i] + 0.5 * wide + AIR;
    }
    let mut edge = high;
    for i in order.iter().rev() {
        let wide = labels[*i].1;
        places[*i] = f64::min(places[*i], edge - 0.5 * wide);
        edge = places[*i] - 0.5 * wide - AIR;
    }
    (edge + AIR >= low - 1e-9).then_some(places)
}

/// A box: left, top, right, bottom.
type Area = (f64, f64, f64, f64);

/// Middles of labels, each beside the path that it names (index of the path, width, height) and inside
/// the frame: where the label covers the least of paths, other labels and hairlines.
pub(super) fn beside(
    paths: &[Vec<Place>],
    labels: &[(usize, f64, f64)],
    frame: (Place, Place),
    hairs: &[f64],
) -> Vec<Place> {
    let mut taken: Vec<Area> = Vec::new();
    let mut places = Vec::new();
    for (own, wide, high) in labels {
        let mut best = ((frame.0.0, frame.0.1), f64::INFINITY);
        for at in candidates(&paths[*own], *wide, *high, frame) {
            let area = (
                at.0 - 0.5 * wide,
                at.1 - 0.5 * high,
                at.0 + 0.5 * wide,
                at.1 + 0.5 * high,
            );
            let crossed: f64 = paths.iter().map(|p| inside(p, area)).sum();
            let covered = taken.iter().filter(|t| overlap(**t, area)).count() as f64;
            let hair = hairs
                .iter()
                .filter(|y| (**y - at.1).abs() < 0.4 * high)
                .count() as f64;
            let cost = 10.0 * crossed + 10_000.0 * covered + 20.0 * hair;
            if cost < best.1 {
                best = (at, cost);
            }
        }
        let at = best.0;
        taken.push((
            at.0 - 0.5 * wide,
            at.1 - 0.5 * high,
            at.0 + 0.5 * wide,
            at.1 + 0.5 * high,
        ));
        places.push(at);
    }
    places
}

/// Places above and below the path, from its end to its start, nearest first.
fn candidates(path: &[Place], wide: f64, high: f64, frame: (Place, Place)) -> Vec<Place> {
    let ((left, top), (right, bottom)) = frame;
    let mut found = Vec::new();
    for away in [0.75, 1.0, 1.4, 2.0] {
        for step in 0..=24 {
            let x = right - 4.0 - 0.5 * wide - (right - left - wide - 8.0) * f64::from(step) / 24.0;
            let near = path
                .iter()
                .min_by(|a, b| (a.0 - x).abs().total_cmp(&(b.0 - x).abs()));
            for side in [-1.0, 1.0] {
                let y = near.map_or(top, |p| p.1) + side * away * high;
                if y - 0.5 * high >= top && y + 0.5 * high <= bottom {
                    found.push((x, y));
                }
            }
        }
    }
    found
}

/// Length of the path inside the area, roughly.
fn inside(path: &[Place], area: Area) -> f64 {
    let mut length = 0.0;
    for pair in path.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        let whole = (to.0 - from.0).hypot(to.1 - from.1);
        let pieces = (whole / 4.0).ceil().max(1.0);
        let mut done = 0.5;
        while done < pieces {
            let share = done / pieces;
            let (x, y) = (
                from.0 + share * (to.0 - from.0),
                from.1 + share * (to.1 - from.1),
            );
            if x > area.0 && x < area.2 && y > area.1 && y < area.3 {
                length += whole / pieces;
            }
            done += 1.0;
        }
    }
    length
}

fn overlap(a: Area, b: Area) -> bool {
    a.0 < b.2 && b.0 < a.2 && a.1 < b.3 && b.1 < a.3
}
