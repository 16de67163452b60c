//! The vehicle seen from above, drawn to scale by volume: where each part lies, no painting.
//!
//! Front is up. Brakes stand in the corners beside their tires, the reservoir with the master cylinder between the axles.
//! Lines and hoses are pipes of one width, so that their length is their volume: one that is longer than its way makes a
//! detour, one that is shorter is joined by a thin line that holds nothing. Every area is volume times
//! [`Car::area_per_ml`], before the job and after it. What a shape holds of old fluid fills it in the same measure.

mod apart;
mod block;
mod drawing;
mod grid;
mod net;
mod pipe;
mod place;
mod route;
mod shape;

use crate::job::record::Left;
use crate::job::record::region::Sort;
use drawing::Drawing;
use net::Net;
use route::Manner;
use serde::Serialize;

pub use pipe::Spot;
pub use shape::{Area, Edge, Piece, Shape};

/// A bleeder and its tire.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tire {
    /// Name of the bleeder.
    pub name: String,
    /// Its tire.
    pub area: Area,
    /// Place in [`Left::parts`] of what it bleeds, if that holds something.
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

// All lengths below for a car of this width.
const WIDE: f64 = 420.0;
/// Cells of the grid: side, and how many across.
const PITCH: f64 = 16.0;
const COLUMNS: i32 = 17;
/// Fewest rows, between two axles and where there are none.
const LEAST_ROWS: [i32; 2] = [32, 24];
/// Width of a pipe, and from the middle of one to where another ends that passes beneath.
const STRIP: f64 = 9.0;
const CLEARANCE: f64 = 7.0;
/// From the edge of the paper to tires, their width, from there to the edge of the grid.
const TIRE_EDGE: f64 = 2.0;
const TIRE: f64 = 58.0;
const INSIDE: f64 = 0.5 * (WIDE - PITCH * COLUMNS as f64);
/// From the body to what lies in it, in front and behind.
const BODY_AIR: f64 = 12.0;
/// A millilitre is no larger, the reservoir and a chamber take no more of the paper, and so on: as large as possible.
const LARGEST_ML: f64 = 110.0;
const MOST_RESERVOIR: f64 = 19_500.0;
const MOST_BLOCK: f64 = 3_000.0;
/// How often the scale is made smaller, and by how much, until all has its place.
const TRIES: usize = 14;
const SMALLER: f64 = 0.87;
/// Parts shown.
const MOST_PARTS: usize = 160;

/// Lays out the car, so wide.
pub fn layout(left: &Left, wide: f64) -> Car {
    let net = Net::new(left);
    let mut scale = largest(left);
    let mut halfway = scale;
    for tried in 0..TRIES {
        if tried == TRIES / 2 {
            halfway = scale;
        }
        let manners =
            [(Manner::WaysFirst, 0), (Manner::DetoursFirst, 0), (Manner::DetoursFirst, 4)];
        for (manner, more_rows) in manners {
            let drawing = Drawing::new(left, &net, (scale, more_rows), (manner, true), &[]);
            if drawing.is_whole() {
                return drawing.finish(left, wide);
            }
        }
        scale *= SMALLER;
    }
    // What still finds no way lies apart, at a scale in the middle of those tried.
    let how = (Manner::WaysFirst, false);
    let mut apart: Vec<usize> = Vec::new();
    loop {
        let drawing = Drawing::new(left, &net, (halfway, 4), how, &apart);
        let none = |r: &usize| drawing.courses[*r].is_none() && !apart.contains(r);
        let more: Vec<usize> = (0..net.runs.len()).filter(none).collect();
        if more.is_empty() {
            return drawing.finish(left, wide);
        }
        // Once more without them, so that nothing makes way for what is not there.
        apart.extend(more);
    }
}

/// The most that a part holds: the reservoir up to its brim, all else as much as it does.
fn most_ml(left: &Left, part: usize) -> f64 {
    let p = &left.parts[part];
    let brim = if p.belongs.sort == Sort::Reservoir { left.joined.brim_ml } else { 0.0 };
    let most = p.volume_ml.max(p.volume_before_ml).max(brim);
    if most.is_finite() { most.max(0.0) } else { 0.0 }
}

/// The area of a millilitre, as large as leaves the largest of each sort its room.
fn largest(left: &Left) -> f64 {
    let mut largest = LARGEST_ML;
    for (i, p) in left.parts.iter().enumerate() {
        let room = match p.belongs.sort {
            Sort::Reservoir => MOST_RESERVOIR,
            sort if sort.is_pipe() => continue,
            _ => MOST_BLOCK,
        };
        let volume = most_ml(left, i);
        if volume > 0.0 {
            largest = f64::min(largest, room / volume);
        }
    }
    largest
}

/// The volume whose square is of middling size.
fn square_ml(scale: f64) -> f64 {
    let sizes = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0];
    let fits = |ml: &f64| (ml * scale).sqrt() <= 27.0;
    sizes.into_iter().rev().find(fits).unwrap_or(sizes[0])
}

impl Car {
    /// All of it moved, then made larger.
    fn moved(mut self, (dx, dy): Spot, by: f64) -> Self {
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
