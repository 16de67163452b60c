//! What stands at the end of every JSON: hashes of the scenario and of what it was asked.

use super::program::farwheel_on;
use serde_json::Value;
use sha2::{Digest as _, Sha256};

/// As `sha256sum` says of the shipped files.
const HATCHBACK: &str = "8a22185498c69703d8649110226b7cdcf32ed1f21b091a7b1652a5c61d8558d8";
const MOTORCYCLE: &str = "337b9b1c037a4a2aced7ea9f262cc4f39faad296eda33b32265649311d401f65";
const II: &str = "d95f8af49b16fc39cf48bbcbdf6d17888ece09fa9f97d06af0d10f2fe26d5d2a";
const X: &str = "d424207a3dcca75e9c9f1da18481604be7c2474ba0dc19d6ea4c337675ae5a1c";

/// The JSON that these arguments give, standard input being the motorcycle.
fn answer(arguments: &[&str]) -> Value {
    let motorcycle = include_str!("../../../scenarios/motorcycle-rear.toml");
    farwheel_on(motorcycle, &[arguments, &["--json", "-"]].concat()).json()
}

fn options(arguments: &[&str]) -> String {
    answer(arguments)["options_sha256"].as_str().expect("a hash").to_owned()
}

#[test]
fn every_json_ends_with_the_hashes_of_file_and_options() {
    let car = "scenarios/motorcycle-rear.toml";
    for verb in [
        &["check"][..],
        &["flush"],
        &["orders"],
        &["pressures", "--steps", "1"],
        &["spread", "--draws", "20"],
        &["plan", "--old-overall", "10 %"],
    ] {
        let from_file = answer(&[verb, &[car]].concat());
        let from_input = answer(&[verb, &["-"]].concat());
        for value in [&from_file, &from_input] {
            let keys: Vec<_> = value.as_object().expect("an object").keys().collect();
            assert!(
                keys.ends_with(&[&"scenario_sha256".into(), &"options_sha256".into()]),
                "{keys:?}"
            );
            assert_eq!(value["scenario_sha256"], MOTORCYCLE, "{verb:?}");
        }
        assert_eq!(from_file["options_sha256"], from_input["options_sha256"], "{verb:?}");
    }
    let shipped = answer(&["check", "compact-hatchback"]);
    assert_eq!(shipped["scenario_sha256"], HATCHBACK);
}

#[test]
fn layouts_say_the_hash_of_each_file() {
    let files = ["scenarios/splits/x.toml", "splits/ii"];
    let value = answer(&[&["layouts"], &files[..]].concat());
    let hashes = serde_json::json!([
        {"file": files[0], "sha256": X},
        {"file": files[1], "sha256": II},
    ]);
    assert_eq!(value["scenario_sha256"], hashes);
}

/// The hash is that of the text which docs/json.md describes, for every verb.
#[test]
fn options_are_hashed_as_documented() {
    let docs = include_str!("../../../docs/json.md");
    for (arguments, text) in [
        (&["check", "-"][..], r#"{"verb":"check","supply":null}"#),
        (
            &["flush", "-"],
            r#"{"verb":"flush","supply":null,"error_estimate":true,"also":[],"seed":0}"#,
        ),
        (
            &["orders", "-", "--order", " far FIRST", "--draws", "2", "--supply", "gravity"],
            r#"{"verb":"orders","orders":[["rear"]],"draws":2,"margin":0.05,"supply":"gravity","seed":0}"#,
        ),
        (&["layouts", "-", "--seed", "3"], r#"{"verb":"layouts","seed":3}"#),
        (
            &["compare", "-"],
            r#"{"verb":"compare","standard":null,"margin":0.05,"draws":200,"flips":false,"seed":0}"#,
        ),
        (
            &["pressures", "compact-hatchback", "--from", "100 kPa", "--steps", "1"],
            r#"{"verb":"pressures","from_pa":100000.0,"to_pa":null,"steps":1,"seed":0}"#,
        ),
        (
            &["spread", "-", "--bottle", "0.25 L", "--draws", "20", "--seed", "7"],
            r#"{"verb":"spread","draws":20,"bottle_ml":250.0,"supply":null,"seed":7}"#,
        ),
        (
            &["plan", "-", "--old-overall", "12.5 %", "--least", "time"],
            r#"{"verb":"plan","old_anywhere":null,"old_overall":0.125,"water_percent":null,"boiling_c":null,"least":"time","grid_ml":10.0,"sure":null,"draws":null,"supply":null,"seed":0}"#,
        ),
    ] {
        assert_eq!(options(arguments), sha256(text), "{arguments:?} is not {text}");
        let keys: serde_json::Map<String, Value> = serde_json::from_str(text).expect("JSON");
        let keys: Vec<_> = keys.keys().map(|key| format!("`{key}`")).collect();
        let row = format!("| `{}` | {} |", arguments[0], keys.join(", "));
        assert!(docs.contains(&row), "docs/json.md has no row {row}");
    }
    let flush = r#"printf %s '{"verb":"flush","supply":null,"error_estimate":true,"also":[],"seed":0}' | sha256sum"#;
    assert!(docs.contains(flush));
    assert_eq!(
        options(&["flush", "-"]),
        "754274909bafc335a10959b9e6cdf56dd9d71e5465aea0be483278cbd640a38d"
    );
}

/// What was set is told as given, and is another question, though the file is the same.
#[test]
fn what_was_set_is_told_and_hashed() {
    let set = ["reservoir.level=20 mL", "parts.'rear'.new_pads=\"6 mL\""];
    let arguments = ["check", "-", "--set", set[0], "--set", set[1]];
    let value = answer(&arguments);
    assert_eq!(value["scenario_sha256"], MOTORCYCLE);
    assert_eq!(value["set"], serde_json::json!(set));
    assert_eq!(value.as_object().expect("an object").keys().next_back().expect("keys"), "set");
    let text = r#"{"verb":"check","supply":null,"set":["reservoir.level=20 mL","parts.'rear'.new_pads=\"6 mL\""]}"#;
    assert_eq!(options(&arguments), sha256(text));
    let turned = ["check", "-", "--set", set[1], "--set", set[0]];
    assert_ne!(options(&turned), options(&arguments));
    let layouts = answer(&["layouts", "-", "--set", set[0]]);
    assert_eq!(layouts["set"], serde_json::json!([set[0]]));
}

fn sha256(text: &str) -> String {
    Sha256::digest(text).iter().map(|byte| format!("{byte:02x}")).collect()
}

#[test]
fn what_changes_no_answer_has_no_part_in_it() {
    let plain = options(&["flush", "-"]);
    for same in [&["--threads", "1"][..], &["--quiet"], &["--units", "us"], &["--seed", "0"]] {
        assert_eq!(options(&[&["flush", "-"], same].concat()), plain, "{same:?}");
    }
    for other in [
        &["--seed", "1"][..],
        &["--no-error-estimate"],
        &["--supply", "gravity"],
        &["--also", "parts"],
    ] {
        assert_ne!(options(&[&["flush", "-"], other].concat()), plain, "{other:?}");
    }
    assert_ne!(options(&["check", "-"]), plain, "another verb");
    let also = options(&["flush", "-", "--also", "parts,curves"]);
    assert_eq!(also, options(&["flush", "-", "--also", "curves", "--also", "parts"]));
    // The same quantity in another unit; draws of nothing.
    let plan = ["plan", "-", "--old-overall", "10 %"];
    let same = ["plan", "-", "--old-overall", "0.1", "--grid", "0.01 L", "--draws", "7"];
    assert_eq!(options(&plan), options(&same));
}
