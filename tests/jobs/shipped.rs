//! The scenarios that come with the project, and the one in docs/scenario.md: read, run, short, and sane.

use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::job::record::Record;
use std::path::PathBuf;

/// Every scenario file below `scenarios/`.
pub(crate) fn shipped() -> Vec<PathBuf> {
    let (mut files, mut dirs) = (Vec::new(), vec![PathBuf::from("scenarios")]);
    while let Some(dir) = dirs.pop() {
        for entry in std::fs::read_dir(dir).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                dirs.push(path);
            } else if path.extension().is_some_and(|e| e == "toml") {
                files.push(path);
            }
        }
    }
    files.sort();
    assert!(files.len() >= 8, "{files:?}");
    files
}

fn run(text: &str, file: &str) -> Record {
    let scenario = farwheel::read(text, file).unwrap_or_else(|m| panic!("{file}:\n{m}"));
    flush(&scenario, &Options::default()).unwrap_or_else(|e| panic!("{file}: {e}"))
}

/// The job ends well, within the promised accuracy, and its books add up.
fn assert_sane(record: &Record, file: &str) {
    assert!(!record.stopped(), "{file}: {:?}", record.warnings);
    let error = record.numerics.clean_at_error_ml.unwrap();
    let most = record.openings.iter().filter_map(|o| o.clean_at_ml).fold(0.0, f64::max);
    assert!(error <= f64::max(0.5, 0.005 * most), "{file}: ± {error} mL");
    for o in &record.openings {
        let from: f64 = o.origins_ml.iter().map(|(_, ml)| ml).sum();
        assert!((from - o.drained_ml).abs() < 1e-6, "{file}: {o:?}");
        assert!(o.seen_old_fraction < 1.0 && o.path_old_fraction < 1.0, "{file}: {o:?}");
    }
    let all: f64 = record.left.parts.iter().map(|p| p.volume_ml).sum();
    let b = record.balance;
    let worst = b.volume_error_ml.max(b.old_error_ml).max(b.water_error_g);
    assert!(worst < 1e-9 * (all + record.totals.drained_ml), "{file}: {b:?}");
    let held: f64 = record.left.parts.iter().map(|p| p.volume_ml * p.old_fraction).sum();
    assert!((held - record.left.old_ml).abs() < 1e-6, "{file}: {held}");
}

#[test]
fn every_shipped_scenario_runs() {
    for path in shipped() {
        let file = path.display().to_string();
        assert_sane(&run(&std::fs::read_to_string(&path).unwrap(), &file), &file);
    }
}

/// What each says of its own error is no proof: held against the same job with five times the steps and
/// a hundred lanes, pushed by each of its supplies.
#[test]
fn every_shipped_scenario_keeps_the_promise() {
    for path in shipped() {
        let file = path.display().to_string();
        let scenario = farwheel::read_file(&path).unwrap_or_else(|m| panic!("{m}"));
        for supply in &scenario.supplies {
            let usual = Options { supply: Some(supply.name.clone()), ..Options::default() };
            let fine = Options {
                steps_per_path: 200.0,
                lanes: Some(100),
                estimate_error: false,
                ..usual.clone()
            };
            let run = |options: &Options| flush(&scenario, options).expect("it runs");
            let (here, there) = (run(&usual), run(&fine));
            let stated = here.numerics.clean_at_error_ml.unwrap_or(f64::INFINITY);
            for (a, b) in here.openings.iter().zip(&there.openings) {
                assert_eq!(a.clean_state, b.clean_state, "{file}, {}, {}", supply.name, a.bleeder);
                let (Some(x), Some(y)) = (a.clean_at_ml, b.clean_at_ml) else { continue };
                let off = (x - y).abs();
                let what = format!("{file}, {}, {}: {x} mL, finer {y} mL", supply.name, a.bleeder);
                assert!(off <= f64::max(0.5, 0.005 * y), "{what}");
                assert!(off <= stated, "{what}, stated {stated}");
            }
            let left = (here.left.old_ml - there.left.old_ml).abs();
            assert!(
                left <= f64::max(0.5, 0.005 * there.left.old_ml),
                "{file}: {left} mL of old fluid"
            );
        }
    }
}

/// A car is described in under 60 lines (75 where both circuits have lines and chambers of their own at
/// some wheels), and each says where its figures come from.
#[test]
fn every_shipped_scenario_is_short_and_says_where_its_figures_come_from() {
    for path in shipped() {
        let text = std::fs::read_to_string(&path).unwrap();
        let most = if text.contains("\"LF secondary\"") { 75 } else { 60 };
        assert!(text.lines().count() < most, "{}", path.display());
        assert!(text.contains("invented") && text.contains("source"), "{}", path.display());
    }
}

#[test]
fn the_scenario_in_the_page_runs() {
    let page = include_str!("../../docs/scenario.md").replace("\r\n", "\n");
    let after = page.split_once("```toml\n").expect("the page shows a scenario").1;
    let text = after.split_once("```").unwrap().0;
    assert_sane(&run(text, "scenario.md"), "scenario.md");
}

/// The syringed car is the shipped car: nothing but title, comment and what is done before differs.
#[test]
fn the_syringed_car_is_the_same_car() {
    let car = |text: &str| -> Vec<String> {
        let told = |line: &&str| {
            !line.starts_with(['#']) && !line.starts_with("title") && !line.starts_with("before")
        };
        text.lines().filter(told).map(str::to_owned).collect()
    };
    assert_eq!(
        car(include_str!("../../scenarios/compact-hatchback.toml")),
        car(include_str!("../../scenarios/compact-hatchback-syringed.toml"))
    );
}
