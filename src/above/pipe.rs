//! A way on the grid as rectangles: which stretch of it belongs to which part.

use super::grid::{Cell, Path, Port, WAYS};
use super::measures::{CLEARANCE, PITCH, STRIP};
use super::shape::{Area, Edge, Piece};

/// A place in the drawing.
pub type Spot = (f64, f64);

fn middle(cell: Cell) -> Spot {
    (PITCH * (f64::from(cell.0) + 0.5), PITCH * (f64::from(cell.1) + 0.5))
}

/// Where a pipe that comes in by this port reaches the block.
fn tip(port: &Port) -> Spot {
    let (x, y) = middle(port.cell);
    let (across, down) = WAYS[port.way];
    (x - f64::from(across) * port.leg, y - f64::from(down) * port.leg)
}

/// Whether pipes at these ports would lie over each other: at a corner of a block beyond which both jut out, for a pipe
/// is wider than the line on which it runs.
pub(super) fn clash(a: &Port, b: &Port) -> bool {
    let leg = |port: &Port| {
        let (from, to) = (middle(port.cell), tip(port));
        let half = |way: usize| if port.way % 2 == way { 0.0 } else { 0.5 * STRIP };
        let span = |a: f64, b: f64, half: f64| (a.min(b) - half, a.max(b) + half);
        [span(from.0, to.0, half(0)), span(from.1, to.1, half(1))]
    };
    let (a, b) = (leg(a), leg(b));
    (0..2).all(|i| a[i].1.min(b[i].1) - a[i].0.max(b[i].0) > 1e-9)
}

/// A bent line, with distances counted along it.
#[derive(Debug, Clone)]
pub(super) struct Course {
    points: Vec<Spot>,
    /// Stretches at which it passes beneath another pipe.
    gaps: Vec<(f64, f64)>,
}

impl Course {
    /// Along these cells, its last leg so much longer; beneath other pipes on the cells of these numbers.
    pub(super) fn new(path: &Path, longer: f64, beneath: &[usize]) -> Self {
        let mut points = vec![tip(&path.start)];
        points.extend(path.cells.iter().map(|c| middle(*c)));
        points.push(tip(&Port { leg: path.end.leg + longer, ..path.end }));
        let straight = |a: Spot, b: Spot, c: Spot| {
            let turn = (b.0 - a.0) * (c.1 - b.1) - (b.1 - a.1) * (c.0 - b.0);
            turn.abs() < 1e-9
        };
        let mut bends: Vec<Spot> = Vec::new();
        for (i, p) in points.iter().enumerate() {
            let through =
                i > 0 && i + 1 < points.len() && straight(points[i - 1], *p, points[i + 1]);
            if !through {
                bends.push(*p);
            }
        }
        let gaps = beneath.iter().map(|i| {
            let at = path.start.leg + PITCH * *i as f64;
            (at - CLEARANCE, at + CLEARANCE)
        });
        Self { points: bends, gaps: gaps.collect() }
    }

    fn stretches(&self) -> impl Iterator<Item = (Spot, Spot, f64)> {
        self.points
            .windows(2)
            .map(|w| (w[0], w[1], (w[1].0 - w[0].0).abs() + (w[1].1 - w[0].1).abs()))
    }

    pub(super) fn length(&self) -> f64 {
        self.stretches().map(|s| s.2).sum()
    }

    /// Length without the gaps.
    pub(super) fn room(&self) -> f64 {
        self.length() - self.gaps.iter().map(|(a, b)| b - a).sum::<f64>()
    }

    /// Where so much of it without the gaps has gone by, from the end backward.
    pub(super) fn begin_of(&self, length: f64) -> f64 {
        let (mut at, mut rest) = (self.length(), length);
        for (from, to) in self.gaps.iter().rev() {
            if at - rest >= *to {
                break;
            }
            rest -= at - to;
            at = *from;
        }
        (at - rest).max(0.0)
    }

    /// Where so much of it without the gaps, from there on, ends; and the stretches between.
    pub(super) fn take(&self, from: f64, length: f64) -> (f64, Vec<(f64, f64)>) {
        let (mut at, mut rest, mut taken) = (from, length, Vec::new());
        for (gap, beyond) in &self.gaps {
            if *beyond <= at || at + rest <= *gap {
                continue;
            }
            if *gap > at {
                taken.push((at, *gap));
                rest -= gap - at;
            }
            at = *beyond;
        }
        if rest > 0.0 {
            taken.push((at, at + rest));
        }
        (at + rest, taken)
    }

    /// The pipe between two distances. A corner belongs to the stretch that leads to it.
    pub(super) fn pieces(&self, (from, to): (f64, f64)) -> Vec<Piece> {
        let half = 0.5 * STRIP;
        let last = self.points.len() - 2;
        let (mut gone, mut pieces) = (0.0, Vec::new());
        for (i, (a, b, long)) in self.stretches().enumerate() {
            let begins = if i == 0 { gone } else { gone + half };
            let ends = if i == last { gone + long } else { gone + long + half };
            let (p, q) = (from.max(begins), to.min(ends));
            if q - p > 1e-12 {
                let (d, e) = (p - gone, q - gone);
                let long = e - d;
                let piece = if (a.1 - b.1).abs() < 1e-9 {
                    let right = b.0 > a.0;
                    let x = if right { a.0 + d } else { a.0 - e };
                    let area = Area { x, y: a.1 - half, wide: long, high: STRIP };
                    Piece { area, from: if right { Edge::Left } else { Edge::Right } }
                } else {
                    let down = b.1 > a.1;
                    let y = if down { a.1 + d } else { a.1 - e };
                    let area = Area { x: a.0 - half, y, wide: STRIP, high: long };
                    Piece { area, from: if down { Edge::Top } else { Edge::Bottom } }
                };
                pieces.push(piece);
            }
            gone += long;
        }
        pieces
    }

    /// Its bends from the beginning to this distance, straight on into a corner as [`Course::pieces`] are.
    pub(super) fn line_to(&self, end: f64) -> Vec<Spot> {
        let mut line = vec![self.points[0]];
        let mut gone = 0.0;
        let last = self.points.len() - 2;
        for (i, (a, b, long)) in self.stretches().enumerate() {
            let corner = if i == last { 0.0 } else { 0.5 * STRIP };
            if gone + long + corner >= end {
                let share = if long > 0.0 { (end - gone) / long } else { 0.0 };
                line.push((a.0 + share * (b.0 - a.0), a.1 + share * (b.1 - a.1)));
                break;
            }
            line.push(b);
            gone += long;
        }
        line
    }
}

/// The same pieces passed the other way.
pub(super) fn backward(pieces: Vec<Piece>) -> Vec<Piece> {
    let turned = |p: Piece| Piece {
        from: match p.from {
            Edge::Left => Edge::Right,
            Edge::Right => Edge::Left,
            Edge::Top => Edge::Bottom,
            Edge::Bottom => Edge::Top,
        },
        ..p
    };
    pieces.into_iter().rev().map(turned).collect()
}
