//! Rows of the procedure: its keys, steps, stop rules, and how a spread is written.

use super::figures::*;
use super::row::{Down, Edits, Row, Shows, Up, row};
use super::tables::{COUNT, NEW_RESERVOIR, TWO};

const STEPS_ONLY: Edits = &[("procedure.open", ""), ("procedure.until", "")];
const RE_PUMP: Edits = &[("procedure.before", r#"[{ re_pump = "14 psi" }]"#)];
const ANOTHER_SUPPLY: Edits = &[("supplies.head.kind", r#""gravity""#)];
const LONG: Edits = &[("parts.hose.length", r#""6 m""#)];

/// Half flushed, left to stand, flushed on.
const MIXED_BETWEEN: &str = concat!(
    r#"[{ open = "front", until = "12 mL" }, { wait = "10 min", remix = @ }, "#,
    r#"{ open = "front", until = "clean below 5 %" }]"#,
);

pub fn rows() -> Vec<Row> {
    [procedure(), steps(), stop_rules(), spreads()].concat()
}

fn procedure() -> Vec<Row> {
    let key = |key: &str| format!("procedure.{key}");
    let times: &[&str] = &["2 min", "20 min"];
    vec![
        row(
            key("supply"),
            &[ANOTHER_SUPPLY, COUNT],
            &["vessel", "head"],
            Shows(SUPPLY, &["vessel", "head"]),
        ),
        row(key("passes"), &[COUNT], &["1", "3"], Up(COUNTED)),
        row(key("setup"), &[], times, Up(BAY)),
        row(key("per_bleeder"), &[], times, Up(BAY)),
        row(key("per_re_pump"), &[RE_PUMP], times, Up(BAY)),
        row(key("per_syringe"), &[before(r#"[{ syringe = "20 mL" }]"#)], times, Up(BAY)),
        row(key("per_top_up"), &[before(r#"[{ top_up = "50 mL" }]"#)], times, Up(BAY)),
        row(key("finish"), &[], times, Up(BAY)),
        row(key("open"), &[TWO, COUNT], &[r#"["front"]"#, r#"["front", "rear"]"#], Up(COUNTED)),
        row(key("until"), &[], &[r#""20 mL""#, r#""50 mL""#], Up(COUNTED)),
        row(
            key("steps"),
            &[STEPS_ONLY],
            &[
                r#"[{ open = "front", until = "20 mL" }]"#,
                r#"[{ open = "front", until = "20 mL" }, { open = "front", until = "5 mL" }]"#,
            ],
            Up(COUNTED),
        ),
        row(key("before"), &[], &["", r#"[{ syringe = "30 mL" }]"#], Up(REMOVED)),
        row(key("after"), &[], &["", r#"[{ set_level = "30 mL" }]"#], Up(REMOVED)),
    ]
}

fn steps() -> Vec<Row> {
    vec![
        row(
            "step.open",
            &[TWO, STEPS_ONLY, &[("procedure.steps", r#"[{ open = @, until = "20 mL" }]"#)]],
            &[r#""front""#, r#"["front", "rear"]"#],
            Up(COUNTED),
        ),
        row(
            "step.open.until",
            &[STEPS_ONLY, &[("procedure.steps", r#"[{ open = "front", until = @ }]"#)]],
            &[r#""20 mL""#, r#""50 mL""#],
            Up(COUNTED),
        ),
        row("step.syringe", &[before("[{ syringe = @ }]")], &["10 mL", "30 mL"], Down(REMOVED)),
        row(
            "step.top_up",
            &[COUNT, before("[{ top_up = @ }]")],
            &["45 mL", "75 mL"],
            Up(NEW_FLUID),
        ),
        row(
            "step.set_level",
            &[COUNT, before("[{ set_level = @ }]")],
            &["45 mL", "58 mL"],
            Up(NEW_FLUID),
        ),
        row("step.load", &[before("[{ load = @ }]")], &["100 mL", "400 mL"], Up(LOADED)),
        row("step.re_pump", &[before("[{ re_pump = @ }]")], &["10 psi", "20 psi"], Up(GAUGE_START)),
        row(
            "step.relieve",
            &[COUNT, &[("procedure.before", "@")]],
            &["[]", "[{ relieve = true }]"],
            Down(GAUGE_START),
        ),
        row("step.wait", &[before("[{ wait = @ }]")], &["1 min", "1 h"], Up(BAY)),
        row(
            "step.wait.remix",
            &[LONG, NEW_RESERVOIR, STEPS_ONLY, &[("procedure.steps", MIXED_BETWEEN)]],
            &["0 %", "100 %"],
            Down(DRAINED),
        ),
    ]
}

/// Steps before the openings.
fn before(steps: &'static str) -> Edits {
    Box::leak(Box::new([("procedure.before", steps)]))
}

/// A stop rule.
fn until(rule: &'static str) -> Edits {
    Box::leak(Box::new([("procedure.until", rule)]))
}

fn stop_rules() -> Vec<Row> {
    let key = |part: &str| format!("until.{part}");
    vec![
        row(key("clean"), &[until(r#""@""#)], &["clean, 300 mL", "300 mL"], Up(DRAINED)),
        row(key("threshold"), &[until(r#""clean below @""#)], &["10 %", "40 %"], Down(DRAINED)),
        row(key("hold"), &[until(r#""clean, hold @""#)], &["5 mL", "40 mL"], Up(DRAINED)),
        row(key("volume"), &[until(r#""@""#)], &["20 mL", "50 mL"], Up(COUNTED)),
        row(key("time"), &[until(r#""@""#)], &["5 s", "20 s"], Up(FLOW_S)),
        row(
            key("at least"),
            &[until(r#""clean, at least @""#)],
            &["200 mL", "300 mL"],
            Up(COUNTED),
        ),
        row(key("at most"), &[until(r#""clean, at most @""#)], &["20 mL", "50 mL"], Up(COUNTED)),
    ]
}

/// On what the caliper holds.
fn drawn(table: &'static str) -> Edits {
    Box::leak(Box::new([("parts.front.new_pads", table)]))
}

fn spreads() -> Vec<Row> {
    let key = |key: &str| format!("spread.{key}");
    let between = r#"{ value = @, from = "4 mL", to = "20 mL", shape = "triangular" }"#;
    let from = r#"{ value = "10 mL", from = @, to = "20 mL", shape = "uniform" }"#;
    let to = r#"{ value = "10 mL", from = "4 mL", to = @, shape = "uniform" }"#;
    let sd = r#"{ value = "10 mL", sd = @, shape = "normal" }"#;
    let shape = r#"{ value = "10 mL", from = "4 mL", to = "20 mL", sd = "2 mL", shape = @ }"#;
    vec![
        row(key("value"), &[drawn(between)], &["6 mL", "18 mL"], Up(DRAWN_MIDDLE)),
        row(key("from"), &[drawn(from)], &["2 mL", "8 mL"], Up(DRAWN_LOW)),
        row(key("to"), &[drawn(to)], &["12 mL", "30 mL"], Up(DRAWN_HIGH)),
        row(key("sd"), &[drawn(sd)], &["1 mL", "3 mL"], Up(DRAWN_HIGH)),
        row(
            key("shape"),
            &[drawn(shape)],
            &["uniform", "triangular", "normal", "log-normal"],
            Shows(DRAWN, &[]),
        ),
    ]
}
