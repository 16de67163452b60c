//! The reference against closed forms and against itself: what error it may claim.

mod chambers;
mod exact;
mod eye;
mod flow;
mod jobs;
mod lines;
mod rows;

use crate::reference;
use crate::reference::signal::Grid;
use crate::reference::{Chamber, ReferenceKind, ReferencePart};

/// By eye, by careful eye, by instrument.
const THRESHOLDS: [f64; 3] = [0.2, 0.05, 0.02];

fn grid(step_ml: f64, end_ml: f64) -> Grid {
    Grid { step_ml, end_ml }
}

fn close(value: f64, expected: f64, tolerance: f64, what: &str) {
    assert!(
        (value - expected).abs() <= tolerance,
        "{what}: {value} is not {expected} within {tolerance:e}"
    );
}

/// A laminar line as part of a car.
fn line(name: &str, volume_ml: f64, remix: f64, content: &[f64]) -> ReferencePart {
    ReferencePart {
        name: name.into(),
        kind: ReferenceKind::Line { volume_ml, remix, joint: 1.0 },
        content: content.to_vec(),
    }
}

/// A chamber as part of a car.
fn mixed(name: &str, chamber: Chamber, content: &[f64]) -> ReferencePart {
    ReferencePart {
        name: name.into(),
        kind: ReferenceKind::Mixed(chamber),
        content: content.to_vec(),
    }
}
