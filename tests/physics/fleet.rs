//! Drums and their valves, two-bleeder calipers, a clutch on the brake reservoir, water by part: what each
//! does in a whole job. What the trade says of valves is marked `common practice, no source`.

use crate::common::cars::{
    DOT_4, GRAVITY, edited, old_ml, opening, part, read, run, scenario_text, undivided, warning,
};
use farwheel::fluid::blend::Blend;
use farwheel::job::check;
use farwheel::job::options::Options;
use farwheel::job::record::{Record, WarningKind};

const PICKUP: &str = include_str!("../../scenarios/pickup-rear-drums.toml");
const COUPE: &str = include_str!("../../scenarios/coupe-twin-bleeders.toml");
const CLUTCH: &str = include_str!("../../scenarios/hatchback-with-clutch.toml");
const OFF_ROADER: &str = include_str!("../../scenarios/off-roader-eight-bleeders.toml");

/// A valve that is simply open.
const OPEN: &str = "kind = \"metering valve\", held_open = true, bore = \"2 mm\"";

/// One wheel cylinder behind a valve, under the head of its reservoir.
fn drum(valve: &str, drum: &str, until: &str) -> String {
    let parts = format!(
        r#"height = "4 m"
[parts]
line = {{ kind = "line", from = "only", length = "1 m" }}
valve = {{ from = "line", {valve} }}
"rear line" = {{ kind = "line", from = "valve", length = "1 m" }}
drum = {{ kind = "wheel cylinder", from = "rear line", volume = "10 mL", {drum} height = "0 m" }}
[procedure]
open = ["drum"]
until = "{until}""#
    );
    let reservoir = undivided("only", 10.0, [100, 50, 120, 150]);
    scenario_text(&[DOT_4, &reservoir, &parts, GRAVITY])
}

/// A head of 4 m is about 41 kPa: a valve that cracks at 60 kPa lets nothing by, and the program says
/// so, which valve and what to do.
#[test]
fn below_its_cracking_pressure_a_residual_valve_passes_nothing() {
    let text = drum("kind = \"residual-pressure valve\", cracking = \"60 kPa\"", "", "20 mL");
    let record = run(&text);
    assert_eq!(record.totals.drained_ml, 0.0);
    assert!(record.stopped());
    let told = &warning(&record, WarningKind::NoFlow).text;
    let line = 1 + text.lines().position(|l| l.starts_with("valve = ")).unwrap();
    let line = format!("line {line}");
    for word in ["at drum", "residual-pressure valve \"valve\"", "60 kPa", &line, "pedal"] {
        assert!(told.contains(word), "no `{word}` in: {told}");
    }
}

/// Above, it costs its cracking pressure and the loss of its hole: the flow is that of an open hole
/// under so much less head (closed form: the drops add up).
#[test]
fn above_its_cracking_pressure_a_residual_valve_costs_just_that() {
    let scenario = read(&drum(OPEN, "", "1 mL"));
    let [old, new] = [scenario.old_fluid.fluid(), scenario.new_fluid.fluid()];
    let density = Blend::new(old, new, 293.15).density_kg_m3(1.0);
    for cracking_pa in [5e3, 15e3, 30e3] {
        let valve = format!(
            "kind = \"residual-pressure valve\", cracking = \"{cracking_pa} Pa\", bore = \"2 mm\""
        );
        let with = run(&drum(&valve, "", "1 mL"));
        let height = format!("height = \"{} m\"", 4.0 - cracking_pa / (density * 9.806_65));
        let lower = run(&edited(&drum(OPEN, "", "1 mL"), "height = \"4 m\"", &height));
        let [a, b] = [with, lower].map(|r| r.openings[0].curve[1].flow_ml_per_s);
        assert!(b > 0.05 && (a / b - 1.0).abs() < 1e-7, "{a} mL/s, {b} mL/s at {cracking_pa} Pa");
    }
}

/// Common practice, no source: with a metering valve in the front circuit, a pressure bleeder moves
/// nothing at the front unless the valve's stem is held, and behind a drum circuit all is as usual.
#[test]
fn a_metering_valve_holds_the_front_off_unless_held_open() {
    let shut_text = edited(PICKUP, "held_open = true", "held_open = false");
    let (held, shut) = (run(PICKUP), run(&shut_text));
    assert!(!held.stopped() && shut.stopped());
    for wheel in ["RF", "LF"] {
        assert!(opening(&held, wheel).drained_ml > 50.0);
        assert_eq!(opening(&shut, wheel).drained_ml, 0.0);
        assert!((old_ml(&shut, wheel) - 45.0).abs() < 1e-9, "its fluid stays as it was");
    }
    let (a, b) = (opening(&held, "RR"), opening(&shut, "RR"));
    assert!((a.drained_ml - b.drained_ml).abs() < 1e-9);
    // Neither verb is silent; `check` knows beforehand.
    let looked = check(&read(&shut_text), &Options::default()).unwrap();
    for warnings in [&shut.warnings, &looked.warnings] {
        let told: Vec<_> = warnings.iter().filter(|w| w.kind == WarningKind::NoFlow).collect();
        assert_eq!(told.len(), 2, "{warnings:?}");
        for (w, wheel) in told.iter().zip(["RF", "LF"]) {
            assert!(w.stops_the_job() && w.text.contains(&format!("at {wheel} nothing flows")));
            assert!(
                w.text.contains("metering valve \"front valve\"") && w.text.contains("held_open")
            );
        }
    }
    // Held open, there is a tool to be taken off.
    let told = |r: &Record| r.warnings.iter().any(|w| w.text.contains("take that off"));
    assert!(told(&held) && !told(&shut));
}

/// Common practice, no source: with the wheels hanging a load-sensing valve passes little. On a tree drained
/// volume drives transport, so that costs minutes and not millilitres.
#[test]
fn hanging_wheels_cost_minutes_and_not_millilitres() {
    let hanging_text = edited(PICKUP, "suspension = \"loaded\"", "suspension = \"hanging\"");
    let (loaded, hanging) = (run(PICKUP), run(&hanging_text));
    for wheel in ["RR", "LR"] {
        let (a, b) = (opening(&loaded, wheel), opening(&hanging, wheel));
        assert!(b.mean_flow_ml_per_s < 0.5 * a.mean_flow_ml_per_s, "{wheel}");
        let (clean_a, clean_b) = (a.clean_at_ml.unwrap(), b.clean_at_ml.unwrap());
        let promise = f64::max(0.5, 0.005 * clean_a);
        assert!((clean_a - clean_b).abs() < promise, "{wheel}: {clean_a} mL, {clean_b} mL");
    }
    let looked = check(&read(&hanging_text), &Options::default()).unwrap();
    for warnings in [&hanging.warnings, &looked.warnings] {
        let told = warnings
            .iter()
            .find(|w| w.kind == WarningKind::StateOfAValve && w.text.contains("hang"));
        assert!(told.is_some_and(|w| !w.stops_the_job() && w.text.contains("\"rear valve\"")));
    }
    assert!(loaded.warnings.iter().all(|w| !w.text.contains("wheels hang")));
}

/// Inlet and bleeder open between the cups: the space toward the pistons (the pocket, here 30 %) lies off
/// the way and keeps its fluid. Closed form over each step of a pocket beside a stage of old fraction s,
/// which is what leaves: c − s falls as exp(−e Q/(p V)), e the exchange, Q what flowed, p V the pocket.
#[test]
fn a_wheel_cylinder_keeps_what_lies_toward_its_pistons() {
    for exchange in [1e-4, 1e-3] {
        let key = format!("pocket_exchange = {exchange},");
        let record = run(&drum(OPEN, &key, "400 mL"));
        let curve = &record.openings[0].curve;
        let kept = curve.windows(2).fold(1.0, |c, w| {
            let (s, q_ml) = (w[1].leaving_old_fraction, w[1].drained_ml - w[0].drained_ml);
            s + (c - s) * f64::exp(-exchange * q_ml / 3.0)
        });
        let stage_ml = 7.0 * curve[curve.len() - 1].leaving_old_fraction;
        let held_ml = old_ml(&record, "drum");
        assert!(kept > 0.85 && stage_ml < 0.2, "{kept}, {stage_ml} mL");
        let error_ml = held_ml - stage_ml - 3.0 * kept;
        assert!(error_ml.abs() < 2e-3, "{held_ml} mL held, {error_ml} mL off the closed form");
    }
    // Without a pocket next to nothing is kept.
    assert!(old_ml(&run(&drum(OPEN, "pocket = \"0 %\",", "400 mL")), "drum") < 0.2);
}

/// Worn shoes let the pistons out, and the reservoir down unless it was topped up.
#[test]
fn worn_shoes_move_fluid_from_the_reservoir_into_the_cylinders() {
    let worn = |topped: bool| {
        let text = drum(OPEN, "worn_shoes = \"14 mL\",", "1 mL")
            .replace("[old_fluid]", "[vehicle]\npad_wear = \"50 %\"\n[old_fluid]")
            .replace("level = ", &format!("topped_up = {topped}\nlevel = "));
        let circuit = read(&text).circuit().clone();
        let drum = circuit.nodes.iter().find(|n| n.name == "drum").unwrap();
        (1e6 * circuit.reservoir.level_m3, 1e6 * drum.chamber.unwrap().volume_m3)
    };
    assert_eq!(worn(true).0.round(), 100.0);
    let (level, cylinder) = worn(false);
    assert!((level - 98.0).abs() < 1e-9 && (cylinder - 12.0).abs() < 1e-9, "{level} {cylinder}");
}

/// The half behind is cleaned only through its own bleeder: with the inner one alone it keeps its fluid,
/// with the outer one alone both come clean.
#[test]
fn the_outer_half_needs_its_own_bleeder() {
    let only = |bleeder: &str| {
        let (head, _) = COUPE.split_once("[procedure]").unwrap();
        run(&format!("{head}[procedure]\nopen = [\"LF {bleeder}\"]\nuntil = \"1200 mL\"\n"))
    };
    let (inner, outer) = (only("inner"), only("outer"));
    assert!(old_ml(&inner, "LF inner") < 1.0);
    let whole = part(&inner, "LF outer");
    assert!((whole.old_fraction - 1.0).abs() < 1e-12, "{whole:?}");
    assert!(old_ml(&outer, "LF inner") < 1.0 && old_ml(&outer, "LF outer") < 1.0);
}

/// The clutch draws from an outlet of its own: its bleeder moves nothing of the brakes', and the brakes'
/// bleeders nothing of its.
#[test]
fn a_clutch_on_the_brake_reservoir_shares_the_reservoir_only() {
    let (head, _) = CLUTCH.split_once("[procedure]").unwrap();
    let only = |bleeder: &str| {
        run(&format!("{head}[procedure]\nopen = [\"{bleeder}\"]\nuntil = \"150 mL\"\n"))
    };
    let clutch = only("clutch");
    let brake = only("RR");
    for p in clutch.left.parts.iter().filter(|p| p.part != "reservoir") {
        let own = ["feed hose", "clutch master", "clutch line", "clutch hose", "clutch"];
        let touched = own.contains(&p.part.as_str());
        assert_eq!(p.old_fraction < 0.999, touched, "{p:?}");
    }
    assert!((old_ml(&brake, "clutch") - 9.0).abs() < 1e-9);
    let from: Vec<_> = clutch.openings[0].origins_ml.iter().map(|o| o.0).collect();
    assert!(!from.contains(&"another circuit"), "{from:?}");
    let master = clutch.openings[0].origins_ml.iter().find(|o| o.0 == "master cylinder").unwrap();
    assert!((5.0..=6.0).contains(&master.1), "{master:?}");
}

/// HH: two circuits that reach every wheel and share nothing below the reservoir's dividing wall.
#[test]
fn the_off_roaders_circuits_are_apart() {
    let circuit = read(OFF_ROADER).circuit().clone();
    assert_eq!(circuit.bleeders.len(), 8);
    let links = |b: usize| circuit.bleeders[b].path.iter().copied();
    for a in 0..8 {
        for b in (0..8).filter(|b| {
            circuit.bleeders[a].name.ends_with('A') && circuit.bleeders[*b].name.ends_with('B')
        }) {
            assert!(links(a).all(|l| links(b).all(|k| k != l)));
        }
    }
}

fn water_by_kind(old_fluid: &str, part: &str) -> [f64; 4] {
    let text = drum(OPEN, part, "1 mL").replacen("grade = \"DOT 4\"", old_fluid, 1);
    let circuit = read(&text).circuit().clone();
    let node = |name: &str| {
        100.0 * circuit.nodes.iter().find(|n| n.name == name).unwrap().filling.water_share
    };
    let line = circuit.links.iter().find(|l| l.name == "line").unwrap();
    [node("reservoir"), node("only"), 100.0 * line.filling.water_share, node("drum")]
}

fn assert_water(found: [f64; 4], expected: [f64; 4]) {
    for (a, b) in found.iter().zip(expected) {
        assert!((a - b).abs() < 1e-9, "{found:?} is not {expected:?}");
    }
}

/// Over half of 1000 cars had 3 % or more (J. Keen, *Vapour lock in car braking systems*, Transport and
/// Road Research Laboratory, LR 903, 1979, abstract), which is why 3 % is the default; that the wheel
/// brakes are wetter: *Commercial Motor*, 6 May 1977, p. 23, by how much is an estimate. One figure given counts for all, a part's own before everything.
#[test]
fn water_is_short_to_write_and_by_part_by_default() {
    let grade = "grade = \"DOT 4\"";
    assert_water(water_by_kind(grade, ""), [2.5, 3.0, 3.0, 3.5]);
    let one = format!("{grade}\nwater = \"2 % ± 1 %\"");
    assert_water(water_by_kind(&one, ""), [2.0; 4]);
    let two = format!("{one}\nwater_wheel_brakes = \"4 %\"");
    assert_water(water_by_kind(&two, ""), [2.0, 2.0, 2.0, 4.0]);
    let cap = format!("{grade}\nwater_reservoir = \"1.5 %\"");
    // What was read at the cap moves the other places with it.
    assert_water(water_by_kind(&cap, ""), [1.5, 2.0, 2.0, 2.5]);
    assert_water(water_by_kind(&two, "water = \"5 %\","), [2.0, 2.0, 2.0, 5.0]);
}

#[test]
fn check_lists_the_water_taken_by_default() {
    let listed = |old_fluid: &str| -> Vec<(&'static str, String)> {
        let text = drum(OPEN, "", "1 mL").replacen("grade = \"DOT 4\"", old_fluid, 1);
        let report = check(&read(&text), &Options::default()).unwrap();
        let water = report.defaults.into_iter().filter(|d| d.table == "old_fluid");
        water.filter(|d| d.key.starts_with("water")).map(|d| (d.key, d.value)).collect()
    };
    let all = listed("grade = \"DOT 4\"");
    let keys: Vec<_> = all.iter().map(|d| d.0).collect();
    assert_eq!(keys, ["water", "water_reservoir", "water_wheel_brakes"]);
    assert!(all[0].1.starts_with("3 %") && all[1].1.starts_with("2.5 %"), "{all:?}");
    assert_eq!(listed("grade = \"DOT 4\"\nwater = \"2 %\""), []);
}
