//! The verb `compare`, and its old spelling.

use crate::common::program::{Ran, farwheel, keys, words};

const BIKE: &str = "motorcycle-front";

#[test]
fn one_car_is_told_what_decides_and_layouts_prints_what_it_did() {
    let compared = farwheel(&["compare", BIKE, "--draws", "4", "--json", "-"]).json();
    assert_eq!(
        keys(&compared),
        "layouts between_layouts by_order decides flips reach scenario_sha256 options_sha256"
    );
    assert_eq!(keys(&compared["decides"]), "own counted levers stopped order");
    assert_eq!(
        keys(&compared["decides"]["levers"][0]),
        "what least most fluid_ml old_left_ml cleanest dirtiest"
    );
    assert_eq!(
        keys(&compared["flips"][0]),
        "file title margin own matters orders every_order flips"
    );
    assert_eq!(keys(&compared["reach"]), "openings parts");
    let layouts = farwheel(&["layouts", BIKE, "--json", "-"]).json();
    assert_eq!(keys(&layouts), "layouts between_layouts by_order scenario_sha256 options_sha256");
    assert_eq!(layouts["layouts"], compared["layouts"]);
}

#[test]
fn several_are_held_against_a_standard() {
    let dir = tempfile::tempdir().expect("a folder");
    let path = |name: &str| dir.path().join(name).to_str().expect("a path").to_owned();
    let (json, csv, plots) = (path("a.json"), path("a.csv"), path("plots"));
    let standard = "at most 400 mL, far first, clean";
    let Ran { status, out, .. } = farwheel(&[
        "compare",
        BIKE,
        "motorcycle-rear",
        "--standard",
        standard,
        "--flips",
        "--json",
        &json,
        "--csv",
        &csv,
        "--plots",
        &plots,
    ]);
    assert_eq!(status, Some(0), "{out}");
    let said = words(&out);
    assert!(said.contains("\"far first, clean, at most 400 mL\" fits all 2 cars"), "{out}");
    let text = std::fs::read_to_string(&json).expect("JSON");
    let value: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(
        keys(&value),
        "layouts between_layouts by_order standard flips scenario_sha256 options_sha256"
    );
    assert_eq!(keys(&value["standard"]), "asked margin cars worst rules least_regret_cars");
    assert_eq!(keys(&value["standard"]["asked"]), "first closing at_most_ml");
    assert_eq!(value["flips"].as_array().map(Vec::len), Some(2));
    let rows = std::fs::read_to_string(&csv).expect("CSV");
    assert!(rows.starts_with("about,name,at,quantity,unit,value\n"), "{rows}");
    assert!(
        rows.contains("rule,\"far first, clean, at most 400 mL\",,worst_regret_ml,mL,"),
        "{rows}"
    );
    let drawn = |name: &str| dir.path().join("plots").join(name).exists();
    assert!(drawn("layouts.svg") && !drawn("decides.svg"));
}

#[test]
fn a_standard_that_is_none_is_refused_with_what_would_be_right() {
    for (standard, told) in [
        ("far frist, clean, at most 300 mL", "did you mean `far first`?"),
        ("far first, clean", "add for instance `at most 300 mL`"),
        ("far first, clean, at most 3 bar", "mL"),
        ("", "a comma has nothing beside it"),
    ] {
        let Ran { status, out, err } = farwheel(&["compare", BIKE, "--standard", standard]);
        assert_eq!(status, Some(2), "{standard}: {out}{err}");
        assert!(err.contains("--standard") && err.contains(told), "{standard}: {err}");
    }
}

/// A job that must be stopped under the standard ends with exit status 3, and the car is named with the reason.
#[test]
fn a_standard_that_leaves_a_hose_dirty_stops() {
    let Ran { status, out, .. } = farwheel(&[
        "compare",
        "--standard",
        "far first, clean, at most 300 mL",
        "compact-hatchback",
        BIKE,
    ]);
    assert_eq!(status, Some(3), "{out}");
    let said = words(&out);
    assert!(said.contains("1 of 2 cars needs an exception"), "{out}");
    assert!(said.contains("RR would be closed while still dirty"), "{out}");
}

#[test]
fn the_pictures_of_one_car_are_what_decides() {
    let dir = tempfile::tempdir().expect("a folder");
    let plots = dir.path().to_str().expect("a path");
    let ran = farwheel(&["compare", BIKE, "--draws", "0", "--quiet", "--plots", plots]);
    assert_eq!(ran.status, Some(0), "{}", ran.err);
    let svg = std::fs::read_to_string(dir.path().join("decides.svg")).expect("a picture");
    assert!(svg.contains("Fluid used, mL") && svg.contains("Old fluid left, mL"));
    assert!(!dir.path().join("layouts.svg").exists());
}
