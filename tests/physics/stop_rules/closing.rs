//! What else closes a bleeder: volume, time, bounds.

use super::{Bench, GRAVITY, bench, run, vessel};
use crate::common::cars::{near, warning};
use farwheel::job::BOUND_CAPACITIES;
use farwheel::job::record::{CleanState, ClosedBy, WarningKind};

#[test]
fn at_least_holds_it_open_and_at_most_closes_it() {
    let free = run("open = [\"R\"]\nuntil = \"clean\"").openings.remove(0);
    let (least, most) = (free.drained_ml + 60.0, free.drained_ml - 60.0);
    let o =
        run(&format!("open = [\"R\"]\nuntil = \"clean, at least {least} mL\"")).openings.remove(0);
    near(o.drained_ml, least, 1e-6);
    assert_eq!((o.closed_by, o.clean_state), (ClosedBy::Clean, CleanState::Reached));
    near(o.clean_at_ml.expect("clean"), free.clean_at_ml.expect("clean"), 0.1);
    let record = run(&format!("open = [\"R\"]\nuntil = \"clean, at most {most} mL\""));
    let o = &record.openings[0];
    near(o.drained_ml, most, 1e-6);
    assert_eq!((o.closed_by, o.clean_state), (ClosedBy::Bound, CleanState::NotReached));
    assert!(o.clean_at_ml.is_none() && o.seen_old_fraction > 0.2);
    assert!(warning(&record, WarningKind::TargetNotReached).stops_the_job() && record.stopped());
    // Neither bound is met in between.
    let rule = format!("open = [\"R\"]\nuntil = \"clean, at least {most} mL, at most {least} mL\"");
    let o = run(&rule).openings.remove(0);
    assert_eq!(o.closed_by, ClosedBy::Clean);
    near(o.drained_ml, free.drained_ml, 0.2);
    assert!(!run(&rule).stopped());
}

#[test]
fn volume_and_time_close_to_the_point() {
    let record = run("open = [\"R\", \"F\"]\nuntil = [\"83.5 mL\", \"25 s\"]");
    let [by_volume, by_time] = &record.openings[..] else { panic!("two openings") };
    assert_eq!(by_volume.closed_by, ClosedBy::Volume);
    near(by_volume.drained_ml, 83.5, 1e-9);
    assert_eq!(by_time.closed_by, ClosedBy::Time);
    near(by_time.flow_seconds, 25.0, 1e-9);
    near(by_time.closed_s - by_time.opened_s, 25.0, 1e-9);
    assert!(by_time.drained_ml > 0.0);
    assert!(!record.stopped(), "a volume or a time is no target missed: {:?}", record.warnings);
}

/// While the supply is pumped up nothing flows: the pause takes bay time, but is no flow time, does not
/// thin the mean flow, and a stop rule by time does not count it.
#[test]
fn a_pause_for_pumping_is_no_flow_time() {
    let mut b = bench("per_re_pump = \"40 s\"\nopen = [\"R\"]\nuntil = \"60 s\"");
    b.supply = vessel("1 L") + "\nre_pump_below = \"14.5 psi\"\nshell = \"1.5 L\"";
    let record = b.run();
    let o = &record.openings[0];
    let pumped = f64::from(record.totals.repumps);
    assert!(pumped >= 1.0, "the gauge must fall below its mark for this check");
    assert_eq!(o.closed_by, ClosedBy::Time);
    near(o.flow_seconds, 60.0, 1e-9);
    near(o.closed_s - o.opened_s, 60.0 + 40.0 * pumped, 1e-9);
    near(o.mean_flow_ml_per_s, o.drained_ml / 60.0, 1e-9);
    near(record.totals.flow_seconds, 60.0, 1e-9);
}

/// A procedure that would never end is closed at the program's own bound, and says so.
#[test]
fn an_endless_opening_is_closed_at_the_bound() {
    // Clean, but to be held for longer than the bound allows.
    let mut b = bench("open = [\"F\"]\nuntil = \"clean, hold 2 L\"");
    b.parts = r#"
"line F" = { kind = "line", from = "secondary", length = "0.5 m" }
F = { kind = "caliper", from = "line F", new_pads = "5 mL" }"#;
    b.level_ml = 125;
    let bound_ml = |b: &Bench| 1e6 * BOUND_CAPACITIES * b.scenario().circuit().capacity_m3();
    let record = b.run();
    let o = &record.openings[0];
    near(o.drained_ml, bound_ml(&b), 1e-6);
    assert_eq!((o.closed_by, o.clean_state), (ClosedBy::Bound, CleanState::NotReached));
    assert!(warning(&record, WarningKind::TargetNotReached).stops_the_job() && record.stopped());
    // Never clean: a large pocket that gives its old fluid off slowly, and a keen instrument.
    let mut b = bench("open = [\"F\"]\nuntil = \"clean below 0.01 %\"");
    b.parts = r#"
"line F" = { kind = "line", from = "secondary", length = "0.5 m" }
F = { kind = "caliper", from = "line F", new_pads = "60 mL", pocket = "60 %", pocket_exchange = "1 %" }"#;
    b.supply = vessel("4 L") + "\nre_pump_below = \"10 psi\"\nshell = \"8 L\"";
    let record = b.run();
    let o = &record.openings[0];
    near(o.drained_ml, bound_ml(&b), 1e-6);
    assert_eq!((o.closed_by, o.clean_state), (ClosedBy::Bound, CleanState::NotReached));
    assert!(o.seen_old_fraction > 1e-4 && record.stopped());
}

/// A volume asked for in so many words is drained, though it is more than ten times what the system
/// holds; a time that takes the job beyond that bound is cut off, and said so.
#[test]
fn what_is_asked_for_is_done_or_said_not_to_be() {
    let mut b = bench("open = [\"R\"]\nuntil = \"5 L\"");
    b.supply = vessel("15 L") + "\nshell = \"40 L\"\nre_pump_below = \"10 psi\"";
    let record = b.run();
    near(record.openings[0].drained_ml, 5000.0, 1e-6);
    assert!(!record.stopped(), "{:?}", record.warnings);
    b.procedure = "open = [\"R\"]\nuntil = \"4 h\"".to_owned();
    let record = b.run();
    assert_eq!(record.openings[0].closed_by, ClosedBy::Bound);
    assert!(
        warning(&record, WarningKind::TargetNotReached).text.contains("own bound")
            && record.stopped()
    );
}

#[test]
fn two_bleeders_open_at_once_on_gravity() {
    let mut b = bench("open = [[\"R\", \"F\"]]\nuntil = \"clean\"");
    b.supply = GRAVITY.to_owned();
    let record = b.run();
    assert!(!record.stopped(), "{:?}", record.warnings);
    let [one, other] = &record.openings[..] else { panic!("a record for each") };
    assert_ne!(one.bleeder, other.bleeder);
    assert_eq!(one.opened_s, other.opened_s);
    assert!(one.closed_s <= other.closed_s, "in closing order");
    for o in [one, other] {
        assert_eq!((o.closed_by, o.clean_state), (ClosedBy::Clean, CleanState::Reached));
    }
    near(one.drained_ml + other.drained_ml, record.totals.drained_ml, 1e-9);
}

/// A bleeder that nobody opens, and steps that have nothing to act on, are told.
#[test]
fn what_is_left_out_is_told() {
    let mut b = bench("open = [\"R\"]\nuntil = \"20 mL\"");
    let record = b.run();
    assert!(warning(&record, WarningKind::NeverOpened).text.contains("opens F:"));
    b.procedure = "before = [{ load = \"50 mL\" }, { re_pump = \"1 bar\" }]\nopen = [\"R\", \"F\"]\nuntil = \"20 mL\"".to_owned();
    assert!(b.run().warnings.iter().all(|w| w.kind != WarningKind::NeverOpened));
    b.supply = GRAVITY.to_owned();
    let record = b.run();
    let left_out =
        record.warnings.iter().filter(|w| w.kind == WarningKind::StepWithoutEffect).count();
    assert_eq!(left_out, 2, "{:?}", record.warnings);
}
