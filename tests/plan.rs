//! `plan` against trying everything, its plan replayed by `flush`, and what it says when there is none.

#![cfg(all(feature = "program", feature = "pictures"))]

use assert_cmd::Command;
use farwheel::job::options::Options;
use farwheel::job::{self, intake};
use farwheel::study::plan::{Plan, PlanError, Targets, Wishes, study};
use farwheel::study::progress::Nobody;

const MOTORCYCLE: &str = include_str!("../scenarios/motorcycle-front.toml");

fn planned(text: &str, wishes: &Wishes) -> Result<Plan, PlanError> {
    let scenario = intake::read_text(text, "-").expect("a scenario");
    study(&scenario, text, wishes, &Nobody)
}

fn wishes(targets: Targets, grid_ml: f64) -> Wishes {
    Wishes { targets, grid_ml, ..Wishes::default() }
}

fn quick() -> Options {
    Options { estimate_error: false, ..Options::default() }
}

/// Every plan of one pass on the grid, each run by `flush` from a file of its own, without any bound: the least
/// that meets the target.
fn least_of_all(grid_ml: u32, most: u32, meets: impl Fn(&job::record::Left) -> bool) -> f64 {
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
                let scenario = intake::read_text(&text, "-").expect("a scenario");
                let record = job::flush(&scenario, &quick()).expect("a job");
                let cost = record.totals.drained_ml + record.totals.removed_ml;
                if meets(&record.left) {
                    least = least.min(cost);
                }
            }
        }
    }
    least
}

fn cost(plan: &Plan) -> f64 {
    plan.totals.drained_ml + plan.totals.removed_ml
}

/// Against exhaustive search without bounds (an independent enumeration of the same grid).
#[test]
fn no_plan_on_the_grid_takes_less() {
    let overall = Targets { old_overall: Some(0.06), ..Targets::default() };
    let anywhere = Targets { old_anywhere: Some(0.12), ..Targets::default() };
    for targets in [overall, anywhere] {
        let plan = planned(MOTORCYCLE, &wishes(targets, 10.0)).expect("a plan");
        let meets = |left: &job::record::Left| {
            targets.old_overall.is_none_or(|t| left.old_fraction <= t)
                && targets
                    .old_anywhere
                    .is_none_or(|t| left.parts.iter().all(|p| p.old_fraction <= t))
        };
        assert!(meets(&plan.left), "{targets:?}: {:?}", plan.left);
        let least = least_of_all(10, 10, meets);
        assert!(plan.proof.contains("Exhaustive over 2 orders"), "{}", plan.proof);
        if plan.openings.len() == 2 {
            assert!((cost(&plan) - least).abs() < 1e-6, "{} against {least}", cost(&plan));
        } else {
            assert!(cost(&plan) < least && plan.proof.contains("second pass pays"));
        }
    }
}

#[test]
fn the_curve_falls_and_the_file_changes_nothing_but_the_procedure() {
    let targets = Targets { old_overall: Some(0.06), ..Targets::default() };
    let plan = planned(MOTORCYCLE, &wishes(targets, 10.0)).expect("a plan");
    assert!(plan.curve.len() >= 3);
    for pair in plan.curve.windows(2) {
        assert!(pair[0].drained_ml < pair[1].drained_ml);
        assert!(pair[0].left_old_fraction > pair[1].left_old_fraction);
    }
    let (head, _) = MOTORCYCLE.split_once("[procedure]").expect("a procedure");
    assert!(plan.text.starts_with(head));
}

#[test]
fn the_targets_hold_in_the_share_of_draws() {
    let targets = Targets { old_overall: Some(0.08), ..Targets::default() };
    let plain = planned(MOTORCYCLE, &wishes(targets, 10.0)).expect("a plan");
    let sure = Wishes { sure: Some(0.9), draws: 20, ..wishes(targets, 10.0) };
    let plan = planned(MOTORCYCLE, &sure).expect("a plan");
    assert!(plan.met_share.is_some_and(|s| s >= 0.9), "{:?}", plan.met_share);
    assert!(cost(&plan) >= cost(&plain));
}

#[test]
fn what_cannot_be_reached_is_said() {
    let targets = Targets { water_percent: Some(0.001), ..Targets::default() };
    match planned(MOTORCYCLE, &wishes(targets, 10.0)) {
        Err(PlanError::Unreachable { misses, .. }) => assert_eq!(misses.len(), 1),
        other => panic!("{other:?}"),
    }
    assert!(matches!(planned(MOTORCYCLE, &Wishes::default()), Err(PlanError::Wishes(_))));
}

fn program(arguments: &[&str]) -> std::process::Output {
    let mut command = Command::cargo_bin("farwheel").expect("the program");
    command.args(arguments).output().expect("it runs")
}

#[test]
fn the_file_is_flushed_to_the_same_figures_on_any_number_of_threads() {
    let dir = tempfile::tempdir().expect("a directory");
    let path = |name: &str| dir.path().join(name).display().to_string();
    let (one, two, file, flushed) =
        (path("1.json"), path("2.json"), path("p.toml"), path("f.json"));
    for (threads, json) in [("1", &one), ("2", &two)] {
        let out = program(&[
            "plan",
            "scenarios/motorcycle-front.toml",
            "--old-overall",
            "6 %",
            "--threads",
            threads,
            "--json",
            json,
            "-o",
            &file,
            "--quiet",
        ]);
        assert_eq!(out.status.code(), Some(0), "{out:?}");
    }
    let read = |path: &str| std::fs::read_to_string(path).expect("a file");
    assert_eq!(read(&one), read(&two));
    let out = program(&["flush", &file, "--json", &flushed, "--quiet"]);
    assert_eq!(out.status.code(), Some(0), "{out:?}");
    let json = |path: &str| serde_json::from_str::<serde_json::Value>(&read(path)).expect("JSON");
    let (plan, flush) = (json(&one), json(&flushed));
    for key in ["openings", "totals", "left"] {
        assert_eq!(plan[key], flush[key], "{key}");
    }
}

#[test]
fn exit_statuses() {
    let car = "scenarios/motorcycle-front.toml";
    let dir = tempfile::tempdir().expect("a directory");
    let file = dir.path().join("p.toml").display().to_string();
    let out = program(&["plan", car, "--water", "0.001 %", "-o", &file]);
    assert_eq!(out.status.code(), Some(3));
    assert!(String::from_utf8_lossy(&out.stderr).contains("no plan meets the targets"));
    assert!(!std::path::Path::new(&file).exists());
    for bad in [
        &["--old-overall", "5 mL"][..],
        &[],
        &["--old-overall", "5 %", "--grid", "0.1 mL"],
        &["--old-overall", "5 %", "-o", car],
    ] {
        let out = program(&[&["plan", car], bad].concat());
        assert_eq!(out.status.code(), Some(2), "{bad:?}: {out:?}");
    }
}
