//! The shipped scenarios inside the program, for whoever has no folder of them.

use super::program::{Ran, farwheel_in};
use std::fs;

/// Name and text of every scenario in the folder.
fn shipped() -> Vec<(String, String)> {
    let mut all = Vec::new();
    for (folder, before) in [("scenarios", ""), ("scenarios/splits", "splits/")] {
        for entry in fs::read_dir(folder).expect("a folder") {
            let path = entry.expect("a file").path();
            if path.extension().is_some_and(|e| e == "toml") {
                let stem = path.file_stem().and_then(|s| s.to_str()).expect("a name");
                all.push((format!("{before}{stem}"), fs::read_to_string(&path).expect("text")));
            }
        }
    }
    assert!(all.len() >= 18);
    all
}

#[test]
fn each_is_listed_with_its_title_and_printed_as_it_is() {
    let nowhere = tempfile::tempdir().expect("a folder");
    let Ran { status, out: list, err: told } = farwheel_in(nowhere.path(), &["check", "--shipped"]);
    assert_eq!((status, told.as_str()), (Some(0), ""));
    assert_eq!(list.lines().count(), shipped().len());
    for (name, text) in shipped() {
        let title = farwheel::read(&text, &name).expect("it reads").title.clone();
        let line = list.lines().find(|l| l.split(' ').next() == Some(&name)).expect(&name);
        assert!(line.ends_with(&format!("  {title}")), "{line}");
        let printed = farwheel_in(nowhere.path(), &["check", "--shipped", &name]);
        assert_eq!(printed, Ran { status: Some(0), out: text, err: String::new() }, "{name}");
    }
    let Ran { status, err: told, .. } =
        farwheel_in(nowhere.path(), &["check", "--shipped", "compact-hatchbak"]);
    assert_eq!(status, Some(2));
    assert!(told.contains("did you mean `compact-hatchback`?"), "{told}");
}

#[test]
fn a_name_does_in_place_of_a_file_for_every_verb() {
    let nowhere = tempfile::tempdir().expect("a folder");
    for verb in [
        &["check"][..],
        &["flush"],
        &["orders"],
        &["layouts"],
        &["pressures", "--steps", "1"],
        &["spread", "--draws", "20"],
        &["plan", "--old-overall", "10 %"],
        &["card", "--draws", "20", "-o", "card.html"],
        &["live", "-o", "live.html"],
    ] {
        let Ran { status, err: told, .. } =
            farwheel_in(nowhere.path(), &[verb, &["motorcycle-rear"]].concat());
        assert_eq!(status, Some(0), "{verb:?}: {told}");
        assert!(!told.contains("is read"), "nothing to mistake it for: {told}");
    }
    let Ran { status, out, .. } = farwheel_in(nowhere.path(), &["check", "splits/ii"]);
    assert_eq!(status, Some(0));
    assert!(out.contains("splits/ii"), "{out}");
}

#[test]
fn a_file_of_that_name_wins_and_what_is_read_is_said() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    let read = |name: &str| farwheel_in(at, &["check", name]);

    let Ran { status, out, err: told } = read("motorcycle-rear.toml");
    assert!(status == Some(0) && out.contains("otorcycle"), "{out}");
    assert!(told.contains("no file here: the shipped scenario of this name is read"), "{told}");

    let (_, car) = shipped().into_iter().find(|(name, _)| name == "splits/x").expect("it is there");
    fs::write(at.join("motorcycle-rear.toml"), &car).expect("a file");
    let Ran { out, err: told, .. } = read("motorcycle-rear.toml");
    assert!(!out.contains("otorcycle,"), "{out}");
    assert!(told.contains("the file is read, not the shipped scenario"), "{told}");
    let Ran { out, err: told, .. } = read("motorcycle-rear");
    assert!(out.contains("otorcycle"), "{out}");
    assert!(told.contains("not motorcycle-rear.toml, which differs"), "{told}");

    fs::write(at.join("motorcycle-rear"), &car).expect("a file");
    assert!(read("motorcycle-rear").err.contains("the file is read"));

    // The same text: nothing to be mistaken.
    fs::create_dir(at.join("splits")).expect("a folder");
    fs::write(at.join("splits/x.toml"), &car).expect("a file");
    for name in ["splits/x", "splits/x.toml"] {
        assert!(!read(name).err.contains("read"), "{name}");
    }
}

#[test]
fn an_unknown_name_is_told_as_a_file_and_as_a_name() {
    let nowhere = tempfile::tempdir().expect("a folder");
    for (name, advice) in [
        ("compact-hatchbck", "or name a shipped scenario: did you mean `compact-hatchback`?"),
        ("scenarios/splits/ii.toml", "or name a shipped scenario: did you mean `splits/ii`?"),
        ("my car.toml", "or name a shipped scenario: `farwheel check --shipped` lists them"),
    ] {
        let Ran { status, err: told, .. } = farwheel_in(nowhere.path(), &["flush", name]);
        assert_eq!(status, Some(2));
        assert!(told.contains("the file can't be read"), "{told}");
        assert!(told.contains(advice), "{told}");
    }
    // A file that is there but is none to be read is no name.
    let told = farwheel_in(nowhere.path(), &["flush", "."]).err;
    assert!(told.contains("the file can't be read") && !told.contains("shipped"), "{told}");
}
