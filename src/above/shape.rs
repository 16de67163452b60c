//! Shapes of parts: rectangles that fill from an edge on.

use serde::Serialize;

/// An upright rectangle: left, top, width, height.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Area {
    /// Left edge.
    pub x: f64,
    /// Upper edge.
    pub y: f64,
    /// Width.
    pub wide: f64,
    /// Height.
    pub high: f64,
}

impl Area {
    /// Its size.
    pub fn size(&self) -> f64 {
        self.wide * self.high
    }
}

/// From which edge something fills.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Edge {
    /// From its left edge on.
    Left,
    /// From its right edge on.
    Right,
    /// From its upper edge on.
    Top,
    /// From its lower edge on.
    Bottom,
}

/// A piece of a shape.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Piece {
    /// Where it lies.
    pub area: Area,
    /// From which edge it fills.
    pub from: Edge,
}

impl Piece {
    /// As much of it as this area, from where it fills.
    fn cut(&self, size: f64) -> Area {
        let a = self.area;
        let share = if a.size() > 0.0 { (size / a.size()).clamp(0.0, 1.0) } else { 0.0 };
        let (wide, high) = (share * a.wide, share * a.high);
        match self.from {
            Edge::Left => Area { wide, ..a },
            Edge::Right => Area { x: a.x + a.wide - wide, wide, ..a },
            Edge::Top => Area { high, ..a },
            Edge::Bottom => Area { y: a.y + a.high - high, high, ..a },
        }
    }
}

/// A part's shape: its pieces in the order in which they fill, as large as the part ever is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Shape {
    /// Place of the part in [`Left::parts`](crate::job::record::Left::parts).
    pub part: usize,
    /// Its pieces.
    pub pieces: Vec<Piece>,
}

impl Shape {
    /// What of it so large a volume takes.
    pub fn filled(&self, area: f64) -> Vec<Area> {
        let mut rest = area.max(0.0);
        let mut filled = Vec::new();
        for piece in &self.pieces {
            if rest <= 0.0 {
                break;
            }
            filled.push(piece.cut(rest));
            rest -= piece.area.size();
        }
        filled
    }
}
