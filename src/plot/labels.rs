//! Finds places for labels: apart from each other, and clear of the lines they name.

use super::canvas::Spot;
use crate::portable;

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
/// the frame: where the labels cover the least of paths, one another and hairlines. Both orders of placing
/// them are tried.
pub(super) fn beside(
    paths: &[Vec<Spot>],
    labels: &[(usize, f64, f64)],
    frame: (Spot, Spot),
    hairs: &[f64],
) -> Vec<Spot> {
    let forward = in_turn(paths, labels, frame, hairs);
    let backward: Vec<_> = labels.iter().rev().copied().collect();
    let mut backward = in_turn(paths, &backward, frame, hairs);
    backward.0.reverse();
    if backward.1 < forward.1 { backward.0 } else { forward.0 }
}

/// Places one label after another; also gives the sum of what the places cost.
fn in_turn(
    paths: &[Vec<Spot>],
    labels: &[(usize, f64, f64)],
    frame: (Spot, Spot),
    hairs: &[f64],
) -> (Vec<Spot>, f64) {
    let mut taken: Vec<Area> = Vec::new();
    let mut places = Vec::new();
    let mut sum = 0.0;
    for &(own, wide, high) in labels {
        // Where nothing is found, in the frame's upper left corner.
        let mut best = ((frame.0.0 + 0.5 * wide, frame.0.1 + 0.5 * high), f64::INFINITY);
        for (at, away) in candidates(&paths[own], wide, high, frame) {
            let area = around(at, wide, high);
            let crossed: f64 = paths.iter().map(|p| inside(p, area)).sum();
            let covered = taken.iter().filter(|t| overlap(**t, area)).count() as f64;
            let hair = hairs.iter().filter(|y| (**y - at.1).abs() < 0.4 * high).count() as f64;
            let cost = 10.0 * crossed + 10_000.0 * covered + 20.0 * hair + 60.0 * away;
            if cost < best.1 {
                best = (at, cost);
            }
        }
        taken.push(around(best.0, wide, high));
        places.push(best.0);
        sum += best.1;
    }
    (places, sum)
}

fn around(at: Spot, wide: f64, high: f64) -> Area {
    (at.0 - 0.5 * wide, at.1 - 0.5 * high, at.0 + 0.5 * wide, at.1 + 0.5 * high)
}

/// Places above and below what of the path lies over or under the label, from its end to its start, each
/// with its distance in heights of the label.
fn candidates(path: &[Spot], wide: f64, high: f64, frame: (Spot, Spot)) -> Vec<(Spot, f64)> {
    let ((left, top), (right, bottom)) = frame;
    let mut found = Vec::new();
    for away in [0.6, 0.9, 1.4, 2.0] {
        for step in 0..=24 {
            let x = right - 4.0 - 0.5 * wide - (right - left - wide - 8.0) * f64::from(step) / 24.0;
            let Some((upper, lower)) = extent(path, x - 0.5 * wide, x + 0.5 * wide) else {
                continue;
            };
            for y in [upper - away * high, lower + away * high] {
                if y - 0.5 * high >= top && y + 0.5 * high <= bottom {
                    found.push(((x, y), away));
                }
            }
        }
    }
    found
}

/// Highest and lowest place of the path between two verticals; `None` if it does not pass there.
fn extent(path: &[Spot], left: f64, right: f64) -> Option<(f64, f64)> {
    let mut heights = Vec::new();
    for pair in path.windows(2) {
        let (from, to) =
            if pair[0].0 <= pair[1].0 { (pair[0], pair[1]) } else { (pair[1], pair[0]) };
        if to.0 < left || from.0 > right {
            continue;
        }
        let at = |x: f64| {
            let share =
                if to.0 > from.0 { ((x - from.0) / (to.0 - from.0)).clamp(0.0, 1.0) } else { 0.0 };
            from.1 + share * (to.1 - from.1)
        };
        heights.extend([at(left), at(right)]);
    }
    let upper = heights.iter().copied().reduce(f64::min)?;
    let lower = heights.iter().copied().reduce(f64::max)?;
    Some((upper, lower))
}

/// Length of the path inside the area, roughly.
fn inside(path: &[Spot], area: Area) -> f64 {
    let mut length = 0.0;
    for pair in path.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        let whole = portable::hypot(to.0 - from.0, to.1 - from.1);
        let pieces = (whole / 4.0).ceil().max(1.0);
        let mut done = 0.5;
        while done < pieces {
            let share = done / pieces;
            let (x, y) = (from.0 + share * (to.0 - from.0), from.1 + share * (to.1 - from.1));
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_are_pushed_apart_and_keep_their_order() {
        let places = apart(&[(50.0, 40.0), (55.0, 40.0), (300.0, 40.0)], 0.0, 320.0)
            .expect("room for three");
        assert!(
            places[1] - places[0] >= 40.0 && places[2] <= 300.0 && places[0] >= 20.0,
            "{places:?}"
        );
        assert_eq!(apart(&[(50.0, 200.0), (55.0, 200.0)], 0.0, 320.0), None);
    }

    #[test]
    fn a_label_finds_the_free_side_of_its_line() {
        // A line falling from corner to corner leaves room at the upper right and lower left.
        let path = vec![(0.0, 0.0), (400.0, 400.0)];
        let at = beside(
            std::slice::from_ref(&path),
            &[(0, 100.0, 20.0)],
            ((0.0, 0.0), (400.0, 400.0)),
            &[],
        )[0];
        assert_eq!(inside(&path, around(at, 100.0, 20.0)), 0.0, "{at:?}");
    }

    #[test]
    fn two_labels_do_not_cover_each_other() {
        let paths = [vec![(0.0, 100.0), (400.0, 100.0)], vec![(0.0, 110.0), (400.0, 110.0)]];
        let places = beside(
            &paths,
            &[(0, 300.0, 20.0), (1, 300.0, 20.0)],
            ((0.0, 0.0), (400.0, 200.0)),
            &[],
        );
        assert!(
            !overlap(around(places[0], 300.0, 20.0), around(places[1], 300.0, 20.0)),
            "{places:?}"
        );
    }
}
