//! Rows of the fixed tables.

use super::figures::*;
use super::row::{Down, Edits, Row, Shows, Up, edits, row};

/// So many millilitres and no more.
pub const COUNT: Edits = &[("procedure.until", r#""30 mL""#)];
/// As much once more, ten minutes later.
pub const AGAIN: Edits =
    &[("procedure.after", r#"[{ wait = "10 min" }, { open = "front", until = "30 mL" }]"#)];
/// Old fluid only in the circuit.
pub const NEW_RESERVOIR: Edits = &[("reservoir.old_fraction", r#""0 %""#)];
/// Hardly anything.
pub const FEW: Edits = &[("procedure.until", r#""3 mL""#)];
/// The reservoir's own head pushes.
pub const HEAD: Edits =
    &[("supplies.head.kind", r#""gravity""#), ("procedure.supply", r#""head""#)];
/// Another circuit with a caliper, opened after the first.
pub const TWO: Edits = edits! {
    "reservoir": compartment = "15 mL", outlets = ["lever", "other"];
    "master_cylinder": chambers = ["lever", "other"];
    "parts.pipe": kind = "hose", from = "other";
    "parts.rear": kind = "caliper", from = "pipe", new_pads = "8 mL";
};
const DIVIDED: Edits = &[("reservoir.compartment", r#""10 mL""#)];
/// Diagonal circuits.
const DIAGONAL: Edits = &[
    ("parts.front.bleeders", r#"["LF", "RR"]"#),
    ("parts.rear.bleeders", r#"["RF", "LR"]"#),
    ("procedure.open", r#"["LF"]"#),
];
const NO_WATER: Edits = &[("old_fluid.water", "")];
const DRY: Edits = &[("old_fluid.water", r#""0.1 %""#)];
/// Words of the warnings of a part that is old, and that is new.
pub const NEW_PART: &[&str] = &["", "air in a replaced part"];
const WORN: Edits = &[("parts.front.worn_pads", r#""20 mL""#)];
const HALF_WORN: Edits = &[("vehicle.pad_wear", r#""50 %""#)];
const SAME_GRADE: Edits = &[("old_fluid.grade", "@"), ("new_fluid.grade", "@")];
const CORNERS: Edits = &[("reservoir.pocket", r#""50 %""#)];
const POCKET: Edits = &[("master_cylinder.pocket", r#""40 %""#)];

pub fn rows() -> Vec<Row> {
    [vehicle(), fluids(), reservoir(), master_cylinder(), clear_hose()].concat()
}

fn vehicle() -> Vec<Row> {
    vec![
        row("title", &[], &["one", "other"], Shows(TITLE, &["one", "other"])),
        row("vehicle.temperature", &[COUNT], &["5 °C", "40 °C"], Down(FLOW_S)),
        row("vehicle.steering", &[], &["left", "right"], Shows(ALL_TEXT, &["", ""])),
        row(
            "vehicle.split",
            &[TWO, DIAGONAL],
            &["II", "X", "HI", "LL", "HH"],
            Shows(
                WARNINGS,
                &["`split` says II", "", "`split` says HI", "`split` says LL", "`split` says HH"],
            ),
        ),
        row("vehicle.kind", &[BY_KIND], KINDS, Shows(ALL_TEXT, &[])),
        row(
            "described.answers",
            &[BY_KIND, HATCHBACK],
            DESCRIBED_AS,
            Shows(GUESSES, &["master_cylinder.bore", ""]),
        ),
        row("vehicle.pad_wear", &[WORN], &["0 %", "80 %"], Up(DRAINED)),
        row(
            "vehicle.gauge_limit",
            &[],
            &["20 psi", "10 psi"],
            Shows(WARNINGS, &["", "pressure over limit"]),
        ),
        row(
            "vehicle.accumulator",
            &[],
            &["none", "high pressure"],
            Shows(REFUSAL, &["", "high-pressure accumulator"]),
        ),
        row("vehicle.by_wire", &[], &["false", "true"], Shows(REFUSAL, &["", "by wire"])),
        row(
            "vehicle.note",
            &[],
            &["seized once", "driven daily"],
            Shows(ALL_TEXT, &["seized once", "driven daily"]),
        ),
    ]
}

const GRADES: &[&str] = &[
    "DOT 3",
    "DOT 4",
    "DOT 5.1",
    "ISO 4925 class 3",
    "ISO 4925 class 4",
    "ISO 4925 class 5-1",
    "ISO 4925 class 6",
    "ISO 4925 class 7",
    "DOT 5",
    "mineral oil",
];

/// Brim and volume of the master cylinder are left to the kind of vehicle.
const BY_KIND: Edits = &[("reservoir.brim", ""), ("master_cylinder.volume", "")];
const HATCHBACK: Edits =
    &[("vehicle.kind", r#""hatchback""#), ("master_cylinder.bore", r#""22.2 mm""#)];
const DESCRIBED_AS: &[&str] = &[r#"["kind = hatchback"]"#, r#"["kind = van"]"#];
const KINDS: &[&str] = &[
    "city car",
    "hatchback",
    "saloon",
    "estate",
    "SUV",
    "pickup",
    "van",
    "roadster",
    "motorcycle",
];
/// A tester shows the water.
const TESTED: Edits = &[
    ("old_fluid.water", ""),
    ("old_fluid.tested_at", r#""reservoir""#),
    ("old_fluid.tester", r#""strip""#),
    ("old_fluid.tested_water", r#""3 %""#),
];
const BOILED: Edits = &[("old_fluid.tested_water", "")];

fn fluids() -> Vec<Row> {
    let mut rows = vec![
        row("old_fluid.tested_at", &[TESTED, FEW], &["reservoir", "bleeder"], Down(WATER_LEFT)),
        row(
            "old_fluid.tester",
            &[TESTED],
            &["pen", "strip", "refractometer", "boiling point"],
            Shows(WATER_OFF, &["1.0", "1.2", "0.5", "0.7"]),
        ),
        row("old_fluid.tested_water", &[TESTED, FEW], &["2 %", "5 %"], Up(WATER_LEFT)),
        row(
            "old_fluid.tested_boiling",
            &[TESTED, BOILED, FEW],
            &["150 °C", "190 °C"],
            Down(WATER_LEFT),
        ),
        row("old_fluid.age", &[NO_WATER], &["2 years", "6 years"], Shows(WATER_OFF, &[])),
        row("old_fluid.grade", &[NO_WATER, SAME_GRADE], GRADES, Shows(OLD_FLUID, &[])),
        row("new_fluid.grade", &[NO_WATER, SAME_GRADE], GRADES, Shows(NEW_FLUID_IS, &[])),
        row("old_fluid.water", &[FEW], &["1 %", "4 %"], Up(WATER_LEFT)),
        row("old_fluid.water_reservoir", &[FEW], &["1 %", "4 %"], Up(WATER_LEFT)),
        row("old_fluid.water_wheel_brakes", &[FEW], &["1 %", "4 %"], Up(WATER_LEFT)),
        row("new_fluid.water", &[], &["0 %", "2 %"], Up(WATER_LEFT)),
    ];
    for (fluid, bench) in [("old_fluid", FEW), ("new_fluid", &[])] {
        let key = |key: &str| format!("{fluid}.{key}");
        rows.extend([
            row(key("dry_boiling_point"), &[bench, DRY], &["230 °C", "270 °C"], Up(FRONT_BOILING)),
            row(key("wet_boiling_point"), &[bench], &["150 °C", "175 °C"], Up(FRONT_BOILING)),
            row(key("viscosity_minus_40"), &[COUNT], &["800 mm²/s", "1600 mm²/s"], Up(FLOW_S)),
            row(key("viscosity_100"), &[COUNT], &["1.8 mm²/s", "2.8 mm²/s"], Up(FLOW_S)),
            row(key("density"), &[COUNT], &["950 kg/m³", "1150 kg/m³"], Up(FLOW_S)),
        ]);
    }
    rows
}

fn reservoir() -> Vec<Row> {
    vec![
        row("reservoir.outlets", &[TWO], &[r#"["all"]"#, r#"["lever", "other"]"#], Up(OLD_LEFT)),
        row("reservoir.compartment", &[TWO], &["5 mL", "18 mL"], Up(OLD_LEFT)),
        row("reservoir.level", &[], &["35 mL", "60 mL"], Up(DRAINED)),
        row("reservoir.topped_up", &[WORN, HALF_WORN], &["true", "false"], Down(DRAINED)),
        row("reservoir.min", &[HEAD], &["20 mL", "35 mL"], Up(DRAINED)),
        row("reservoir.max", &[HEAD], &["50 mL", "80 mL"], Up(FIRST_POUR)),
        row("reservoir.brim", &[], &["70 mL", "150 mL"], Up(LEAK_DROP)),
        row("reservoir.height", &[HEAD, COUNT], &["0.7 m", "1.2 m"], Down(FLOW_S)),
        row("reservoir.water", &[FEW], &["1 %", "4 %"], Up(WATER_LEFT)),
        row("reservoir.old_fraction", &[], &["10 %", "100 %"], Up(DRAINED)),
        row("reservoir.stages", &[], &["1", "10"], Down(DRAINED)),
        row("reservoir.pocket", &[COUNT], &["0 %", "50 %"], Up(OLD_LEFT)),
        row("reservoir.pocket_exchange", &[CORNERS, COUNT], &["2 %", "80 %"], Down(OLD_LEFT)),
        row("reservoir.pocket_time", &[CORNERS, COUNT, AGAIN], &["10 s", "1 h"], Up(OLD_LEFT)),
        row("reservoir.bypass", &[COUNT], &["0 %", "40 %"], Up(OLD_LEFT)),
    ]
}

fn master_cylinder() -> Vec<Row> {
    let key = |key: &str| format!("master_cylinder.{key}");
    vec![
        row(key("chambers"), &[DIVIDED], &[r#"["lever"]"#, r#"["lever", "other"]"#], Up(CAPACITY)),
        row(key("volume"), &[], &["4 mL", "15 mL"], Up(DRAINED)),
        row(key("bore"), &[BY_KIND, HATCHBACK], &["18 mm", "27 mm"], Up(DRAINED)),
        row(key("replaced"), &[], &["false", "true"], Shows(WARNINGS, NEW_PART)),
        row(key("stages"), &[BIG_CHAMBER], &["1", "10"], Down(DRAINED)),
        row(key("compensating_port"), &[HEAD, COUNT], &["0.3 mm", "1 mm"], Down(FLOW_S)),
        row(key("compensating_port_length"), &[HEAD, COUNT], &["0 mm", "3 mm"], Up(FLOW_S)),
        row(key("centre_valve"), &[HEAD, COUNT], &["0.5 mm", "2 mm"], Down(FLOW_S)),
        row(key("cup_cracking"), &[COUNT], &["2 kPa", "70 kPa"], Up(FLOW_S)),
        row(key("cup_path"), &[COUNT], &["0.5 mm", "3 mm"], Down(FLOW_S)),
        row(key("pocket"), &[BIG_CHAMBER, NEW_RESERVOIR, COUNT], &["0 %", "40 %"], Up(OLD_LEFT)),
        row(
            key("pocket_exchange"),
            &[BIG_CHAMBER, NEW_RESERVOIR, POCKET, COUNT],
            &["3 %", "80 %"],
            Down(OLD_LEFT),
        ),
        row(
            key("pocket_time"),
            &[BIG_CHAMBER, NEW_RESERVOIR, POCKET, COUNT, AGAIN],
            &["10 s", "1 h"],
            Up(OLD_LEFT),
        ),
        row(key("water"), &[FEW], &["1 %", "4 %"], Up(WATER_LEFT)),
    ]
}

const BIG_CHAMBER: Edits = &[("master_cylinder.volume", r#""15 mL""#)];
const HANGS: Edits = &[("clear_hose.end_above", r#""-0.3 m""#)];
/// Looks clean from the first draw, whatever comes.
const AT_ONCE: Edits = &[
    ("reservoir.old_fraction", r#""10 %""#),
    ("procedure.until", r#""clean below 90 %, hold 0 mL""#),
];

fn clear_hose() -> Vec<Row> {
    let key = |key: &str| format!("clear_hose.{key}");
    vec![
        row(key("bore"), &[], &["3 mm", "8 mm"], Up(DRAINED)),
        row(key("length"), &[COUNT], &["0.2 m", "2 m"], Up(FLOW_S)),
        row(key("end_above"), &[HEAD, COUNT], &["-0.3 m", "0.3 m"], Up(FLOW_S)),
        row(key("end_in_fluid"), &[HANGS, HEAD, COUNT], &["true", "false"], Up(FLOW_S)),
        row(key("watched"), &[], &["50 mm", "500 mm"], Up(DRAINED)),
        row(key("filling"), &[], &["old", "new"], Down(SEEN_FIRST)),
        row(key("threshold"), &[], &["10 %", "40 %"], Down(DRAINED)),
        row(key("hold"), &[], &["5 mL", "40 mL"], Up(DRAINED)),
        row(key("least_look"), &[AT_ONCE], &["2 s", "20 s"], Up(FLOW_S)),
    ]
}
