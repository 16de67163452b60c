//! The open bleeder and what is behind it, in closed form.
//!
//! Everything else is made so wide that it counts as nothing, and old fluid is as new: what pushes is lost in the bleeder
//! and the clear hose, Δp = ρ (ν a + b Q) Q.

use crate::common::cars::{DOT_4, GRAVITY, close, quick, read, scenario_text, undivided};
use crate::common::laws::open_screw;
use farwheel::Scenario;
use farwheel::flow::laws::slit_viscous_resistance;
use farwheel::fluid::blend::Blend;
use farwheel::job::options::Options;
use farwheel::job::record::WarningKind;
use farwheel::job::{check, flush};
use std::f64::consts::PI;

const G: f64 = 9.806_65;

const WIDE: &str = "centre_valve = \"10 mm\"";

/// A reservoir 0.6 m above a bleeder, with keys of the clear hose and of the caliper.
fn car(hose: &str, caliper: &str) -> Scenario {
    car_with(WIDE, hose, caliper)
}

/// The same with what a chamber of the master cylinder is entered by.
fn car_with(entered: &str, hose: &str, caliper: &str) -> Scenario {
    read(&car_text(entered, hose, caliper, [900, 100, 900, 1000], GRAVITY))
}

/// The same with the marks of the reservoir and a supply.
fn car_text(entered: &str, hose: &str, caliper: &str, marks: [u32; 4], supply: &str) -> String {
    let above = undivided("chamber", 1.0, marks)
        .replace("[reservoir]", &format!("{entered}\n[reservoir]\nheight = \"0.95 m\""));
    let rest = format!(
        "[parts]\nline = {{ kind = \"line\", from = \"chamber\", length = \"1 mm\", bore = \"20 mm\" }}\n\
         caliper = {{ kind = \"caliper\", from = \"line\", new_pads = \"5 mL\"{caliper} }}\n\
         [clear_hose]\n{hose}\n[procedure]\nopen = [\"caliper\"]\nuntil = \"20 mL\""
    );
    scenario_text(&[DOT_4, &above, &rest, supply])
}

fn seconds(scenario: &Scenario) -> f64 {
    flush(scenario, &Options::default()).expect("it runs").openings[0].flow_seconds
}

/// Seconds for 20 mL with the head given, m.
fn exact(scenario: &Scenario, head_m: f64) -> f64 {
    exact_behind(scenario, head_m, (0.0, 0.0))
}

/// The same behind something with these resistances, 1/m³ and 1/m⁴.
fn exact_behind(scenario: &Scenario, head_m: f64, before: (f64, f64)) -> f64 {
    let [old, new] = [scenario.old_fluid.fluid(), scenario.new_fluid.fluid()];
    let nu = Blend::new(old, new, scenario.vehicle.temperature.value).nu_m2_s(1.0);
    let (a, b) = open_screw(&scenario.circuit().bleeders[0].passage);
    let (a, b) = (nu * (a + before.0), b + before.1);
    20e-6 * (a + (a * a + 4.0 * b * G * head_m).sqrt()) / (2.0 * G * head_m)
}

/// With the clear hose and the axial hole so long, and so short.
#[test]
fn hole_and_hose_resist_by_their_length() {
    for hose in ["length = \"0 m\"", "", "length = \"2 m\"", "length = \"1 m\"\nbore = \"3 mm\""] {
        for caliper in [", bleeder_hole_length = \"0 mm\"", "", ", seat_gap = \"0.1 mm\""] {
            let scenario = car(hose, caliper);
            let exact = exact(&scenario, 0.6);
            // What else there is costs a thousandth.
            close(seconds(&scenario) / exact, 1.0, 1e-3, &format!("{hose}{caliper}"));
        }
    }
}

/// The head ends where fluid comes out: a full hose draws like a siphon, one that hangs open does not, one that rises has
/// to be filled.
#[test]
fn the_head_ends_where_fluid_comes_out() {
    for (end, in_fluid, head_m) in [
        ("-0.35 m", true, 0.95),
        ("-0.35 m", false, 0.6),
        ("0.2 m", true, 0.4),
        ("0.2 m", false, 0.4),
    ] {
        let scenario = car(&format!("end_above = \"{end}\"\nend_in_fluid = {in_fluid}"), "");
        close(seconds(&scenario) / exact(&scenario, head_m), 1.0, 1e-3, end);
    }
}

/// Through a hole of 0.5 mm: a centre valve's in a thin wall (Sampson 1891), a compensating port's through 1.5 mm (Hagen and
/// Poiseuille beside that); the cup stays shut at 6 kPa.
#[test]
fn a_port_has_a_wall_and_a_centre_valve_has_none() {
    let d: f64 = 0.5e-3;
    let area = PI / 4.0 * d * d;
    let jet = 0.5 * (1.0 + 2.0 / PI).powi(2) / (area * area);
    let valve = "centre_valve = \"0.5 mm\"";
    let port = "compensating_port = \"0.5 mm\"";
    let thin = "compensating_port = \"0.5 mm\"\ncompensating_port_length = \"0 mm\"";
    for (entered, wall_m) in [(valve, 0.0), (port, 1.5e-3), (thin, 0.0)] {
        let viscous = 24.0 / d.powi(3) + 128.0 * wall_m / (PI * d.powi(4));
        let scenario = car_with(entered, "", "");
        let exact = exact_behind(&scenario, 0.6, (viscous, jet));
        close(seconds(&scenario) / exact, 1.0, 1e-3, entered);
    }
}

/// How far an open end hangs below the bleeder moves nothing, which is told.
#[test]
fn how_low_an_open_end_hangs_is_without_effect() {
    let told = |hose: &str| {
        let job = flush(&car(hose, ""), &Options::default()).expect("it runs");
        job.warnings.iter().any(|w| w.kind == WarningKind::KeyWithoutEffect)
    };
    assert!(told("end_above = \"-0.35 m\"\nend_in_fluid = false"));
    assert!(!told("end_above = \"-0.35 m\""));
    assert!(!told("end_above = \"0.2 m\"\nend_in_fluid = false"));
}

/// A siphon draws air past the threads, which is told; where the end is no lower, where it hangs open, and under pressure
/// there is none.
#[test]
fn a_siphon_is_told_of() {
    let told = |scenario: &Scenario| {
        let job = flush(scenario, &Options::default()).expect("it runs");
        let mut all = job.warnings.iter().filter(|w| w.kind == WarningKind::AirPastTheThreads);
        all.next().map(|w| w.text.clone())
    };
    // 1060 kg/m³ or so, times 9.81, times 0.35 m: 3.6 kPa.
    let text = told(&car("end_above = \"-0.35 m\"", "")).expect("it is told");
    assert!(text.contains("0.35 m below the bleeder") && text.contains("3.6 kPa"), "{text}");
    assert!(text.contains("(line "), "{text}");
    for hose in ["", "end_above = \"0.2 m\"", "end_above = \"-0.35 m\"\nend_in_fluid = false"] {
        assert_eq!(told(&car(hose, "")), None, "{hose}");
    }
    let hatchback = include_str!("../../scenarios/compact-hatchback.toml");
    let low = hatchback.replace("[clear_hose]\n", "[clear_hose]\nend_above = \"-0.35 m\"\n");
    assert_eq!(told(&read(&low)), None, "under pressure");
}

/// Slits side by side make an ellipse: along a long one the width is 2 b √(1 − x²/a²), and what each piece passes adds up to
/// π a b² Δp/(6 μ), as of an elliptical hole (R. Roscoe, *Phil. Mag.* 40 (1949), 338, its elliptic integral 1 for a long
/// one; of a circle it is π/2, which gives Sampson's r³ Δp/(3 μ); from memory).
#[test]
fn slits_add_up_to_a_long_ellipse() {
    let (a, b) = (1.0, 1e-3);
    let pieces = 100_000;
    let dx = 2.0 * a / f64::from(pieces);
    let passed: f64 = (0..pieces)
        .map(|i| -a + (f64::from(i) + 0.5) * dx)
        .map(|x| 1.0 / slit_viscous_resistance(2.0 * b * (1.0 - (x / a).powi(2)).sqrt(), dx))
        .sum();
    close(passed / (PI * a * b * b / 6.0), 1.0, 1e-6, "an ellipse");
}

/// Seconds with a bleeder open of the compact hatchback, with one thing changed.
#[test]
fn the_page_says_what_decides_the_seconds() {
    const ACCURACY: &str = include_str!("../../docs/accuracy.md");
    let text = include_str!("../../scenarios/compact-hatchback.toml");
    let volume = "volume = \"12 mL ± 2 mL\"\n";
    let master = |key: &str| text.replace(volume, &format!("{volume}{key}\n"));
    let hose = |keys: &str| text.replace("[clear_hose]\n", &format!("[clear_hose]\n{keys}\n"));
    let hole = |length: &str| {
        let caliper = "kind = \"caliper\", ";
        text.replace(caliper, &format!("{caliper}bleeder_hole_length = \"{length}\", "))
    };
    let cars = [
        ("as shipped", text.to_owned()),
        (
            "end of the clear hose 0.35 m below the bleeder, in fluid",
            hose("end_above = \"-0.35 m\""),
        ),
        ("end of the clear hose 0.35 m above the bleeder", hose("end_above = \"0.35 m\"")),
        ("centre valves of 2 mm in place of ports and cups", master("centre_valve = \"2 mm\"")),
        ("wall of the compensating port 0.5 mm", master("compensating_port_length = \"0.5 mm\"")),
        ("wall of the compensating port 3 mm", master("compensating_port_length = \"3 mm\"")),
        ("clear hose 0.3 m long", hose("length = \"0.3 m\"")),
        ("clear hose 1.2 m long", hose("length = \"1.2 m\"")),
        ("axial hole of the bleeders 15 mm long", hole("15 mm")),
        ("axial hole of the bleeders 30 mm long", hole("30 mm")),
    ];
    let mut as_shipped = None;
    for (what, text) in cars {
        let [pushed, by_gravity] = ["pressure bleeder", "gravity"].map(|supply| {
            let options = Options { supply: Some(supply.to_owned()), ..quick() };
            flush(&read(&text), &options).expect("it runs").totals
        });
        let row =
            format!("| {what} | {:.0} s | {:.0} s |", pushed.flow_seconds, by_gravity.flow_seconds);
        assert!(ACCURACY.contains(&row), "docs/accuracy.md should hold this row:\n{row}");
        let ml = [pushed.drained_ml, by_gravity.drained_ml];
        for (ml, first) in ml.iter().zip(*as_shipped.get_or_insert(ml)) {
            close(*ml, first, 1e-3, what);
        }
    }
}

/// Hasimoto's slit, Sampson's hole (Δp = 3 μ Q/r³) and Poiseuille's tube (8 μ L Q/(π r⁴)), by what the keys say by default.
#[test]
fn the_page_says_what_an_open_bleeder_resists() {
    const NUMBERS: &str = include_str!("../../docs/numbers.md");
    let hole = |d: f64| 3.0 / (0.5 * d).powi(3);
    let tube = |d: f64, l: f64| 8.0 * l / (PI * (0.5 * d).powi(4));
    let slit = |gap: f64, round: f64| 8.0 / (PI * (0.5 * gap).powi(2) * round);
    let (gap, cross) = (slit(0.35e-3, PI * 2e-3), hole(1.5e-3));
    let (axial, hose) = (hole(2e-3) + tube(2e-3, 22e-3), tube(5e-3, 0.6));
    for (what, a) in [
        ("`seat_gap` 0.35 mm", gap),
        ("`bleeder_cross_hole` 1.5 mm", cross),
        ("`bleeder_hole` 2 mm, `bleeder_hole_length` 22 mm", axial),
        ("`[clear_hose]` `bore` 5 mm, `length` 0.6 m", hose),
        (
            "`compensating_port` 0.7 mm, `compensating_port_length` 1.5 mm",
            hole(0.7e-3) + tube(0.7e-3, 1.5e-3),
        ),
        ("`centre_valve` of 2 mm", hole(2e-3)),
        ("for comparison, 5 m of line of 3.33 mm", tube(3.33e-3, 5.0)),
    ] {
        let row = NUMBERS.lines().find(|l| l.starts_with(&format!("| {what}"))).expect(what);
        assert!(row.ends_with(&format!(" {:.1} |", a / 1e10)), "{row}: {a}");
    }
    // Those are the program's own.
    let (viscous, _) = open_screw(&car("", "").circuit().bleeders[0].passage);
    close(viscous / (gap + cross + axial + hose), 1.0, 1e-12, "the whole row");
}

/// A vessel of little air loses its gauge as it sends fluid, p (A + V) = p₀ A (Boyle 1662): the seconds are ∫ dV/Q(p), of
/// each step's middle at the error of the midpoint rule, of its end or beginning some per cent more or less. Simpson's rule.
#[test]
fn a_gauge_that_falls_counts_as_in_the_middle_of_a_step() {
    let vessel = "[supplies.it]\nkind = \"pressure bleeder\"\nloaded = \"1 L\"\nshell = \"1.2 L\"\ngauge = \"1 bar\"\n\
        feed_hose_length = \"0.1 m\"\nfeed_hose_bore = \"12 mm\"\nfeed_hose_holds = \"new fluid\"";
    let text = car_text(WIDE, "", "", [1000, 100, 1000, 1000], vessel).replace("20 mL", "80 mL");
    let scenario = read(&text);
    let coarse = Options { steps_per_path: 1.0, ..quick() };
    let opening = flush(&scenario, &coarse).expect("it runs").openings.remove(0);
    let density = check(&scenario, &coarse).expect("a report").fluids[0].density_kg_per_m3;
    let per_m3 = |sent_ml: f64| {
        let gauge_pa = (101_325.0 + 1e5) * 200.0 / (200.0 + sent_ml) - 101_325.0;
        exact(&scenario, 0.6 + gauge_pa / (density * G)) / 20e-6
    };
    let n = 200;
    let at = |i: i32| per_m3(80.0 * f64::from(i) / f64::from(n));
    let weight = |i: i32| if i == 0 || i == n { 1.0 } else { f64::from(2 + 2 * (i % 2)) };
    let by_hand = (0..=n).map(|i| weight(i) * at(i)).sum::<f64>() * 80e-6 / (3.0 * f64::from(n));
    close(opening.flow_seconds, by_hand, 2e-3 * by_hand, "seconds");
}
