//! Rows of the hydraulic modulator and of the step that works it.

use super::figures::*;
use super::parts::{WAYS, held};
use super::row::{Down, Edits, Row, Shows, Up, edits, row};
use super::tables::{COUNT, FEW, HEAD, NEW_RESERVOIR, TWO};

/// Between hose and front, with a line to each channel.
const UNIT: Edits = edits! {
    "parts.unit": kind = "hydraulic modulator", from = "hose";
    "parts.first": kind = "line", from = "unit", length = "1 m";
    "parts.front": from = "first";
};
/// The second channel.
const SECOND: Edits = edits! {
    "parts.second": kind = "line", from = "unit", length = "0.5 m";
    "parts.rear": kind = "caliper", from = "second", new_pads = "8 mL";
};
/// Both circuits through one unit.
const BOTH: Edits = &[("parts.unit.from", r#"["hose", "pipe"]"#)];
/// A unit of its own in the other circuit.
const TWO_UNITS: Edits = &[
    ("parts.other_unit.kind", r#""hydraulic modulator""#),
    ("parts.other_unit.from", r#""pipe""#),
    ("parts.second.from", r#""other_unit""#),
];
const LONG: Edits = &[("parts.first.length", r#""5 m""#)];
const WITH_ESC: Edits = &[("parts.unit.esc", "true")];
const NARROW: Edits = &[("parts.unit.isolation_orifice", r#""0.5 mm""#)];
const LARGE: Edits = &[("parts.unit.passages", r#""30 mL""#)];
/// Accumulators that take up fluid at any pressure.
const OPENS: Edits = &[("parts.unit.accumulator_opens", r#""0 bar""#)];
/// Accumulators that hold much at rest.
const ROOMY: Edits = &[("parts.unit.accumulator", r#""3 mL""#)];
/// A bleeder is open while it works.
const WORKED: Edits =
    &[("procedure.after", r#"[{ work_modulator = "unit", time = "4 s", bleeders = ["front"] }]"#)];
const TAKES_UP: Edits =
    &[("procedure.after", r#"[{ work_modulator = "unit", time = "60 s", pump = false }]"#)];
pub fn rows() -> Vec<Row> {
    let key = |key: &str| format!("part.hydraulic modulator.{key}");
    let mut rows = held("hydraulic modulator", &[UNIT, FEW]);
    rows.extend([
        row(key("from"), &[UNIT, WAYS, COUNT], &[r#""hose""#, r#""long""#], Up(FLOW_S)),
        row(
            key("first_circuit"),
            &[TWO, UNIT, SECOND, BOTH, LONG],
            &[r#"["first"]"#, r#"["second"]"#],
            Shows(WAY, &["lever", "other"]),
        ),
        row(key("passages"), &[UNIT], &["1 mL", "8 mL"], Up(DRAINED)),
        row(key("stages"), &[UNIT, LARGE, NEW_RESERVOIR, COUNT], &["1", "10"], Down(OLD_LEFT)),
        row(key("inlet_orifice"), &[UNIT, COUNT], &["0.3 mm", "1 mm"], Down(FLOW_S)),
        row(key("esc"), &[UNIT, NARROW, COUNT], &["false", "true"], Up(FLOW_S)),
        row(key("isolation_orifice"), &[UNIT, WITH_ESC, COUNT], &["0.3 mm", "1 mm"], Down(FLOW_S)),
        row(key("accumulator"), &[UNIT], &["0.4 mL", "2 mL"], Up(CAPACITY)),
        row(key("accumulator_swept"), &[UNIT, OPENS, TAKES_UP], &["1 mL", "3 mL"], Down(MOVED)),
        row(key("pump_chamber"), &[UNIT], &["0.2 mL", "1 mL"], Up(CAPACITY)),
        row(key("damper"), &[UNIT], &["1 mL", "3 mL"], Up(CAPACITY)),
        row(key("cycle_volume"), &[UNIT, OPENS, WORKED], &["0.1 mL", "0.6 mL"], Down(TRAPPED_OLD)),
        row(key("cycle_time"), &[UNIT, OPENS, WORKED], &["0.2 s", "2 s"], Up(TRAPPED_OLD)),
        row(key("accumulator_opens"), &[UNIT, WORKED], &["0 bar", "4 bar"], Up(TRAPPED_OLD)),
        row(
            key("accumulator_exchange"),
            &[UNIT, OPENS, ROOMY, WORKED],
            &["0 %", "100 %"],
            Down(TRAPPED_OLD),
        ),
        row(
            key("damper_exchange"),
            &[UNIT, OPENS, WORKED],
            &["0 %", "10 %", "100 %"],
            Down(TRAPPED_OLD),
        ),
        row(
            key("suction_share"),
            &[UNIT, WITH_ESC, COUNT, HEAD, WORKED],
            &["0 %", "40 %", "100 %"],
            Up(COUNTED),
        ),
    ]);
    rows.extend(steps());
    rows
}

/// The unit is worked in this way once both channels are flushed.
const BOTH_OPEN: Edits = &[("procedure.open", r#"["front", "rear"]"#)];

fn steps() -> Vec<Row> {
    let key = |key: &str| format!("step.work_modulator.{key}");
    vec![
        row(
            "step.work_modulator",
            &[
                TWO,
                UNIT,
                SECOND,
                TWO_UNITS,
                BOTH_OPEN,
                OPENS,
                &[("parts.other_unit.accumulator_opens", r#""0 bar""#)],
                &[("procedure.after", "[{ work_modulator = @ }]")],
            ],
            &[r#""unit""#, r#""other_unit""#],
            Shows(STIRRED, &["unit accumulator", "other_unit accumulator"]),
        ),
        row(
            key("channels"),
            &[
                UNIT,
                OPENS,
                SECOND,
                BOTH_OPEN,
                &[("procedure.after", r#"[{ work_modulator = "unit", channels = @ }]"#)],
            ],
            &[r#"["first"]"#, r#"["first", "second"]"#],
            Up(PASSAGE_OLD),
        ),
        row(
            key("time"),
            &[
                UNIT,
                OPENS,
                &[(
                    "procedure.after",
                    r#"[{ work_modulator = "unit", bleeders = "front", time = @ }]"#,
                )],
            ],
            &["1 s", "10 s"],
            Down(TRAPPED_OLD),
        ),
        row(
            key("pump"),
            &[UNIT, OPENS, &[("procedure.after", r#"[{ work_modulator = "unit", pump = @ }]"#)]],
            &["false", "true"],
            // With the pump off the accumulator keeps what it took up.
            Up(MOVED),
        ),
        row(
            key("bleeders"),
            &[
                UNIT,
                SECOND,
                &[("procedure.after", r#"[{ work_modulator = "unit", bleeders = @ }]"#)],
            ],
            &[r#"["front"]"#, r#"["front", "rear"]"#],
            Up(OPENINGS),
        ),
    ]
}
