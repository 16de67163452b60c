//! `flush --also`: what is told on request, against the record, the JSON against the CSV, and nothing of it unasked.

use super::program::{Ran, farwheel};
use farwheel::job::{self, options::Options};
use farwheel::report::{Report as _, from_cell, json};
use serde_json::Value;
use std::path::Path;

const CAR: &str = "scenarios/compact-hatchback.toml";
const MOMENT: f64 = 1e-9;

fn flush(also: &[&str]) -> Ran {
    farwheel(&[&["flush", CAR, "--no-error-estimate", "--quiet"], also].concat())
}

/// JSON and CSV of the car with `--also` and these words, or without.
fn told(also: Option<&str>) -> (String, String) {
    let dir = tempfile::tempdir().unwrap();
    let [json, csv] = ["a.json", "a.csv"].map(|n| dir.path().join(n).display().to_string());
    let mut arguments = vec!["--json", &json, "--csv", &csv];
    arguments.extend(also.iter().flat_map(|words| ["--also", words]));
    assert_eq!(flush(&arguments).status, Some(0));
    [json, csv].map(|path| std::fs::read_to_string(path).unwrap()).into()
}

/// Rows of a CSV by what they are about.
fn rows(text: &str, about: &str) -> Vec<::csv::StringRecord> {
    let mut reader = ::csv::Reader::from_reader(text.as_bytes());
    let texts =
        |row: ::csv::StringRecord| -> ::csv::StringRecord { row.iter().map(from_cell).collect() };
    reader.records().map(|row| texts(row.unwrap())).filter(|r| &r[0] == about).collect()
}

fn figure(v: &Value) -> f64 {
    v.as_f64().unwrap_or_else(|| panic!("{v} is no figure"))
}

fn list(v: &Value) -> &[Value] {
    v.as_array().unwrap_or_else(|| panic!("{v} is no list"))
}

fn last(v: &Value) -> &Value {
    list(v).last().expect("a point")
}

/// The JSON without the hashes at its end, and them.
fn without_hashes(json: &str) -> (String, &str) {
    let (answer, hashes) = json.split_once(",\n  \"scenario_sha256\"").expect("hashes");
    (format!("{answer}\n}}\n"), hashes)
}

/// Unasked the files are what the record alone gives; what is asked for comes behind that, before the hashes.
#[test]
fn what_is_told_on_request_comes_at_the_end_and_only_then() {
    let scenario = farwheel::read_file(Path::new(CAR)).unwrap();
    let options = Options { estimate_error: false, ..Options::default() };
    let record = job::flush(&scenario, &options).unwrap();
    let plain = told(None);
    let (json, hashes) = without_hashes(&plain.0);
    assert_eq!(json, json::render(&record).unwrap());
    assert_eq!(hashes.lines().count(), 3, "{hashes}");
    assert_eq!(plain.1.as_bytes(), record.csv().unwrap().unwrap().as_bytes());
    let whole = json.strip_suffix("\n}\n").unwrap();
    for (words, keys) in [
        ("curves", &["curves", "supply_over_time"][..]),
        ("parts", &["parts_over_time"]),
        ("parts,curves", &["curves", "supply_over_time", "parts_over_time"]),
    ] {
        let asked = told(Some(words));
        let (json, _) = without_hashes(&asked.0);
        let more = json.strip_prefix(whole).expect("the same at first");
        let more: Value = serde_json::from_str(&format!("{{{}", &more[1..])).unwrap();
        assert_eq!(more.as_object().unwrap().keys().collect::<Vec<_>>(), keys, "{words}");
        let more = asked.1.strip_prefix(&plain.1).expect("the same at first");
        assert_eq!(!more.is_empty(), words.contains("parts"), "{words}: curves stand there anyway");
        assert!(more.lines().all(|row| row.starts_with("held,")), "{words}");
    }
}

#[test]
fn curves_end_where_the_openings_do_and_the_csv_has_the_same() {
    let (json, csv) = told(Some("curves"));
    let json: Value = serde_json::from_str(&json).unwrap();
    let (curves, openings) = (list(&json["curves"]), list(&json["openings"]));
    assert_eq!((curves.len(), openings.len()), (4, 4));
    let mut points = Vec::new();
    for (curve, opening) in curves.iter().zip(openings) {
        for key in ["bleeder", "pass", "step"] {
            assert_eq!(curve[key], opening[key]);
        }
        let (first, end) = (&curve["points"][0], last(&curve["points"]));
        assert_eq!((&first["at_s"], figure(&first["drained_ml"])), (&opening["opened_s"], 0.0));
        assert_eq!(end["at_s"], opening["closed_s"]);
        for key in ["drained_ml", "seen_old_fraction", "path_old_fraction"] {
            assert_eq!(end[key], opening[key], "{key}");
        }
        points.extend(list(&curve["points"]).iter().map(|p| (&curve["bleeder"], p)));
    }
    let along = ["seen_old_fraction", "leaving_old_fraction", "path_old_fraction", "flow_ml_per_s"];
    let beside = rows(&csv, "curve");
    assert_eq!(beside.len(), points.len() * along.len());
    for (rows, (bleeder, point)) in beside.chunks(along.len()).zip(points) {
        for (row, key) in rows.iter().zip(along) {
            assert_eq!((&row[1], &row[6]), (bleeder.as_str().unwrap(), key));
            for (at, value) in [(4, "at_s"), (5, "drained_ml"), (8, key)] {
                assert_eq!(row[at].parse::<f64>().unwrap(), figure(&point[value]), "{row:?}");
            }
        }
    }
    let over_time = list(&json["supply_over_time"]);
    let keys = ["gauge_kpa", "supply_ml", "reservoir_ml", "reservoir_old_fraction"];
    let beside = rows(&csv, "supply");
    assert_eq!(beside.len(), over_time.len() * keys.len());
    for (rows, point) in beside.chunks(keys.len()).zip(over_time) {
        for (row, key) in rows.iter().zip(keys) {
            assert_eq!((&row[1], &row[6]), (json["supply"].as_str().unwrap(), key));
            assert_eq!(row[4].parse::<f64>().unwrap(), figure(&point["at_s"]));
            assert_eq!(row[8].parse::<f64>().unwrap(), figure(&point[key]), "{row:?}");
        }
    }
    let (end, book) = (last(&json["supply_over_time"]), &json["totals"]["fluid"]);
    assert_eq!(end["gauge_kpa"], openings[3]["gauge_end_kpa"]);
    assert!((figure(&end["supply_ml"]) - figure(&book["left_ml"])).abs() < 1e-6);
}

/// Each part ends with what is left in it; all of them together lose in each opening what old fluid drained there.
#[test]
fn parts_end_with_what_is_left_and_lose_what_drains() {
    let (json, csv) = told(Some("parts"));
    let json: Value = serde_json::from_str(&json).unwrap();
    let (parts, left) = (list(&json["parts_over_time"]), list(&json["left"]["parts"]));
    assert_eq!(parts.len(), left.len());
    for (part, left) in parts.iter().zip(left) {
        assert_eq!((&part["part"], &part["kind"]), (&left["part"], &left["kind"]));
        let (first, end) = (&part["held"][0], last(&part["held"]));
        assert_eq!(end["volume_ml"], left["volume_ml"]);
        let old_ml = figure(&left["volume_ml"]) * figure(&left["old_fraction"]);
        assert!((figure(&end["old_ml"]) - old_ml).abs() < 1e-9, "{part} {left}");
        assert!((figure(&first["old_ml"]) - figure(&first["volume_ml"])).abs() < 1e-9, "all old");
    }
    let moments: Vec<f64> = list(&parts[0]["held"]).iter().map(|h| figure(&h["at_s"])).collect();
    assert!(moments.len() > 80 && moments.is_sorted(), "{moments:?}");
    let old_ml =
        |moment: usize| -> f64 { parts.iter().map(|p| figure(&p["held"][moment]["old_ml"])).sum() };
    let mut drained = 0.0;
    for opening in list(&json["openings"]) {
        drained += figure(&opening["drained_ml"]) - figure(&opening["origins_ml"]["new fluid"]);
        let close = figure(&opening["closed_s"]);
        let moment = moments.iter().position(|at| (at - close).abs() < MOMENT).expect("the close");
        assert!((old_ml(moment) - (old_ml(0) - drained)).abs() < 1e-6, "{opening}");
    }
    assert!((old_ml(moments.len() - 1) - figure(&json["left"]["old_ml"])).abs() < 1e-9);
    let held: Vec<(&Value, &Value)> =
        parts.iter().flat_map(|p| list(&p["held"]).iter().map(|h| (&p["part"], h))).collect();
    let beside = rows(&csv, "held");
    assert_eq!(beside.len(), 2 * held.len());
    for (rows, (part, at)) in beside.chunks(2).zip(held) {
        for (row, key) in rows.iter().zip(["volume_ml", "old_ml"]) {
            assert_eq!((&row[1], &row[6], &row[7]), (part.as_str().unwrap(), key, "mL"));
            assert_eq!(row[4].parse::<f64>().unwrap(), figure(&at["at_s"]));
            assert_eq!(row[8].parse::<f64>().unwrap(), figure(&at[key]), "{row:?}");
        }
    }
}

#[test]
fn what_is_asked_for_amiss_is_status_2_and_says_what_would_be_right() {
    for (arguments, words) in [
        (&["--also", "parts"][..], "name a file for it with --json or --csv"),
        (&["--also", "film", "--json", "-"], "[possible values: curves, parts]"),
        (&["--also", "curves,", "--json", "-"], "[possible values: curves, parts]"),
    ] {
        let Ran { status, out, err } = flush(arguments);
        assert_eq!((status, out.as_str()), (Some(2), ""), "{err}");
        assert!(err.contains(words), "{err}");
    }
}
