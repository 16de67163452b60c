//! Jobs in which an ABS/ESC unit is worked, bleeders shut and open, with stability control and without.

use super::rules::{BLEEDER, Job, with};
use super::spaces::Draw;

const PLAIN: &str = include_str!("../../../scenarios/saloon-esc-plain-flush.toml");
const ROUTINE: &str = include_str!("../../../scenarios/saloon-esc-with-routine.toml");
const ESC: &str = "esc = true";
const BY_EYE: &str = "until = \"clean\"";

/// The saloon flushed, then worked so; enough fluid in the vessel.
fn then(keys: &str, steps: &str) -> String {
    let text = with(PLAIN, ESC, keys);
    let text = with(&text, "loaded = \"1.5 L\"", "loaded = \"3 L\", shell = \"9 L\"");
    with(&text, BY_EYE, &format!("{BY_EYE}\nafter = [{steps}]"))
}

/// Keys of the unit.
fn keys(draw: &mut Draw) -> String {
    let mut keys = if draw.so(0.6) { ESC.to_owned() } else { "esc = false".to_owned() };
    for (key, low, high, none) in [
        ("accumulator", 0.1, 1.0, 0.3),
        ("damper", 0.3, 3.0, 0.3),
        ("pump_chamber", 0.05, 0.5, 0.0),
    ] {
        let ml = if draw.so(none) { 0.0 } else { draw.between(low, high) };
        keys += &format!(", {key} = \"{ml:.3} mL\"");
        if key != "pump_chamber" && ml > 0.0 {
            keys += &format!(", {key}_exchange = {:.3}", draw.share());
        }
    }
    keys += &format!(", accumulator_opens = \"{:.2} bar\"", draw.between(0.0, 0.9));
    keys += &format!(", cycle_volume = \"{:.3} mL\"", draw.between(0.2, 0.9));
    keys += &format!(", cycle_time = \"{:.3} s\"", draw.between(0.15, 0.5));
    if keys.starts_with(ESC) {
        keys += &format!(", suction_share = {:.3}", draw.between(0.1, 0.9));
    }
    keys
}

/// How it is worked.
fn step(draw: &mut Draw, open: bool) -> String {
    let mut step = format!(
        "{{ work_modulator = \"unit\", time = \"{:.2} s\"",
        draw.between(0.3, if open { 15.0 } else { 30.0 })
    );
    if draw.so(0.25) {
        step += ", channels = [\"line LF\", \"line LR\"]";
    }
    if open {
        let all = ["[\"RF\", \"LF\"]", "\"RR\"", "[\"RR\", \"LF\"]", "[\"LR\", \"RF\", \"LF\"]"];
        step += &format!(", bleeders = {}", all[(4.0 * draw.share()) as usize]);
    }
    step + " }"
}

/// All of them.
pub fn jobs() -> Vec<Job> {
    let mut jobs: Vec<Job> = vec![
        ("shipped".to_owned(), ROUTINE.to_owned(), BLEEDER),
        (
            "filled with the pump off".to_owned(),
            then(
                "esc = true, accumulator_opens = \"0.5 bar\", accumulator_swept = \"1.2 mL\"",
                "{ work_modulator = \"unit\", time = \"9 s\", pump = false }, { work_modulator = \"unit\", time = \"3 s\" }",
            ),
            BLEEDER,
        ),
        (
            "too weak for the spring".to_owned(),
            then("esc = false", "{ work_modulator = \"unit\", time = \"9 s\", bleeders = \"RF\" }"),
            BLEEDER,
        ),
    ];
    let mut draw = Draw(7);
    for k in 0..16 {
        let (keys, step) = (keys(&mut draw), step(&mut draw, k % 2 == 1));
        let text = then(&keys, &step);
        let gravity = with(&text, "[supplies]", "[supplies]\ngravity = { kind = \"gravity\" }");
        let (text, supply) = match k % 8 == 3 && keys.starts_with(ESC) {
            true => (gravity, "gravity"),
            false => (text, BLEEDER),
        };
        jobs.push((format!("{supply}, {keys}, {step}"), text, supply));
    }
    jobs
}
