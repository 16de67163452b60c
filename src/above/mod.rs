//! The vehicle seen from above, drawn to scale by volume: where each part lies, no painting.
//!
//! Front is up. Brakes stand in the corners beside their tires, the reservoir with the master cylinder between the axles.
//! Lines and hoses are pipes of one width, so that their length is their volume: one that is longer than its way makes a
//! detour, one that is shorter is joined by a thin line that holds nothing. Every area is volume times
//! [`Car::area_per_ml`], before the job and after it. What a shape holds of old fluid fills it in the same measure.

mod apart;
mod block;
mod car;
mod drawing;
mod grid;
mod measures;
mod net;
mod pipe;
mod place;
mod route;
mod scale;
mod shape;

use crate::job::record::Left;
use drawing::Drawing;
use net::Net;
use route::Manner;
use scale::largest;

pub use car::{Car, Tire};
pub use pipe::Spot;
pub use shape::{Area, Edge, Piece, Shape};

/// How often the scale is made smaller, and by how much, until all has its place.
const TRIES: usize = 14;
const SMALLER: f64 = 0.87;

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
