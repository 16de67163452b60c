//! `plan` against trying everything, its plan replayed by `flush`, and what it says when there is none.

use crate::common::cars::{DOT_4, GRAVITY, HATCHBACK, quick, read, run, scenario_text, undivided};
use crate::common::interrupt;
use crate::common::program::farwheel;
use farwheel::job;
use farwheel::job::options::Options;
use farwheel::study::StudyError;
use farwheel::study::plan::{Least, Plan, Question, Targets, study};
use farwheel::study::progress::Nobody;

const MOTORCYCLE: &str = include_str!("../../scenarios/motorcycle-front.toml");

fn planned(text: &str, question: &Question) -> Result<Plan, StudyError> {
    study(&read(text), text, question, &Options::default(), &Nobody)
}

/// A bleeder that is open while a unit works is closed by the clock, not by what has drained.
#[test]
fn a_procedure_without_an_opening_has_nothing_to_plan() {
    let saloon = include_str!("../../scenarios/saloon-esc-plain-flush.toml");
    let (head, _) = saloon.split_once("[procedure]").expect("a procedure");
    let work = "steps = [{ work_modulator = \"unit\", time = \"2 s\", bleeders = \"RR\" }]";
    match planned(&format!("{head}[procedure]\n{work}\n"), &Question::default()) {
        Err(StudyError::Asked(why)) => assert!(why.contains("no step `open`"), "{why}"),
        other => panic!("{other:?}"),
    }
}

fn question(targets: Targets, grid_ml: f64) -> Question {
    Question { targets, grid_ml, ..Question::default() }
}

/// Every plan of one pass on the grid, each run by `flush` from a file of its own, without any bound: the least
/// that meets the target, by whatever `costs` counts.
fn least_of_all(
    grid_ml: u32,
    most: u32,
    meets: impl Fn(&job::record::Left) -> bool,
    costs: impl Fn(&job::record::Totals) -> f64,
) -> f64 {
    let (head, _) = MOTORCYCLE.split_once("[procedure]").expect("a procedure");
    let mut least = f64::INFINITY;
    for syringe in ["", "{ syringe = \"2.5 mL\" }, { top_up = \"25 mL\" },"] {
        for (first, second) in [("R", "L"), ("L", "R")] {
            for (a, b) in (1..=most).flat_map(|a| (1..=most).map(move |b| (a, b))) {
                let text = format!(
                    "{head}[procedure]\nsteps = [{syringe} {{ open = \"{first}\", until = \"{} mL\" }}, {{ open = \"{second}\", until = \"{} mL\" }}]\n",
                    a * grid_ml,
                    b * grid_ml
                );
                let record = run(&text);
                if meets(&record.left) {
                    least = least.min(costs(&record.totals));
                }
            }
        }
    }
    least
}

/// New fluid used, mL.
fn fluid_ml(totals: &job::record::Totals) -> f64 {
    totals.new_fluid_ml
}

fn cost(plan: &Plan) -> f64 {
    fluid_ml(&plan.totals)
}

/// Against exhaustive search without bounds (an independent enumeration of the same grid).
#[test]
fn no_plan_on_the_grid_takes_less() {
    let overall = Targets { old_overall: Some(0.06), ..Targets::default() };
    let anywhere = Targets { old_anywhere: Some(0.12), ..Targets::default() };
    let seconds: fn(&job::record::Totals) -> f64 = |totals| totals.bay_seconds;
    for (targets, least, costs) in [
        (overall, Least::Fluid, fluid_ml as fn(&job::record::Totals) -> f64),
        (anywhere, Least::Fluid, fluid_ml),
        (overall, Least::Time, seconds),
        (anywhere, Least::Time, seconds),
    ] {
        let question = Question { least, ..question(targets, 10.0) };
        let plan = planned(MOTORCYCLE, &question).expect("a plan");
        let meets = |left: &job::record::Left| {
            targets.old_overall.is_none_or(|t| left.old_fraction <= t)
                && targets
                    .old_anywhere
                    .is_none_or(|t| left.parts.iter().all(|p| p.old_fraction <= t))
        };
        assert!(meets(&plan.left), "{targets:?}: {:?}", plan.left);
        let least = least_of_all(10, 10, meets, costs);
        let found = costs(&plan.totals);
        assert!(plan.proof.contains("Exhaustive over 2 orders"), "{}", plan.proof);
        if plan.openings.len() == 2 {
            assert!((found - least).abs() < 1e-6, "{found} against {least}");
        } else {
            assert!(found < least && plan.proof.contains("second pass pays"));
        }
    }
}

#[test]
fn the_curve_falls_and_the_file_changes_nothing_but_the_procedure() {
    let targets = Targets { old_overall: Some(0.06), ..Targets::default() };
    let plan = planned(MOTORCYCLE, &question(targets, 10.0)).expect("a plan");
    assert!(plan.curve.len() >= 3);
    for pair in plan.curve.windows(2) {
        assert!(pair[0].new_fluid_ml < pair[1].new_fluid_ml);
        assert!(pair[0].left_old_fraction > pair[1].left_old_fraction);
    }
    let (head, _) = MOTORCYCLE.split_once("[procedure]").expect("a procedure");
    assert!(plan.text.starts_with(head));
}

/// A single stage that only new fluid enters: e^(−v/V) of its old fluid is left (one tank of the tanks in
/// series, Levenspiel), so the least volume is V ln(1/target), rounded up to the grid.
#[test]
fn one_chamber_takes_what_the_closed_form_says() {
    let parts = r#"old_fraction = "0 %"
[parts]
line = { kind = "line", from = "one", length = "1 mm", old_fraction = "0 %" }
wheel = { kind = "caliper", from = "line", new_pads = "40 mL", pad_wear = "0 %" }
[procedure]
open = ["wheel"]
until = "clean""#;
    let text =
        scenario_text(&[DOT_4, &undivided("one", 0.05, [150, 50, 200, 220]), parts, GRAVITY]);
    for target in [0.3, 0.1, 0.04, 0.02] {
        let targets = Targets { old_anywhere: Some(target), ..Targets::default() };
        let plan = planned(&text, &question(targets, 2.0)).expect("a plan");
        let exact = 40.0 * f64::ln(1.0 / target);
        let rounded = (exact / 2.0).ceil() * 2.0;
        // What line and master cylinder hold, some hundredths of a millilitre, pushes the answer on by less than a grid step.
        let drained = plan.totals.drained_ml + plan.totals.removed_ml;
        assert!((drained - rounded).abs() < 1e-6, "{target}: {drained} {exact}");
    }
}

/// The share counted anew: the plan's procedure flushed on each of the same draws.
#[test]
fn the_share_of_draws_is_counted_again_by_flush() {
    use farwheel::study::chance::unknowns::Uncertain;
    let targets = Targets { old_overall: Some(0.08), ..Targets::default() };
    let sure = Question { sure: Some(0.8), draws: 25, ..question(targets, 10.0) };
    let plan = planned(MOTORCYCLE, &sure).expect("a plan");
    let scenario = read(&plan.text);
    let all = Uncertain::new(&scenario, None);
    let columns = all.columns("one", 0, 25);
    let met = (0..25).filter(|&i| {
        let drawn = all.draw(|k| columns[k][i]).expect("a circuit");
        job::flush(&drawn, &quick()).expect("a job").left.old_fraction <= 0.08
    });
    let share = met.count() as f64 / 25.0;
    assert!(share >= 0.8 && Some(share) == plan.met_share, "{share} {:?}", plan.met_share);
}

/// The least time on a grid of one bleeder is that of the least volume that does.
#[test]
fn the_least_time_and_a_boiling_point_are_reached() {
    boils_as_planned(include_str!("../../scenarios/motorcycle-rear.toml"));
}

/// The pocket at the piston is part of the brake: the fluid there has to boil at the target too.
#[test]
fn a_boiling_point_counts_the_pocket() {
    let rear = include_str!("../../scenarios/motorcycle-rear.toml");
    let pocket = rear.replace("kind = \"caliper\",", "kind = \"caliper\", pocket = \"20 %\",");
    let plan = boils_as_planned(&pocket);
    let brake = plan.left.parts.iter().find(|p| p.kind == "caliper").expect("a brake");
    let in_pocket = brake.pocket_boiling_c.expect("a pocket");
    assert!(in_pocket >= 215.0 && brake.boiling_c > in_pocket + 1.0, "{brake:?}");
}

fn boils_as_planned(rear: &str) -> Plan {
    let targets = Targets { boiling_c: Some(215.0), ..Targets::default() };
    let question = Question { least: Least::Time, ..question(targets, 10.0) };
    let plan = planned(rear, &question).expect("a plan");
    let brake = |left: &job::record::Left| {
        let brakes = left.parts.iter().filter(|p| p.kind == "caliper");
        brakes.map(|p| p.lowest_boiling_c).fold(f64::INFINITY, f64::min)
    };
    assert!(brake(&plan.left) >= 215.0, "{}", brake(&plan.left));
    // A grid step less at any opening misses the target, or the plan would take less time without it.
    let last = plan.text.rfind("until = \"").expect("an opening") + 9;
    let volume: f64 = plan.text[last..].split(' ').next().unwrap().parse().expect("a volume");
    let shorter = format!(
        "{}{}{}",
        &plan.text[..last],
        volume - 10.0,
        &plan.text[last..].trim_start_matches(|c: char| c.is_ascii_digit())
    );
    let less = run(&shorter);
    assert!(brake(&less.left) < 215.0, "{}", brake(&less.left));
    plan
}

/// Syringing is no free step: with hands slow enough the quickest plan does without, with quick ones it does not.
#[test]
fn the_quickest_plan_counts_the_syringe() {
    let targets = Targets { old_overall: Some(0.06), ..Targets::default() };
    let quickest = |hands: &str| {
        let (head, steps) = MOTORCYCLE.split_once("[procedure]").expect("a procedure");
        let text = format!("{head}[procedure]\n{hands}{steps}");
        let question = Question { least: Least::Time, ..question(targets, 10.0) };
        planned(&text, &question).expect("a plan")
    };
    let (quick, slow) =
        (quickest("per_syringe = \"0 s\"\n"), quickest("per_syringe = \"30 min\"\n"));
    assert!(quick.syringed && !slow.syringed);
    assert_eq!(slow.totals.removed_ml, 0.0);
    // As the record counts it.
    let usual = quickest("per_syringe = \"1 min\"\n");
    assert!(usual.syringed);
    assert!((usual.totals.bay_seconds - quick.totals.bay_seconds - 60.0).abs() < 1.0);
}

/// Where nothing is left to spend on the last bleeder, the search goes on with the next plan.
#[test]
fn the_quickest_plan_of_a_car_is_found() {
    let targets = Targets { old_anywhere: Some(0.08), ..Targets::default() };
    let plan = planned(HATCHBACK, &Question { least: Least::Time, ..question(targets, 40.0) });
    let plan = plan.expect("a plan");
    assert!(plan.left.parts.iter().all(|p| p.old_fraction <= 0.08), "{:?}", plan.left);
}

/// Ctrl-C: what is found is written and marked, exit status 130.
#[cfg(unix)]
#[test]
fn an_interrupted_plan_says_so() {
    use std::time::Duration;
    let dir = tempfile::tempdir().expect("a directory");
    let json = dir.path().join("plan.json");
    let path = json.to_str().expect("a plain name");
    let car = "scenarios/off-roader-eight-bleeders.toml";
    let asked = ["plan", car, "--old-overall", "3 %", "--grid", "1 mL", "--quiet", "--json", path];
    let run = interrupt::interrupted(&asked, Duration::from_secs(3));
    assert_eq!(run.status.code(), Some(130));
    if json.exists() {
        let text = std::fs::read(&json).expect("what is finished");
        let value: serde_json::Value = serde_json::from_slice(&text).expect("whole JSON");
        assert_eq!(value["partial"], true);
    }
}

#[test]
fn the_targets_hold_in_the_share_of_draws() {
    let targets = Targets { old_overall: Some(0.08), ..Targets::default() };
    let plain = planned(MOTORCYCLE, &question(targets, 10.0)).expect("a plan");
    let sure = Question { sure: Some(0.9), draws: 20, ..question(targets, 10.0) };
    let plan = planned(MOTORCYCLE, &sure).expect("a plan");
    assert!(plan.met_share.is_some_and(|s| s >= 0.9), "{:?}", plan.met_share);
    assert!(cost(&plan) >= cost(&plain));
}

#[test]
fn what_cannot_be_reached_is_said() {
    let targets = Targets { water_percent: Some(0.001), ..Targets::default() };
    match planned(MOTORCYCLE, &question(targets, 10.0)) {
        Err(StudyError::Unreachable { misses, .. }) => assert_eq!(misses.len(), 1),
        other => panic!("{other:?}"),
    }
}

/// Asked for nothing, it leaves no more old fluid than the scenario's own procedure, and takes no more fluid.
#[test]
fn without_a_target_the_own_procedure_is_the_measure() {
    let plan = planned(MOTORCYCLE, &Question::default()).expect("a plan");
    let own = plan.own.left_old_fraction;
    assert_eq!(plan.targets.old_overall, Some(own));
    assert!(plan.left.old_fraction <= own * (1.0 + 1e-9), "{}, own {own}", plan.left.old_fraction);
    // The grid of 10 mL apart.
    assert!(plan.totals.new_fluid_ml <= plan.own.new_fluid_ml + 10.0);
}

/// A motorcycle on any number of threads; six bleeders, whose orders are too many to exhaust; gravity on discs and
/// drums, for the least time.
#[test]
fn the_file_is_flushed_to_the_same_figures_on_any_number_of_threads() {
    let dir = tempfile::tempdir().expect("a directory");
    let path = |name: &str| dir.path().join(name).display().to_string();
    let (one, two, file, flushed) =
        (path("1.json"), path("2.json"), path("p.toml"), path("f.json"));
    let read = |path: &str| std::fs::read_to_string(path).expect("a file");
    let json = |path: &str| serde_json::from_str::<serde_json::Value>(&read(path)).expect("JSON");
    for asked in [
        &["scenarios/motorcycle-front.toml", "--old-overall", "6 %"][..],
        &["scenarios/splits/hi.toml", "--old-overall", "10 %", "--grid", "40 mL"],
        &[
            "scenarios/roadster-gravity.toml",
            "--old-overall",
            "15 %",
            "--grid",
            "60 mL",
            "--least",
            "time",
        ],
    ] {
        for (threads, json) in [("1", &one), ("2", &two)] {
            let rest = ["--threads", threads, "--json", json, "-o", &file, "--quiet"];
            let out = farwheel(&[&["plan"][..], asked, &rest].concat());
            assert_eq!(out.status, Some(0), "{out:?}");
        }
        assert_eq!(read(&one), read(&two), "{asked:?}");
        let out = farwheel(&["flush", &file, "--json", &flushed, "--quiet"]);
        assert_eq!(out.status, Some(0), "{out:?}");
        let (plan, flush) = (json(&one), json(&flushed));
        for key in
            ["openings", "totals", "left", "steps", "balance", "numerics", "warnings", "supply"]
        {
            assert_eq!(plan[key], flush[key], "{key} of {asked:?}");
        }
    }
}

#[test]
fn exit_statuses() {
    let car = "scenarios/motorcycle-front.toml";
    let dir = tempfile::tempdir().expect("a directory");
    let file = dir.path().join("p.toml").display().to_string();
    let out = farwheel(&["plan", car, "--water", "0.001 %", "-o", &file]);
    assert_eq!(out.status, Some(3));
    assert!(out.err.contains("no plan meets the targets"));
    assert!(!std::path::Path::new(&file).exists());
    for bad in [
        &["--old-overall", "5 mL"][..],
        &["--old-overall", "5 %", "--grid", "0.1 mL"],
        &["--old-overall", "5 %", "-o", car],
    ] {
        let out = farwheel(&[&["plan", car], bad].concat());
        assert_eq!(out.status, Some(2), "{bad:?}: {out:?}");
    }
}
