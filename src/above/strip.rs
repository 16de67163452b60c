//! A line or hose as a strip of one width, folded back where it has no more room.

use super::shape::{Area, Edge, Piece};

/// Width of a line or hose, and from one of its turns to the next.
pub const STRIP: f64 = 13.0;
const PITCH: f64 = STRIP + 6.0;
/// Between parts of one strip.
const TICK: f64 = 3.0;
/// A strip that folds back at the edges of its room.
pub(super) struct Strip {
    room: Area,
    /// Where it has come to: along the row, and down.
    x: f64,
    y: f64,
    rightward: bool,
    begun: bool,
}

impl Strip {
    pub(super) fn new(room: Area) -> Self {
        Self { room, x: 0.0, y: room.y, rightward: true, begun: false }
    }

    pub(super) fn bottom(&self) -> f64 {
        self.y + STRIP
    }

    /// The next so much of it, after a tick if another part lies before it.
    pub(super) fn take(&mut self, size: f64) -> Vec<Piece> {
        let mut pieces = Vec::new();
        let mut rest = size / STRIP;
        if self.begun {
            self.x += TICK;
        }
        self.begun = true;
        while rest > 1e-9 {
            let free = self.room.wide - self.x;
            if free <= STRIP {
                self.turn(&mut rest, &mut pieces);
                continue;
            }
            let long = rest.min(free);
            let (x, from) = match self.rightward {
                true => (self.room.x + self.x, Edge::Left),
                false => (self.room.x + self.room.wide - self.x - long, Edge::Right),
            };
            pieces.push(Piece { area: Area { x, y: self.y, wide: long, high: STRIP }, from });
            self.x += long;
            rest -= long;
        }
        pieces
    }

    /// Goes on in the next row: the way down belongs to the strip if a part of it is under way.
    fn turn(&mut self, rest: &mut f64, pieces: &mut Vec<Piece>) {
        if !pieces.is_empty() {
            let down = rest.min(PITCH - STRIP);
            let x = match self.rightward {
                true => self.room.x + self.room.wide - STRIP,
                false => self.room.x,
            };
            let area = Area { x, y: self.y + STRIP, wide: STRIP, high: down };
            pieces.push(Piece { area, from: Edge::Top });
            *rest -= down;
        }
        if *rest > 1e-9 || pieces.is_empty() {
            (self.x, self.y, self.rightward) = (0.0, self.y + PITCH, !self.rightward);
        }
    }
}
