//! What stays behind: pockets of every kind of chamber, the water of a blend, and where fluid boils first.

mod boiling;
mod pockets;
mod water;

use crate::common::cars::{GRAVITY, scenario_text, undivided};

const NEW: &str = "old_fraction = 0";

/// A wheel under the head of its reservoir, keys of each.
struct Car<'a> {
    reservoir: &'a str,
    master_ml: f64,
    master: &'a str,
    line: &'a str,
    wheel: &'a str,
    more: &'a str,
    until: &'a str,
}

/// New but for its wheel.
const CAR: Car = Car {
    reservoir: NEW,
    master_ml: 0.05,
    master: "",
    line: NEW,
    wheel: "new_pads = \"5 mL\"",
    more: "",
    until: "10 mL",
};

impl Car<'_> {
    fn text(&self) -> String {
        let Car { reservoir, master_ml, master, line, wheel, more, until } = self;
        let rest = format!(
            r#"height = "3 m"
{reservoir}
[old_fluid]
grade = "DOT 4"
density = "1070 kg/m³"
water = "3 %"
water_reservoir = "2 %"
water_wheel_brakes = "4 %"
[new_fluid]
grade = "DOT 4"
density = "1030 kg/m³"
[parts]
line = {{ kind = "line", from = "one", length = "1 mm", {line} }}
wheel = {{ kind = "caliper", from = "line", {wheel} }}
{more}
[procedure]
open = ["wheel"]
until = "{until}""#
        );
        let above = undivided("one", *master_ml, [150, 50, 200, 220]);
        let above = above.replace("[reservoir]", &format!("{master}\n[reservoir]"));
        scenario_text(&[&above, &rest, GRAVITY])
    }
}
