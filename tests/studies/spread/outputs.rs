//! The verb as a user starts it: files, bottles, the same bytes on any number of threads, Ctrl-C.

use super::CAR;
use crate::common::program::{Ran, farwheel};
use farwheel::report::from_cell;
use std::path::Path;
use std::time::Duration;

fn spread(arguments: &[&str]) -> Ran {
    farwheel(&[&["spread", CAR], arguments].concat())
}

fn files(dir: &Path, threads: &str) -> Vec<Vec<u8>> {
    let at = |name: &str| dir.join(name).to_str().expect("a plain name").to_owned();
    let (json, csv, plots) = (at("a.json"), at("a.csv"), at("plots"));
    let asked = ["--draws", "20", "--seed", "3", "--threads", threads, "--quiet"];
    let to = ["--json", &json, "--csv", &csv, "--plots", &plots];
    let ran = spread(&[&asked[..], &to].concat());
    assert_eq!(ran.status, Some(0), "{}", ran.err);
    let plots =
        ["ranges.svg", "ranges.png", "matters.svg", "matters.png"].map(|p| format!("plots/{p}"));
    let names = ["a.json", "a.csv"].into_iter().chain(plots.iter().map(String::as_str));
    names.map(|name| std::fs::read(dir.join(name)).expect(name)).collect()
}

#[test]
fn the_same_bytes_on_one_thread_and_on_two() {
    let (one, two) = (tempfile::tempdir().expect("a place"), tempfile::tempdir().expect("a place"));
    let first = files(one.path(), "1");
    assert!(first == files(two.path(), "2"), "some file differs");
    let json: serde_json::Value = serde_json::from_slice(&first[0]).expect("JSON");
    assert!(json.get("partial").is_none() && json.get("draws_wanted").is_none());
    assert_eq!((&json["spreads"], json["loaded_ml"].as_f64()), (&"both".into(), Some(1000.0)));
    assert!(json["title"].as_str().is_some_and(|title| title.contains("hatchback")));
    for m in json["matters"].as_array().expect("unknowns") {
        // Neither a rise nor a fall against the correlation's sign.
        let (rank, direction) =
            (m["rank_correlation"].as_f64().expect("a figure"), &m["direction"]);
        assert!(direction != "rises" || rank > 0.0, "{m}");
        assert!(direction != "falls" || rank < 0.0, "{m}");
        assert!(["rises", "falls", "untold"].iter().any(|word| direction == word), "{m}");
    }
    // Every figure of the JSON stands in the CSV.
    let mut reader = csv::Reader::from_reader(first[1].as_slice());
    let rows: Vec<csv::StringRecord> =
        reader.records().map(|r| r.expect("a row").iter().map(from_cell).collect()).collect();
    let value = |about: &str, name: &str, quantity: &str| -> f64 {
        let mut of = rows.iter().filter(|r| &r[0] == about && &r[1] == name && &r[2] == quantity);
        let row = of.next().unwrap_or_else(|| panic!("{about} {name} {quantity}"));
        assert!(of.next().is_none(), "twice: {row:?}");
        row[4].parse().expect("a figure")
    };
    assert_eq!(Some(value("total", "", "load_ml_p95")), json["load_ml_p95"].as_f64());
    for b in json["bleeders"].as_array().expect("bleeders") {
        let name = b["bleeder"].as_str().expect("a name");
        for key in ["clean_share", "clean_at_ml_p10", "clean_at_ml_p90", "seconds_p50"] {
            assert_eq!(Some(value("bleeder", name, key)), b[key].as_f64());
        }
    }
    for m in json["matters"].as_array().expect("unknowns") {
        let name = m["quantity"].as_str().expect("a name");
        assert_eq!(Some(value("unknown", name, "total_low")), m["total"]["low"].as_f64());
        let own = m["rank_correlation"].as_f64();
        assert_eq!(Some(value("unknown", name, "rank_correlation")), own);
    }
}

#[test]
fn bottles_are_rounded_up_and_the_seed_is_printed() {
    for (bottle, ml) in [("500 mL", 500.0), ("1 L", 1000.0), ("250 mL", 250.0)] {
        let json = spread(&["--draws", "20", "--bottle", bottle, "--json", "-"]).json();
        let load = json["have_ml_p95"].as_f64().expect("every job ends");
        let bottles = json["bottles_p95"].as_f64().expect("bottles");
        assert!(
            bottles * ml >= load && (bottles - 1.0) * ml < load,
            "{bottles} of {bottle}: {load}"
        );
    }
    let table = spread(&["--draws", "20", "--seed", "41"]).out;
    assert!(table.contains("seed 41") && table.contains("bottles of 500 mL"), "{table}");
    for bottle in ["0 mL", "2 kg", "500 mL ± 5 mL"] {
        assert_eq!(spread(&["--bottle", bottle]).status, Some(2), "{bottle}");
    }
}

/// Interrupted while it runs: exit status 130, whole JSON and CSV, both marked; the table says so too.
#[cfg(unix)]
#[test]
fn ctrl_c_writes_what_is_finished() {
    // It listens within a few milliseconds; 50,000 draws take minutes.
    let (json, csv, table) = crate::common::interrupt::marked_as_partial(
        &["spread", "scenarios/compact-hatchback.toml", "--draws", "50000"],
        Duration::from_secs(3),
    );
    assert_eq!(json["draws_wanted"].as_u64(), Some(50_000));
    let draws = json["draws"].as_u64().expect("a number");
    assert!(draws < 50_000);
    assert_eq!(json["bleeders"].as_array().map(Vec::is_empty), Some(draws < 20));
    assert!(csv.contains("total,,partial,,1\n"), "{csv}");
    assert!(table.contains("PARTIAL") && table.contains("of 50000 draws"), "{table}");
}
