//! The drawing as it is handed out.

use super::pipe::Spot;
use super::shape::{Area, Shape};
use serde::Serialize;

/// A bleeder and its tire.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tire {
    /// Name of the bleeder.
    pub name: String,
    /// Its tire.
    pub area: Area,
    /// Place in [`Left::parts`](crate::job::record::Left::parts) of what it bleeds, if that holds something.
    pub part: Option<usize>,
}

/// The vehicle from above.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Car {
    /// Width, as asked for.
    pub wide: f64,
    /// Height.
    pub high: f64,
    /// Area of a millilitre.
    pub area_per_ml: f64,
    /// Width of pipes.
    pub strip: f64,
    /// Outline of the body.
    pub body: Area,
    /// Every part that holds or held fluid, as large as it gets.
    pub shapes: Vec<Shape>,
    /// Where lines meet or end without a part that holds anything.
    pub joints: Vec<Area>,
    /// Lines from what belongs together and does not touch: they hold nothing, and lie beneath all else.
    pub connectors: Vec<Vec<Spot>>,
    /// The bleeders.
    pub tires: Vec<Tire>,
    /// Volume, mL, of the square that tells the scale.
    pub square_ml: f64,
    /// Parts that have no room.
    pub left_out: usize,
}

impl Car {
    /// All of it moved, then made larger.
    pub(super) fn moved(mut self, (dx, dy): Spot, by: f64) -> Self {
        let place = |s: &mut Spot| *s = (by * (s.0 + dx), by * (s.1 + dy));
        let area = |a: &mut Area| {
            *a = Area {
                x: by * (a.x + dx),
                y: by * (a.y + dy),
                wide: by * a.wide,
                high: by * a.high,
            }
        };
        self.connectors.iter_mut().flatten().for_each(place);
        self.joints.iter_mut().for_each(area);
        self.shapes.iter_mut().flat_map(|s| &mut s.pieces).for_each(|p| area(&mut p.area));
        self.tires.iter_mut().for_each(|t| area(&mut t.area));
        area(&mut self.body);
        for length in [&mut self.wide, &mut self.high, &mut self.strip] {
            *length *= by;
        }
        self.area_per_ml *= by * by;
        self
    }
}
