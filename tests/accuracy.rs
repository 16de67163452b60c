//! The promise on the answer: the millilitres to clean are off by no more than 0.5 % or 0.5 mL,
//! whichever is more, through finite steps and lanes, and the record states an error that holds up.

#[path = "common/cars.rs"]
mod cars;
#[path = "accuracy/chambers.rs"]
mod chambers;
#[path = "accuracy/jobs.rs"]
mod jobs;
#[path = "accuracy/lanes.rs"]
mod lanes;
mod reference;
#[path = "accuracy/simple_circuits.rs"]
mod simple_circuits;
#[path = "accuracy/tubes.rs"]
mod tubes;

use cars::close;

/// By eye, by careful eye, by instrument.
const THRESHOLDS: [f64; 3] = [0.2, 0.05, 0.02];

/// What the program promises for so many millilitres.
fn promise(ml: f64) -> f64 {
    (5e-3 * ml).max(0.5)
}
