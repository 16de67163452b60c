//! What is taken up at first, what goes round and what comes back, by hand from the rules of docs/modulator.md.

use super::{PLAIN, conserves, opening_at, part, trading};
use crate::common::cars::{self, DOT_4, GRAVITY, edited, edited_all, run, undivided};
use farwheel::job::record::{Does, Record};

/// What the unit is worked by in [`trading`], and its cycle.
const WORK: &str = "{ work_modulator = \"unit\", time = \"10 s\" }";
const CYCLE: &str = "cycle_volume = \"0.05 mL\"";

/// An accumulator of 1 mL of old fluid, of which a share trades, under a passage of new fluid; cycles of 0.5 mL in 0.25 s.
fn worked(share: f64, steps: &str) -> String {
    let text = trading("0.05 mL", ("1 mL", share), ("0.05 mL", 1.0));
    edited_all(&text, &[(CYCLE, "cycle_volume = \"0.5 mL\""), (WORK, steps)])
}

fn accumulator(record: &Record) -> (f64, f64) {
    let p = part(record, "unit accumulator");
    (p.volume_ml, p.old_fraction)
}

/// What each time that a unit was worked moved between reservoir and accumulators, mL.
fn moved_ml(record: &Record) -> Vec<f64> {
    let steps = record.steps.iter().filter(|s| matches!(s.does, Does::WorkModulator));
    steps.map(|s| s.moved_ml).collect()
}

fn all_near(are: &[f64], by_hand: &[f64]) {
    assert_eq!(are.len(), by_hand.len(), "{are:?} for {by_hand:?}");
    for (is, by_hand) in are.iter().zip(by_hand) {
        assert!((is - by_hand).abs() < 1e-9, "{are:?} for {by_hand:?}");
    }
}

/// With u taken up, the rooms hold A + a u and (1 − a) u, and v goes out and in by the same shares: the first room's old
/// fraction falls by 1 − a v/(A + a u) each time. By hand: 3 mL of new fluid leave 1/(1 + 3 a) of it; ten cycles of 0.5 mL
/// follow, less than u; what the emptying takes leaves the composition as it is.
#[test]
fn an_accumulator_that_holds_more_than_a_cycle_gives_out_by_its_shares() {
    let fill = "{ work_modulator = \"unit\", time = \"10 s\", pump = false }";
    let pump = "{ work_modulator = \"unit\", time = \"2.5 s\" }";
    for share in [0.1, 0.3, 0.8] {
        let record = run(&worked(share, &format!("{fill}, {pump}")));
        conserves(&record);
        let room = 1.0 + 3.0 * share;
        let exact = room.recip() * (1.0 - 0.5 * share / room).powi(10);
        // 1.1 mL of old fluid in a litre, and what the flush has left of the passage's own.
        let spring = 1.1e-3 + part(&record, "unit to line").old_fraction;
        let (volume, old) = accumulator(&record);
        assert!((exact - 1e-9..exact + spring).contains(&old), "{share}: {old} for {exact}");
        assert!((volume - 1.0).abs() < 1e-9, "{share}: {volume}");
        all_near(&moved_ml(&record), &[-3.0, 3.0]);
    }
}

/// With the pump off (w/t) × time comes, 2 mL/s, until 3 mL are taken up; on, w − u, and nothing where u is w and more.
#[test]
fn the_first_volume_is_what_the_accumulator_lacks() {
    let off =
        |time: &str| format!("{{ work_modulator = \"unit\", time = \"{time}\", pump = false }}");
    let open = "{ work_modulator = \"unit\", time = \"1 s\", bleeders = \"wheel\" }";
    for (steps, by_hand, held_ml) in [
        (off("0.9 s"), vec![-1.8], 1.8),
        (format!("{}, {}", off("0.9 s"), off("0.9 s")), vec![-1.8, -1.2], 3.0),
        (open.to_owned(), vec![-0.5], 0.0),
        (format!("{}, {open}", off("0.15 s")), vec![-0.3, -0.2], 0.0),
        (format!("{}, {open}", off("0.9 s")), vec![-1.8, 0.0], 0.0),
    ] {
        let record = run(&worked(0.5, &steps));
        conserves(&record);
        all_near(&moved_ml(&record), &by_hand);
        all_near(&[accumulator(&record).0], &[1.0 + held_ml]);
    }
}

/// No more than half of what the reservoir holds for the outlet comes down: of 4 mL two, of the two that are left one.
#[test]
fn the_reservoir_keeps_half_of_what_it_holds() {
    let fill = "{ work_modulator = \"unit\", time = \"10 s\", pump = false }";
    let parts = r#"[parts]
pipe = { kind = "line", from = "only", length = "0.1 m" }
unit = { kind = "hydraulic modulator", from = "pipe", accumulator_opens = "0 bar", accumulator_swept = "6 mL" }
line = { kind = "line", from = "unit", length = "0.1 m" }
wheel = { kind = "caliper", from = "line", new_pads = "5 mL" }
[procedure]
open = ["wheel"]
until = "10 mL""#;
    let before = format!("before = [{fill}, {fill}]");
    let above = undivided("only", 5.0, [4, 2, 20, 30]);
    let record = run(&cars::scenario_text(&[DOT_4, &above, parts, &before, GRAVITY]));
    conserves(&record);
    all_near(&moved_ml(&record), &[-2.0, -1.0]);
    all_near(&[part(&record, "unit accumulator").volume_ml], &[0.4 + 3.0]);
}

/// What the pump sends back up stops at a one-way valve, and stays in the accumulator.
#[test]
fn a_one_way_valve_keeps_what_is_taken_up() {
    let free = worked(0.5, WORK);
    let barred = edited_all(
        &free,
        &[
            (
                "unit = {",
                "valve = { kind = \"residual-pressure valve\", from = \"pipe\" }\nunit = {",
            ),
            (
                "kind = \"hydraulic modulator\", from = \"pipe\"",
                "kind = \"hydraulic modulator\", from = \"valve\"",
            ),
        ],
    );
    for (text, moved, held_ml) in [(free, 0.0, 0.0), (barred, -0.5, 0.5)] {
        let record = run(&text);
        conserves(&record);
        all_near(&moved_ml(&record), &[moved]);
        all_near(&[accumulator(&record).0], &[1.0 + held_ml]);
    }
}

/// Of an ESC pump's delivery 1 − s goes round where a bleeder is open. By hand: 0.05 mL of new fluid come first, to 1/1.05;
/// a part f of a cycle leaves 1 − f x of the old fraction, x = 0.05/1.05, and by Bernoulli's inequality and that of the
/// exponential (1 − x)^f ≤ 1 − f x ≤ e^(−f x): 40 (1 − s) cycles in 10 s, in whatever parts.
#[test]
fn with_a_bleeder_open_what_is_not_drawn_from_above_goes_round() {
    let open = "{ work_modulator = \"unit\", time = \"10 s\", bleeders = \"wheel\" }";
    for share in [0.25, 0.5, 0.75_f64] {
        let esc = format!("esc = true, suction_share = {share}, {CYCLE}");
        let text = trading("0.05 mL", ("1 mL", 1.0), ("0.05 mL", 1.0));
        let record = run(&edited_all(&text, &[(CYCLE, &esc), (WORK, open)]));
        conserves(&record);
        let (cycles, x) = (40.0 * (1.0 - share), 0.05 / 1.05_f64);
        let (least, most) = ((1.0 - x).powf(cycles) / 1.05, (-cycles * x).exp() / 1.05);
        let spring = 1.1e-3 + part(&record, "unit to line").old_fraction;
        let (volume, old) = accumulator(&record);
        assert!((least..most + spring).contains(&old), "{share}: {old}, {least} to {most}");
        assert!((volume - 1.0).abs() < 1e-9 && most - least < 0.02, "{volume}");
    }
}

/// On the road a foot is on the pedal, and presses harder than any spring, without the pump of stability control too.
#[test]
fn on_the_road_a_foot_opens_the_accumulators() {
    let plain = edited(&opening_at(PLAIN, "20 bar"), "esc = true", "esc = false");
    let weaker = plain.replace("\"20 bar\"", "\"0 bar\"");
    let (plain, weaker) = (run(&plain), run(&weaker));
    let sent = |r: &Record| -> Vec<f64> {
        let then = r.if_modulator_works.as_ref().expect("a unit");
        then.channels.iter().map(|c| c.sent_old_fraction).collect()
    };
    all_near(&sent(&plain), &sent(&weaker));
    // What was trapped reaches the passage.
    let passage = part(&plain, "unit to line RR").old_fraction;
    assert!(sent(&plain)[0] > passage + 0.2, "{:?} for {passage}", sent(&plain));
}
