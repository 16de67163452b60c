//! Rows of the supplies.

use super::figures::*;
use super::row::{Down, Edits, Row, Shows, Up, row};
use super::tables::{COUNT, HEAD};

const MUCH: Edits = &[("procedure.until", r#""250 mL""#)];
const VACUUM: Edits = &[
    ("supplies.pump.kind", r#""vacuum""#),
    ("supplies.pump.vacuum", r#""15 inHg""#),
    ("procedure.supply", r#""pump""#),
];
const PEDAL: Edits = &[("supplies.foot.kind", r#""pedal""#), ("procedure.supply", r#""foot""#)];

pub fn rows() -> Vec<Row> {
    let mut rows = pressure_bleeder();
    for (kind, bench) in [("gravity", HEAD), ("vacuum", VACUUM), ("pedal", PEDAL)] {
        let key = |key: &str| format!("supply.{kind}.{key}");
        rows.extend([
            row(key("refill_below"), &[bench], &["15 mL", "38 mL"], Up(DRAINED)),
            row(key("refill_to"), &[bench], &["50 mL", "80 mL"], Up(FIRST_POUR)),
            row(
                key("topped_up"),
                &[bench, MUCH],
                &["true", "false"],
                Shows(WARNINGS, &["", "supply ran dry"]),
            ),
        ]);
    }
    let key = |key: &str| format!("supply.pedal.{key}");
    rows.extend([
        row("supply.vacuum.vacuum", &[VACUUM, COUNT], &["8 inHg", "20 inHg"], Down(FLOW_S)),
        row(key("stroke"), &[PEDAL, COUNT], &["2 mL", "5 mL"], Down(STROKES)),
        row(key("stroke_used"), &[PEDAL, COUNT], &["30 %", "80 %"], Down(STROKES)),
        row(key("port_closing"), &[PEDAL, COUNT], &["0.1 mL", "1.5 mL"], Up(STROKES)),
        row(key("pressure"), &[PEDAL, COUNT], &["0.5 bar", "2 bar"], Down(FLOW_S)),
        row(key("between_strokes"), &[PEDAL, COUNT], &["3 s", "12 s"], Up(BAY)),
    ]);
    rows
}

fn pressure_bleeder() -> Vec<Row> {
    let key = |key: &str| format!("supply.pressure bleeder.{key}");
    vec![
        row(key("loaded"), &[MUCH], &["500 mL", "3 L"], Down(GAUGE_END)),
        row(key("gauge"), &[COUNT], &["8 psi", "20 psi"], Down(FLOW_S)),
        row(key("re_pump_below"), &[MUCH], &["5 psi", "14.5 psi"], Up(REPUMPS)),
        row(key("shell"), &[MUCH], &["2 L", "6 L"], Up(GAUGE_END)),
        row(key("feed_hose_length"), &[], &["0.5 m", "3 m"], Up(IN_FEED_HOSE)),
        row(key("feed_hose_bore"), &[], &["4 mm", "8 mm"], Up(IN_FEED_HOSE)),
        row(key("feed_hose_holds"), &[], &["air", "new fluid"], Down(IN_FEED_HOSE)),
        row(key("heel"), &[COUNT], &["10 mL", "100 mL"], Up(LEAST_LOAD)),
        row(key("exponent"), &[MUCH], &["1", "1.4"], Down(GAUGE_END)),
    ]
}
