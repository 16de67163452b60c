//! Lines and hoses that run straight on into one another: a line in pieces is one line, a joint remixes to its degree.

#[path = "../common/mod.rs"]
mod common;

mod cars;
mod messages;
mod tubes;

fn close(a: f64, b: f64, tolerance: f64, what: &str) {
    assert!((a - b).abs() <= tolerance, "{what}: {a} is not {b} within {tolerance:e}");
}
