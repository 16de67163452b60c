//! What finds no way or no place in the car: below it, in rows, joined by thin lines.

use super::measures::{PITCH, STRIP};
use super::pipe::Spot;
use super::shape::{Area, Edge, Piece, Shape};

/// Room below the car that is taken row by row.
pub(super) struct Apart {
    left: f64,
    wide: f64,
    x: f64,
    y: f64,
    /// How high the row is so far.
    row: f64,
}

impl Apart {
    pub(super) fn new(left: f64, top: f64, wide: f64) -> Self {
        Self { left, wide, x: 0.0, y: top, row: 0.0 }
    }

    /// Where the next row begins.
    pub(super) fn bottom(&self) -> f64 {
        if self.row > 0.0 { self.y + self.row + PITCH } else { self.y }
    }

    fn next_row(&mut self) {
        self.y = self.bottom();
        (self.x, self.row) = (0.0, 0.0);
    }

    /// A block.
    pub(super) fn block(&mut self, size: f64) -> Area {
        let wide = size.sqrt().min(self.wide);
        let high = size / wide;
        if self.x > 0.0 && self.x + wide > self.wide {
            self.next_row();
        }
        let area = Area { x: self.left + self.x, y: self.y, wide, high };
        self.x += wide + PITCH;
        self.row = self.row.max(high);
        area
    }

    /// Parts of a run one after another, folded back at the end of each row; where it begins and where it ends.
    pub(super) fn run(&mut self, parts: &[(usize, f64)]) -> (Vec<Shape>, Spot, Spot) {
        if self.x > 0.0 {
            self.next_row();
        }
        let mut shapes: Vec<Shape> = Vec::new();
        let (mut at, mut row, mut y) = (0.0, 0_u32, self.y);
        let place =
            |at: f64, row: u32| self.left + if row.is_multiple_of(2) { at } else { self.wide - at };
        let half = 0.5 * STRIP;
        let begin = (self.left, y + half);
        for (part, size) in parts {
            let mut pieces = Vec::new();
            let mut rest = size / STRIP;
            while rest > 1e-12 {
                let right = row.is_multiple_of(2);
                if at >= self.wide {
                    // Down to the next row at its edge.
                    let down = rest.min(PITCH - STRIP);
                    let x = if right { self.left + self.wide - STRIP } else { self.left };
                    let area = Area { x, y: y + STRIP, wide: STRIP, high: down };
                    pieces.push(Piece { area, from: Edge::Top });
                    rest -= down;
                    (at, row, y) = (0.0, row + 1, y + PITCH);
                    continue;
                }
                let long = rest.min(self.wide - at);
                let x = if right { place(at, row) } else { place(at + long, row) };
                let area = Area { x, y, wide: long, high: STRIP };
                pieces.push(Piece { area, from: if right { Edge::Left } else { Edge::Right } });
                at += long;
                rest -= long;
            }
            shapes.push(Shape { part: *part, pieces });
        }
        let end = (place(at, row), y + half);
        self.row = y + STRIP - self.y;
        self.next_row();
        (shapes, begin, end)
    }
}
