//! What stays behind: pockets of every kind of chamber, the water of a blend, and where fluid boils first.

use farwheel::Scenario;
use farwheel::fluid::blend::{Blend, Fluid, mixed_water_percent};
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::job::record::{PartLeft, Record, WarningKind};
use farwheel::keys::table::keys_in;
use farwheel::keys::{Key, keys_of};
use farwheel::parts;
use farwheel::parts::mixing::Mixing;
use farwheel::scenario::tables;

const HATCHBACK: &str = include_str!("../scenarios/compact-hatchback.toml");
const PICKUP: &str = include_str!("../scenarios/pickup-rear-drums.toml");
const SALOON: &str = include_str!("../scenarios/saloon-esc-plain-flush.toml");

/// A wheel under the head of its reservoir; what stands in capitals is filled in.
const CAR: &str = r#"
title = "one wheel"
[old_fluid]
grade = "DOT 4"
density = "1070 kg/m³"
water = "3 %"
water_reservoir = "2 %"
water_wheel_brakes = "4 %"
[new_fluid]
grade = "DOT 4"
density = "1030 kg/m³"
[reservoir]
level = "150 mL"
min = "50 mL"
max = "200 mL"
brim = "220 mL"
height = "3 m"
RESERVOIR
[master_cylinder]
chambers = ["one"]
MASTER
[parts]
line = { kind = "line", from = "one", length = "1 mm", LINE }
wheel = { kind = "caliper", from = "line", WHEEL }
MORE
[supplies.gravity]
kind = "gravity"
[procedure]
open = ["wheel"]
until = "UNTIL"
"#;

const NEW: &str = "old_fraction = 0";
const SMALL: &str = "volume = \"0.05 mL\"";

fn read(text: &str) -> Scenario {
    farwheel::read(text, "left.toml").unwrap_or_else(|m| panic!("{m}"))
}

fn run(text: &str) -> Record {
    let options = Options { estimate_error: false, origins: true, ..Options::default() };
    flush(&read(text), &options).unwrap_or_else(|e| panic!("{e}"))
}

fn edited(text: &str, find: &str, replace: &str) -> String {
    assert_eq!(text.matches(find).count(), 1, "{find}");
    text.replacen(find, replace, 1)
}

fn car(filled: [(&str, &str); 6]) -> String {
    filled.into_iter().fold(CAR.to_owned(), |text, (what, with)| edited(&text, what, with))
}

/// A car that is new but for its wheel.
fn wheel(wheel: &str, until: &str) -> String {
    let wheel = format!("new_pads = \"100 mL\", water = \"3 %\", {wheel}");
    car([
        ("RESERVOIR", NEW),
        ("MASTER", SMALL),
        ("LINE", NEW),
        ("WHEEL", &wheel),
        ("MORE", ""),
        ("UNTIL", until),
    ])
}

fn part<'r>(record: &'r Record, name: &str) -> &'r PartLeft {
    record.left.parts.iter().find(|p| p.part == name).unwrap_or_else(|| panic!("no part {name}"))
}

/// The old fluid and the new of a scenario.
fn fluids(text: &str) -> [Fluid; 2] {
    let scenario = read(text);
    [scenario.old_fluid.fluid(), scenario.new_fluid.fluid()]
}

/// Boiling point of old with new fluid, °C.
fn boils(text: &str, old_fraction: f64) -> f64 {
    let [old, new] = fluids(text);
    let water = mixed_water_percent(old_fraction, &old, &new);
    Blend::new(old, new, 293.15).boiling_c(old_fraction, water)
}

fn near(a: f64, b: f64, tolerance: f64, what: &str) {
    assert!((a - b).abs() <= tolerance, "{what}: {a} is not {b} within {tolerance}");
}

/// ∫ F dV of a chamber with a pocket is V_a + V_d for any exchange above 0, whatever it is: the pocket delays, it
/// does not keep (mean residence time V/Q of a closed vessel without dead volume, Levenspiel, *Chemical Reaction
/// Engineering*). So all that lay in the chamber has come out in the end.
#[test]
fn the_pocket_of_a_master_cylinder_gives_its_fluid_off() {
    for (exchange, until) in [("2 %", "6 L"), ("10 %", "2 L"), ("80 %", "1.5 L")] {
        let master =
            format!("volume = \"40 mL\"\npocket = \"35 %\"\npocket_exchange = \"{exchange}\"");
        let text = car([
            ("RESERVOIR", NEW),
            ("MASTER", &master),
            ("LINE", NEW),
            ("WHEEL", "new_pads = \"1 mL\", old_fraction = 0"),
            ("MORE", ""),
            ("UNTIL", until),
        ]);
        let record = run(&text);
        let origins = &record.openings[0].origins_ml;
        let out = origins.iter().find(|o| o.0 == "master cylinder").expect("an origin").1;
        near(out, 40.0, 0.01, exchange);
        assert!(part(&record, "one").old_fraction < 1e-3, "{:?}", part(&record, "one"));
    }
    // Left to itself it trades by time.
    let rests = |time: &str| {
        let text = HATCHBACK
            .replace("[master_cylinder]", &format!("[master_cylinder]\npocket = \"30 %\"\n{time}"))
            .replace("until = \"clean\"", "until = \"clean\"\nafter = [{ wait = \"1 h\" }]");
        part(&run(&text), "secondary").pocket_boiling_c.expect("a pocket")
    };
    assert!(rests("pocket_time = \"10 min\"") > rests("") + 2.0);
}

/// A third of the master cylinder in a pocket costs a flush by eye a few millilitres (584 without).
#[test]
fn a_pocket_in_the_master_cylinder_is_flushed() {
    let text = edited(HATCHBACK, "[master_cylinder]", "[master_cylinder]\npocket = \"30 %\"");
    let record = run(&text);
    let plain = run(HATCHBACK);
    let more = record.totals.drained_ml - plain.totals.drained_ml;
    assert!((0.0..15.0).contains(&more), "{more} mL more");
    for chamber in ["primary", "secondary"] {
        let (with, without) = (part(&record, chamber), part(&plain, chamber));
        assert!(with.old_fraction > without.old_fraction, "{with:?}");
        assert!(with.old_fraction < 0.06, "{with:?}");
    }
}

/// Whatever has one of a pocket's keys has all, as they are written once; the wheel cylinder's `pocket` alone is
/// told otherwise.
#[test]
fn a_pocket_has_all_its_keys_wherever_there_is_one() {
    let of_parts = parts::Kind::all().iter().map(|k| (k.spec().name, keys_in(&mut *k.clone())));
    let of_tables = tables::TABLES.iter().map(|t| (t.name, (t.keys)()));
    let of_a_pocket = keys_of::<Mixing>();
    let mut with_pocket = Vec::new();
    for (name, keys) in of_parts.chain(of_tables) {
        let find = |name: &str| -> Option<Key> { keys.iter().copied().find(|k| k.name == name) };
        if !keys.iter().any(|k| k.name.starts_with("pocket")) {
            continue;
        }
        with_pocket.push(name);
        for key in &of_a_pocket {
            match key.name {
                "pocket" => assert_eq!(find("pocket").map(|k| k.form), Some(key.form), "{name}"),
                other => assert_eq!(find(other), Some(*key), "{name}"),
            }
        }
    }
    assert_eq!(of_a_pocket.len(), 4);
    with_pocket.sort_unstable();
    assert_eq!(
        with_pocket,
        [
            "caliper",
            "chamber",
            "clutch master cylinder",
            "clutch slave cylinder",
            "master_cylinder",
            "two-bleeder caliper",
            "wheel cylinder"
        ]
    );
}

/// And the chamber that is built from it holds what was written.
#[test]
fn every_chamber_has_the_pocket_that_its_table_states() {
    let pocket = "pocket = \"40 %\", pocket_exchange = \"20 %\", pocket_time = \"60 s\"";
    let more = format!(
        r#"
l1 = {{ kind = "line", from = "one", length = "1 m" }}
clutch = {{ kind = "clutch master cylinder", from = "l1", volume = "5 mL", {pocket} }}
l3 = {{ kind = "line", from = "clutch", length = "1 m" }}
tee = {{ kind = "tee", from = "l3" }}
l4 = {{ kind = "line", from = "tee", length = "1 m" }}
l5 = {{ kind = "line", from = "tee", length = "1 m" }}
l6 = {{ kind = "line", from = "tee", length = "1 m" }}
slave = {{ kind = "clutch slave cylinder", from = "l4", volume = "5 mL", {pocket} }}
drum = {{ kind = "wheel cylinder", from = "l5", volume = "5 mL", {pocket} }}
twin = {{ kind = "two-bleeder caliper", from = "l6", bleeders = ["in", "out"], new_pads = "9 mL", {pocket} }}
"#
    );
    let text = car([
        ("RESERVOIR", ""),
        ("MASTER", &format!("volume = \"5 mL\"\n{}", pocket.replace(", ", "\n"))),
        ("LINE", NEW),
        ("WHEEL", &format!("new_pads = \"5 mL\", {pocket}")),
        ("MORE", &more),
        ("UNTIL", "10 mL"),
    ]);
    let circuit = read(&text).circuit().clone();
    let chambers: Vec<_> =
        circuit.nodes.iter().filter_map(|n| Some((&n.name, n.chamber?))).collect();
    assert_eq!(chambers.len(), 7, "{chambers:?}");
    for (name, c) in chambers {
        assert_eq!(
            (c.pocket_share, c.pocket_exchange, c.pocket_time_s),
            (0.4, 0.2, 60.0),
            "{name}"
        );
    }
}

/// By hand, of half a millilitre of each: c = w ρ grams a millilitre with 1/ρ = w/0.9982 + (1 − w)/ρ_dry add up, and
/// in the mixture w = c/(c + (1 − c/0.9982) ρ_dry) with the mean of both dry densities.
fn half_and_half(old_percent: f64, new_percent: f64) -> f64 {
    const WATER: f64 = 0.998_206_7;
    let grams = |percent: f64, dry: f64| {
        let share = 0.01 * percent;
        share / (share / WATER + (1.0 - share) / dry)
    };
    let c = 0.5 * (grams(old_percent, 1.07) + grams(new_percent, 1.03));
    100.0 * c / (c + (1.0 - c / WATER) * 1.05)
}

/// Water of what is partly new: of the old fluid that such a place holds and of the new fluid, by their shares; what
/// is stated counts.
#[test]
fn a_blend_has_the_water_of_both_its_fluids() {
    let water = |reservoir: &str, line: &str, wheel: &str| {
        let text = car([
            ("RESERVOIR", reservoir),
            ("MASTER", SMALL),
            ("LINE", line),
            ("WHEEL", &format!("new_pads = \"5 mL\", {wheel}")),
            ("MORE", ""),
            ("UNTIL", "10 mL"),
        ]);
        let circuit = read(&text).circuit().clone();
        let node = |name: &str| circuit.nodes.iter().find(|n| n.name == name).expect("a node");
        let line = circuit.links.iter().find(|l| l.name == "line").expect("a line");
        [node("reservoir").filling, line.filling, node("wheel").filling]
            .map(|f| 100.0 * f.water_share)
    };
    let half = "old_fraction = 0.5";
    let expected = [2.0, 3.0, 4.0].map(|old| half_and_half(old, 0.1));
    for (found, expected) in [
        (water("", "", ""), [2.0, 3.0, 4.0]),
        (water("old_fraction = 1", "old_fraction = 1", "old_fraction = 1"), [2.0, 3.0, 4.0]),
        (water(NEW, NEW, NEW), [0.1; 3]),
        (water(half, half, half), expected),
        (
            water(
                "old_fraction = 0.5\nwater = \"1 %\"",
                "old_fraction = 0, water = \"2 %\"",
                "old_fraction = 0.5, water = \"5 %\"",
            ),
            [1.0, 2.0, 5.0],
        ),
    ] {
        for (a, b) in found.into_iter().zip(expected) {
            near(a, b, 1e-9, &format!("{found:?} for {expected:?}"));
        }
    }
}

/// A reservoir that was renewed boils as what comes out of the can.
#[test]
fn a_reservoir_declared_new_boils_as_new_fluid() {
    let text = edited(HATCHBACK, "[reservoir]", "[reservoir]\nold_fraction = \"0 %\"");
    let record = run(&edited(&text, "until = \"clean\"", "until = \"1 mL\""));
    let reservoir = part(&record, "reservoir");
    near(reservoir.boiling_c, boils(&text, 0.0), 1e-6, "all of it");
    near(reservoir.lowest_boiling_c, boils(&text, 0.0), 1e-6, "its worst place");
}

/// Old fractions of stages and pockets after `through` mL of new fluid, from V_a da/dv = before − a − e (a − p),
/// V_p dp/dv = e (a − p) by the classical Runge–Kutta method.
fn washed(stages: usize, share: f64, volume: f64, through: f64) -> (Vec<f64>, Vec<f64>) {
    const EXCHANGE: f64 = 0.1;
    let stage = volume / stages as f64;
    let (active, pocket) = (stage * (1.0 - share), stage * share);
    let rate = |y: &[f64]| -> Vec<f64> {
        (0..2 * stages)
            .map(|i| {
                let k = i % stages;
                let exchange = if pocket > 0.0 { EXCHANGE } else { 0.0 };
                let traded = exchange * (y[k] - y[stages + k]);
                let before = if k == 0 { 0.0 } else { y[k - 1] };
                if i < stages {
                    (before - y[k] - traded) / active
                } else {
                    traded / pocket.max(1e-9)
                }
            })
            .collect()
    };
    let steps = 2000;
    let h = through / f64::from(steps);
    let mut y = vec![1.0; 2 * stages];
    let moved = |y: &[f64], k: &[f64], by: f64| -> Vec<f64> {
        y.iter().zip(k).map(|(y, k)| y + by * k).collect()
    };
    for _ in 0..steps {
        let k1 = rate(&y);
        let k2 = rate(&moved(&y, &k1, 0.5 * h));
        let k3 = rate(&moved(&y, &k2, 0.5 * h));
        let k4 = rate(&moved(&y, &k3, h));
        for (i, y) in y.iter_mut().enumerate() {
            *y += h / 6.0 * (k1[i] + 2.0 * k2[i] + 2.0 * k3[i] + k4[i]);
        }
    }
    (y[..stages].to_vec(), y[stages..].to_vec())
}

/// Each stage and each pocket boils by itself, and the part where the worst of them does.
#[test]
fn a_part_boils_where_its_worst_stage_or_pocket_does() {
    for (stages, share) in [(1, 0.0), (1, 0.3), (3, 0.0), (3, 0.2)] {
        let text = wheel(&format!("stages = {stages}, pocket = {share}"), "150 mL");
        // All old fluid in it holds as much water.
        let text = text.replace("water_wheel_brakes = \"4 %\"", "");
        let record = run(&text);
        let found = part(&record, "wheel");
        let (active, pockets) = washed(stages, share, 100.0, 150.0);
        let worst = |of: &[f64]| of.iter().map(|f| boils(&text, *f)).fold(f64::INFINITY, f64::min);
        let case = format!("{stages} stages, pocket {share}: {found:?}");
        if share > 0.0 {
            near(found.pocket_boiling_c.expect("a pocket"), worst(&pockets), 0.1, &case);
            near(found.lowest_boiling_c, worst(&pockets), 0.1, &case);
        } else {
            assert_eq!(found.pocket_boiling_c, None);
            near(found.lowest_boiling_c, worst(&active), 0.1, &case);
        }
        let mean = (1.0 - share) * active.iter().sum::<f64>() + share * pockets.iter().sum::<f64>();
        near(found.boiling_c, boils(&text, mean / stages as f64), 0.1, &case);
        assert_eq!(record.left.lowest_boiling_part, "wheel");
        assert_eq!(record.left.lowest_boiling_c, found.lowest_boiling_c);
        assert_eq!(record.left.lowest_in_pocket(), share > 0.0);
    }
}

/// The compartment of the reservoir that no opening draws from keeps its old fluid, however new the rest is.
#[test]
fn the_reservoir_boils_where_its_worst_compartment_does() {
    let text = edited(HATCHBACK, "open = [\"RR\", \"LR\", \"RF\", \"LF\"]", "open = [\"RR\"]");
    let record = run(&text);
    let reservoir = part(&record, "reservoir");
    near(reservoir.lowest_boiling_c, boils(&text, 1.0), 1e-6, "the primary's compartment");
    assert!(reservoir.boiling_c > reservoir.lowest_boiling_c + 20.0, "{reservoir:?}");
}

/// In the drum of the shipped pickup the pocket between cup and stage is 15 to 24 K worse than the mean.
#[test]
fn the_pockets_of_the_drums_decide() {
    let record = run(PICKUP);
    let drum = part(&record, "LR");
    let pocket = drum.pocket_boiling_c.expect("a pocket");
    assert!((15.0..=24.0).contains(&(drum.boiling_c - pocket)), "{drum:?}");
    assert_eq!((record.left.lowest_boiling_c, &*record.left.lowest_boiling_part), (pocket, "LR"));
    assert!(record.left.lowest_in_pocket());
    assert!(record.left.trapped.is_none());
}

/// What no bleeder reaches is told by itself, so that it hides no wheel; a unit's accumulators, or a line that ends
/// nowhere.
#[test]
fn what_is_trapped_is_told_apart() {
    let record = run(SALOON);
    let left = &record.left;
    let brakes = left.parts.iter().filter(|p| p.kind == "caliper");
    let lowest = brakes.map(|p| p.lowest_boiling_c).fold(f64::INFINITY, f64::min);
    assert_eq!(left.lowest_boiling_c, lowest, "{:?}", left.lowest_boiling_part);
    let trapped = left.trapped.as_ref().expect("accumulators, pumps and dampers");
    near(trapped.volume_ml, 4.2, 1e-9, "all of them");
    near(trapped.old_fraction, 1.0, 1e-9, "untouched");
    near(trapped.lowest_boiling_c, boils(SALOON, 1.0), 1e-6, "as old fluid");
    assert!(trapped.lowest_boiling_c < left.lowest_boiling_c - 30.0);
    assert_eq!(
        part(&record, &trapped.lowest_boiling_part).lowest_boiling_c,
        trapped.lowest_boiling_c
    );
    let then = record.if_modulator_works.as_ref().expect("a unit");
    assert_eq!(then.trapped_boiling_c, trapped.lowest_boiling_c);

    let spur = "tee = { kind = \"tee\", from = \"line\" }\nspur = { kind = \"line\", from = \"tee\", length = \"1 m\", bore = \"2 mm\" }\nplug = { kind = \"tee\", from = \"spur\" }\nlast = { kind = \"line\", from = \"tee\", length = \"1 mm\" }";
    let text = car([
        ("RESERVOIR", NEW),
        ("MASTER", SMALL),
        ("LINE", NEW),
        ("WHEEL", "new_pads = \"5 mL\""),
        ("MORE", spur),
        ("UNTIL", "100 mL"),
    ]);
    let text =
        edited(&text, "kind = \"caliper\", from = \"line\"", "kind = \"caliper\", from = \"last\"");
    let record = run(&text);
    let trapped = record.left.trapped.as_ref().expect("a spur");
    assert_eq!(trapped.lowest_boiling_part, "spur");
    near(trapped.volume_ml, std::f64::consts::PI, 1e-6, "π mL");
    near(trapped.lowest_boiling_c, boils(&text, 1.0), 1e-6, "old fluid");
    assert_ne!(record.left.lowest_boiling_part, "spur");
}

/// What a working modulator brings to a wheel is judged by the wheel's worst place as well.
#[test]
fn the_road_ahead_counts_the_pocket() {
    let text = SALOON.replace("kind = \"caliper\",", "kind = \"caliper\", pocket = \"20 %\",");
    let record = run(&text);
    for c in &record.if_modulator_works.as_ref().expect("a unit").channels {
        let wheel = part(&record, &c.wheel);
        assert_eq!(c.wheel_boiling_now_c, wheel.lowest_boiling_c, "{c:?}");
        assert!(wheel.lowest_boiling_c < wheel.boiling_c - 2.0, "{wheel:?}");
        assert!(c.wheel_boiling_then_c <= c.wheel_boiling_now_c, "{c:?}");
    }
}

/// Where the lowest boiling point is read, it is the same one.
#[cfg(feature = "program")]
/// Run dry, the reservoir holds nothing that could boil: no figure stands for it.
#[test]
fn what_ran_dry_has_no_boiling_point() {
    let gravity = car([
        ("RESERVOIR", ""),
        ("MASTER", "volume = \"10 mL\""),
        ("LINE", ""),
        ("WHEEL", "new_pads = \"20 mL\""),
        ("MORE", ""),
        ("UNTIL", "500 mL"),
    ]);
    let dry = run(&edited(&gravity, "kind = \"gravity\"", "kind = \"gravity\"\ntopped_up = false"));
    assert!(dry.warnings.iter().any(|w| w.kind == WarningKind::SupplyRanDry), "{:?}", dry.warnings);
    assert!(dry.left.holding().all(|p| p.part != "reservoir"), "{:?}", dry.left.parts);
    let told = serde_json::to_value(&dry).expect("JSON");
    let told = told["left"]["parts"].as_array().expect("parts").clone();
    assert!(!told.is_empty() && told.iter().all(|p| p["part"] != "reservoir"), "{told:?}");
    assert!(dry.left.parts.iter().any(|p| p.part == dry.left.lowest_boiling_part));
}

#[test]
fn the_reports_say_where_it_boils_first() {
    use farwheel::report::{Report as _, Units, View};
    let record = run(PICKUP);
    let text =
        anstream::adapter::strip_str(&record.table(View::of_width(Units::Metric, 100))).to_string();
    assert!(text.contains("in the pocket of LR."), "{text}");
    let row = text.lines().find(|l| l.starts_with("LR ") && l.contains("wheel cylinder")).unwrap();
    assert!(row.ends_with(&format!("{:.0}", record.left.lowest_boiling_c)), "{row}");
    let saloon = run(SALOON);
    let text = saloon.table(View::of_width(Units::Us, 200));
    assert!(text.contains("which no bleeder reaches, boiling from"), "{text}");
    let csv = saloon.csv().unwrap().unwrap();
    let rows = String::from_utf8_lossy(csv.as_bytes());
    for quantity in ["pocket_boiling_c", "trapped_lowest_boiling_c", "trapped_ml"] {
        assert!(rows.contains(quantity), "{quantity}");
    }
}
