//! Small jobs against the same job with many more lanes and steps, and the error that each record states
//! against the difference found.

use super::cars::{
    DIVIDED, DOT_3_THEN_4, VESSEL, read, scenario_text, undivided, worst_of_the_books,
};
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

/// Master cylinder and reservoir, parts, and the bleeders in their order.
fn circuit(car: Car) -> (String, &'static str, &'static str) {
    match car {
        Motorcycle => (
            undivided("front", 2.5, [30, 10, 30, 40]),
            r#"
hose = { kind = "hose", from = "front", length = "1.4 m", bore = "3.2 mm" }
LH = { kind = "caliper", from = "hose", new_pads = "8 mL", worn_pads = "21 mL" }"#,
            r#"["LH"]"#,
        ),
        Hatchback => (
            DIVIDED.to_owned(),
            r#"
"line RR" = { kind = "line", from = "primary", length = "5 m", bends = 8 }
"hose RR" = { kind = "hose", from = "line RR" }
RR = { kind = "caliper", from = "hose RR", new_pads = "12 mL" }
"line LF" = { kind = "line", from = "secondary", length = "0.8 m", bends = 3 }
"hose LF" = { kind = "hose", from = "line LF" }
LF = { kind = "caliper", from = "hose LF", new_pads = "24 mL" }"#,
            r#"["RR", "LF"]"#,
        ),
        Pickup => (
            undivided("rear", 25.0, [250, 200, 350, 420]),
            r#"
"rear line" = { kind = "line", from = "rear", length = "5.5 m", bore = "4.9 mm", bends = 10 }
axle = { kind = "tee", from = "rear line" }
"line RR" = { kind = "line", from = "axle", length = "1 m" }
"line LR" = { kind = "line", from = "axle", length = "0.7 m" }
RR = { kind = "wheel cylinder", from = "line RR", volume = "9 mL" }
LR = { kind = "wheel cylinder", from = "line LR", volume = "9 mL", pocket_time = "10 min" }"#,
            r#"["RR", "LR"]"#,
        ),
        Van => (
            undivided("rear", 20.0, [200, 100, 250, 300]),
            r#"
"line RR" = { kind = "line", from = "rear", length = "7 m", bore = "4.5 mm", remix_per_bend = 0, bends = 12 }
RR = { kind = "caliper", from = "line RR", new_pads = "60 mL", stages = 3, bypass = "5 %" }"#,
            r#"["RR"]"#,
        ),
    }
}

fn scenario(car: Car, threshold: f64, written: Written, start: Start, filling: &str) -> String {
    let (above, parts, open) = circuit(car);
    let syringe = match car {
        Motorcycle => r#"{ syringe = "3 mL" }, { top_up = "max" }, "#,
        _ => r#"{ syringe = "75 mL" }, { top_up = "min" }, "#,
    };
    let before = if start == Syringed { syringe } else { "" };
    let (hose, until) = match written {
        Hose => (format!("threshold = {threshold}\n"), "clean".to_owned()),
        Rule => (String::new(), format!("clean below {} %", 100.0 * threshold)),
    };
    let vessel = VESSEL.replace("1 L", "3 L");
    let rest = format!(
        "[clear_hose]\nfilling = \"{filling}\"\n{hose}\
         [procedure]\nbefore = [{before}{{ re_pump = \"15 psi\" }}]\nopen = {open}\nuntil = \"{until}\""
    );
    scenario_text(&[DOT_3_THEN_4, &above, "[parts]", parts, &vessel, &rest])
}

fn run(text: &str, options: &Options) -> Record {
    flush(&read(text), options).expect("it runs")
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
    let title = format!("{car:?}, {threshold} in the {written:?}, {start:?}, hose {filling}");
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
    assert!(worst_of_the_books(&record) < 2e-6, "{title}: {:?}", record.balance);
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
