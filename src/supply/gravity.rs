//! Gravity: the reservoir stands higher than the bleeders and is topped up by hand.

use super::topping::{REFILL_BELOW, REFILL_TO, TOPPED_UP};
use crate::scenario::spec::{Ends, KindSpec, Role};

/// The kind `gravity`. All there is to it is how the reservoir is topped up.
pub const SPEC: KindSpec = KindSpec {
    name: "gravity",
    doc: "The head of the reservoir alone, its cap off, topped up by hand.",
    ends: Ends::Node,
    role: Role::Supply,
    bleeds: false,
    holds: false,
    keys: &[REFILL_BELOW, REFILL_TO, TOPPED_UP],
};
