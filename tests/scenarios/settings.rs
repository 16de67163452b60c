//! Values set over those of a file by `--set`: what is refused, where it is said to stand, and that every verb takes
//! them. That they count as written in the file, for every key, is in `every_key`.
//!
//! As in `broken_scenarios` the snapshot holds what a mechanic gets to read, and each case the words that it must hold.

use assert_cmd::Command;
use farwheel::keys::Place;
use farwheel::report::mistakes::render;
use farwheel::scenario::model::Tables;
use farwheel::scenario::{Mistakes, read, read_with, set_in_text};
use proptest::prelude::*;
use serde_json::Value;
use std::path::Path;

/// A good scenario that holds a bit of everything.
const BASE: &str = include_str!("../common/base.toml");
const MOTORCYCLE: &str = include_str!("../../scenarios/motorcycle-rear.toml");

/// Name, what is set, words that the messages hold.
type Case = (&'static str, &'static [&'static str], &'static [&'static str]);

mod cases {
    use super::Case;
    include!("set_cases.rs");
}

#[test]
fn what_cannot_be_set_is_refused_where_it_stands() {
    let (mut shown, mut bad) = (String::new(), Vec::new());
    for (name, set, words) in cases::CASES {
        let Err(found) = farwheel::read_with(BASE, "car.toml", set) else {
            bad.push(format!("{name}: was read without complaint"));
            continue;
        };
        let drawn = render(&found, false);
        bad.extend(
            words
                .iter()
                .filter(|w| !drawn.contains(**w))
                .map(|w| format!("{name}: no `{w}` in\n{drawn}")),
        );
        // What the file refers to and no longer finds stands in the file.
        let in_file = ["a chamber less", "a joint to nowhere"].contains(name);
        for m in &found.list {
            let line = m.set.and_then(|n| set[n - 1].lines().nth(m.line - 1));
            match (m.set, line) {
                (None, _) if in_file => {}
                (Some(_), Some(line)) if m.column <= line.chars().count() + 1 => {}
                _ => bad.push(format!("{name}: stands nowhere: {m}")),
            }
        }
        shown.push_str(&format!("=== {name}: {set:?}\n{drawn}\n"));
    }
    assert!(bad.is_empty(), "{}", bad.join("\n"));
    insta::assert_snapshot!("messages", shown);
}

#[test]
fn a_mistake_of_the_file_keeps_its_line() {
    let text = BASE.replacen("steering = \"left\"", "steering = \"middle\"", 1);
    let set = ["reservoir.level=130 mm", "parts.\"line RR\".length=6 m"];
    let found = read_with(&text, "car.toml", &set).expect_err("two mistakes");
    let places: Vec<_> = found.list.iter().map(|m| (m.place(), m.line, m.column)).collect();
    let line = text[..text.find("steering").expect("the key")].lines().count() + 1;
    assert_eq!(
        places,
        [("car.toml, --set 1".to_owned(), 1, 17), ("car.toml".to_owned(), line, 12)],
        "{found}"
    );
}

#[test]
fn a_flood_of_settings_is_refused() {
    let many: Vec<String> = (0..101).map(|i| format!("key{i}=1")).collect();
    let long = [format!("vehicle.note={}", "x".repeat(1_000_000))];
    for set in [&many[..], &long[..]] {
        let found = read_with(BASE, "car.toml", set).expect_err("too much");
        assert!(found.to_string().contains("100 at most, of 1 MB"), "{found}");
    }
    let deep = ["a.".repeat(200_000) + "b=1", format!("title={}1", "[".repeat(400_000))];
    for set in deep {
        assert!(read_with(BASE, "car.toml", &[set]).is_err());
    }
}

/// A template's value counts for all parts like it, a part's own before that.
#[test]
fn a_value_set_in_a_part_goes_over_its_template() {
    let bores = |set: &[&str]| {
        let tables = read_with(BASE, "car.toml", set).unwrap_or_else(|m| panic!("{m}"));
        ["line RR", "line LF"].map(|name| {
            let part = tables.parts.iter().find(|p| p.name == name).expect("a line");
            let mut kind = part.kind.clone();
            let bore = farwheel::keys::quantities(&mut *kind)
                .into_iter()
                .find_map(|(key, _, q)| (key == "bore").then_some(q.value));
            (1e6 * bore.expect("a bore")).round() / 1e3
        })
    };
    assert_eq!(bores(&[]), [3.33, 3.33]);
    assert_eq!(bores(&["like.tube.bore=4 mm"]), [4.0, 4.0]);
    assert_eq!(bores(&["parts.\"line RR\".bore=5 mm"]), [5.0, 3.33]);
    assert_eq!(bores(&["parts.'line RR'.bore=5 mm", "like.tube.bore=4 mm"]), [5.0, 4.0]);
}

/// What is set is no default, and says itself where it stands.
#[test]
fn what_is_set_is_written() {
    let set = [
        "clear_hose.bore=5 mm",
        "master_cylinder={ chambers = [\"primary\", \"secondary\"], volume = \"12 mL\" }",
    ];
    let plain = read(BASE, "car.toml").expect("a scenario");
    assert!(plain.clear_hose.written.defaulted.contains(&"bore"));
    let tables = read_with(BASE, "car.toml", &set).unwrap_or_else(|m| panic!("{m}"));
    let written = &tables.clear_hose.written;
    assert!(!written.defaulted.contains(&"bore"));
    assert_eq!(written.line_of("bore"), Place::Set(1));
    assert_eq!(written.line_of("threshold"), plain.clear_hose.written.line_of("threshold"));
    assert_eq!(tables.master_cylinder.written.line, Place::Set(2));
    assert_eq!(tables.set, set);
}

const WORDS: [&str; 32] = [
    "reservoir",
    "vehicle",
    "parts",
    "like",
    "supplies",
    "procedure",
    "level",
    "note",
    "tube",
    "RR",
    "\"line RR\"",
    "length",
    "bore",
    "kind",
    "from",
    ".",
    ".",
    ".",
    "=",
    "=",
    "\"",
    "'",
    "[",
    "]",
    "{",
    "}",
    "130 mL",
    "caliper",
    "\\",
    "\n",
    " ",
    "é#",
];

proptest! {
    /// Whatever is given is read or refused with its place; what is read is written into the text so that it reads alone.
    #[test]
    fn anything_may_be_given(set in prop::collection::vec(prop::collection::vec(0..WORDS.len(), 1..12), 1..4)) {
        let set: Vec<String> =
            set.iter().map(|words| words.iter().map(|w| WORDS[*w]).collect()).collect();
        match read_with(BASE, "car.toml", &set) {
            Ok(tables) => {
                let text = set_in_text(BASE, &set).expect("a text");
                let again = read(&text, "car.toml").map_err(|m| m.to_string());
                prop_assert_eq!(again.map(|t| t.parts.len()), Ok(tables.parts.len()), "{}", text);
            }
            Err(found) => refused_well(&found),
        }
    }
}

fn refused_well(found: &Mistakes) {
    assert!(!found.list.is_empty());
    for m in &found.list {
        assert!(m.line >= 1 && m.column >= 1 && m.set.is_none_or(|n| n >= 1), "{m:?}");
        assert!(!m.what.trim().is_empty() && !m.remedy.trim().is_empty(), "{m:?}");
        for widest in [1, 17, 100] {
            if let Some(e) = found.excerpt(m, widest) {
                assert!(e.text.get(e.mark.clone()).is_some(), "{m:?}: {e:?}");
            }
        }
    }
}

fn farwheel(arguments: &[&str], input: &str) -> std::process::Output {
    Command::new(env!("CARGO_BIN_EXE_farwheel"))
        .args(arguments)
        .write_stdin(input)
        .output()
        .expect("an ending")
}

fn output(arguments: &[&str], input: &str) -> String {
    let run = farwheel(arguments, input);
    let told = String::from_utf8_lossy(&run.stderr);
    assert!(matches!(run.status.code(), Some(0 | 3)), "{arguments:?}: {told}");
    String::from_utf8(run.stdout).expect("UTF-8")
}

/// The motorcycle with the value written into it.
fn written() -> String {
    let old = "new_pads = \"5 mL ± 1 mL\"";
    assert_eq!(MOTORCYCLE.matches(old).count(), 1);
    MOTORCYCLE.replacen(old, "new_pads = \"6 mL\"", 1)
}

const SET: &str = "parts.rear.new_pads=6 mL";
const SHOWN: &str = "with parts.rear.new_pads = 6 mL";

/// The same answer as from a file that holds the value, but for what it comes of; another than without.
#[test]
fn every_verb_takes_it_and_it_moves_the_answer() {
    for verb in [
        &["check"][..],
        &["flush"],
        &["orders"],
        &["layouts"],
        &["pressures", "--steps", "1"],
        &["spread", "--draws", "20"],
        &["plan", "--old-overall", "10 %"],
    ] {
        let json = |more: &[&str], text: &str| -> Value {
            let arguments = [verb, &["-", "--json", "-"], more].concat();
            serde_json::from_str(&output(&arguments, text)).expect("JSON")
        };
        let mut set = json(&["--set", SET], MOTORCYCLE);
        let mut as_written = json(&[], &written());
        let mut plain = json(&[], MOTORCYCLE);
        assert_eq!(set["set"], serde_json::json!([SET]), "{verb:?}");
        assert_eq!(set["scenario_sha256"], plain["scenario_sha256"], "{verb:?}");
        assert_ne!(set["options_sha256"], plain["options_sha256"], "{verb:?}");
        let keys: Vec<String> = set.as_object().expect("an object").keys().cloned().collect();
        assert!(keys.ends_with(&["scenario_sha256", "options_sha256", "set"].map(str::to_owned)));
        assert!(plain.get("set").is_none(), "{verb:?}");
        for value in [&mut set, &mut as_written, &mut plain] {
            for key in ["scenario_sha256", "options_sha256", "set"] {
                value.as_object_mut().expect("an object").remove(key);
            }
        }
        assert_eq!(set, as_written, "{verb:?}");
        assert_ne!(set, plain, "{verb:?}");
        let table = output(&[verb, &["-", "--set", SET]].concat(), MOTORCYCLE);
        assert!(table.to_lowercase().contains(&SHOWN.to_lowercase()), "{verb:?}: {table}");
        assert!(!output(&[verb, &["-"]].concat(), &written()).contains("ith parts.rear"));
    }
}

#[test]
fn page_and_card_say_what_was_set() {
    for verb in ["live", "card"] {
        // The live page holds the scenario, too, in a script, and a picture, which says it itself: what is read beside
        // these is compared.
        let page = |more: &[&str], text: &str| {
            let page = output(&[&[verb, "-", "-o", "-"], more].concat(), text);
            let shown = page.split_once("<script").map_or(page.as_str(), |(shown, _)| shown);
            match (verb, shown.split_once("<svg"), shown.rsplit_once("</svg>")) {
                ("live", Some((before, _)), Some((_, behind))) => format!("{before}{behind}"),
                _ => shown.to_owned(),
            }
        };
        let (set, as_written) = (page(&["--set", SET], MOTORCYCLE), page(&[], &written()));
        let line = format!("\n<p><bdi>{SHOWN}</bdi></p>");
        assert_eq!(set.matches(&line).count(), 1, "{verb}");
        assert_eq!(set.replacen(&line, "", 1), as_written, "{verb}");
        assert_ne!(as_written, page(&[], MOTORCYCLE), "{verb}");
    }
}

/// Pictures too, which are handed round without their table.
#[test]
fn pictures_say_what_was_set() {
    let dir = tempfile::tempdir().expect("a temporary directory");
    let plots = dir.path().to_str().expect("a path");
    output(&["flush", "-", "--set", SET, "--plots", plots, "--quiet"], MOTORCYCLE);
    let mut seen = 0;
    for file in std::fs::read_dir(dir.path()).expect("pictures") {
        let path = file.expect("a file").path();
        if path.extension().is_some_and(|e| e == "svg") {
            let svg = std::fs::read_to_string(&path).expect("a picture");
            assert!(svg.contains("parts.rear.new_pads = 6 mL"), "{}", path.display());
            seen += 1;
        }
    }
    assert!(seen >= 3, "{seen} pictures");
}

#[test]
fn a_warning_says_where_what_was_set_stands() {
    let set = ["--set", "title=Mine", "--set", "vehicle.gauge_limit=10 psi"];
    let told = output(&[&["check", "compact-hatchback"], &set[..]].concat(), "");
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("(--set 2)"), "{told}");
}

/// Over each of several scenarios, and the mistake says over which.
#[test]
fn layouts_have_it_set_over_each() {
    let files = ["layouts", "splits/x", "splits/ii", "--json", "-"];
    let set = ["--set", "reservoir.level=100 mL"];
    let (plain, other) = (output(&files, ""), output(&[&files[..], &set].concat(), ""));
    let [plain, other] = [plain, other].map(|t| serde_json::from_str::<Value>(&t).expect("JSON"));
    for i in 0..2 {
        let holds = |v: &Value| v["layouts"][i]["capacity_ml"].as_f64().expect("a volume");
        assert!(holds(&other) < holds(&plain), "{i}");
    }
    let set = ["--set", "reservoir.level=100 mm"];
    let run = farwheel(&[&files[..], &set].concat(), "");
    let told = String::from_utf8_lossy(&run.stderr);
    assert_eq!(run.status.code(), Some(2), "{told}");
    for file in ["splits/x, --set 1:1:17", "splits/ii, --set 1:1:17"] {
        assert!(told.contains(file), "no {file} in {told}");
    }
}

/// What the tables hold, without where it stands.
fn placeless(read: Result<Tables, Mistakes>) -> Tables {
    let mut tables = read.unwrap_or_else(|m| panic!("{m}"));
    tables.set.clear();
    for (_, written, _) in tables.tables_mut() {
        written.line = Place::Nowhere;
        written.lines.values_mut().for_each(|line| *line = Place::Nowhere);
        written.span = 0..0;
        written.spans.values_mut().for_each(|span| *span = 0..0);
    }
    for step in &mut tables.procedure.steps {
        step.line = Place::Nowhere;
    }
    for unusual in &mut tables.unusual {
        unusual.line = Place::Nowhere;
    }
    tables
}

/// Whole tables take the place of those of the file, parts in their order, and new ones come behind; also where tables of
/// one name stand apart in the file.
#[test]
fn whole_tables_are_written_where_they_stood() {
    let (before, rest) = MOTORCYCLE_WITH_ALL_FORMS.split_once("[parts]").expect("parts");
    let (_, after) = rest.split_once("[supplies]").expect("supplies");
    let heads = "[parts.pipe]\nlike = \"steel\"\nfrom = \"lever\"\nlength = \"0.4 m\"\n\
        [parts.hose]\nkind = \"hose\"\nfrom = \"pipe\"\n\
        [parts.rear] # the caliper\nkind = \"caliper\"\nfrom = \"hose\"\nnew_pads = \"8 mL\"\n\
        [like.spare]\nkind = \"hose\"\n";
    let under_heads = format!("{before}{heads}[supplies]{after}");
    let sets = [
        &["parts.pipe={ kind = \"hose\", from = \"lever\", length = \"0.3 m\" }"][..],
        &[
            "parts.hose={ kind = \"hose\", from = \"pipe\", length = { value = \"1 m\", sd = \"1 cm\", shape = \"normal\" } }",
        ],
        &["parts.tail={ kind = \"hose\", from = \"hose\" }", "parts.rear.from=tail"],
        &["parts.tail.kind=hose", "parts.tail.from=hose", "parts.rear.from=tail"],
        &["supplies.head={ kind = \"gravity\" }", "procedure.supply=head"],
        &[
            "procedure={ steps = [{ open = \"rear\", until = \"60 mL\" }], setup = \"5 min\" } # for now",
        ],
        &["like={ steel = { kind = \"line\", bore = \"3 mm\" } }"],
        &["old_fluid={ grade = \"DOT 4\", water = \"2 %\" }", "vehicle={ note = \"a # b\" }"],
        &["reservoir={ level = \"26 mL\", min = \"12 mL\", max = \"28 mL\", brim = \"32 mL\" }"],
    ];
    for text in [MOTORCYCLE_WITH_ALL_FORMS, &under_heads] {
        for set in sets {
            let wanted = placeless(read_with(text, "-", set));
            assert_ne!(wanted, placeless(read(text, "-")), "{set:?} changes nothing");
            let given: Vec<String> = set.iter().map(|s| (*s).to_owned()).collect();
            let written = set_in_text(text, &given).expect("a text");
            assert_eq!(placeless(read(&written, "-")), wanted, "{set:?} is written as\n{written}");
        }
    }
}

/// The plan's file holds what was set, wherever it goes, and reads without it to the same car.
#[test]
fn a_plan_written_to_a_file_holds_what_was_set() {
    let dir = tempfile::tempdir().expect("a temporary directory");
    let file = dir.path().join("plan.toml");
    let name = file.to_str().expect("a path");
    let set = [
        "title=Mine",
        "reservoir.level=28 mL",
        "parts.rear.pad_wear=30 %",
        "like.steel.bore=3 mm",
        "clear_hose.threshold=15 %",
        "old_fluid.water.value=2 %",
        "procedure.setup=5 min",
    ];
    // A part in one line, a template, a dotted key, and no [clear_hose].
    let text = MOTORCYCLE_WITH_ALL_FORMS;
    let set_options: Vec<&str> = set.iter().flat_map(|s| ["--set", s]).collect();
    let arguments = ["plan", "-", "--old-overall", "10 %", "-o", name, "--json", "-"];
    let answer = output(&[&arguments[..], &set_options].concat(), text);
    let answer: Value = serde_json::from_str(&answer).expect("JSON");
    let planned = std::fs::read_to_string(Path::new(name)).expect("the plan");
    let mut wanted = placeless(read_with(text, "-", &set));
    let mut found = placeless(read(&planned, "-"));
    assert_ne!(found.procedure.steps, wanted.procedure.steps);
    for tables in [&mut wanted, &mut found] {
        tables.procedure.steps.clear();
    }
    assert_eq!(found, wanted, "{planned}");
    assert!(planned.contains("# This comment stays.") && !planned.contains("# of the old level"));
    let flushed = output(&["flush", name, "--json", "-"], "");
    let flushed: Value = serde_json::from_str(&flushed).expect("JSON");
    assert_eq!(flushed["totals"], answer["totals"]);
}

const MOTORCYCLE_WITH_ALL_FORMS: &str = r#"
title = "Motorcycle, one rear disc"
old_fluid.grade = "DOT 4"
old_fluid.water = { value = "3 %", sd = "0.5 %", shape = "normal" }
new_fluid.grade = "DOT 4"

# This comment stays.
[reservoir]
level = "25 mL" # of the old level
min = "12 mL"
max = "28 mL"
brim = "32 mL"

[master_cylinder]
chambers = ["lever"]
volume = "2 mL"

[like.steel]
kind = "line"
bore = "3.33 mm"

[parts]
pipe = { like = "steel", from = "lever", length = "0.4 m" }
hose = { kind = "hose", from = "pipe", length = "0.5 m" }
rear = { kind = "caliper", from = "hose", new_pads = "8 mL", worn_pads = "20 mL" } # one line

[supplies]
gravity = { kind = "gravity" }

[procedure]
open = ["rear"]
until = "clean, at most 200 mL"
"#;
