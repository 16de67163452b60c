//! What counts as clean, and what does not yet.

use super::{bench, dirtiest_seen, run};
use crate::common::cars::{near, read, warning};
use farwheel::job::error_estimate::PROMISE;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::job::record::{CleanState, ClosedBy, WaitedFor, WarningKind};

/// A caliper that was renewed with new fluid in it, on a line full of old: the first draw is clean, the
/// technician who believes it leaves the line dirty. The rule holds on and finds it out.
#[test]
fn a_clean_first_draw_does_not_fool_the_rule() {
    let mut b = bench("open = [\"R\"]\nuntil = \"clean\"");
    b.parts = r#"
"line R" = { kind = "line", from = "primary", length = "4 m", bends = 6 }
R = { kind = "caliper", from = "line R", new_pads = "40 mL", old_fraction = 0.0 }"#;
    b.reservoir = "old_fraction = 0.0";
    let o = &b.run().openings[0];
    assert_eq!(o.curve[1].seen_old_fraction.max(0.2), 0.2, "the first draw looks clean");
    assert!(dirtiest_seen(o) > 0.2, "then it turns dirty: {}", dirtiest_seen(o));
    assert_eq!((o.closed_by, o.clean_state), (ClosedBy::Clean, CleanState::Reached));
    assert!(
        o.clean_at_ml.expect("clean") > 34.8,
        "not before the line has come: {:?}",
        o.clean_at_ml
    );
    assert!(o.path_old_fraction < 0.2, "and the path is clean: {}", o.path_old_fraction);
    // The same with a hold of nothing: what is seen gets darker, and that is not clean.
    b.procedure = "open = [\"R\"]\nuntil = \"clean, hold 0 mL\"".to_owned();
    let o = &b.run().openings[0];
    assert!(o.drained_ml > 34.8 && o.path_old_fraction < 0.2, "{o:?}");
    // With a metre of clean line between, nothing gets darker at first: that fools it, and it is said.
    b.parts = r#"
"line R" = { kind = "line", from = "primary", length = "4 m", bends = 6 }
clean = { kind = "line", from = "line R", length = "2 m", old_fraction = 0.0 }
R = { kind = "caliper", from = "clean", new_pads = "40 mL", old_fraction = 0.0 }"#;
    let record = b.run();
    let fooled = &record.openings[0];
    assert_eq!((fooled.closed_by, fooled.clean_state), (ClosedBy::Clean, CleanState::Already));
    assert!(fooled.drained_ml < 10.0 && fooled.path_old_fraction > 0.2, "{fooled:?}");
    let told = warning(&record, WarningKind::NotCleanOnThePath);
    assert!(told.text.starts_with("R looked clean at") && !told.stops_the_job(), "{}", told.text);
    b.procedure = "open = [\"R\"]\nuntil = \"clean\"".to_owned();
    let record = b.run();
    assert!(record.openings[0].path_old_fraction < 0.2, "{:?}", record.openings[0]);
    assert!(record.warnings.iter().all(|w| w.kind != WarningKind::NotCleanOnThePath));
}

/// A hose that begins with new fluid looks clean at once; so does anything to an eye that accepts three quarters of
/// old. None of that counts before the watched length has run through, before what is seen
/// stops getting darker, or before one has looked at it.
#[test]
fn nothing_counts_as_clean_before_it_has_run() {
    let hold = |hose: &'static str, rule: &str| {
        let mut b = bench(&format!("open = [\"R\", \"F\"]\nuntil = \"{rule}\""));
        b.hose = hose;
        b.run()
    };
    // Length and hold of the hose, the rule, and the watched volume, mL.
    for (hose, rule, watched_ml) in [
        ("", "clean, hold 0 mL", 1.963),
        ("", "clean below 80 %", 1.963),
        ("watched = \"300 mm\"\nhold = \"1 mL\"", "clean", 5.890),
        ("watched = \"3 m\"\nhold = \"10 mL\"", "clean", 58.90),
        ("watched = \"3 m\"", "clean below 60 %, hold 0 mL", 58.90),
    ] {
        for o in hold(hose, rule).openings {
            assert_eq!(
                (o.closed_by, o.clean_state),
                (ClosedBy::Clean, CleanState::Reached),
                "{o:?}"
            );
            assert!(o.clean_at_ml.expect("clean") >= watched_ml && o.flow_seconds >= 3.0, "{o:?}");
            assert!(dirtiest_seen(&o) > o.threshold && o.seen_old_fraction <= o.threshold, "{o:?}");
        }
    }
}

/// A least look is a floor and no delay: it counts where it binds, and there alone.
#[test]
fn a_least_look_moves_only_what_is_closed_within_it() {
    let with = |look: &'static str, again: &str| {
        let mut b = bench(&format!(
            "steps = [{{ open = \"F\", until = \"clean below 4 %\" }}, {{ open = \"F\", until = \"{again}\" }}]"
        ));
        b.hose = look;
        b.run().openings
    };
    let (none, usual, long) = (
        with("least_look = \"0 s\"", "clean"),
        with("", "clean"),
        with("least_look = \"20 s\"", "clean"),
    );
    for (a, b) in [(&none[0], &usual[0]), (&none[0], &long[0])] {
        near(a.drained_ml, b.drained_ml, 0.02);
        assert_eq!((a.waited_for, b.waited_for), (None, None));
    }
    assert_eq!(none[1].waited_for, Some(WaitedFor::Rising), "{:?}", none[1]);
    for (o, seconds) in [(&usual[1], 3.0), (&long[1], 20.0)] {
        assert_eq!(
            (o.clean_state, o.waited_for),
            (CleanState::Already, Some(WaitedFor::LeastLook))
        );
        near(o.flow_seconds, seconds, 1e-6);
        near(o.clean_at_ml.expect("clean"), o.drained_ml, 1e-6);
    }
    assert!(usual[1].drained_ml > none[1].drained_ml + 0.5);
    // What ends it otherwise may do so earlier, and then nothing has counted.
    for (again, by) in [
        ("clean, at most 3 mL", ClosedBy::Bound),
        ("clean, 3 mL", ClosedBy::Volume),
        ("clean, 1 s", ClosedBy::Time),
    ] {
        let o = &with("least_look = \"20 s\"", again)[1];
        assert_eq!((o.closed_by, o.clean_state, o.clean_at_ml), (by, CleanState::NotReached, None));
        assert!(o.drained_ml < 5.0 && o.waited_for.is_none(), "{o:?}");
    }
    // Held open for longer than that anyhow.
    let o = &with("", "clean, at least 30 mL")[1];
    assert_eq!((o.clean_state, o.waited_for), (CleanState::Already, None));
    near(o.drained_ml, 30.0, 1e-6);
}

/// Millilitres to clean that may be off by more than is promised are told, if only by a little: after
/// 40.6 mL the roadster's left rear peaks where it counts as clean by a hair.
#[test]
fn more_than_the_promised_error_is_told() {
    let text = include_str!("../../../scenarios/roadster-gravity.toml");
    for (ml, told) in [("40.6 mL", true), ("42 mL", false)] {
        let text = text.replace("until = [\"42 mL\"", &format!("until = [\"{ml}\""));
        let record = flush(&read(&text), &Options::default()).expect("it can be simulated");
        let error = record.numerics.clean_at_error_ml.expect("an estimate");
        let warned = record.warnings.iter().any(|w| w.kind == WarningKind::LessExact);
        assert_eq!((warned, error > PROMISE.1), (told, told), "{ml}: {error} mL");
        assert!(error < 1.0, "{error}");
    }
    let words = |page: &str| page.split_whitespace().collect::<Vec<_>>().join(" ");
    let promise =
        format!("within {} % or {} mL, whichever is larger", 100.0 * PROMISE.0, PROMISE.1);
    for page in [include_str!("../../../README.md"), include_str!("../../../docs/accuracy.md")] {
        assert!(words(page).contains(&promise), "{promise}");
    }
}

/// The second opening of a bleeder flushed before, its shared line made dirty again by another's chamber: not
/// fooled either. Here by hand: the near wheel is flushed first, so its own end is clean while the rest
/// upstream is judged again at the second opening.
#[test]
fn a_second_opening_after_a_short_first_one_goes_on_until_clean() {
    let record =
        run("steps = [{ open = \"R\", until = \"25 mL\" }, { open = \"R\", until = \"clean\" }]");
    let [first, second] = &record.openings[..] else { panic!("two openings") };
    assert_eq!((first.closed_by, first.clean_state), (ClosedBy::Volume, CleanState::NotReached));
    assert_eq!((second.closed_by, second.clean_state), (ClosedBy::Clean, CleanState::Reached));
    assert!(second.path_old_fraction < first.path_old_fraction);
    // The new filling of the hose looks clean until the first millilitres have come.
    assert!(dirtiest_seen(second) > 0.5);
    let at_once = &run("open = [\"R\"]\nuntil = \"clean\"").openings[0];
    near(first.drained_ml + second.drained_ml, at_once.drained_ml, 1.0);
}

/// The rule's own threshold stands above that of the clear hose.
#[test]
fn the_rules_threshold_overrides_the_hoses() {
    let mut b = bench("open = [\"R\"]\nuntil = \"clean below 10 %\"");
    let alone = b.run().openings.remove(0);
    b.hose = "threshold = \"50 %\"";
    let beside = b.run().openings.remove(0);
    assert_eq!((beside.threshold, alone.threshold), (0.1, 0.1));
    near(beside.clean_at_ml.expect("clean"), alone.clean_at_ml.expect("clean"), 1e-9);
    b.procedure = "open = [\"R\"]\nuntil = \"clean\"".to_owned();
    let hoses = b.run().openings.remove(0);
    assert_eq!(hoses.threshold, 0.5);
    assert!(hoses.clean_at_ml.expect("clean") < alone.clean_at_ml.expect("clean") - 30.0);
}

/// Already: a second opening of what is clean. Lost: clean for a while, then dirt from upstream.
#[test]
fn already_clean_and_clean_lost() {
    let record = run(
        "steps = [{ open = \"R\", until = \"clean below 2 %\" }, { open = \"R\", until = \"clean below 20 %\" }]",
    );
    let again = &record.openings[1];
    assert_eq!(again.clean_state, CleanState::Already);
    // Not before it has been looked at.
    assert!(again.clean_at_ml.expect("clean") >= 1.963 && again.flow_seconds >= 3.0, "{again:?}");
    assert!(again.drained_ml < 100.0, "{}", again.drained_ml);
    let mut b =
        bench("open = [\"R\"]\nuntil = \"clean, hold 5 mL, at least 65 mL, at most 66 mL\"");
    b.parts = r#"
"line R" = { kind = "line", from = "primary", length = "4 m", bends = 0 }
clean = { kind = "line", from = "line R", length = "3 m", bends = 0, old_fraction = 0.0 }
R = { kind = "caliper", from = "clean", new_pads = "30 mL", old_fraction = 0.0, stages = 4 }"#;
    b.reservoir = "old_fraction = 0.0";
    let record = b.run();
    let o = &record.openings[0];
    assert_eq!((o.clean_state, o.closed_by), (CleanState::Lost, ClosedBy::Bound));
    assert!(o.seen_old_fraction > 0.2);
    assert!(warning(&record, WarningKind::TargetNotReached).stops_the_job());
}

/// Dirt left at a first opening is taken up by a second: only the last one is worth a warning.
#[test]
fn dirt_is_told_where_nothing_comes_after_it() {
    let told = |procedure: &str| {
        let record = run(procedure);
        record.warnings.iter().filter(|w| w.kind == WarningKind::ClosedWhileDirty).count()
    };
    assert_eq!(told("open = [\"R\"]\nuntil = \"20 mL\""), 1);
    assert_eq!(told("open = [\"R\"]\nuntil = \"20 mL\"\npasses = 2"), 1);
    assert_eq!(told("open = [\"R\", \"F\", \"R\"]\nuntil = [\"20 mL\", \"20 mL\", \"3 L\"]"), 1);
}
