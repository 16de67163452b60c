//! Where it boils first.

use super::{CAR, Car};
use crate::common::cars::{HATCHBACK, close, edited, part, read, run};
use farwheel::fluid::blend::{Blend, mixed_water_percent};
use farwheel::job::record::WarningKind;

const PICKUP: &str = include_str!("../../../scenarios/pickup-rear-drums.toml");
const SALOON: &str = include_str!("../../../scenarios/saloon-esc-plain-flush.toml");

/// Boiling point of old with new fluid, °C.
fn boils(text: &str, old_fraction: f64) -> f64 {
    let scenario = read(text);
    let [old, new] = [scenario.old_fluid.fluid(), scenario.new_fluid.fluid()];
    let water = mixed_water_percent(old_fraction, &old, &new);
    Blend::new(old, new, 293.15).boiling_c(old_fraction, water)
}

/// A reservoir that was renewed boils as what comes out of the can.
#[test]
fn a_reservoir_declared_new_boils_as_new_fluid() {
    let text = edited(HATCHBACK, "[reservoir]", "[reservoir]\nold_fraction = \"0 %\"");
    let record = run(&edited(&text, "until = \"clean\"", "until = \"1 mL\""));
    let reservoir = part(&record, "reservoir");
    close(reservoir.boiling_c, boils(&text, 0.0), 1e-6, "all of it");
    close(reservoir.lowest_boiling_c, boils(&text, 0.0), 1e-6, "its worst place");
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
        let wheel =
            format!("new_pads = \"100 mL\", water = \"3 %\", stages = {stages}, pocket = {share}");
        let text = Car { wheel: &wheel, until: "150 mL", ..CAR }.text();
        // All old fluid in it holds as much water.
        let text = text.replace("water_wheel_brakes = \"4 %\"", "");
        let record = run(&text);
        let found = part(&record, "wheel");
        let (active, pockets) = washed(stages, share, 100.0, 150.0);
        let worst = |of: &[f64]| of.iter().map(|f| boils(&text, *f)).fold(f64::INFINITY, f64::min);
        let case = format!("{stages} stages, pocket {share}: {found:?}");
        if share > 0.0 {
            close(found.pocket_boiling_c.expect("a pocket"), worst(&pockets), 0.1, &case);
            close(found.lowest_boiling_c, worst(&pockets), 0.1, &case);
        } else {
            assert_eq!(found.pocket_boiling_c, None);
            close(found.lowest_boiling_c, worst(&active), 0.1, &case);
        }
        let mean = (1.0 - share) * active.iter().sum::<f64>() + share * pockets.iter().sum::<f64>();
        close(found.boiling_c, boils(&text, mean / stages as f64), 0.1, &case);
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
    close(reservoir.lowest_boiling_c, boils(&text, 1.0), 1e-6, "the primary's compartment");
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
    close(trapped.volume_ml, 4.2, 1e-9, "all of them");
    close(trapped.old_fraction, 1.0, 1e-9, "untouched");
    close(trapped.lowest_boiling_c, boils(SALOON, 1.0), 1e-6, "as old fluid");
    assert!(trapped.lowest_boiling_c < left.lowest_boiling_c - 30.0);
    assert_eq!(
        part(&record, &trapped.lowest_boiling_part).lowest_boiling_c,
        trapped.lowest_boiling_c
    );
    let then = record.if_modulator_works.as_ref().expect("a unit");
    assert_eq!(then.trapped_boiling_c, trapped.lowest_boiling_c);

    let spur = "tee = { kind = \"tee\", from = \"line\" }\nspur = { kind = \"line\", from = \"tee\", length = \"1 m\", bore = \"2 mm\" }\nplug = { kind = \"tee\", from = \"spur\" }\nlast = { kind = \"line\", from = \"tee\", length = \"1 mm\" }";
    let text = Car { more: spur, until: "100 mL", ..CAR }.text();
    let text =
        edited(&text, "kind = \"caliper\", from = \"line\"", "kind = \"caliper\", from = \"last\"");
    let record = run(&text);
    let trapped = record.left.trapped.as_ref().expect("a spur");
    assert_eq!(trapped.lowest_boiling_part, "spur");
    close(trapped.volume_ml, std::f64::consts::PI, 1e-6, "π mL");
    close(trapped.lowest_boiling_c, boils(&text, 1.0), 1e-6, "old fluid");
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

/// Run dry, the reservoir holds nothing that could boil: no figure stands for it.
#[test]
fn what_ran_dry_has_no_boiling_point() {
    let wheel = "new_pads = \"20 mL\"";
    let old =
        Car { reservoir: "", master_ml: 10.0, line: "", wheel, until: "500 mL", ..CAR }.text();
    let dry = run(&edited(&old, "kind = \"gravity\"", "kind = \"gravity\"\ntopped_up = false"));
    assert!(dry.warnings.iter().any(|w| w.kind == WarningKind::SupplyRanDry), "{:?}", dry.warnings);
    assert!(dry.left.holding().all(|p| p.part != "reservoir"), "{:?}", dry.left.parts);
    let told = serde_json::to_value(&dry).expect("JSON");
    let told = told["left"]["parts"].as_array().expect("parts").clone();
    assert!(!told.is_empty() && told.iter().all(|p| p["part"] != "reservoir"), "{told:?}");
    assert!(dry.left.parts.iter().any(|p| p.part == dry.left.lowest_boiling_part));
}

/// Where the lowest boiling point is read, it is the same one.
#[cfg(feature = "program")]
#[test]
fn the_reports_say_where_it_boils_first() {
    use farwheel::report::{Report as _, Units, View};
    let record = run(PICKUP);
    let text =
        anstream::adapter::strip_str(&record.table(View::of_width(Units::Metric, 100).in_detail()))
            .to_string();
    assert!(text.contains("in the pocket of LR,"), "{text}");
    let row = text.lines().find(|l| l.starts_with("LR ") && l.contains("wheel cylinder")).unwrap();
    assert!(row.ends_with(&format!("{:.0}", record.left.lowest_boiling_c)), "{row}");
    let saloon = run(SALOON);
    let text = saloon.table(View::of_width(Units::Us, 200).in_detail());
    assert!(text.contains("No bleeder reaches"), "{text}");
    let csv = saloon.csv().unwrap().unwrap();
    let rows = String::from_utf8_lossy(csv.as_bytes());
    for quantity in ["pocket_boiling_c", "trapped_lowest_boiling_c", "trapped_ml"] {
        assert!(rows.contains(quantity), "{quantity}");
    }
}
