//! The study against laws and against single jobs.

use super::{edited, plain, sweep};
use crate::common::cars::{DOT_4, HATCHBACK as CAR, VESSEL, read, scenario_text, undivided};
use crate::common::program::words;
use farwheel::job::flush;
use farwheel::report::Report as _;
use farwheel::study::pressures::{AIR, BOTH, POCKETS, Point, Pressures, Question, study};
use farwheel::study::progress::{Nobody, Onlooker};
use std::sync::atomic::{AtomicU64, Ordering};

fn swept(answer: &Pressures) -> Vec<&Point> {
    answer.points.iter().filter(|p| p.swept).collect()
}

/// One long hose of small bore behind a wide bleeder, reservoir and bleeder at one height, brim-full, hose
/// filled, a vessel so large that its gauge hardly falls: all that resists is laminar flow in a tube.
fn tube() -> String {
    let rest = r#"height = "1 m"
[parts]
tube = { kind = "line", from = "only", length = "20 m", bore = "2 mm", bends = 0 }
wheel = { kind = "caliper", from = "tube", new_pads = "10 mL", height = "1 m", seat_gap = "2 mm", bleeder_hole = "4 mm", bleeder_cross_hole = "4 mm" }
[procedure]
open = ["wheel"]
until = "200 mL""#;
    let above = undivided("only", 5.0, [200, 100, 200, 200]);
    let above = above.replace("[reservoir]", "compensating_port = \"2 mm\"\n[reservoir]");
    let vessel = VESSEL.replace("15 psi", "10 psi");
    let large = "shell = \"50 L\"\nfeed_hose_holds = \"new fluid\"\nfeed_hose_bore = \"10 mm\"";
    scenario_text(&[DOT_4, &above, rest, &vessel, large])
}

/// Hagen–Poiseuille (textbook): the flow rises with the pressure drop, so counted millilitres take a time
/// that falls inversely with it. What is left of entrances, port and bleeder, which resist with the square
/// of the flow, and of the gauge falling with the air cushion (Boyle) is held within 2 %.
#[test]
fn laminar_flow_takes_a_time_inverse_to_the_pressure() {
    let answer = sweep(&read(&tube()), 5.0, 20.0, 3);
    let points = swept(&answer);
    assert_eq!(points.len(), 4);
    let product = |p: &Point| p.gauge_kpa.unwrap() * p.totals.flow_seconds;
    for p in &points {
        assert!(p.reynolds < 1000.0, "laminar: {}", p.reynolds);
        let ratio = product(p) / product(points[0]);
        assert!((ratio - 1.0).abs() < 0.02, "{ratio} at {:?} kPa", p.gauge_kpa);
    }
    let c = answer.changes.as_ref().expect("four to compare");
    assert!(c.flow_seconds_told_apart && c.flow_seconds[0] > 3.9 * c.flow_seconds[1]);
}

/// On a tree with one bleeder open at a time drained volume drives transport, not time (stages and plug flow
/// know no clock): without air under the cap millilitres by eye are the same at every pressure within what
/// studies promise, 0.5 mL.
#[test]
fn without_air_under_the_cap_pressure_changes_no_millilitres() {
    let full = edited(&[
        ("level = \"180 mL ± 15 mL\"", "level = \"270 mL\"\ntopped_up = true"),
        ("max = \"200 mL\"", "max = \"270 mL\""),
        ("loaded = \"1 L\"", "feed_hose_holds = \"new fluid\", loaded = \"2 L\""),
    ]);
    let answer = sweep(&read(&full), 5.0, 20.0, 3);
    let points = swept(&answer);
    for p in &points {
        for (a, b) in [
            (p.totals.drained_ml, points[0].totals.drained_ml),
            (p.left.old_ml, points[0].left.old_ml),
        ] {
            assert!((a - b).abs() < 0.5, "{a} and {b} mL at {:?} kPa", p.gauge_kpa);
        }
    }
    let c = answer.changes.as_ref().expect("four to compare");
    assert!(!c.drained.told_apart && !c.old_left.told_apart && c.because.is_empty(), "{c:?}");
    assert!(!c.new_fluid.told_apart, "{c:?}");
    assert!(c.flow_seconds_told_apart);
}

/// Boyle: pressing the air under the cap from 1 to 1 + g/atm atmospheres lets fluid in, which must be washed
/// too. The verdict names it, and the jobs without it do not differ.
#[test]
fn air_under_the_cap_is_found_to_change_millilitres() {
    let answer = sweep(&read(CAR), 5.0, 20.0, 2);
    let c = answer.changes.as_ref().expect("four to compare");
    assert!(c.drained.told_apart && c.drained.most_at_kpa > c.drained.least_at_kpa, "{c:?}");
    // New fluid is what is drained and what stands higher in the reservoir, more at the higher gauge.
    assert!(c.new_fluid.difference_ml > c.drained.difference_ml + 1.0, "{c:?}");
    let [air] = c.because.as_slice() else { panic!("{c:?}") };
    assert_eq!((air.what, air.of), (AIR, "drained_ml"));
    assert!(!air.told_apart && air.without_ml.abs() < 1.0, "{air:?}");
}

/// A pocket that trades by the clock has less time when the flow is fast: more old fluid stays in it
/// (common sense of a first-order exchange; no figure is claimed).
#[test]
fn a_pocket_by_the_clock_makes_millilitres_depend_on_pressure() {
    let pockets = edited(&[
        (
            "new_pads = \"8 mL ± 1 mL\",",
            "pocket = \"30 %\", pocket_exchange = \"1 %\", pocket_time = \"60 s\", new_pads = \"8 mL\",",
        ),
        ("level = \"180 mL ± 15 mL\"", "level = \"270 mL\"\ntopped_up = true"),
        ("max = \"200 mL\"", "max = \"270 mL\""),
        ("until = \"clean\"", "until = \"150 mL\""),
        ("loaded = \"1 L\"", "feed_hose_holds = \"new fluid\", loaded = \"2 L\""),
    ]);
    let answer = sweep(&read(&pockets), 5.0, 20.0, 3);
    let points = swept(&answer);
    let left: Vec<f64> = points.iter().map(|p| p.left.old_ml).collect();
    assert!(left.windows(2).all(|w| w[1] > w[0]), "{left:?}");
    let c = answer.changes.as_ref().expect("four to compare");
    assert!(c.old_left.told_apart && !c.drained.told_apart, "{c:?}");
    let of = |what| c.because.iter().find(|b| b.what == what).expect("a cause");
    assert!(of(AIR).told_apart, "it is not the air: {c:?}");
    assert!(!of(POCKETS).told_apart && !of(BOTH).told_apart, "it is the pockets: {c:?}");
}

/// Half the gauge, half the marks: written by hand the same job to the last bit.
#[test]
fn each_point_is_the_flush_of_the_scenario_with_that_gauge_written_in() {
    let car = read(CAR);
    let own = car.supplies[0].kind.vessel().expect("a pressure bleeder").gauge.value;
    let question = Question { from_pa: Some(0.5 * own), to_pa: Some(own), steps: 1 };
    let answer = study(&car, &question, &plain(), &Nobody).unwrap();
    let half = edited(&[
        (
            "gauge = \"15 psi\", re_pump_below = \"10 psi\"",
            "gauge = \"7.5 psi\", re_pump_below = \"5 psi\"",
        ),
        ("re_pump = \"15 psi\"", "re_pump = \"7.5 psi\""),
    ]);
    for (p, text) in swept(&answer).into_iter().zip([half.as_str(), CAR]) {
        let alone = flush(&read(text), &plain()).unwrap();
        assert_eq!(p.totals, alone.totals);
        assert_eq!(p.left, alone.left);
        assert_eq!(p.numerics, alone.numerics);
    }
    let own: Vec<bool> = answer.points.iter().map(|p| p.own).collect();
    assert_eq!(own, [false, true, false, false, false]);
    for p in answer.points.iter().filter(|p| !p.swept) {
        let with = farwheel::job::options::Options { supply: Some(p.supply.clone()), ..plain() };
        assert_eq!(p.totals, flush(&read(CAR), &with).unwrap().totals, "{}", p.supply);
    }
}

/// The inner half of a caliper whose outer one was flushed is clean at once: slowly pushed it runs until it gets no
/// darker, quickly pushed for the three seconds that one looks at it.
#[test]
fn where_the_least_look_binds_is_told() {
    let coupe = read(include_str!("../../../scenarios/coupe-twin-bleeders.toml"));
    let answer = sweep(&coupe, 2.0, 20.0, 1);
    let [slow, .., fast] = &swept(&answer)[..] else { panic!("two gauges at least") };
    assert!(slow.least_look_binds.is_empty(), "{:?}", slow.least_look_binds);
    assert_eq!(fast.least_look_binds, ["RR inner", "LR inner", "RF inner", "LF inner"]);
    let told = &answer.changes.as_ref().expect("they compare").rate_dependent;
    assert!(told.iter().any(|t| t.contains("least_look")), "{told:?}");
    let view = farwheel::report::View::of_width(farwheel::report::Units::Us, 400);
    let text = answer.table(view);
    assert!(words(&text).contains("RR inner, LR inner, RF inner, LF inner at 20.0 psi."), "{text}");
    // None of its bleeders is closed so soon, whatever the gauge.
    let answer = sweep(&read(CAR), 2.0, 20.0, 1);
    assert!(answer.points.iter().all(|p| p.least_look_binds.is_empty()));
    let text = answer.table(view);
    assert!(!text.contains("least_look"), "{text}");
}

/// The cap bears the gauge; the wheels ρ g h more: fluid of some 1.03 g/mL (DOT 3 data sheets, from memory)
/// from 0.9 m down to 0.35 m is 5.5 kPa. An open reservoir's cap bears nothing.
#[test]
fn cap_and_seals_bear_gauge_and_head() {
    let answer = sweep(&read(CAR), 10.0, 20.0, 1);
    for p in swept(&answer) {
        assert!((p.cap_kpa - p.gauge_kpa.unwrap()).abs() < 1e-3, "{p:?}");
        assert_eq!(p.master_cylinder_kpa, p.cap_kpa);
    }
    for p in &answer.points {
        let head = p.wheel_kpa - p.master_cylinder_kpa;
        assert!((head - 1.03 * 9.81 * 0.55).abs() < 0.1, "{head}");
    }
    let of = |name: &str| answer.points.iter().find(|p| p.supply == name).unwrap();
    assert_eq!((of("gravity").cap_kpa, of("gravity").gauge_kpa), (0.0, None));
    assert!((of("pedal").master_cylinder_kpa - 100.0).abs() < 1e-9);
    let vacuum = of("vacuum pump");
    assert!((vacuum.gauge_kpa.unwrap() + 20.0 * 3.386_389).abs() < 1e-3 && vacuum.cap_kpa == 0.0);
}

/// Over the limit the job is run and warned of; it counts for the exit status only where it was asked for.
#[test]
fn over_the_limit_is_warned_of() {
    let answer = sweep(&read(CAR), 15.0, 25.0, 2);
    let over: Vec<bool> = swept(&answer).iter().map(|p| p.over_limit).collect();
    assert_eq!(over, [false, false, true]);
    assert!(answer.stopped(), "25 psi was asked for");
    assert!(!study(&read(CAR), &Question::default(), &plain(), &Nobody).unwrap().stopped());
    let low = edited(&[("gauge_limit = \"20 psi\"", "gauge_limit = \"12 psi\"")]);
    let own = study(&read(&low), &Question::default(), &plain(), &Nobody).unwrap();
    assert!(own.stopped(), "the scenario's own gauge is over the limit");
}

/// Interrupted after three jobs: what was finished is there, equal to what it is otherwise.
#[test]
fn an_interrupted_study_keeps_what_is_finished() {
    struct After(AtomicU64);
    impl Onlooker for After {
        fn advanced(&self, done: u64, _: u64) {
            self.0.fetch_max(done, Ordering::SeqCst);
        }
        fn enough(&self) -> bool {
            self.0.load(Ordering::SeqCst) >= 3
        }
    }
    let question = Question { steps: 60, ..Question::default() };
    let cut = study(&read(CAR), &question, &plain(), &After(AtomicU64::new(0))).unwrap();
    assert!(cut.partial && cut.changes.is_none());
    assert!((3..60).contains(&cut.points.len()), "{}", cut.points.len());
    let whole = study(&read(CAR), &question, &plain(), &Nobody).unwrap();
    assert!(!whole.partial && cut.points.iter().all(|p| whole.points.contains(p)));
}
