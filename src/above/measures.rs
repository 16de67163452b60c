//! Lengths of the drawing, for a car of the width [`WIDE`], and how much of it is shown.

/// Width of the paper: all other lengths are for it.
pub(super) const WIDE: f64 = 420.0;
/// Cells of the grid: side, and how many across.
pub(super) const PITCH: f64 = 16.0;
pub(super) const COLUMNS: i32 = 17;
/// Fewest rows, between two axles and where there are none.
pub(super) const LEAST_ROWS: [i32; 2] = [32, 24];
/// Width of a pipe, and from the middle of one to where another ends that passes beneath.
pub(super) const STRIP: f64 = 9.0;
pub(super) const CLEARANCE: f64 = 7.0;
/// From the edge of the paper to tires, their width, from there to the edge of the grid.
pub(super) const TIRE_EDGE: f64 = 2.0;
pub(super) const TIRE: f64 = 58.0;
pub(super) const INSIDE: f64 = 0.5 * (WIDE - PITCH * COLUMNS as f64);
/// From the body to what lies in it, in front and behind.
pub(super) const BODY_AIR: f64 = 12.0;
/// Parts shown.
pub(super) const MOST_PARTS: usize = 160;
