//! The open bleeder and what is behind it, in closed form.
//!
//! Everything else is made so wide that it counts as nothing, and old fluid is as new: what pushes is lost in the bleeder,
//! Δp = ρ (ν a + b Q) Q.

use crate::common::cars::{DOT_4, GRAVITY, close, read, scenario_text, undivided};
use farwheel::Scenario;
use farwheel::flow::laws::{
    SHARP_EDGED_DISCHARGE, orifice_inertial_resistance, orifice_viscous_resistance,
};
use farwheel::fluid::blend::Blend;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::parts::passage::Passage;

const G: f64 = 9.806_65;

/// A reservoir 0.6 m above a bleeder, with keys of the clear hose.
fn car(hose: &str) -> Scenario {
    let above = undivided("chamber", 1.0, [900, 100, 900, 1000])
        .replace("[reservoir]", "centre_valve = \"10 mm\"\n[reservoir]\nheight = \"0.95 m\"");
    let rest = format!(
        "[parts]\nline = {{ kind = \"line\", from = \"chamber\", length = \"1 mm\", bore = \"20 mm\" }}\n\
         caliper = {{ kind = \"caliper\", from = \"line\", new_pads = \"5 mL\" }}\n\
         [clear_hose]\n{hose}\n[procedure]\nopen = [\"caliper\"]\nuntil = \"20 mL\""
    );
    read(&scenario_text(&[DOT_4, &above, &rest, GRAVITY]))
}

fn seconds(scenario: &Scenario) -> f64 {
    flush(scenario, &Options::default()).expect("it runs").openings[0].flow_seconds
}

/// Seconds for 20 mL with the head given, m.
fn exact(scenario: &Scenario, head_m: f64) -> f64 {
    let [old, new] = [scenario.old_fluid.fluid(), scenario.new_fluid.fluid()];
    let nu = Blend::new(old, new, scenario.vehicle.temperature.value).nu_m2_s(1.0);
    let Passage::Orifice { bore_m } = scenario.circuit().bleeders[0].passage else {
        panic!("a bleeder is an orifice");
    };
    let a = nu * orifice_viscous_resistance(bore_m, 0.0);
    let b = orifice_inertial_resistance(bore_m, SHARP_EDGED_DISCHARGE);
    20e-6 * (a + (a * a + 4.0 * b * G * head_m).sqrt()) / (2.0 * G * head_m)
}

/// The head ends where fluid comes out: a full hose draws like a siphon, one that hangs open does not, one that rises has
/// to be filled. With a centre valve of 10 mm nothing else resists by more than a few thousandths.
#[test]
fn the_head_ends_where_fluid_comes_out() {
    for (end, in_fluid, head_m) in [
        ("0 m", true, 0.6),
        ("-0.35 m", true, 0.95),
        ("-0.35 m", false, 0.6),
        ("0.2 m", true, 0.4),
        ("0.2 m", false, 0.4),
    ] {
        let scenario = car(&format!("end_above = \"{end}\"\nend_in_fluid = {in_fluid}"));
        close(seconds(&scenario) / exact(&scenario, head_m), 1.0, 3e-3, end);
    }
}
