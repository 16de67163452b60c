//! The verb as a user starts it, without a terminal.

use crate::common::program::{farwheel, farwheel_in, words};
use std::fs;
use std::path::Path;

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a folder")
}

fn describe(folder: &Path, arguments: &[&str]) -> crate::common::program::Ran {
    farwheel_in(folder, &[&["describe"], arguments].concat())
}

fn car(folder: &Path) -> String {
    fs::read_to_string(folder.join("car.toml")).expect("the car")
}

#[test]
fn what_is_written_passes_check_and_makes_a_card() {
    let dir = folder();
    let asked = ["-o", "car.toml", "--answer", "kind=sedan", "--answer", "front_pads = half"];
    let ran = describe(dir.path(), &[&asked[..], &["--defaults"]].concat());
    assert_eq!((ran.status, ran.out.as_str()), (Some(0), ""), "{}", ran.err);
    assert!(ran.err.contains("car.toml is written, with "), "{}", ran.err);
    let text = car(dir.path());
    assert!(text.contains("kind = \"saloon\" # read") && text.contains("# guessed: "), "{text}");
    for verb in [&["check", "car.toml"][..], &["card", "car.toml", "-o", "card.html"]] {
        let ran = farwheel_in(dir.path(), verb);
        assert_eq!(ran.status, Some(0), "{verb:?}: {}", ran.err);
    }
}

#[test]
fn nothing_is_written_over() {
    let dir = folder();
    fs::write(dir.path().join("car.toml"), "measured by hand").expect("a file");
    let ran = describe(dir.path(), &["-o", "car.toml", "--defaults"]);
    assert_eq!(ran.status, Some(2));
    assert!(words(&ran.err).contains("car.toml is there already"), "{}", ran.err);
    assert_eq!(car(dir.path()), "measured by hand");
}

#[test]
fn described_again_it_keeps_what_was_answered() {
    let dir = folder();
    describe(dir.path(), &["-o", "car.toml", "--answer", "kind=van", "--defaults"]);
    let before = car(dir.path());
    let ran = describe(dir.path(), &["car.toml", "--answer", "level=MAX", "--defaults"]);
    assert_eq!(ran.status, Some(0), "{}", ran.err);
    let after = car(dir.path());
    assert!(after.contains("\"kind = van\"") && after.contains("\"level = MAX\""), "{after}");
    assert_ne!(before, after);
}

#[test]
fn a_car_changed_by_hand_is_not_described_over() {
    let dir = folder();
    describe(dir.path(), &["-o", "car.toml", "--answer", "kind=van", "--defaults"]);
    let measured = car(dir.path()).replace("bends = 6", "bends = 9");
    fs::write(dir.path().join("car.toml"), &measured).expect("a file");
    for to in [&[][..], &["-o", "car.toml"]] {
        let ran = describe(dir.path(), &[&["car.toml", "--defaults"], to].concat());
        assert_eq!(ran.status, Some(2));
        assert!(words(&ran.err).contains("was changed by hand"), "{}", ran.err);
    }
    assert_eq!(car(dir.path()), measured);
    let ran = describe(dir.path(), &["car.toml", "--defaults", "-o", "other.toml"]);
    assert_eq!(ran.status, Some(0), "{}", ran.err);
    let ran = describe(dir.path(), &["other.toml", "-o", "car.toml", "--defaults"]);
    assert_eq!(ran.status, Some(2), "{}", ran.err);
}

#[test]
fn a_wrong_answer_says_what_would_be_right() {
    for (answer, said) in [
        ("knid=van", "did you mean `kind`?"),
        ("kind=lorry", "city car"),
        ("max=200", "200 mL"),
        ("max=200 psi", "a volume"),
        ("kind", "`=`"),
        ("replaced=XX", "left front brake"),
        ("tested=3", "3 %"),
        ("front_discs=1", "not asked after the other answers"),
    ] {
        let mut all = vec!["describe", "-o", "-", "--defaults", "--answer", answer];
        if answer.starts_with("tested") {
            all.extend(["--answer", "tester=pen"]);
        }
        let ran = farwheel(&all);
        assert_eq!((ran.status, ran.out.as_str()), (Some(2), ""), "{answer}: {}", ran.err);
        assert!(ran.err.contains(said), "{answer}: {}", ran.err);
    }
}

#[test]
fn words_of_the_trade_are_understood() {
    let answers = ["kind=motorbike", "supply=lever", "replaced_on_motorcycle=calipers"];
    let mut all = vec!["describe", "-o", "-", "--defaults"];
    all.extend(answers.iter().flat_map(|a| ["--answer", a]));
    let ran = farwheel(&all);
    assert_eq!(ran.status, Some(0), "{}", ran.err);
    assert!(ran.out.contains("kind = \"pedal\""), "{}", ran.out);
    assert_eq!(ran.out.matches("replaced = true").count(), 2, "{}", ran.out);
}

#[test]
fn without_a_terminal_it_says_how_to_answer() {
    let ran = farwheel(&["describe", "-o", "-"]);
    assert_eq!(ran.status, Some(2));
    assert!(words(&ran.err).contains("--answer ID=VALUE") && ran.err.contains("--defaults"));
}

#[test]
fn the_list_as_text_and_as_json() {
    insta::assert_snapshot!(farwheel(&["describe", "--list"]).out);
    let json =
        farwheel(&["describe", "--list", "--json", "-", "--answer", "kind=motorcycle"]).json();
    let questions = json.as_array().expect("questions");
    assert!(questions.len() > 25);
    let of = |id: &str| questions.iter().find(|q| q["id"] == id).expect("a question");
    assert_eq!(of("kind")["answer"], "motorcycle");
    assert_eq!(of("rear")["applies"], false);
    assert_eq!(of("front_discs")["applies"], true);
    assert_eq!(of("max")["example"], "250 mL");
}
