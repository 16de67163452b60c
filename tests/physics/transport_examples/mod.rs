//! Small cases of what moves whose outcome is known beforehand: closed forms, recursions by arithmetic, and
//! properties that a solution of linear equations must have.

mod chambers;
mod common_space;
mod reservoir;
mod system;
mod tubes;

use crate::common::cars::close;

fn all_close(a: &[f64], b: &[f64], tolerance: f64, what: &str) {
    assert_eq!(a.len(), b.len(), "{what}");
    for (a, b) in a.iter().zip(b) {
        close(*a, *b, tolerance, what);
    }
}
