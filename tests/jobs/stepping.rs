//! A job driven by hand: however it is sliced it comes to what a run comes to, and misuse is told.

use crate::common;
use crate::common::random::car;
use crate::shipped::shipped;
use farwheel::Scenario;
use farwheel::job::error::JobError;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::job::record::{ClosedBy, Opening, Record, WarningKind};
use farwheel::job::stepping::{LEAST_ADVANCE, Stepping};
use farwheel::keys::Quantity;
use farwheel::scenario::procedure::{Action, StopRule};
use proptest::prelude::*;

fn once() -> Options {
    Options { estimate_error: false, ..Options::default() }
}

fn hatchback() -> Scenario {
    let text = include_str!("../../scenarios/compact-hatchback.toml");
    farwheel::read(text, "compact-hatchback.toml").expect("a good scenario")
}

/// Slices, one after another and again from the first: mL, or seconds where they are below 0.
const SLICES: [f64; 9] = [0.07, 3.0, -0.4, 11.0, 0.9, -6.0, 40.0, 1e-6, -0.02];

/// The whole procedure in slices, beginning with the `first`, with a look after each.
fn stepped(scenario: &Scenario, options: &Options, first: usize) -> Result<Record, JobError> {
    let mut job = Stepping::begin(scenario, options)?;
    let mut slices = SLICES.iter().cycle().skip(first);
    while !job.ran_dry() && job.next_step()? {
        while !job.hoses().is_empty() {
            let slice = *slices.next().expect("they never end");
            let open = if slice > 0.0 { job.advance_ml(slice)? } else { job.advance_s(-slice)? };
            assert_eq!(open, !job.hoses().is_empty());
            assert!(job.left().old_fraction <= 1.0 + 1e-9);
        }
    }
    job.record()
}

/// To the bit: looking changes nothing, and the job's own steps stay its own.
#[test]
fn every_shipped_procedure_stepped_through_is_that_run_through() {
    for (i, path) in shipped().iter().enumerate() {
        let scenario = farwheel::read_file(path).unwrap_or_else(|m| panic!("{m}"));
        for supply in &scenario.supplies {
            let options = Options { supply: Some(supply.name.clone()), ..once() };
            let run = flush(&scenario, &options).expect("it runs");
            let by_steps = stepped(&scenario, &options, i).expect("it runs");
            assert!(by_steps == run, "{}, {}", path.display(), supply.name);
        }
    }
}

proptest! {
    #![proptest_config(common::cases(80))]

    /// Every supply, several bleeders at once, modulators, waits; those that run dry, too.
    #[test]
    fn random_jobs_stepped_through_are_those_run_through(car in car(), first in 0..9_usize) {
        let text = car.toml();
        let scenario = common::read(&text)?;
        let options = common::few_steps();
        let (run, by_steps) = (flush(&scenario, &options), stepped(&scenario, &options, first));
        prop_assert!(by_steps == run, "{text}");
    }
}

/// One bleeder of the hatchback after another, each closed by this rule.
fn by_rule(scenario: &Scenario, options: &Options, until: StopRule) -> Record {
    let mut procedure = scenario.procedure.clone();
    for step in &mut procedure.steps {
        let Action::Open { until: rule, .. } = &mut step.action else { continue };
        *rule = until;
    }
    flush(&scenario.with_procedure(procedure), options).expect("it runs")
}

/// The same opened and closed by hand; `advance` lets one run.
fn by_hand(
    scenario: &Scenario,
    options: &Options,
    advance: impl Fn(&mut Stepping) -> Result<(), JobError>,
) -> Record {
    let mut job = Stepping::begin(scenario, options).expect("a job");
    for step in &scenario.procedure.steps {
        let Action::Open { bleeders, .. } = &step.action else {
            job.act(step.action.clone()).expect("it is done");
            continue;
        };
        let [bleeder] = bleeders.as_slice() else { panic!("one at a time: {bleeders:?}") };
        job.open(&[bleeder]).expect("it opens");
        advance(&mut job).expect("it runs");
        let seen = job.hoses().remove(0);
        job.close(bleeder).expect("it closes");
        let closed = job.openings().last().expect("an opening");
        // What was looked at is what is closed.
        assert_eq!(
            (seen.drained_ml, seen.seen_old_fraction, seen.path_old_fraction, seen.origins_ml),
            (
                closed.drained_ml,
                closed.seen_old_fraction,
                closed.path_old_fraction,
                closed.origins_ml.clone()
            )
        );
    }
    job.record().expect("a record")
}

/// Equal but for rounding.
fn close_to(a: f64, b: f64, what: &str) {
    assert!((a - b).abs() <= 1e-9 * a.abs().max(b.abs()).max(1e-3), "{what}: {a}, {b}");
}

fn alike(hand: &Record, run: &Record) {
    assert_eq!(hand.openings.len(), run.openings.len());
    for (a, b) in hand.openings.iter().zip(&run.openings) {
        assert_eq!((a.closed_by, a.step), (ClosedBy::Hand, 0));
        let figures = |o: &Opening| {
            [
                o.opened_s,
                o.closed_s,
                o.flow_seconds,
                o.drained_ml,
                o.seen_old_fraction,
                o.path_old_fraction,
                o.gauge_start_kpa,
                o.gauge_end_kpa,
                o.clean_since_ml.unwrap_or(-1.0),
            ]
        };
        assert_eq!((&a.bleeder, a.strokes, a.clean_state), (&b.bleeder, b.strokes, b.clean_state));
        for (x, y) in figures(a).iter().zip(figures(b)) {
            close_to(*x, y, &a.bleeder);
        }
        for (x, y) in a.origins_ml.iter().zip(&b.origins_ml) {
            close_to(x.1, y.1, x.0);
        }
    }
    close_to(hand.totals.new_fluid_ml, run.totals.new_fluid_ml, "new fluid");
    close_to(hand.totals.bay_seconds, run.totals.bay_seconds, "bay time");
    close_to(hand.left.old_ml, run.left.old_ml, "old fluid left");
    for (a, b) in hand.left.parts.iter().zip(&run.left.parts) {
        close_to(a.old_fraction, b.old_fraction, &a.part);
        close_to(a.boiling_c, b.boiling_c, &a.part);
    }
}

/// A hand that closes after so many millilitres, or seconds, is a stop rule that does.
#[test]
fn closing_by_hand_is_a_stop_rule_by_volume_or_time() {
    let scenario = hatchback();
    assert!(scenario.supplies.len() > 1, "several supplies");
    for supply in &scenario.supplies {
        let options = Options { supply: Some(supply.name.clone()), ..once() };
        let volume = Some(Quantity::known(83.7e-6));
        let run = by_rule(&scenario, &options, StopRule { volume, ..StopRule::default() });
        let hand = by_hand(&scenario, &options, |job| {
            for slice in [20.0, 0.3, 33.4, 30.0] {
                assert!(job.advance_ml(slice)?);
            }
            Ok(())
        });
        alike(&hand, &run);
        let time = Some(Quantity::known(17.3));
        let run = by_rule(&scenario, &options, StopRule { time, ..StopRule::default() });
        let hand = by_hand(&scenario, &options, |job| {
            for slice in [10.0, 0.3, 7.0] {
                assert!(job.advance_s(slice)?);
            }
            Ok(())
        });
        alike(&hand, &run);
    }
}

/// Between the job's own steps, too: what an advance asks for has run out, in as many millilitres as parts have lost and
/// got, and a picture shows what the parts hold.
#[test]
fn a_look_balances() {
    let scenario = hatchback();
    let mut job = Stepping::begin(&scenario, &once()).expect("a job");
    let (old, mut drained) = (job.left().old_ml, 0.0);
    job.open(&["RR", "LF"]).expect("they open");
    for slice in SLICES.iter().filter(|slice| **slice > 0.0).cycle().take(24) {
        assert!(job.advance_ml(*slice).expect("it runs"));
        drained += slice;
        let (hoses, left) = (job.hoses(), job.left());
        let sum = |of: fn(&farwheel::job::stepping::Hose) -> f64| hoses.iter().map(of).sum::<f64>();
        close_to(sum(|h| h.drained_ml), drained, "drained");
        close_to(job.drained_ml(), drained, "drained in the job");
        let new = |h: &farwheel::job::stepping::Hose| {
            let new = h.origins_ml.iter().find(|o| o.0 == "new fluid");
            h.drained_ml - new.map_or(0.0, |o| o.1)
        };
        close_to(left.old_ml + hoses.iter().map(new).sum::<f64>(), old, "old fluid");
        for (part, profile) in left.parts.iter().zip(job.profiles(12)) {
            let mean = profile.iter().sum::<f64>() / profile.len() as f64;
            assert!((mean - part.old_fraction).abs() < 1e-9, "{}: {profile:?}", part.part);
        }
        assert!(job.supply().reservoir_ml > 0.0 && hoses[0].flow_ml_per_s > 0.0);
    }
    job.close("LF").expect("it closes");
    assert_eq!(job.hoses().len(), 1);
    assert!(job.advance_s(2.0).expect("it runs"));
    job.close("RR").expect("it closes");
    let record = job.record().expect("a record");
    let names: Vec<&str> = record.openings.iter().map(|o| o.bleeder.as_str()).collect();
    assert_eq!(names, ["LF", "RR"]);
    close_to(record.openings[1].flow_seconds - record.openings[0].flow_seconds, 2.0, "s");
}

/// Looks between the job's own steps are no guess: against a job in twenty times as many steps, to half of what an eye does
/// not see (an estimate, as in `RISE` of the stop rule).
#[test]
fn a_look_between_steps_is_what_finer_steps_come_to() {
    let scenario = hatchback();
    for supply in &scenario.supplies {
        let options = Options { supply: Some(supply.name.clone()), ..once() };
        let fine = Options { steps_per_path: 200.0, ..options.clone() };
        let curve = flush(&scenario, &fine).expect("it runs").openings.remove(0).curve;
        let mut job = Stepping::begin(&scenario, &options).expect("a job");
        while job.hoses().is_empty() && job.next_step().expect("it goes on") {}
        let mut looks = 0;
        while job.advance_ml(1.3).expect("it runs") {
            let hose = job.hoses().remove(0);
            let next = curve.partition_point(|p| p.drained_ml < hose.drained_ml);
            let Some([a, b]) = curve.get(next - 1..=next) else { break };
            let share = (hose.drained_ml - a.drained_ml) / (b.drained_ml - a.drained_ml);
            let seen = a.seen_old_fraction + share * (b.seen_old_fraction - a.seen_old_fraction);
            let off = (hose.seen_old_fraction - seen).abs();
            assert!(off < 0.005, "{}: {hose:?}, finer {seen}", supply.name);
            looks += 1;
        }
        assert!(looks > 100, "{looks}");
    }
}

/// What is told, and the job goes on as if it had not been asked.
#[test]
fn misuse_is_told_and_changes_nothing() {
    let (scenario, options) = (hatchback(), once());
    let mut job = Stepping::begin(&scenario, &options).expect("a job");
    let told = |done: Result<bool, JobError>, words: &str| {
        let Err(JobError::CannotBeDone { what }) = done else { panic!("{words}: {done:?}") };
        assert!(what.contains(words), "{what}");
    };
    let did = |done: Result<(), JobError>| done.map(|()| true);
    told(job.advance_ml(1.0), "no bleeder is open: open one first");
    told(job.advance_s(1.0), "no bleeder is open");
    told(did(job.until_closed()), "no bleeder is open");
    told(did(job.close("RR")), "RR is shut already");
    told(did(job.close("R\u{1b}X")), "there is no bleeder \"R·X\"; the vehicle has: ");
    told(did(job.open(&["XX"])), "there is no bleeder \"XX\"; the vehicle has: ");
    told(did(job.open(&["RR", "RR"])), "RR is named twice");
    told(did(job.open(&[])), "no bleeder is named");
    for wrong in [f64::NAN, f64::INFINITY, -1.0] {
        told(did(job.syringe(wrong)), "syringe is out of bounds: it may be ");
        told(did(job.top_up(wrong)), "top up is out of bounds");
        told(did(job.wait(wrong)), "wait is out of bounds");
        told(did(job.pump_up(wrong)), "re-pump is out of bounds");
    }
    told(did(job.top_up(900.0)), "up to the brim");
    let set = Action::SetLevel { to: Quantity::known(1e-6) };
    told(did(job.act(set)), "is not between MIN");
    let work = Action::WorkModulator {
        modulator: "none".to_owned(),
        channels: Vec::new(),
        time: Quantity::known(5.0),
        pump: true,
        bleeders: Vec::new(),
    };
    told(did(job.act(work)), "there is no modulator \"none\"");
    // Before its end nothing of it counts: then it is the run.
    assert!(job.next_step().expect("pumped up") && job.next_step().expect("RR"));
    assert!(job.advance_ml(5.0).expect("it runs"));
    for wrong in [f64::NAN, f64::INFINITY, 0.0, -1.0, 0.9 * LEAST_ADVANCE] {
        told(job.advance_ml(wrong), "cannot be advanced by");
        told(job.advance_s(wrong), "cannot be advanced by");
    }
    told(did(job.open(&["LF"])), "RR is open: close it first");
    told(did(job.wait(10.0)), "RR is open: close it first");
    told(job.next_step(), "RR is open");
    told(job.skip_step(), "RR is open");
    told(job.record().map(|_| true), "RR is open: close it first");
    told(did(job.close("LF")), "LF is shut already");
    job.rest().expect("it runs to the end");
    assert!(job.record().expect("a record") == flush(&scenario, &options).expect("it runs"));
    assert!(!job.next_step().expect("none is left") && job.upcoming().is_none());
    job.open(&["LF"]).expect("it opens");
    told(did(job.until_closed()), "LF is open: it is held open by hand");
    told(did(job.rest()), "LF is open: it is held open by hand");
}

/// Held open for ever it ends when air comes, and says so; without end at the program's own bound.
#[test]
fn a_bleeder_held_open_ends_with_the_fluid() {
    let scenario = hatchback();
    let mut job = Stepping::begin(&scenario, &once()).expect("a job");
    job.open(&["RR"]).expect("it opens");
    assert!(!job.advance_ml(1e9).expect("it runs"));
    assert!(job.ran_dry() && job.openings()[0].closed_by == ClosedBy::Supply);
    let again = job.open(&["RR"]).expect_err("air").to_string();
    assert!(again.contains("air would enter the circuit"), "{again}");
    assert!(job.wait(10.0).is_err() && job.rest().is_ok() && job.next_step().is_err());
    let record = job.record().expect("a record");
    let dry = record.warnings.iter().find(|w| w.kind == WarningKind::SupplyRanDry);
    assert!(record.stopped() && dry.is_some_and(|w| w.text.contains("load more")), "{dry:?}");

    let endless = Options { endless: true, ..once() };
    let mut job = Stepping::begin(&scenario, &endless).expect("a job");
    job.open(&["RR"]).expect("it opens");
    assert!(!job.advance_s(1e9).expect("it runs"));
    assert_eq!(job.openings()[0].closed_by, ClosedBy::Bound);
}

/// A syringe, new fluid, a wait and a pump by hand are the steps of a procedure.
#[test]
fn what_is_done_between_openings_is_what_a_procedure_does() {
    let text = include_str!("../../scenarios/compact-hatchback.toml");
    let pump = "before = [{ re_pump = \"15 psi\" }]";
    let before = "before = [\n  { syringe = \"70 mL\" },\n  { top_up = \"120 mL\" },\n  { wait = \"5 min\" },\n  { re_pump = \"120 kPa\" },\n]";
    assert!(text.contains(pump));
    let text = text.replace(pump, before);
    let done = farwheel::read(&text, "-").unwrap_or_else(|m| panic!("{m}"));
    let run = flush(&done, &once()).expect("it runs");
    let mut job = Stepping::begin(&hatchback(), &once()).expect("a job");
    job.syringe(70.0).expect("it is done");
    job.top_up(120.0).expect("it is done");
    job.wait(300.0).expect("it is done");
    job.pump_up(120.0).expect("it is done");
    assert_eq!(job.steps().len(), 4);
    assert!(job.skip_step().expect("pumped up already"));
    job.rest().expect("it runs");
    let hand = job.record().expect("a record");
    let figures = |r: &Record| {
        (
            r.totals.clone(),
            r.left.clone(),
            r.openings.iter().map(|o| o.closed_s).collect::<Vec<_>>(),
        )
    };
    assert_eq!(figures(&hand), figures(&run));
    assert!(hand.steps[..4].iter().all(|s| s.step == 0));
}
