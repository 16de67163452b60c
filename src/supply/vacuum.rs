//! Vacuum at the bleeder: a pump or bottle draws the fluid through the clear hose while the reservoir
//! stands open to the air and is topped up by hand.

use super::topping::{REFILL_BELOW, REFILL_TO, TOPPED_UP, Topping};
use crate::scenario::section::Section;
use crate::scenario::{
    bounds,
    spec::{Default, Ends, Form, Key, KindSpec, Role},
};

/// The kind `vacuum`.
pub const SPEC: KindSpec = KindSpec {
    name: "vacuum",
    doc: "A pump or bottle that draws at the clear hose; the reservoir is open and topped up by hand.",
    ends: Ends::Node,
    role: Role::Supply,
    bleeds: false,
    holds: false,
    keys: &[
        Key {
            name: "vacuum",
            doc: "Vacuum held at the clear hose, as a gauge below the atmosphere shows it.",
            form: Form::Quantity(&bounds::SUCTION),
            default: Default::Required,
        },
        REFILL_BELOW,
        REFILL_TO,
        TOPPED_UP,
    ],
};

/// A vacuum pump or bottle in use. It holds its vacuum however much has been drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vacuum {
    /// Pressure below the atmosphere at the clear hose, Pa (positive).
    pub suction_pa: f64,
    /// How the reservoir is topped up.
    pub topping: Topping,
}

impl Vacuum {
    /// From its checked table.
    pub fn new(s: &Section) -> Self {
        Self { suction_pa: s.si("vacuum"), topping: Topping::new(s) }
    }
}
