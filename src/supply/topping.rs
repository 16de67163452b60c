//! A reservoir open to the air and topped up by hand: what gravity, vacuum and pedal have in common.

use crate::circuit::Reservoir;
use crate::scenario::section::Section;
use crate::scenario::{
    bounds,
    spec::{Default, Form, Key},
};

/// Level at which it is topped up.
pub const REFILL_BELOW: Key = Key {
    name: "refill_below",
    doc: "Fluid in the reservoir at which it is topped up; left out, at MIN.",
    form: Form::Quantity(&bounds::RESERVOIR),
    default: Default::Rule("MIN"),
};
/// Level after topping up.
pub const REFILL_TO: Key = Key {
    name: "refill_to",
    doc: "Fluid in the reservoir after topping up; left out, MAX.",
    form: Form::Quantity(&bounds::RESERVOIR),
    default: Default::Rule("MAX"),
};
/// Whether anybody tops it up.
pub const TOPPED_UP: Key = Key {
    name: "topped_up",
    doc: "Whether it is topped up at all.",
    form: Form::Flag,
    default: Default::Text("true"),
};

/// Nobody pours less at a time, m³.
const LEAST_POURED_M3: f64 = 0.1e-6;

/// When and how far the reservoir is topped up by hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Topping {
    /// Fluid in the reservoir at which it is topped up, m³; `None`: at MIN.
    pub refill_below_m3: Option<f64>,
    /// Fluid in the reservoir after topping up, m³; `None`: MAX.
    pub refill_to_m3: Option<f64>,
    /// Whether it is topped up at all.
    pub topped_up: bool,
}

impl Topping {
    /// From the checked table of a supply that has these keys.
    pub fn new(s: &Section) -> Self {
        Self {
            refill_below_m3: s.find_si("refill_below"),
            refill_to_m3: s.find_si("refill_to"),
            topped_up: s.flag("topped_up"),
        }
    }

    /// Fluid in the reservoir at which it is topped up and that after it, m³; `None` if it never is,
    /// or by less than a tenth of a millilitre at a time.
    pub fn refill(&self, reservoir: &Reservoir) -> Option<(f64, f64)> {
        let low = self.refill_below_m3.unwrap_or(reservoir.min_m3);
        let high = self.refill_to_m3.unwrap_or(reservoir.max_m3);
        (self.topped_up && high - low > 0.999 * LEAST_POURED_M3).then_some((low, high))
    }
}
