//! A unit worked with its bleeders shut: a closed loop of mixed rooms, by hand arithmetic.

use super::{PLAIN, ROUTINE, conserves, part};
use crate::common::cars::{edited, old_ml, run};

/// A circuit's rooms: accumulator 0.4 mL, pump 0.2 mL, damper 1.5 mL, two passages of 1 mL.
const TRAPPED_ML: f64 = 0.4 + 0.2 + 1.5;
/// What comes down the line, mL: w.
const CYCLE_ML: f64 = 0.5;

/// The plain flush until lines and passages are as good as new, then the unit worked.
fn worked(seconds: f64) -> farwheel::job::record::Record {
    let after = format!(
        "until = \"1 L\"\nafter = [{{ work_modulator = \"unit\", time = \"{seconds} s\" }}]"
    );
    let text = edited(PLAIN, "until = \"clean\"", &after);
    let text = edited(&text, "loaded = \"1.5 L\"", "loaded = \"9 L\", shell = \"30 L\"");
    let record = run(&text);
    conserves(&record);
    record
}

/// 2.1 mL, all old, two passages of 1 mL and 0.5 mL from the line, all new, mix to 2.1/4.6 = 0.4565 everywhere; and what
/// goes back up the line is 0.5 mL of that.
#[test]
fn all_rooms_come_to_what_the_loop_holds_in_all() {
    let by_hand = TRAPPED_ML / (TRAPPED_ML + 2.0 + CYCLE_ML);
    assert_eq!(format!("{by_hand:.4}"), "0.4565");
    let record = worked(60.0);
    for circuit in ["secondary", "primary"] {
        for room in ["accumulator", "pump", "damper"] {
            let old = part(&record, &format!("{circuit} {room}")).old_fraction;
            assert!((old - by_hand).abs() < 2e-3, "{circuit} {room}: {old} for {by_hand}");
        }
    }
}

/// Old fractions after n cycles of w with a = d = ½, all exponentials of the rooms that v runs through (docs/modulator.md):
/// accumulator, pump, damper and a passage, the two passages alike.
fn after_cycles(n: u32) -> [f64; 4] {
    let (w, each) = (CYCLE_ML, 0.5 * CYCLE_ML);
    let [mut mixed, mut pump, mut damper, mut passage] = [1.0, 1.0, 1.0, 0.0];
    // What lies apart, and what comes out of a room that c comes into and that held m: m′ stays, and by the books leaves
    // c + (m − m′) V/v.
    let mut apart;
    let through = |m: &mut f64, c: f64, room: f64, v: f64| -> f64 {
        let after = c + (*m - c) * (-v / room).exp();
        let out = c + (*m - after) * room / v;
        *m = after;
        out
    };
    // Half of w mixes with 0.4 mL, half lies apart.
    let take = |mixed: f64, c: f64| ((0.4 * mixed + 0.25 * c) / 0.65, c);
    (mixed, apart) = take(mixed, 0.0);
    for _ in 0..n {
        let c = 0.5 * (mixed + apart);
        let c = through(&mut pump, c, 0.2, w);
        let c = 0.5 * c + 0.5 * through(&mut damper, c, 1.5, 0.5 * w);
        let c = through(&mut passage, c, 1.0, each);
        (mixed, apart) = take(mixed, c);
    }
    // At the end w goes through pump and damper and up the line.
    let c = through(&mut pump, 0.5 * (mixed + apart), 0.2, w);
    through(&mut damper, c, 1.5, 0.5 * w);
    [mixed, pump, damper, passage]
}

/// Cycle by cycle, and their sum is what was there less what went up the line.
#[test]
fn the_rooms_after_each_number_of_cycles() {
    for n in [1, 2, 4, 10, 40] {
        let record = worked(0.25 * f64::from(n));
        let [accumulator, pump, damper, passage] = after_cycles(n);
        let rooms = [
            ("secondary accumulator", accumulator),
            ("secondary pump", pump),
            ("secondary damper", damper),
            ("unit to line RR", passage),
            ("unit to line LF", passage),
        ];
        for (room, by_hand) in rooms {
            let old = part(&record, room).old_fraction;
            assert!((old - by_hand).abs() < 2e-3, "{n} cycles, {room}: {old} for {by_hand}");
        }
    }
}

/// The shipped routine begins with lines flushed until they look clean, not with new ones: what its passages and the
/// 0.5 mL from the line still hold of old fluid is in the loop too.
#[test]
fn what_the_passages_still_hold_is_in_the_loop() {
    let once = edited(ROUTINE, "passes = 2", "passes = 1");
    let work = "after = [{ work_modulator = \"unit\", time = \"20 s\" }]";
    let (before, after) = (run(&edited(&once, work, "")), run(&once));
    for (circuit, lines) in [("secondary", ["RR", "LF"]), ("primary", ["LR", "RF"])] {
        let passages: f64 =
            lines.iter().map(|l| old_ml(&before, &format!("unit to line {l}"))).sum();
        let pipe = part(&before, &format!("pipe {circuit}")).old_fraction;
        let by_hand = (TRAPPED_ML + passages + CYCLE_ML * pipe) / (TRAPPED_ML + 2.0 + CYCLE_ML);
        let old = part(&after, &format!("{circuit} damper")).old_fraction;
        // What comes down is a little newer than the pipe in the mean, by 0.01 at most.
        assert!((old - by_hand).abs() < 0.01 * CYCLE_ML / 4.6, "{circuit}: {old} for {by_hand}");
    }
}
