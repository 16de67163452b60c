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
    let load = |key: &str| format!("part.load-sensing proportioning valve.{key}");
    let bores: &[&str] = &["0.4 mm", "2 mm"];
    rows.extend([
        row(
            "part.check valve.cracking",
            &[VALVE, ONE_WAY, COUNT],
            &["0 kPa", "60 kPa"],
            Up(FLOW_S),
        ),
        row("part.check valve.bore", &[VALVE, ONE_WAY, COUNT], &["0.5 mm", "2 mm"], Down(FLOW_S)),
        row(
            "part.residual-pressure valve.cracking",
            &[VALVE, RESIDUAL, COUNT],
            &["10 kPa", "80 kPa"],
            Up(FLOW_S),
        ),
        row(
            "part.residual-pressure valve.bore",
            &[VALVE, RESIDUAL, COUNT],
            &["0.5 mm", "2 mm"],
            Down(FLOW_S),
        ),
        row(
            "part.metering valve.held_open",
            &[VALVE, METERING, COUNT],
            &["false", "true"],
            Down(FLOW_S),
        ),
        row(
            "part.metering valve.hold_off",
            &[VALVE, METERING, COUNT],
            &["10 kPa", "80 kPa"],
            Up(FLOW_S),
        ),
        row(
            "part.metering valve.bore",
            &[VALVE, METERING, COUNT],
            &["0.5 mm", "2 mm"],
            Down(FLOW_S),
        ),
        row(load("suspension"), &[VALVE, LOAD_SENSING, COUNT], &["loaded", "hanging"], Up(FLOW_S)),
        row(load("bore"), &[VALVE, LOAD_SENSING, LOADED, COUNT], bores, Down(FLOW_S)),
        row(load("bore_hanging"), &[VALVE, LOAD_SENSING, COUNT], bores, Down(FLOW_S)),
        row(
            load("cracking_hanging"),
            &[VALVE, LOAD_SENSING, COUNT],
            &["0 kPa", "60 kPa"],
            Up(FLOW_S),
        ),
    ]);
    rows
}
