//! Where job cards are written: one file, or a folder of several.

use super::card::{CAR, says};
use crate::common::program::farwheel;
use std::path::{Path, PathBuf};

/// A copy of the car in a directory of its own.
fn copied() -> (tempfile::TempDir, PathBuf) {
    let dir = tempfile::tempdir().expect("a directory");
    let car = dir.path().join("car.toml");
    std::fs::copy(CAR, &car).expect("a copy");
    (dir, car)
}

fn in_words(path: &Path) -> &str {
    path.to_str().expect("a path in words")
}

#[test]
fn it_is_written_whole_and_never_over_the_scenario() {
    let (dir, car) = copied();
    let before = std::fs::read(&car).expect("the car");
    let over = farwheel(&["card", in_words(&car), "-o", in_words(&car)]);
    assert_eq!(over.status, Some(2));
    says(&over.err, "-o would overwrite the scenario");
    assert_eq!(std::fs::read(&car).expect("the car"), before);

    let file = dir.path().join("card.html");
    let good = farwheel(&["card", in_words(&car), "-o", in_words(&file), "--draws", "20"]);
    assert_eq!((good.status, good.out.as_str()), (Some(0), ""));
    let page = std::fs::read_to_string(&file).expect("the card");
    assert!(page.starts_with("<!DOCTYPE html>") && page.trim_end().ends_with("</html>"));

    // What cannot be made leaves the old card as it was.
    for (more, status) in
        [(["--draws", "3"], 2), (["--bottle", "3 mm"], 2), (["--supply", "steam"], 2)]
    {
        let mut arguments = vec!["card", in_words(&car), "-o", in_words(&file)];
        arguments.extend(more);
        let bad = farwheel(&arguments);
        assert_eq!(bad.status, Some(status), "{more:?}: {}", bad.err);
        assert!(!bad.err.is_empty());
        assert_eq!(std::fs::read_to_string(&file).expect("the card"), page);
    }
    let nowhere = dir.path().join("no such directory").join("card.html");
    let lost = farwheel(&["card", in_words(&car), "-o", in_words(&nowhere), "--draws", "20"]);
    assert_eq!(lost.status, Some(1));
    assert_eq!(std::fs::read_dir(dir.path()).expect("the directory").count(), 2);
}

fn names(dir: &Path) -> Vec<String> {
    let files = std::fs::read_dir(dir).expect("the directory");
    let mut names: Vec<String> =
        files.map(|f| f.expect("a file").file_name().into_string().expect("a name")).collect();
    names.sort();
    names
}

#[test]
fn several_cars_have_a_card_each_in_a_folder() {
    let (dir, car) = copied();
    let folder = dir.path().join("bay").join("today");
    let all = |more: &[&str]| {
        let mut arguments =
            vec!["card", in_words(&car), "motorcycle-rear", "splits/x", "--draws", "20"];
        arguments.extend(["-o", in_words(&folder)]);
        arguments.extend(more);
        farwheel(&arguments)
    };
    let made = all(&[]);
    assert_eq!((made.status, made.out.as_str()), (Some(0), ""), "{}", made.err);
    assert_eq!(names(&folder), ["car.html", "motorcycle-rear.html", "x.html"]);
    let page = |name: &str| std::fs::read_to_string(folder.join(name)).expect("a card");
    let alone = dir.path().join("alone.html");
    farwheel(&["card", in_words(&car), "-o", in_words(&alone), "--draws", "20"]);
    assert_eq!(page("car.html"), std::fs::read_to_string(alone).expect("a card"));

    // Made anew over its own card, in other words.
    let before = page("x.html");
    assert_eq!(all(&["--wording", "uk"]).status, Some(0));
    assert_ne!(page("x.html"), before);

    // What is no card of the car stays, and no card is made.
    let kept = page("car.html");
    std::fs::write(folder.join("x.html"), "notes").expect("written");
    let refused = all(&[]);
    assert_eq!(refused.status, Some(2));
    says(&refused.err, "is no card of \"X split, diagonals\"");
    assert_eq!((page("x.html").as_str(), page("car.html")), ("notes", kept.clone()));
    std::fs::write(folder.join("x.html"), &kept).expect("written");
    assert_eq!(all(&[]).status, Some(2), "the card of another car");
    assert_eq!(page("x.html"), kept);
}

#[test]
fn a_folder_of_cards_keeps_every_name_apart() {
    let (dir, car) = copied();
    let other = dir.path().join("other");
    std::fs::create_dir(&other).expect("a directory");
    let twin = other.join("CAR.toml");
    std::fs::copy(CAR, &twin).expect("a copy");
    let folder = dir.path().join("bay");
    let refused = |scenarios: [&str; 2], to: &str, why: &str| {
        let [one, two] = scenarios;
        let told = farwheel(&["card", one, two, "-o", to, "--draws", "20"]);
        assert_eq!(told.status, Some(2), "{}", told.err);
        says(&told.err, why);
        assert!(!folder.exists());
    };
    let to = in_words(&folder);
    refused([in_words(&car), in_words(&twin)], to, "would both be");
    refused([in_words(&car), "-"], to, "standard input has no name");
    refused([in_words(&car), "motorcycle-rear"], "-", "need a directory");
    let file = farwheel(&["card", in_words(&car), "motorcycle-rear", "-o", in_words(&twin)]);
    assert_eq!(file.status, Some(1), "{}", file.err);
    assert!(std::fs::read(&twin).expect("the twin") == std::fs::read(CAR).expect("the car"));
}

/// One car that cannot be done as written is named, and the others have their cards.
#[test]
fn one_of_several_that_cannot_be_done_is_named() {
    let (dir, car) = copied();
    let text = std::fs::read_to_string(&car).expect("the car");
    std::fs::write(&car, text.replace("gauge_limit = \"20 psi\"", "gauge_limit = \"12 psi\""))
        .expect("written");
    let folder = dir.path().join("bay");
    let arguments = ["card", in_words(&car), "motorcycle-rear", "--draws", "20", "-o"];
    let ran = farwheel(&[&arguments[..], &[in_words(&folder)]].concat());
    assert_eq!(ran.status, Some(3), "{}", ran.err);
    says(&ran.err, "car.html: this job cannot be done as written");
    assert_eq!(names(&folder), ["car.html", "motorcycle-rear.html"]);
}
