//! Small cases of what moves whose outcome is known beforehand: closed forms, recursions by arithmetic, and
//! properties that a solution of linear equations must have.

mod chambers;
mod common_space;
mod reservoir;
mod system;
mod tubes;

use crate::common::cars::close;
use farwheel::circuit::{self, CommonSpace};
use farwheel::transport::reservoir::Reservoir;

/// A reservoir with two outlets, full of the first of two species.
fn reservoir(common: CommonSpace, level_m3: f64, compartment_m3: f64) -> Reservoir {
    let spec = circuit::Reservoir {
        outlets: vec!["front".into(), "rear".into()],
        compartment_m3,
        level_m3,
        min_m3: 0.0,
        max_m3: 10.0,
        brim_m3: 20.0,
        height_m: 0.9,
        common,
    };
    Reservoir::new(&spec, &[1.0, 0.0])
}

fn all_close(a: &[f64], b: &[f64], tolerance: f64, what: &str) {
    assert_eq!(a.len(), b.len(), "{what}");
    for (a, b) in a.iter().zip(b) {
        close(*a, *b, tolerance, what);
    }
}
