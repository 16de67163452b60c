//! Rows of the valves.

use super::figures::*;
use super::parts::{ROUND, SHORT_AND_LONG, WAYS};
use super::row::{Down, Edits, Row, Up, row};
use super::tables::COUNT;

const VALVE: Edits = &[("parts.valve.from", r#""hose""#), ("parts.front.from", r#""valve""#)];
const ONE_WAY: Edits = &[("parts.valve.kind", r#""check valve""#)];
const RESIDUAL: Edits = &[("parts.valve.kind", r#""residual-pressure valve""#)];
const METERING: Edits =
    &[("parts.valve.kind", r#""metering valve""#), ("parts.valve.hold_off", r#""20 kPa""#)];
const LOAD_SENSING: Edits = &[("parts.valve.kind", r#""load-sensing proportioning valve""#)];
const LOADED: Edits = &[("parts.valve.suspension", r#""loaded""#)];
const YIELDING: Edits = &[("parts.valve.cracking", r#""20 kPa""#)];

const VALVES: [(&str, Edits); 4] = [
    ("check valve", ONE_WAY),
    ("residual-pressure valve", RESIDUAL),
    ("metering valve", METERING),
    ("load-sensing proportioning valve", LOAD_SENSING),
];

pub fn rows() -> Vec<Row> {
    let mut rows = Vec::new();
    for (kind, bench) in VALVES {
        let key = |key: &str| format!("part.{kind}.{key}");
        let yielding = if kind.starts_with("residual") { YIELDING } else { &[] };
        rows.extend([
            row(key("from"), &[VALVE, bench, WAYS, COUNT], SHORT_AND_LONG, Up(FLOW_S)),
            row(
                key("to"),
                &[ROUND, bench, yielding, COUNT],
                &[r#""rear""#, r#""middle""#],
                Up(FLOW_S),
            ),
        ]);
    }
    let of = |key: &str, bench: &[Edits], values, moves| {
        row(format!("part.{key}"), &[&[VALVE, COUNT], bench].concat(), values, moves)
    };
    let load = |key: &str, bench: &[Edits], values, moves| {
        let bench = [&[LOAD_SENSING], bench].concat();
        of(&format!("load-sensing proportioning valve.{key}"), &bench, values, moves)
    };
    let bores = &["0.5 mm", "2 mm"];
    rows.extend([
        of("check valve.cracking", &[ONE_WAY], &["0 kPa", "60 kPa"], Up(FLOW_S)),
        of("check valve.bore", &[ONE_WAY], bores, Down(FLOW_S)),
        of("residual-pressure valve.cracking", &[RESIDUAL], &["10 kPa", "80 kPa"], Up(FLOW_S)),
        of("residual-pressure valve.bore", &[RESIDUAL], bores, Down(FLOW_S)),
        of("metering valve.held_open", &[METERING], &["false", "true"], Down(FLOW_S)),
        of("metering valve.hold_off", &[METERING], &["10 kPa", "80 kPa"], Up(FLOW_S)),
        of("metering valve.bore", &[METERING], bores, Down(FLOW_S)),
        load("suspension", &[], &["loaded", "hanging"], Up(FLOW_S)),
        load("bore", &[LOADED], &["0.4 mm", "2 mm"], Down(FLOW_S)),
        load("bore_hanging", &[], &["0.4 mm", "2 mm"], Down(FLOW_S)),
        load("cracking_hanging", &[], &["0 kPa", "60 kPa"], Up(FLOW_S)),
    ]);
    rows
}
