//! The hydraulic modulator: what no bleeder reaches, what working the unit does to it, and that a second
//! pass is not fooled by lines that the first has cleaned.

use crate::common::cars;
use crate::common::cars::{
    DOT_4, HATCHBACK as NO_UNIT, edited, old_ml, part, quick, read, run, scenario_text, undivided,
};
use farwheel::circuit::modulator::ModulatorCircuit;
use farwheel::circuit::{Circuit, reach};
use farwheel::job::options::Options;
use farwheel::job::record::{ClosedBy, Record, WarningKind};
use farwheel::job::{check, flush};

mod closed_loop;
mod cycles;
mod pump;
mod rooms;

const PLAIN: &str = include_str!("../../scenarios/saloon-esc-plain-flush.toml");
const ROUTINE: &str = include_str!("../../scenarios/saloon-esc-with-routine.toml");

/// The plain flush with something done after it.
fn then(steps: &str) -> Record {
    run(&after_it(steps))
}

fn after_it(steps: &str) -> String {
    edited(PLAIN, "until = \"clean\"", &format!("until = \"clean\"\nafter = [{steps}]"))
}

/// With accumulators that open at this pressure.
fn opening_at(text: &str, pressure: &str) -> String {
    edited(text, "esc = true", &format!("esc = true, accumulator_opens = \"{pressure}\""))
}

const TRAPPED: [&str; 6] = [
    "secondary accumulator",
    "secondary pump",
    "secondary damper",
    "primary accumulator",
    "primary pump",
    "primary damper",
];

fn trapped_old_ml(record: &Record) -> f64 {
    TRAPPED.iter().map(|name| old_ml(record, name)).sum()
}

fn conserves(record: &Record) {
    let held: f64 = record.left.parts.iter().map(|p| p.volume_ml).sum();
    let bound = 1e-9 * (held + record.totals.drained_ml + record.totals.removed_ml);
    assert!(cars::worst_of_the_books(record) < bound, "{:?}", record.balance);
}

/// A unit between one caliper and a master cylinder, its passage so large that, flushed, it is a spring of
/// new fluid that the trapped fluid can hardly dirty. The routine runs for 10 s at 0.2 mL/s.
fn spring(pump: &str, damper: &str) -> String {
    trading(pump, ("1 mL", 1.0), (damper, 1.0))
}

/// The same with an accumulator and a damper of which only a share trades; the accumulator opens at any pressure.
fn trading(pump: &str, accumulator: (&str, f64), damper: (&str, f64)) -> String {
    let ((accumulator, accumulator_trades), (damper, damper_trades)) = (accumulator, damper);
    let parts = format!(
        r#"[parts]
pipe = {{ kind = "line", from = "only", length = "0.1 m" }}
unit = {{ kind = "hydraulic modulator", from = "pipe", passages = "1 L", accumulator = "{accumulator}", accumulator_exchange = {accumulator_trades:?}, accumulator_opens = "0 bar", pump_chamber = "{pump}", damper = "{damper}", damper_exchange = {damper_trades:?}, cycle_volume = "0.05 mL", cycle_time = "0.25 s" }}
line = {{ kind = "line", from = "unit", length = "0.1 m" }}
wheel = {{ kind = "caliper", from = "line", new_pads = "5 mL" }}
[supplies]
"pressure bleeder" = {{ kind = "pressure bleeder", loaded = "15 L", shell = "30 L", gauge = "2 bar" }}
[procedure]
open = ["wheel"]
until = "10 L"
after = [{{ work_modulator = "unit", time = "10 s" }}]"#
    );
    scenario_text(&[DOT_4, &undivided("only", 5.0, [100, 60, 120, 150]), &parts])
}

/// Volume that the 40 cycles of the routine and the emptying at its end move, and one cycle's, mL.
const WASHED: (f64, f64) = (41.0 * 0.05, 0.05);

/// A pocket of volume D that v enters at a time, mixes, and v leaves: its old fraction falls by D/(D + v)
/// each time, which for small v is exp(−V/D) after V in all. Hand-derived: (1 + x)^−n lies between e^(−nx)
/// and e^(−nx + nx²/2), because x − x²/2 < ln(1 + x) < x for x > 0.
#[test]
fn the_accumulator_is_washed_as_a_pocket_by_the_pump_volume() {
    let record = run(&spring("0.05 mL", "0.05 mL"));
    conserves(&record);
    let (volume, cycle) = WASHED;
    let n = volume / cycle;
    let old = part(&record, "unit accumulator").old_fraction;
    // 1.1 mL of old fluid in a litre, and what 10 L have left of the passage's own.
    let spring = 1.1e-3 + part(&record, "unit to line").old_fraction;
    let exact = (1.0 + cycle).powf(-n);
    assert!((exact..exact + spring).contains(&old), "{old} for {exact}");
    assert!(old > (-volume).exp() && old < (-volume + 0.5 * n * cycle * cycle).exp() + spring);
}

/// Accumulator, pump chamber and damper in a row, all old at first: what is left in the last of three
/// unequal tanks is Σ τᵢ² e^(−V/τᵢ) / Πⱼ (τᵢ − τⱼ) (partial fractions of 1/Π(1 + τᵢ s); any textbook of
/// linear systems). The cycles are finite, so within what two of them change.
#[test]
fn the_damper_is_washed_through_accumulator_and_pump_in_a_row() {
    let record = run(&spring("0.4 mL", "1.5 mL"));
    conserves(&record);
    let tanks = [1.0, 0.4, 1.5];
    let left = |volume: f64| -> f64 {
        let term = |i: usize| {
            let others = (0..3).filter(|j| *j != i).map(|j| tanks[i] - tanks[j]);
            tanks[i] * tanks[i] * (-volume / tanks[i]).exp() / others.product::<f64>()
        };
        (0..3).map(term).sum()
    };
    assert!((left(0.0) - 1.0).abs() < 1e-12, "all old at first");
    let (volume, cycle) = WASHED;
    let old = part(&record, "unit damper").old_fraction;
    let spring = 2.9e-3 + part(&record, "unit to line").old_fraction;
    let (least, most) = (left(volume + 2.0 * cycle), left(volume - 2.0 * cycle));
    assert!(least < old && old < most + spring, "{old}, {least} to {most}");
    assert!(most - least < 0.1, "the bounds say something: {least} to {most}");
}

/// By the graph: with the valves at rest no way from the reservoir to a bleeder leads through
/// accumulator, pump or damper; with outlet and suction valves open one does.
#[test]
fn by_the_graph_no_bleeder_reaches_what_is_trapped() {
    let mut circuit = read(PLAIN).circuit().clone();
    let names = |c: &Circuit| -> Vec<String> {
        reach::unreached(c).into_iter().map(|(name, _)| name).collect()
    };
    assert_eq!(names(&circuit), TRAPPED);
    let ml: f64 = reach::unreached(&circuit).iter().map(|(_, m3)| 1e6 * m3).sum();
    assert!((ml - 4.2).abs() < 1e-9, "{ml}");
    circuit.links.iter_mut().for_each(|l| l.shut = false);
    assert!(names(&circuit).is_empty(), "{:?}", names(&circuit));
}

/// And by running it: however much is drained, not a drop of it goes.
#[test]
fn without_the_routine_no_volume_removes_what_is_trapped() {
    for ml in ["60 mL", "300 mL", "1.5 L"] {
        let more = edited(PLAIN, "until = \"clean\"", &format!("until = \"{ml}\""));
        let record =
            run(&edited(&more, "loaded = \"1.5 L\"", "loaded = \"9 L\", shell = \"20 L\""));
        for name in TRAPPED {
            let p = part(&record, name);
            assert_eq!((p.old_fraction, p.kind), (1.0, "hydraulic modulator"), "{ml}: {p:?}");
            assert!((p.water_percent - 2.2).abs() < 1e-9, "{ml}: {p:?}");
        }
        // What it does wash is the inlet path.
        assert!(part(&record, "unit to line RR").old_fraction < 0.98, "{ml}");
    }
}

/// A ring of two lines behind a line of its own hangs on a single joint: no bleeder draws through it.
#[test]
fn check_names_loops_that_hang_on_one_joint_too() {
    let more = "[parts]\ntap = { kind = \"tee\", from = \"line RF\" }\n\
        stub = { kind = \"line\", from = \"tap\", length = \"0.2 m\" }\n\
        fork = { kind = \"tee\", from = \"stub\" }\nend = { kind = \"tee\", from = \"way\" }\n\
        way = { kind = \"line\", from = \"fork\", length = \"0.2 m\" }\n\
        back = { kind = \"line\", from = \"end\", to = \"fork\", length = \"0.2 m\" }";
    let text = edited(NO_UNIT, "[parts]", more)
        .replace("from = \"line RF\" }\n\"hose LF\"", "from = \"tap\" }\n\"hose LF\"");
    let circuit = read(&text).circuit().clone();
    let names: Vec<String> = reach::unreached(&circuit).into_iter().map(|u| u.0).collect();
    assert_eq!(names, ["stub", "way", "back"]);
    assert!(reach::unreached(&read(NO_UNIT).circuit().clone()).is_empty());
}

#[test]
fn check_lists_what_no_bleeder_reaches() {
    let report = check(&read(PLAIN), &quick()).expect("it can be checked");
    let warning = report.warnings.iter().find(|w| w.kind == WarningKind::NoBleederReaches);
    let text = &warning.expect("a warning").text;
    for name in TRAPPED {
        assert!(text.contains(name), "{text}");
    }
    assert!(text.contains("4.2 mL") && text.contains("work_modulator"), "{text}");
    let plain = check(&read(NO_UNIT), &quick()).expect("it can be checked");
    assert!(plain.warnings.iter().all(|w| w.kind != WarningKind::NoBleederReaches));
}

/// Nothing is lost, whichever way the unit is worked; checked at every step.
#[test]
fn every_way_of_working_the_unit_conserves() {
    for steps in [
        "{ work_modulator = \"unit\", time = \"20 s\" }",
        "{ work_modulator = \"unit\", channels = [\"line LF\"], time = \"3.1 s\" }",
        "{ work_modulator = \"unit\", time = \"9 s\", pump = false }",
        "{ work_modulator = \"unit\", time = \"9 s\", pump = false }, { work_modulator = \"unit\" }",
        "{ work_modulator = \"unit\", time = \"20 s\", bleeders = [\"RR\", \"LR\"] }",
        "{ work_modulator = \"unit\", time = \"20 s\", bleeders = \"LF\", pump = false }",
    ] {
        conserves(&then(steps));
        conserves(&run(&opening_at(&after_it(steps), "0 bar")));
    }
    conserves(&run(ROUTINE));
}

/// Shut, the unit only stirs: accumulator, pump, damper and passages of a circuit come to one
/// composition, and what is in them is what was there, but for one cycle's volume from the line.
#[test]
fn worked_with_the_bleeders_shut_the_unit_stirs_and_no_more() {
    let before = run(PLAIN);
    let after = then("{ work_modulator = \"unit\", time = \"60 s\" }");
    for (circuit, lines) in [("secondary", ["RR", "LF"]), ("primary", ["LR", "RF"])] {
        let of = |r: &Record| -> Vec<(f64, f64)> {
            let trapped = ["accumulator", "pump", "damper"].map(|w| format!("{circuit} {w}"));
            let passages = lines.map(|l| format!("unit to line {l}"));
            let names = trapped.iter().chain(&passages);
            names.map(|n| part(r, n)).map(|p| (p.volume_ml, p.old_fraction)).collect()
        };
        let (was, is) = (of(&before), of(&after));
        let volume: f64 = was.iter().map(|p| p.0).sum();
        let old: f64 = was.iter().map(|p| p.0 * p.1).sum();
        // What comes down the line at first lies between all new and all old.
        let (least, most) = (old / (volume + 0.5), (old + 0.5) / (volume + 0.5));
        for (_, old) in &is {
            assert!((old - is[0].1).abs() < 1e-6, "{circuit}: one composition, {is:?}");
            assert!(least < *old && *old < most, "{circuit}: {old}, {least} to {most}");
        }
    }
}

/// A channel worked stirs its own circuit; the other is left as it was.
#[test]
fn only_the_circuit_of_the_channels_chosen_is_worked() {
    let before = run(PLAIN);
    let after = then("{ work_modulator = \"unit\", channels = [\"line LF\"], time = \"20 s\" }");
    for what in ["accumulator", "pump", "damper"] {
        let (a, b) = (format!("secondary {what}"), format!("primary {what}"));
        assert!(part(&after, &a).old_fraction < 0.8, "{a}");
        assert_eq!(part(&after, &b).old_fraction, 1.0, "{b}");
    }
    let same = |name: &str| part(&before, name) == part(&after, name);
    assert!(same("unit to line RR") && same("unit to line LR") && !same("unit to line LF"));
    // No fluid leaves for the wheels meanwhile: slow flow goes back as it came.
    assert!(same("line LF") && same("LF"));
}

/// With the pump off the accumulators fill with what they can take up and keep it; the pump then sends it
/// back up into the reservoir.
#[test]
fn without_the_pump_the_accumulators_keep_what_they_take_up() {
    let fill = "{ work_modulator = \"unit\", time = \"9 s\", pump = false }";
    let after = |steps: &str| run(&opening_at(&after_it(steps), "50 kPa"));
    let (before, filled) = (run(PLAIN), after(fill));
    let emptied = after(&format!("{fill}, {{ work_modulator = \"unit\", time = \"1 s\" }}"));
    let reservoir = |r: &Record| part(r, "reservoir").volume_ml;
    for (record, held) in [(&before, 0.4), (&filled, 3.4), (&emptied, 0.4)] {
        for circuit in ["primary", "secondary"] {
            let volume = part(record, &format!("{circuit} accumulator")).volume_ml;
            assert!((volume - held).abs() < 1e-9, "{volume} for {held}");
        }
        assert!((reservoir(&before) - reservoir(record) - 2.0 * (held - 0.4)).abs() < 1e-9);
    }
    let moved: Vec<f64> = emptied.steps.iter().rev().take(2).map(|s| s.moved_ml).collect();
    assert!((moved[0] - 6.0).abs() < 1e-9 && (moved[1] + 6.0).abs() < 1e-9, "{moved:?}");
}

/// With a bleeder of each circuit open the supply carries the old fluid out, second by second; shut, the
/// same seconds only share it out.
#[test]
fn bleeders_open_meanwhile_let_the_trapped_fluid_out() {
    let work = |more: &str| {
        let step = format!("{{ work_modulator = \"unit\", {more} }}");
        trapped_old_ml(&then(&step))
    };
    let open = "bleeders = [\"RF\", \"LF\"]";
    let (shut, s5, s10, s40) = (
        work("time = \"40 s\""),
        work(&format!("time = \"5 s\", {open}")),
        work(&format!("time = \"10 s\", {open}")),
        work(&format!("time = \"40 s\", {open}")),
    );
    assert!(4.2 > s5 && s5 > s10 && s10 > s40, "{s5} {s10} {s40}");
    assert!(shut > 1.5 && s40 < 0.2 * shut, "shut {shut}, open {s40} mL of old fluid");
    // As docs/procedure.md says (figures of this program: regression values).
    assert_eq!(format!("{shut:.1} {s10:.1} {s40:.2}"), "2.1 0.3 0.05");
}

/// Lines clean to the bleeder, mixed old fluid at their beginning: the first draw is clean, and the rule must
/// wait until what lies behind it has come.
#[test]
fn the_second_pass_is_not_fooled_into_closing_at_quick() {
    let record = run(ROUTINE);
    let second: Vec<_> = record.openings.iter().filter(|o| o.pass == 2).collect();
    assert_eq!(second.len(), 4);
    for o in second {
        let behind: f64 = ["line ", "hose ", ""]
            .map(|what| part(&record, &format!("{what}{}", o.bleeder)).volume_ml)
            .iter()
            .sum();
        assert_eq!(o.closed_by, ClosedBy::Clean, "{o:?}");
        assert!(o.drained_ml >= behind * (1.0 - 1e-9), "{}: {} mL", o.bleeder, o.drained_ml);
        // What the unit had put into the passage was washed out.
        let passage = part(&record, &format!("unit to line {}", o.bleeder)).old_fraction;
        assert!(passage < 0.1, "{}: {passage}", o.bleeder);
        let modulator = o.origins_ml.iter().find(|x| x.0 == "hydraulic modulator");
        assert!(modulator.expect("an origin").1 > 0.1, "{:?}", o.origins_ml);
    }
    assert!(trapped_old_ml(&record) < 0.6 * trapped_old_ml(&run(PLAIN)));
}

/// What the road would bring is said, and only where there is a unit.
#[test]
fn the_record_says_what_would_reach_the_wheels() {
    let (plain, routine) = (run(PLAIN), run(ROUTINE));
    assert!(run(NO_UNIT).if_modulator_works.is_none());
    // Whoever asks for sums alone is spared it, and gets the same sums.
    let bare = flush(&read(ROUTINE), &Options { detail: false, ..quick() }).expect("it runs");
    assert!(bare.if_modulator_works.is_none());
    assert_eq!((&bare.totals, &bare.left), (&routine.totals, &routine.left));
    let a = plain.if_modulator_works.as_ref().expect("a unit");
    let b = routine.if_modulator_works.as_ref().expect("a unit");
    for (then, record) in [(a, &plain), (b, &routine)] {
        assert!((then.trapped_ml - 4.2).abs() < 1e-9);
        let old = then.trapped_ml * then.trapped_old_fraction;
        assert!((old - trapped_old_ml(record)).abs() < 1e-9, "{old}");
        let channels: Vec<&str> = then.channels.iter().map(|c| c.channel.as_str()).collect();
        assert_eq!(channels, ["line RR", "line LF", "line LR", "line RF"]);
        for c in &then.channels {
            assert_eq!(c.wheel, c.channel.trim_start_matches("line "));
            let passage = part(record, &format!("unit to {}", c.channel));
            // A mix of what is trapped and what is in the passages.
            assert!(passage.old_fraction < c.sent_old_fraction, "{c:?}");
            assert!(c.sent_old_fraction < then.trapped_old_fraction.max(0.55), "{c:?}");
            assert!(then.trapped_boiling_c < c.sent_boiling_c, "{c:?}");
            assert!((part(record, &c.wheel).lowest_boiling_c - c.wheel_boiling_now_c).abs() < 1e-9);
            assert!(c.sent_boiling_c < c.wheel_boiling_then_c, "{c:?}");
            assert!(c.wheel_boiling_then_c < c.wheel_boiling_now_c, "{c:?}");
        }
    }
    // Washing the unit makes the road safer.
    for (x, y) in a.channels.iter().zip(&b.channels) {
        assert!(y.sent_boiling_c > x.sent_boiling_c + 5.0, "{x:?} {y:?}");
    }
    // The look ahead changes nothing of what stays behind.
    assert_eq!(part(&plain, "secondary damper").old_fraction, 1.0);
}

/// A unit may serve one circuit only, without ESC; the graph is the same but for the valves.
#[test]
fn a_unit_of_one_circuit_needs_no_more_than_its_name() {
    let text = edited(
        NO_UNIT,
        "[parts]",
        "[parts]\npipe = { like = \"tube\", from = \"secondary\", length = \"0.5 m\" }\nunit = { kind = \"hydraulic modulator\", from = \"pipe\" }",
    );
    let text = text.replace(
        "from = \"secondary\", length = \"5 m ± 5 %\"",
        "from = \"unit\", length = \"5 m ± 5 %\"",
    );
    let circuit = read(&text).circuit().clone();
    let [unit] = circuit.modulators.as_slice() else { panic!("one unit") };
    let [m]: &[ModulatorCircuit] = unit.circuits.as_slice() else { panic!("one circuit") };
    assert_eq!((m.entry, m.isolation, m.suction.len()), (m.common, None, 0));
    assert_eq!(m.channels.len(), 1);
    assert!((m.delivery_m3_s() - 2e-6).abs() < 1e-15);
    assert_eq!(circuit.bleeders[m.channels[0].bleeders[0]].name, "RR");
    assert_eq!(reach::unreached(&circuit).len(), 3);
}

/// The key of the JSON is there only where there is a unit, behind `left`.
#[cfg(feature = "program")]
#[test]
fn json_has_the_key_only_with_a_unit() {
    let json = |text: &str| farwheel::report::json::render(&run(text)).expect("a record");
    assert!(!json(NO_UNIT).contains("if_modulator_works"));
    let with = json(PLAIN);
    let at = |key: &str| with.find(&format!("\n  \"{key}\"")).unwrap_or_else(|| panic!("{key}"));
    assert!(at("left") < at("if_modulator_works") && at("if_modulator_works") < at("balance"));
}
