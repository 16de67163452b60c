//! Gravity: the reservoir stands higher than the bleeders and is topped up by hand.

use crate::circuit::Reservoir;
use crate::scenario::section::Section;
use crate::scenario::{
    bounds,
    spec::{Default, Ends, Form, Key, KindSpec},
};

/// The kind `gravity`.
pub const SPEC: KindSpec = KindSpec {
    name: "gravity",
    doc: "The head of the reservoir alone, its cap off, topped up by hand.",
    ends: Ends::Node,
    bleeds: false,
    keys: &[
        Key {
            name: "refill_below",
            doc: "Fluid in the reservoir at which it is topped up; left out, at MIN.",
            form: Form::Quantity(&bounds::RESERVOIR),
            default: Default::Rule("MIN"),
        },
        Key {
            name: "refill_to",
            doc: "Fluid in the reservoir after topping up; left out, MAX.",
            form: Form::Quantity(&bounds::RESERVOIR),
            default: Default::Rule("MAX"),
        },
        Key {
            name: "topped_up",
            doc: "Whether it is topped up at all.",
            form: Form::Flag,
            default: Default::Text("true"),
        },
    ],
};

/// Gravity as a supply.
#[derive(Debug, Clone, PartialEq)]
pub struct Gravity {
    /// Fluid in the reservoir at which it is topped up, m³; `None`: at MIN.
    pub refill_below_m3: Option<f64>,
    /// Fluid in the reservoir after topping up, m³; `None`: MAX.
    pub refill_to_m3: Option<f64>,
    /// Whether it is topped up at all.
    pub topped_up: bool,
}

impl Gravity {
    /// From its checked table.
    pub fn new(s: &Section) -> Self {
        Self {
            refill_below_m3: s.find_si("refill_below"),
            refill_to_m3: s.find_si("refill_to"),
            topped_up: s.flag("topped_up"),
        }
    }

    /// Fluid in the reservoir at which it is topped up and that after it, m³; `None` if it never is.
    pub fn refill(&self, reservoir: &Reservoir) -> Option<(f64, f64)> {
        let low = self.refill_below_m3.unwrap_or(reservoir.min_m3);
        let high = self.refill_to_m3.unwrap_or(reservoir.max_m3);
        (self.topped_up && high > low).then_some((low, high))
    }
}
