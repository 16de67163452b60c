//! A reservoir open to the air and topped up by hand: what gravity, vacuum and pedal have in common.

use crate::keys::LeftOut::{Rule, Text};
use crate::keys::Quantity;
use crate::keys::bounds::{LEVEL, RESERVOIR};
use crate::keys::table::table;

/// Nobody pours less at a time, m³.
const LEAST_POURED_M3: f64 = 0.1e-6;

table! {
    /// When and how far the reservoir is topped up by hand.
    #[derive(Copy)]
    pub struct Topping {
        /// Fluid in the reservoir at which it is topped up; left out, at MIN.
        pub refill_below: Option<Quantity> [&RESERVOIR] = Rule("MIN");
        /// Fluid in the reservoir after topping up; left out, MAX.
        pub refill_to: Option<Quantity> [&LEVEL] = Rule("MAX");
        /// Whether it is topped up at all.
        pub topped_up: bool = Text("true");
    }
}

impl Topping {
    /// Fluid in the reservoir at which it is topped up and that after it, m³; `None` if it never is,
    /// or by less than a tenth of a millilitre at a time. Where it states neither, the marks hold.
    pub fn refill(&self, min_m3: f64, max_m3: f64) -> Option<(f64, f64)> {
        let low = self.refill_below.map_or(min_m3, |q| q.value);
        let high = self.refill_to.map_or(max_m3, |q| q.value);
        (self.topped_up && high - low > 0.999 * LEAST_POURED_M3).then_some((low, high))
    }
}
