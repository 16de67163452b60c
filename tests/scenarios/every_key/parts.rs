//! Rows of the parts, kind by kind.

use super::figures::*;
use super::row::{Down, Edits, Row, Shows, Up, edits, row};
use super::tables::{AGAIN, COUNT, FEW, HEAD, NEW_PART, NEW_RESERVOIR};

const LONG: Edits = &[("parts.hose.length", r#""6 m""#)];
const CLEAN: Edits = &[("procedure.until", r#""clean below 5 %""#)];
const BENDS: Edits = &[("parts.hose.bends", "4")];
const REMIX: Edits = &[("parts.hose.remix_per_bend", r#""30 %""#)];
const POCKET: Edits = &[("parts.front.pocket", r#""40 %""#)];
const HALF_WORN: Edits = &[("vehicle.pad_wear", r#""50 %""#)];

const WORN_SHOES: Edits = &[("parts.front.worn_shoes", r#""20 mL""#)];
const PISTONS: Edits = &[
    ("parts.front.new_pads", ""),
    ("parts.front.pistons", r#""40 mm""#),
    ("parts.front.fitted", r#""front""#),
];
const FITTED: &[&str] =
    &["front", "rear", "front opposed", "rear opposed", "rear with parking brake", "motorcycle"];

const LINE_BEFORE: Edits = edits! {
    "parts.before": kind = "line", from = "lever", length = "3 m";
    "parts.hose": from = "before";
};
const HOSE_BEFORE: Edits = edits! {
    "parts.before": kind = "hose", from = "lever", length = "3 m";
    "parts.hose": from = "before";
};
const LINE: Edits = &[("parts.hose.kind", r#""line""#)];
const CALIPER: Edits = &[];
const TWIN: Edits = &[
    ("parts.front.kind", r#""two-bleeder caliper""#),
    ("parts.front.bleeders", r#"["inner", "outer"]"#),
    ("procedure.open", r#"["outer", "inner"]"#),
];
const DRUM: Edits = &[
    ("parts.front.kind", r#""wheel cylinder""#),
    ("parts.front.new_pads", ""),
    ("parts.front.volume", r#""8 mL""#),
];
const SLAVE: Edits = &[
    ("parts.front.kind", r#""clutch slave cylinder""#),
    ("parts.front.new_pads", ""),
    ("parts.front.volume", r#""8 mL""#),
];
const MASTER: Edits = edits! {
    "reservoir": outlets = ["lever", "clutch"], compartment = "10 mL";
    "parts.feed": kind = "line", from = "clutch", length = "0.3 m";
    "parts.master": kind = "clutch master cylinder", from = "feed", volume = "8 mL";
    "parts.hose": from = "master";
};
const LARGE: Edits = &[("parts.front.new_pads", r#""25 mL""#)];
const LARGE_DRUM: Edits = &[("parts.front.volume", r#""25 mL""#)];
const LARGE_MASTER: Edits = &[("parts.master.volume", r#""25 mL""#)];
const AGAIN_TWIN: Edits =
    &[("procedure.after", r#"[{ wait = "10 min" }, { open = "outer", until = "30 mL" }]"#)];
const MASTERS_POCKET: Edits = &[("parts.master.pocket", r#""40 %""#)];
const TEE: Edits = edits! {
    "parts.tee": kind = "tee", from = "hose";
    "parts.end": kind = "line", from = "tee", length = "0.2 m";
    "parts.front": from = "end";
};
const BLOCK: Edits = edits! {
    "parts.block": kind = "chamber", from = "hose", volume = "8 mL";
    "parts.end": kind = "line", from = "block", length = "0.2 m";
    "parts.front": from = "end";
};
const LARGE_BLOCK: Edits = &[("parts.block.volume", r#""25 mL""#)];
const BLOCKS_POCKET: Edits = &[("parts.block.pocket", r#""40 %""#)];
/// A second way from the chamber, five times as long, to a caliper that hangs on whichever way is not the
/// value.
pub const WAYS: Edits = edits! {
    "parts.long": kind = "hose", from = "lever", length = "5 m";
    "parts.spare": kind = "caliper", from = ~, new_pads = "8 mL";
};
pub const SHORT_AND_LONG: &[&str] = &[r#""hose""#, r#""long""#];
/// The same for what starts where the chamber's own hose does: a short way before it.
const WAYS_BEFORE: Edits = &[
    ("parts.short.kind", r#""hose""#),
    ("parts.short.from", r#""lever""#),
    ("parts.short.length", r#""1 m""#),
];
/// The same for what an outlet of the reservoir feeds.
const WAYS_FROM_OUTLET: Edits = &[("parts.long.from", r#""clutch""#)];
/// A way round from the front to the rear: it helps more if it goes all the way.
pub const ROUND: Edits = edits! {
    "parts.before": kind = "hose", from = "lever", length = "2 m";
    "parts.middle": kind = "tee", from = "before";
    "parts.behind": kind = "hose", from = "middle", length = "2 m";
    "parts.rear": kind = "caliper", from = "behind", new_pads = "8 mL";
    "procedure": open = ["rear"];
    "parts.valve": from = "front", to = @;
    "parts.front": from = "hose";
};
const ROUND_BY_LINE: Edits =
    &[("parts.valve.kind", r#""line""#), ("parts.valve.length", r#""0.5 m""#)];
const ROUND_BY_HOSE: Edits =
    &[("parts.valve.kind", r#""hose""#), ("parts.valve.length", r#""0.5 m""#)];

pub fn rows() -> Vec<Row> {
    let mut rows = Vec::new();
    for (kind, bench) in [("line", LINE), ("hose", &[])] {
        rows.extend(tube(kind, bench));
    }
    for (kind, bench) in [
        ("caliper", CALIPER),
        ("two-bleeder caliper", TWIN),
        ("wheel cylinder", DRUM),
        ("clutch slave cylinder", SLAVE),
    ] {
        let key = |key: &str| format!("part.{kind}.{key}");
        let large = if bench == DRUM || bench == SLAVE { LARGE_DRUM } else { LARGE };
        let again = if bench == TWIN { AGAIN_TWIN } else { AGAIN };
        rows.extend(chamber(kind, &[bench, large], POCKET, again));
        rows.extend(screw(kind, bench));
        rows.extend(held(kind, &[bench, FEW]));
        rows.extend([
            row(key("bypass"), &[bench, COUNT], &["0 %", "40 %"], Up(OLD_LEFT)),
            row(key("from"), &[bench, WAYS, COUNT], SHORT_AND_LONG, Up(FLOW_S)),
        ]);
    }
    for (kind, bench) in [("caliper", CALIPER), ("two-bleeder caliper", TWIN)] {
        let key = |key: &str| format!("part.{kind}.{key}");
        let worn: Edits = &[("parts.front.worn_pads", r#""20 mL""#)];
        rows.extend([
            row(key("new_pads"), &[bench], &["8 mL", "20 mL"], Up(DRAINED)),
            row(key("worn_pads"), &[bench, HALF_WORN], &["10 mL", "30 mL"], Up(DRAINED)),
            row(key("pad_wear"), &[bench, worn], &["0 %", "90 %"], Up(DRAINED)),
            row(key("pistons"), &[bench, PISTONS, HALF_WORN], &["30 mm", "54 mm"], Up(DRAINED)),
            row(key("fitted"), &[bench, PISTONS, HALF_WORN], FITTED, Shows(VOLUMES, &[])),
        ]);
    }
    for kind in ["wheel cylinder", "clutch slave cylinder"] {
        let bench = if kind == "wheel cylinder" { DRUM } else { SLAVE };
        rows.push(row(format!("part.{kind}.volume"), &[bench], &["8 mL", "20 mL"], Up(DRAINED)));
    }
    for (kind, bench) in
        [("caliper", CALIPER), ("wheel cylinder", DRUM), ("clutch slave cylinder", SLAVE)]
    {
        let named: Edits = &[("parts.front.bleeders", "@"), ("procedure.open", "@")];
        let names = Shows(BLEEDER, &["one", "other"]);
        let key = format!("part.{kind}.bleeders");
        rows.push(row(key, &[bench, named], &[r#"["one"]"#, r#"["other"]"#], names));
    }
    let twin = |key: &str| format!("part.two-bleeder caliper.{key}");
    let narrow: Edits = &[("parts.front.crossover_bore", r#""1 mm""#)];
    let outer: Edits = &[("procedure.open", r#"["outer"]"#)];
    rows.extend([
        row("part.wheel cylinder.pad_wear", &[DRUM, WORN_SHOES], &["0 %", "90 %"], Up(DRAINED)),
        row("part.wheel cylinder.worn_shoes", &[DRUM, HALF_WORN], &["9 mL", "25 mL"], Up(DRAINED)),
        row(
            twin("bleeders"),
            &[TWIN, narrow, outer, COUNT],
            &[r#"["outer", "inner"]"#, r#"["inner", "outer"]"#],
            Up(FLOW_S),
        ),
        row(twin("crossover_bore"), &[TWIN, outer, COUNT], &["0.8 mm", "2.5 mm"], Down(FLOW_S)),
        row(
            twin("crossover_near"),
            &[TWIN, narrow, outer, COUNT],
            &["40 mm", "300 mm"],
            Up(FLOW_S),
        ),
        row(twin("crossover_far"), &[TWIN, narrow, outer, COUNT], &["80 mm", "600 mm"], Up(FLOW_S)),
    ]);
    rows.extend(clutch_master());
    rows.extend(chamber("chamber", &[BLOCK, LARGE_BLOCK], BLOCKS_POCKET, AGAIN));
    rows.extend(held("chamber", &[BLOCK, FEW]));
    rows.push(row("part.chamber.volume", &[BLOCK], &["8 mL", "20 mL"], Up(DRAINED)));
    rows.extend([
        row("part.tee.from", &[TEE, WAYS, COUNT], SHORT_AND_LONG, Up(FLOW_S)),
        row("part.chamber.from", &[BLOCK, WAYS, COUNT], SHORT_AND_LONG, Up(FLOW_S)),
        row("part.like", &[LIKE], &["near", "far"], Up(PATH_M)),
    ]);
    rows
}

const LIKE: Edits = &[
    ("like.near.kind", r#""hose""#),
    ("like.near.length", r#""1 m""#),
    ("like.far.kind", r#""hose""#),
    ("like.far.length", r#""3 m""#),
    ("parts.hose.kind", ""),
    ("parts.hose.length", ""),
    ("parts.hose.like", "@"),
];

/// What a part with a volume holds at the start.
pub fn held(kind: &str, benches: &[Edits]) -> Vec<Row> {
    let key = |key: &str| format!("part.{kind}.{key}");
    vec![
        row(key("water"), benches, &["1 %", "4 %"], Up(WATER_LEFT)),
        row(key("old_fraction"), benches, &["20 %", "90 %"], Up(OLD_LEFT)),
        row(key("replaced"), benches, &["false", "true"], Shows(WARNINGS, NEW_PART)),
    ]
}

fn tube(kind: &str, bench: Edits) -> Vec<Row> {
    let key = |key: &str| format!("part.{kind}.{key}");
    let round = if kind == "line" { ROUND_BY_LINE } else { ROUND_BY_HOSE };
    let mut rows = held(kind, &[bench, FEW]);
    let before = if kind == "line" { LINE_BEFORE } else { HOSE_BEFORE };
    rows.extend([
        row(
            key("joint_remix"),
            &[bench, LONG, before, NEW_RESERVOIR, CLEAN],
            &["0 %", "100 %"],
            Down(DRAINED),
        ),
        row(key("length"), &[bench], &["1 m", "3 m"], Up(DRAINED)),
        row(key("bore"), &[bench], &["2.5 mm", "5 mm"], Up(DRAINED)),
        row(key("bends"), &[bench, LONG, NEW_RESERVOIR, CLEAN, REMIX], &["0", "20"], Down(DRAINED)),
        row(
            key("remix_per_bend"),
            &[bench, LONG, NEW_RESERVOIR, CLEAN, BENDS],
            &["0 %", "90 %"],
            Down(DRAINED),
        ),
        row(key("profile"), &[bench, LONG], &["laminar", "plug"], Down(DRAINED)),
        row(
            key("from"),
            &[bench, WAYS, WAYS_BEFORE, COUNT],
            &[r#""short""#, r#""long""#],
            Up(FLOW_S),
        ),
        row(key("to"), &[ROUND, round, COUNT], &[r#""rear""#, r#""middle""#], Up(FLOW_S)),
    ]);
    rows
}

/// Stages and pockets; `pocket` gives it one, `again` waits and opens it once more.
fn chamber(kind: &str, bench: &[Edits], pocket: Edits, again: Edits) -> Vec<Row> {
    let key = |key: &str| format!("part.{kind}.{key}");
    let with = |more: &[Edits]| [bench, &[NEW_RESERVOIR, COUNT], more].concat();
    let of = |key: String, more: &[Edits], values, moves| row(key, &with(more), values, moves);
    vec![
        of(key("stages"), &[], &["1", "10"], Down(OLD_LEFT)),
        of(key("pocket"), &[], &["0 %", "40 %"], Up(OLD_LEFT)),
        of(key("pocket_exchange"), &[pocket], &["3 %", "80 %"], Down(OLD_LEFT)),
        of(key("pocket_time"), &[pocket, again], &["10 s", "1 h"], Up(OLD_LEFT)),
    ]
}

fn screw(kind: &str, bench: Edits) -> Vec<Row> {
    let key = |key: &str| format!("part.{kind}.{key}");
    vec![
        row(key("bleeder_hole"), &[bench, COUNT], &["0.6 mm", "2 mm"], Down(FLOW_S)),
        row(key("bleeder_hole_length"), &[bench, COUNT], &["0 mm", "40 mm"], Up(FLOW_S)),
        row(key("bleeder_cross_hole"), &[bench, COUNT], &["0.6 mm", "2 mm"], Down(FLOW_S)),
        row(key("seat_gap"), &[bench, COUNT], &["0.05 mm", "0.5 mm"], Down(FLOW_S)),
        row(key("height"), &[bench, HEAD, COUNT], &["0.2 m", "0.6 m"], Up(FLOW_S)),
    ]
}

fn clutch_master() -> Vec<Row> {
    let key = |key: &str| format!("part.clutch master cylinder.{key}");
    let mut rows =
        chamber("clutch master cylinder", &[MASTER, LARGE_MASTER], MASTERS_POCKET, AGAIN);
    rows.extend(held("clutch master cylinder", &[MASTER, FEW]));
    rows.extend([
        row(key("volume"), &[MASTER], &["8 mL", "20 mL"], Up(DRAINED)),
        row(
            key("from"),
            &[MASTER, WAYS, WAYS_FROM_OUTLET, COUNT],
            &[r#""feed""#, r#""long""#],
            Up(FLOW_S),
        ),
    ]);
    rows
}
