//! The lines on what a hydraulic modulator would send to the wheels.

use crate::job::record::{ChannelThen, IfModulatorWorks};
use crate::report::figures::{self, degree, name, percent, rounded, temperature, volume};
use crate::report::{View, grid};

/// Heading and two sentences: what is trapped, and what of it reaches the wheels.
pub(super) fn render(then: &IfModulatorWorks, view: View) -> String {
    let units = view.units;
    let boils = |c: f64| format!("{} {}", temperature(c, units), degree(units));
    let mut text = format!(
        "Out of reach of every bleeder, in accumulators, pumps and dampers: {}, {} % old fluid, water {} %, boils from {}.",
        volume(then.trapped_ml, units),
        percent(then.trapped_old_fraction),
        figures::water(then.trapped_water_percent),
        boils(then.trapped_boiling_c),
    );
    let lowest =
        |of: fn(&ChannelThen) -> f64| then.channels.iter().min_by(|a, b| of(a).total_cmp(&of(b)));
    if let (Some(sent), Some(wheel)) =
        (lowest(|c| c.sent_boiling_c), lowest(|c| c.wheel_boiling_then_c))
    {
        text.push_str(&format!(
            " Worked for {} s, the unit sends up to {} % old fluid with {} % water, boiling at {}, toward {}. Once that has crept all the way to the wheel, {} boils from {} instead of {}.",
            rounded(then.seconds, 0),
            percent(sent.sent_old_fraction),
            figures::water(sent.sent_water_percent),
            boils(sent.sent_boiling_c),
            name(&sent.channel),
            name(&wheel.wheel),
            boils(wheel.wheel_boiling_then_c),
            boils(wheel.wheel_boiling_now_c),
        ));
    }
    grid::heading("If the modulator works once on the road after this (an estimate)")
        + &grid::paragraph(&text, view.width, 0)
}
