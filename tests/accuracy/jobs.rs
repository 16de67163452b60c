//! Small jobs against the same job with many more lanes and steps, and the error that each record states
//! against the difference found.

use super::promise;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::job::record::Record;

/// A circuit to flush.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Car {
    /// One hose, one small caliper.
    Motorcycle,
    /// Two circuits, a long line to the rear and a short one to the front.
    Hatchback,
    /// A wide shared line to a tee, drums with pockets behind it.
    Pickup,
    /// A long line in one piece, a large caliper of several stages.
    Van,
}
use Car::*;

/// Where the threshold is written.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Written {
    Hose,
    Rule,
}
use Written::*;

/// How the reservoir is treated before.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Start {
    Full,
    Syringed,
}
use Start::*;

fn circuit(car: Car) -> (&'static str, &'static str) {
    match car {
        Motorcycle => (
            r#"[reservoir]
level = "30 mL"
min = "10 mL"
max = "30 mL"
brim = "40 mL"
[master_cylinder]
chambers = ["front"]
volume = "2.5 mL"
[parts]
hose = { kind = "hose", from = "front", length = "1.4 m", bore = "3.2 mm" }
LH = { kind = "caliper", from = "hose", new_pads = "8 mL", worn_pads = "21 mL" }
"#,
            r#"["LH"]"#,
        ),
        Hatchback => (
            r#"[reservoir]
outlets = ["primary", "secondary"]
compartment = "35 mL"
level = "180 mL"
min = "120 mL"
max = "200 mL"
brim = "270 mL"
[master_cylinder]
chambers = ["primary", "secondary"]
volume = "12 mL"
[parts]
"line RR" = { kind = "line", from = "primary", length = "5 m", bends = 8 }
"hose RR" = { kind = "hose", from = "line RR" }
RR = { kind = "caliper", from = "hose RR", new_pads = "12 mL" }
"line LF" = { kind = "line", from = "secondary", length = "0.8 m", bends = 3 }
"hose LF" = { kind = "hose", from = "line LF" }
LF = { kind = "caliper", from = "hose LF", new_pads = "24 mL" }
"#,
            r#"["RR", "LF"]"#,
        ),
        Pickup => (
            r#"[reservoir]
outlets = ["all"]
level = "250 mL"
min = "200 mL"
max = "350 mL"
brim = "420 mL"
[master_cylinder]
chambers = ["rear"]
volume = "25 mL"
[parts]
"rear line" = { kind = "line", from = "rear", length = "5.5 m", bore = "4.9 mm", bends = 10 }
axle = { kind = "tee", from = "rear line" }
"line RR" = { kind = "line", from = "axle", length = "1 m" }
"line LR" = { kind = "line", from = "axle", length = "0.7 m" }
RR = { kind = "wheel cylinder", from = "line RR", volume = "9 mL" }
LR = { kind = "wheel cylinder", from = "line LR", volume = "9 mL", pocket_time = "10 min" }
"#,
            r#"["RR", "LR"]"#,
        ),
        Van => (
            r#"[reservoir]
level = "200 mL"
min = "100 mL"
max = "250 mL"
brim = "300 mL"
[master_cylinder]
chambers = ["rear"]
volume = "20 mL"
[parts]
"line RR" = { kind = "line", from = "rear", length = "7 m", bore = "4.5 mm", remix_per_bend = 0, bends = 12 }
RR = { kind = "caliper", from = "line RR", new_pads = "60 mL", stages = 3, bypass = "5 %" }
"#,
            r#"["RR"]"#,
        ),
    }
}

fn scenario(car: Car, threshold: f64, written: Written, start: Start, filling: &str) -> String {
    let (circuit, open) = circuit(car);
    let syringe = match car {
        Motorcycle => r#"{ syringe = "3 mL" }, { top_up = "max" }, "#,
        _ => r#"{ syringe = "75 mL" }, { top_up = "min" }, "#,
    };
    let before = if start == Syringed { syringe } else { "" };
    let (hose, until) = match written {
        Hose => (format!("threshold = {threshold}\n"), "clean".to_owned()),
        Rule => (String::new(), format!("clean below {} %", 100.0 * threshold)),
    };
    format!(
        "title = \"{car:?}, {threshold} in the {written:?}, {start:?}, hose {filling}\"\n\
         [old_fluid]\ngrade = \"DOT 3\"\n[new_fluid]\ngrade = \"DOT 4\"\n{circuit}\
         [clear_hose]\nfilling = \"{filling}\"\n{hose}\
         [supplies.vessel]\nkind = \"pressure bleeder\"\nloaded = \"3 L\"\ngauge = \"15 psi\"\n\
         [procedure]\nbefore = [{before}{{ re_pump = \"15 psi\" }}]\nopen = {open}\nuntil = \"{until}\"\n"
    )
}

fn run(text: &str, options: &Options) -> Record {
    let scenario = farwheel::read(text, "small.toml").unwrap_or_else(|m| panic!("{m}\n{text}"));
    flush(&scenario, options).expect("it runs")
}

/// Bound of the error that a record states, mL: the two halvings are added without discount, which
/// makes about three times the error, and the smallest error promised is 0.5 mL.
const NOT_ABSURD_ML: f64 = 1.5;

fn check(car: Car, threshold: f64, written: Written, start: Start, filling: &str) {
    let text = scenario(car, threshold, written, start, filling);
    let record = run(&text, &Options::default());
    let fine = Options {
        lanes: Some(300),
        steps_per_path: 400.0,
        origins: false,
        estimate_error: false,
        ..Options::default()
    };
    let exact = run(&text, &fine);
    let stated = record.numerics.clean_at_error_ml.expect("an estimate");
    let stated_left = record.numerics.old_left_error_ml.expect("an estimate");
    let title = &record.scenario.title;
    let mut largest: f64 = 0.0;
    let mut most: f64 = 0.0;
    for (a, b) in record.openings.iter().zip(&exact.openings) {
        let (x, y) = (a.clean_at_ml.expect("clean"), b.clean_at_ml.expect("clean"));
        assert!((x - y).abs() <= promise(y), "{title}, {}: {x} mL, finer {y} mL", a.bleeder);
        largest = largest.max((x - y).abs());
        most = most.max(y);
    }
    let left = (record.left.old_ml - exact.left.old_ml).abs();
    println!(
        "{title}: clean at {most:.1} mL off by {largest:.3} mL, stated {stated:.3}; old left {:.2} mL off by {left:.4}, stated {stated_left:.4}",
        exact.left.old_ml
    );
    assert!(largest <= stated, "{title}: off by {largest} mL, stated {stated} mL");
    assert!(left <= stated_left, "{title}: old left off by {left} mL, stated {stated_left} mL");
    assert!(left <= promise(exact.left.old_ml), "{title}: old left off by {left} mL");
    assert!(stated <= NOT_ABSURD_ML, "{title}: {stated} mL stated for {most} mL");
    // 1e-9 of what is in the system, which is less than 2 L.
    let b = record.balance;
    assert!(b.volume_error_ml.max(b.old_error_ml).max(b.water_error_g) < 2e-6, "{title}: {b:?}");
    assert!(stated_left <= NOT_ABSURD_ML, "{title}: {stated_left} mL of old fluid left stated");
}

macro_rules! jobs {
    ($($name:ident: $car:expr, $threshold:expr, $written:expr, $start:expr, $filling:expr;)*) => {
        $(#[test]
        fn $name() {
            check($car, $threshold, $written, $start, $filling);
        })*
    };
}

jobs! {
    motorcycle_by_eye: Motorcycle, 0.2, Hose, Full, "new";
    motorcycle_by_careful_eye_syringed: Motorcycle, 0.05, Rule, Syringed, "old";
    motorcycle_by_instrument: Motorcycle, 0.02, Hose, Full, "old";
    motorcycle_by_instrument_syringed: Motorcycle, 0.02, Rule, Syringed, "new";
    hatchback_by_eye: Hatchback, 0.2, Rule, Full, "old";
    hatchback_by_eye_syringed: Hatchback, 0.2, Hose, Syringed, "new";
    hatchback_by_careful_eye: Hatchback, 0.05, Hose, Full, "new";
    hatchback_by_instrument_syringed: Hatchback, 0.02, Hose, Syringed, "old";
    hatchback_by_instrument: Hatchback, 0.02, Rule, Full, "new";
    pickup_by_eye: Pickup, 0.2, Hose, Full, "old";
    pickup_by_careful_eye_syringed: Pickup, 0.05, Hose, Syringed, "new";
    pickup_by_instrument_syringed: Pickup, 0.02, Hose, Syringed, "old";
    van_by_eye: Van, 0.2, Rule, Full, "new";
    van_by_careful_eye_syringed: Van, 0.05, Rule, Syringed, "old";
    van_by_instrument: Van, 0.02, Hose, Full, "new";
    van_by_instrument_syringed: Van, 0.02, Hose, Syringed, "new";
}
