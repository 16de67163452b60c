//! Broken scenarios: each a small edit of a good one, each refused with line and remedy.
//!
//! The snapshot holds what a mechanic gets to read; every case also names, here, the words that the
//! message must hold, so that a changed snapshot alone can't make a wrong message right.

use crate::common::program::{Ran, farwheel};
use farwheel::report::mistakes::render;
use farwheel::scenario::Mistakes;

/// A good scenario that holds a bit of everything.
const BASE: &str = include_str!("../common/base.toml");

/// Name, what is replaced (empty: the whole file), what by, words that the messages hold.
type Case = (&'static str, &'static str, &'static str, &'static [&'static str]);

mod cases {
    use super::Case;
    include!("broken_cases.rs");
}

fn edited(find: &str, replace: &str) -> String {
    if find.is_empty() {
        return replace.to_owned();
    }
    assert!(BASE.matches(find).count() == 1, "`{find}` must stand once in the base");
    BASE.replacen(find, replace, 1)
}

fn mistakes(text: &str) -> Option<Mistakes> {
    farwheel::read(text, "broken.toml").err()
}

#[test]
fn the_base_is_good() {
    if let Some(m) = mistakes(BASE) {
        panic!("{m}");
    }
}

#[test]
fn every_broken_scenario_is_refused_with_line_and_remedy() {
    assert!(cases::CASES.len() >= 60);
    let mut shown = String::new();
    let mut bad = Vec::new();
    for (name, find, replace, words) in cases::CASES {
        let text = edited(find, replace);
        let Some(found) = mistakes(&text) else {
            bad.push(format!("{name}: was read without complaint"));
            continue;
        };
        let drawn = render(&found, false);
        for word in *words {
            if !drawn.contains(word) {
                bad.push(format!("{name}: no `{word}` in\n{drawn}"));
            }
        }
        // A single edit is a single mistake, unless the case expects several.
        if found.list.len() > words.len().max(1) {
            bad.push(format!("{name}: {} mistakes\n{drawn}", found.list.len()));
        }
        for m in &found.list {
            if m.line == 0 || m.remedy.is_empty() || m.what.is_empty() {
                bad.push(format!("{name}: without line or remedy: {m}"));
            }
            let empty = text.lines().all(|l| l.trim().is_empty() || l.starts_with('#'));
            if !empty && !drawn.contains(&format!("broken.toml:{}:{}", m.line, m.column)) {
                bad.push(format!("{name}: no line and column are shown in\n{drawn}"));
            }
        }
        shown.push_str(&format!("=== {name}\n{drawn}\n"));
    }
    assert!(bad.is_empty(), "{}", bad.join("\n"));
    insta::assert_snapshot!("messages", shown);
}

#[test]
fn the_program_refuses_each_with_status_2_and_says_why() {
    let dir = tempfile::tempdir().expect("a temporary directory");
    let path = dir.path().join("broken.toml");
    for (name, find, replace, words) in cases::CASES {
        std::fs::write(&path, edited(find, replace)).expect("a file");
        let path = path.to_str().expect("a plain name");
        let Ran { status, out, err: told } = farwheel(&["flush", "--no-error-estimate", path]);
        assert_eq!((status, out.as_str()), (Some(2), ""), "{name}: {told}");
        assert!(told.contains(words[0]), "{name}: no `{}` in\n{told}", words[0]);
        assert!(told.contains("help: "), "{name}: no remedy in\n{told}");
    }
}

#[test]
fn several_mistakes_are_told_at_once_in_file_order() {
    let text = BASE
        .replacen("steering = \"left\"", "steering = \"middle\"", 1)
        .replacen("from = \"hose RR\"", "from = \"hose RX\"", 1)
        .replacen("until = \"clean\"", "until = \"claen\"", 1);
    let found = mistakes(&text).expect("three mistakes");
    let lines: Vec<_> = found.list.iter().map(|m| m.line).collect();
    assert!(found.list.len() >= 3, "{found}");
    assert!(lines.is_sorted(), "{lines:?}");
}

/// Each header of a shipped car, taken out, is named by one message.
#[test]
fn a_lost_header_is_named() {
    let car = include_str!("../../scenarios/compact-hatchback.toml");
    let mut lost = 0;
    for header in car.lines().filter(|l| l.starts_with('[')) {
        let name = &header[..=header.find(']').expect("its end")];
        let text = car.replacen(&format!("{header}\n"), "", 1);
        let found = mistakes(&text).expect(name);
        let told = found.to_string();
        assert_eq!(found.list.len(), 1, "{name}: {told}");
        assert!(told.contains(&format!("is the line `{name}` missing above")), "{name}: {told}");
        let at = car[..car.find(header).expect("there")].lines().count() + 1;
        // The first that is missed may stand a line or two further down: what the table before has too is no mistake.
        assert!((at..at + 3).contains(&found.list[0].line), "{name}: {told}");
        lost += 1;
    }
    assert_eq!(lost, 10);
}

#[test]
fn a_huge_file_is_refused_unread() {
    let dir = tempfile::tempdir().expect("a temporary directory");
    let path = dir.path().join("huge.toml");
    let file = std::fs::File::create(&path).expect("a file");
    // Sparse: 100 MB that take no room.
    file.set_len(100_000_000).expect("100 MB");
    let found = farwheel::read_file(&path).expect_err("too large");
    assert!(found.to_string().contains("larger than 1 MB"), "{found}");
}

#[test]
fn what_is_no_text_or_no_file_is_refused() {
    let mut bytes = BASE.as_bytes().to_vec();
    let at = BASE.find("steering").expect("the key");
    bytes[at] = 0xff;
    let found = farwheel::read_bytes(&bytes, "bytes.toml").expect_err("no UTF-8");
    let line = BASE[..at].lines().count();
    assert_eq!(found.list[0].line, line + usize::from(BASE[..at].ends_with('\n')));
    assert!(found.list[0].what.contains("UTF-8"), "{found}");

    let path = std::path::Path::new("no-such-scenario.toml");
    let found = farwheel::read_file(path).expect_err("no file");
    assert!(found.list[0].what.contains("can't be read"), "{found}");
}

#[test]
fn a_flood_of_mistakes_is_cut_short() {
    let flood: String = (0..20_000).map(|i| format!("key{i} = {i}\n")).collect();
    let found = mistakes(&(flood + BASE)).expect("mistakes");
    assert!(found.list.len() <= 100 && found.left_out > 0);
    let one_line = format!("title = [{}", "[".repeat(400_000));
    assert!(mistakes(&one_line).is_some());
}
