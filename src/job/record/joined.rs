//! How the parts join, as far as a drawing of them has to know it.

use crate::circuit::place::Place;
use crate::keys::Role;

/// How the parts of [`Left::parts`](super::Left::parts) join.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Joined {
    /// Where paths meet, the reservoir first.
    pub nodes: Vec<Meeting>,
    /// What runs between them.
    pub links: Vec<Between>,
    /// Fluid in the reservoir when brim-full, mL.
    pub brim_ml: f64,
    /// Bleeders, with the node that each sits on.
    pub bleeders: Vec<(String, usize)>,
}

/// A place where paths meet.
#[derive(Debug, Clone, PartialEq)]
pub struct Meeting {
    /// Place in [`Left::parts`](super::Left::parts); `None` if it holds nothing.
    pub part: Option<usize>,
    /// Name of the part that it belongs to.
    pub of: String,
    /// What it is to the brake system.
    pub role: Role,
    /// Where on the vehicle it lies, as far as names say.
    pub place: Place,
}

/// Something fluid runs through.
#[derive(Debug, Clone, PartialEq)]
pub struct Between {
    /// Place in [`Left::parts`](super::Left::parts); `None` if it holds nothing.
    pub part: Option<usize>,
    /// Node it starts from.
    pub from: usize,
    /// Node it ends in.
    pub to: usize,
}
