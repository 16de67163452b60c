//! Random draws: what a study of one unknown must say, found another way; seeds and threads; the program.

mod early;
mod outputs;
mod stated;

use crate::common::cars;
use crate::common::cars::{DIVIDED, VESSEL, scenario_text};
use crate::common::program;
use farwheel::Scenario;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::keys::quantity::{Quantity, Spread as Width};
use farwheel::scenario::quantities::Address;
use farwheel::study::StudyError;
use farwheel::study::progress::Nobody;
use farwheel::study::spread::{self, Question, Spread};

const CAR: &str = "scenarios/compact-hatchback.toml";

/// A car without spreads of its own, in which nothing is uncertain but what is put in with a spread.
fn known_but(edits: &[(&str, &str)]) -> Scenario {
    let car = car(edits).changed(|car| {
        for (place, _, q) in car.quantities_mut() {
            if matches!(place, Address::Key(..)) {
                q.spread = q.spread.or(Some(Width::Exact));
            }
        }
    });
    car.expect("a circuit")
}

/// A car without spreads of its own but those put in.
fn car(edits: &[(&str, &str)]) -> Scenario {
    let fluids = "[old_fluid]\ngrade = \"DOT 3\"\nwater = \"3 %\"\n[new_fluid]\ngrade = \"DOT 4\"";
    let parts = r#"[clear_hose]
threshold = "20 %"
[parts]
"line R" = { kind = "line", from = "secondary", length = "5 m" }
R = { kind = "caliper", from = "line R", new_pads = "12 mL" }
"line F" = { kind = "line", from = "primary", length = "1 m" }
F = { kind = "caliper", from = "line F", new_pads = "25 mL" }
[procedure]
open = ["R", "F"]
until = "clean""#;
    cars::read(&cars::edited_all(&scenario_text(&[fluids, DIVIDED, parts, VESSEL]), edits))
}

fn study(scenario: &Scenario, draws: usize) -> Spread {
    let question = Question { draws, ..Question::default() };
    spread::study(scenario, &question, &seeded(5), &Nobody).expect("it can be drawn")
}

fn seeded(seed: u64) -> Options {
    Options { seed, ..Options::default() }
}

fn plain() -> Options {
    Options { estimate_error: false, origins: false, ..Options::default() }
}

/// Of one unknown that the answer rises with, the quantiles of the answer are the answers at its own
/// quantiles: the eye's threshold evenly between 10 and 40 %, so its p-quantile is 0.1 + 0.3 p, and what
/// is drained falls as it rises.
#[test]
fn one_unknown_carries_its_quantiles_through() {
    let uncertain =
        "threshold = { value = \"20 %\", from = \"10 %\", to = \"40 %\", shape = \"uniform\" }";
    let answer = study(&known_but(&[("threshold = \"20 %\"", uncertain)]), 400);
    assert!(!answer.default_spreads);
    let at = |p: f64| {
        let q = Quantity::known(0.1 + 0.3 * p);
        let known = car(&[]).changed(|car| car.clear_hose.threshold = q).expect("a circuit");
        let record = flush(&known, &plain()).expect("it runs");
        record.openings.iter().map(|o| o.clean_at_ml.expect("clean")).collect::<Vec<_>>()
    };
    for (p, of) in [
        (0.1, (|b| b.clean_at_ml_p10) as fn(&spread::BleederSpread) -> Option<f64>),
        (0.5, |b| b.clean_at_ml_p50),
        (0.9, |b| b.clean_at_ml_p90),
    ] {
        for (b, exact) in answer.bleeders.iter().zip(at(1.0 - p)) {
            let here = of(b).expect("it ran clean");
            // One draw in each 400th, and the promise of each job.
            assert!((here - exact).abs() < 0.01 * exact + 0.5, "{}: {here}, {exact}", b.bleeder);
        }
    }
    let [only] = answer.matters.as_slice() else { panic!("one unknown: {:?}", answer.matters) };
    assert_eq!(
        (only.quantity.as_str(), answer.matters_for),
        ("threshold of clear hose", "drained_ml")
    );
    assert!(only.rank_correlation < -0.999, "{only:?}");
    // It is all there is: both indices are 1 but for the draws.
    let indices = only.indices.expect("finished");
    for index in [indices.first_order, indices.total] {
        assert!(
            index.low < 1.0 && 1.0 < index.high && (index.value - 1.0).abs() < 0.15,
            "{only:?}"
        );
    }
}

/// Loaded evenly between 500 and 900 mL, the supply runs dry in the share of draws below what the job needs.
#[test]
fn the_chance_to_run_dry_is_that_of_the_load() {
    let uncertain =
        "loaded = { value = \"700 mL\", from = \"500 mL\", to = \"900 mL\", shape = \"uniform\" }";
    let answer = study(&known_but(&[("loaded = \"1 L\"", uncertain)]), 400);
    let need = |loaded: &str| {
        let record = flush(&car(&[("loaded = \"1 L\"", loaded)]), &plain()).expect("it runs");
        record.totals.fluid.expect("a book").least_load_ml.expect("it lasts")
    };
    // More fluid is less air and a gauge that falls further: the need itself moves a little with the load.
    let needed = need("loaded = \"700 mL\"");
    assert!(needed > 520.0 && needed < 690.0, "{needed}");
    let share = (needed - 500.0) / 400.0;
    let here = answer.runs_dry_share.expect("it is loaded");
    assert!((here - share).abs() < 0.02, "{here}, {share}");
    let sure = answer.load_ml_p95.expect("every job ends");
    assert!((sure - needed).abs() < 10.0, "{sure}, {needed}");
}

/// What is poured in by hand is to be had besides what is loaded, and the whole job's middle is that of the middle car.
#[test]
fn the_whole_job_and_what_is_poured_by_hand() {
    let first = "open = [";
    let by_hand = "before = [{ syringe = \"80 mL\" }, { top_up = \"180 mL\" }]\nopen = [";
    let plainly = study(&known_but(&[("\"5 m\"", "\"5 m ± 20 %\"")]), 60);
    assert_eq!(plainly.load_ml_p95, plainly.have_ml_p95);
    let scenario = known_but(&[("\"5 m\"", "\"5 m ± 20 %\""), (first, by_hand)]);
    let answer = study(&scenario, 60);
    let (load, have) = (answer.load_ml_p95.expect("it ends"), answer.have_ml_p95.expect("it ends"));
    assert!((have - load - 100.0).abs() < 1e-9, "{have}, {load}");
    let record = flush(&scenario, &plain()).expect("it runs");
    assert!((record.poured_by_hand_ml() - 100.0).abs() < 1e-9);
    let all = answer.in_all.expect("enough draws");
    let middle = all.drained_ml_p50.expect("it ends");
    assert!((middle / record.totals.drained_ml - 1.0).abs() < 0.01, "{middle}");
    let bay = all.bay_seconds_p50.expect("it ends");
    assert!((bay / record.totals.bay_seconds - 1.0).abs() < 0.01, "{bay}");
    assert!(all.drained_ml_p10 < all.drained_ml_p50 && all.drained_ml_p50 < all.drained_ml_p90);
}

/// Millilitres counted out: what is drained cannot vary, what is left does.
#[test]
fn counted_millilitres_are_judged_by_what_they_leave() {
    let answer = study(
        &known_but(&[
            ("until = \"clean\"", "until = [\"250 mL\", \"90 mL\"]"),
            ("\"5 m\"", "\"5 m ± 20 %\""),
        ]),
        60,
    );
    assert_eq!(answer.matters_for, "left_old_ml");
    assert!(
        answer.matters[0].rank_correlation > 0.99,
        "a longer line keeps more: {:?}",
        answer.matters
    );
}

/// The same seed gives the same answer on one thread and on two; another gives another.
#[test]
fn answers_follow_the_seed_and_not_the_threads() {
    let scenario = car(&[]);
    let on = |threads: usize, seed: u64| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
        let question = Question { draws: 24, ..Question::default() };
        let answer = pool.install(|| spread::study(&scenario, &question, &seeded(seed), &Nobody));
        let answer = answer.expect("it can be drawn");
        assert!(answer.default_spreads);
        serde_json::to_string(&answer).expect("JSON")
    };
    let one = on(1, 3);
    assert_eq!(one, on(2, 3));
    assert_ne!(one, on(1, 4));
    let keys: Vec<&str> = one
        .match_indices('"')
        .step_by(2)
        .map(|(i, _)| {
            let rest = &one[i + 1..];
            &rest[..rest.find('"').unwrap_or(0)]
        })
        .filter(|k| !k.contains(' '))
        .take(6)
        .collect();
    assert_eq!(keys[..3], ["draws", "seed", "bleeders"], "{keys:?}");
}

/// Where the eye is too strict for the bound the bleeder never runs clean: the share of draws is that of
/// the thresholds above the one which the bound just allows, found by bisection; the quantiles beyond it are
/// not there.
#[test]
fn what_never_runs_clean_has_no_upper_quantile() {
    let uncertain =
        "threshold = { value = \"10 %\", from = \"2 %\", to = \"42 %\", shape = \"uniform\" }";
    let bounded = ("until = \"clean\"", "until = \"clean, at most 300 mL\"");
    let answer = study(&known_but(&[("threshold = \"20 %\"", uncertain), bounded]), 200);
    let runs_clean = |threshold: f64| {
        let q = Quantity::known(threshold);
        let known = car(&[bounded]).changed(|car| car.clear_hose.threshold = q);
        let known = known.expect("a circuit");
        flush(&known, &plain()).expect("it runs").openings[0].clean_at_ml.is_some()
    };
    let (mut strict, mut lax) = (0.02, 0.42);
    for _ in 0..20 {
        let mid = 0.5 * (strict + lax);
        if runs_clean(mid) { lax = mid } else { strict = mid }
    }
    let share = (0.42 - lax) / 0.40;
    let r = &answer.bleeders[0];
    assert!(share > 0.2 && share < 0.85, "the bound tells nothing: {share}");
    assert!((r.clean_share - share).abs() <= 1.5 / 200.0, "{r:?}, {share}");
    assert!(r.clean_at_ml_p10.is_some() && r.clean_at_ml_p90.is_none(), "{r:?}");
}

#[test]
fn too_few_draws_and_a_missing_supply_are_refused() {
    let five = Question { draws: 5, ..Question::default() };
    let few = spread::study(&car(&[]), &five, &plain(), &Nobody);
    assert_eq!(few, Err(StudyError::Asked("5 draws: ask for 20 to 100000".to_owned())));
    for (arguments, words) in [
        (["--draws", "3"], "20 to 100000"),
        (["--supply", "steam"], "there is no supply \"steam\""),
    ] {
        let ran = program::farwheel(&[&["spread", CAR], &arguments[..]].concat());
        assert!(ran.status == Some(2) && ran.err.contains(words), "{ran:?}");
    }
}

#[test]
fn the_program_shows_ranges_load_and_what_matters() {
    let ran = program::farwheel(&["spread", CAR, "--draws", "20", "--seed", "7", "--json", "-"]);
    assert_eq!(ran.status, Some(0));
    let json = ran.json();
    assert_eq!((json["draws"].as_u64(), json["seed"].as_u64()), (Some(20), Some(7)));
    assert_eq!(json["bleeders"].as_array().map(Vec::len), Some(4));
    let first = &json["matters"][0];
    for key in ["quantity", "rank_correlation", "first_order", "total"] {
        assert!(!first[key].is_null(), "{key} of {first}");
    }
}
