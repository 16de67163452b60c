//! The promise on the answer: the millilitres to clean are off by no more than 0.5 % or 0.5 mL,
//! whichever is more, through finite steps and lanes, and the record states an error that holds up.

mod chambers;
mod jobs;
mod lanes;
mod simple_circuits;
mod tubes;

use crate::common::cars;
use crate::common::cars::close;
use crate::reference;

/// By eye, by careful eye, by instrument.
const THRESHOLDS: [f64; 3] = [0.2, 0.05, 0.02];

/// What the program promises for so many millilitres.
fn promise(ml: f64) -> f64 {
    (5e-3 * ml).max(0.5)
}
