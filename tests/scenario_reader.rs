//! The scenario reader: what it makes of good scenarios, that no input makes it panic, and that the
//! JSON Schema says what the reader says.
#![cfg(feature = "program")]

mod common;

use farwheel::keys::Key;
use farwheel::keys::quantity::Spread;
use farwheel::scenario::procedure::Action;
use farwheel::scenario::{self, tables};
use proptest::prelude::*;
use serde_json::Value as Json;

const CAR: &str = include_str!("../scenarios/compact-hatchback.toml");
const BASE: &str = include_str!("common/base.toml");

fn read(text: &str) -> scenario::model::Scenario {
    match scenario::read(text, "test.toml", &common::kinds()) {
        Ok(s) => s,
        Err(m) => panic!("{m}"),
    }
}

#[test]
fn the_hatchback_is_read_as_written() {
    let s = read(CAR);
    let names: Vec<_> = s.parts.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names[..5], ["line RR", "line LR", "line RF", "line LF", "hose RR"], "file order");
    assert_eq!(s.parts.len(), 12);
    let line = &s.parts[0];
    assert_eq!((line.kind, line.from.as_slice()), ("line", &["secondary".to_owned()][..]));
    assert!((line.section.si("bore") - 3.33e-3).abs() < 1e-12);
    assert_eq!(line.section.si("length"), 5.0);
    assert_eq!(line.section.count("bends"), Some(8));
    let hose = s.parts.iter().find(|p| p.name == "hose RR").expect("hose RR");
    assert!(hose.section.defaulted.contains(&"length"));
    let tables = [&s.vehicle, &s.reservoir, &s.procedure.section, &line.section];
    let called: Vec<_> = tables.iter().map(|t| t.name.as_str()).collect();
    assert_eq!(called, ["vehicle", "reservoir", "procedure", "parts.line RR"]);
    let front = s.parts.iter().find(|p| p.name == "LF").expect("LF");
    assert_eq!(front.bleeders, ["LF"]);
    assert!((front.section.si("worn_pads") - 49e-6).abs() < 1e-15);
    assert!((s.vehicle.si("temperature") - 293.15).abs() < 1e-9);
    // 20 psi in pascals: 20 × 6894.757…, NIST SP 811 appendix B.
    assert!((s.vehicle.si("gauge_limit") - 137_895.145_863).abs() < 1e-5);
    assert!((s.clear_hose.si("threshold") - 0.2).abs() < 1e-12);
    assert!(s.clear_hose.find_si("hold").is_none());
    assert!(s.new_fluid.defaulted.contains(&"water"));
    assert!(!s.old_fluid.defaulted.contains(&"water"));
    assert!(s.reservoir.flag("topped_up"));
    assert_eq!(s.supplies.len(), 4);
    assert_eq!(s.procedure.section.text("supply"), Some("pressure bleeder"));
    let opened: Vec<_> = s
        .procedure
        .steps
        .iter()
        .map(|step| match &step.action {
            Action::Open { bleeders, until } if until.clean => bleeders.join("+"),
            other => format!("{other:?}"),
        })
        .skip(1)
        .collect();
    assert!(matches!(&s.procedure.steps[0].action, Action::RePump { .. }));
    assert_eq!(opened, ["RR", "LR", "RF", "LF"]);
    let line_of = |key: &str| CAR.lines().position(|l| l.starts_with(key)).map(|i| i + 1);
    assert_eq!(Some(s.procedure.steps[1].line), line_of("open"));
    assert_eq!(Some(line.section.line), line_of("\"line RR\""));
}

#[test]
fn steps_loops_spreads_and_several_bleeders_are_read() {
    let s = read(BASE);
    let does: Vec<_> = s.procedure.steps.iter().map(|step| &step.action).collect();
    assert_eq!(does.len(), 8);
    assert!(matches!(does[0], Action::Syringe { leave } if (leave.value - 40e-6).abs() < 1e-15));
    assert!(matches!(does[1], Action::TopUp { to } if (to.value - 200e-6).abs() < 1e-15));
    assert!(matches!(does[2], Action::WorkModulator { modulator, channels, time, pump: true, .. }
        if modulator == "unit" && channels == &["hose LF"] && time.value == 10.0));
    assert!(matches!(does[4], Action::Open { bleeders, .. } if bleeders.len() == 2));
    assert!(matches!(does[5], Action::Wait { time, remix: Some(r) }
        if time.value == 300.0 && (r.value - 0.3).abs() < 1e-12));
    assert!(matches!(does[6], Action::Relieve));
    let pipe = s.parts.iter().find(|p| p.name == "pipe LF").expect("pipe LF");
    assert_eq!(pipe.to.as_deref(), Some("LF"));
    let rr = s.parts.iter().find(|p| p.name == "RR").expect("RR");
    let Some(scenario::section::Value::Quantity(q)) = rr.section.values.get("worn_pads") else {
        panic!("no worn_pads");
    };
    assert!(matches!(q.spread, Some(Spread::Triangular { low, high })
        if (low - 17e-6).abs() < 1e-15 && (high - 22e-6).abs() < 1e-15));
    assert_eq!(s.reservoir.names("outlets"), ["primary", "secondary"]);
}

#[test]
fn stop_rules_may_count_by_position() {
    let text = BASE.replacen("until = \"clean\"", "until = [\"250 mL\", \"90 s\"]", 1);
    let s = read(&text);
    let rules: Vec<_> = s
        .procedure
        .steps
        .iter()
        .filter_map(|step| match step.action {
            Action::Open { until, .. } => Some(until),
            _ => None,
        })
        .collect();
    assert!(rules[0].volume.is_some() && rules[0].time.is_none());
    assert!(rules[1].time.is_some_and(|t| t.value == 90.0));
}

/// Every default of every table is itself a value its key would accept.
#[test]
fn defaults_are_within_their_own_bounds() {
    let kinds = common::kinds();
    let of_kinds = kinds.parts.iter().chain(kinds.supplies).flat_map(|k| k.keys);
    let keys: Vec<&Key> = tables::TABLES
        .iter()
        .flat_map(|t| t.keys)
        .chain(tables::PROCEDURE_KEYS)
        .chain(tables::FILLING_KEYS)
        .chain(of_kinds)
        .collect();
    assert!(keys.len() > 60);
    for key in keys {
        if let Some(Err(wrong)) = scenario::default_value(key) {
            panic!("{}: {wrong:?}", key.name);
        }
        assert!(!key.doc.is_empty(), "{}", key.name);
    }
}

fn json(text: &str) -> Json {
    toml::from_str(text).expect("TOML")
}

#[test]
fn the_schema_accepts_what_the_reader_accepts() {
    let schema = scenario::schema(&common::kinds());
    assert!(jsonschema::meta::is_valid(&schema), "not a schema itself");
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    let mut files = 0;
    let entries =
        |dir| std::fs::read_dir(dir).unwrap_or_else(|e| panic!("{dir} can't be listed: {e}"));
    for entry in entries("scenarios").chain(entries("scenarios/splits")) {
        let path = entry.expect("a file").path();
        if path.extension().is_some_and(|e| e == "toml") {
            let text = std::fs::read_to_string(&path).expect("text");
            let errors: Vec<_> = validator
                .iter_errors(&json(&text))
                .map(|e| format!("{}: {e}", e.instance_path()))
                .collect();
            assert!(errors.is_empty(), "{}: {errors:#?}", path.display());
            files += 1;
        }
    }
    assert!(files > 0);
    assert!(validator.is_valid(&json(BASE)));
    for unit in
        ["15 PSI", "15psi", "1.03 bar", "3/4 bar", "15 psi ± 1 psi", "15 ± 1 psi", "15 psi +- 5 %"]
    {
        let text = CAR.replacen("gauge = \"15 psi\"", &format!("gauge = \"{unit}\""), 1);
        read(&text);
        assert!(validator.is_valid(&json(&text)), "{unit}");
    }
}

#[test]
fn the_schema_refuses_what_the_reader_refuses() {
    let validator =
        jsonschema::validator_for(&scenario::schema(&common::kinds())).expect("a schema");
    for (find, replace) in [
        ("steering = \"left\"", "stearing = \"left\""),
        ("split = \"X\"", "split = \"XX\""),
        ("length = \"5 m\"", "length = \"5 psi\""),
        ("length = \"5 m\"", "length = \"5\""),
        ("length = \"5 m\"", "length = 5"),
        ("grade = \"DOT 4\"", "grade = \"DOT 44\""),
        ("volume = \"12 mL\"", ""),
        ("kind = \"caliper\", from = \"hose RR\"", "kind = \"brick\", from = \"hose RR\""),
        ("until = \"clean\"", ""),
        ("{ relieve = true }", "{ releive = true }"),
    ] {
        assert!(BASE.contains(find), "{find}");
        let text = BASE.replacen(find, replace, 1);
        assert!(scenario::read(&text, "t", &common::kinds()).is_err(), "{replace}");
        assert!(!validator.is_valid(&json(&text)), "{replace}");
    }
}

/// One random edit of a text: where, how much goes, what comes.
fn edit() -> impl Strategy<Value = (prop::sample::Index, usize, String)> {
    let scraps = prop::sample::select(vec![
        "",
        " ",
        "\n",
        "\"",
        "[",
        "]",
        "{",
        "}",
        "=",
        ",",
        ".",
        "±",
        "-",
        "1e999",
        "nan",
        "0",
        "°",
        "µ",
        "RR",
        "LF",
        "from",
        "to",
        "like",
        "kind",
        "min",
        "max",
        "clean",
        "[parts]",
        "[[parts]]",
        "\\u0000",
        "'''",
        "\u{feff}",
        "#",
        "/",
        "%",
        "%",
        "mL",
        "psi",
        "true",
        "1979-05-27",
        "0x1f",
        "\r",
        "\t",
    ]);
    let piece = prop_oneof![
        4 => scraps.prop_map(str::to_owned),
        1 => any::<String>(),
    ];
    (any::<prop::sample::Index>(), 0usize..12, piece)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_edit_makes_the_reader_panic(edits in prop::collection::vec(edit(), 1..6), car in any::<bool>()) {
        let mut text: Vec<char> = if car { CAR } else { BASE }.chars().collect();
        for (at, gone, piece) in edits {
            let at = at.index(text.len() + 1);
            let end = (at + gone).min(text.len());
            text.splice(at..end, piece.chars());
        }
        let text: String = text.into_iter().collect();
        if let Err(m) = scenario::read(&text, "fuzz.toml", &common::kinds()) {
            prop_assert!(!m.list.is_empty());
            prop_assert!(!m.to_string().is_empty());
            for one in &m.list {
                prop_assert!(text.is_char_boundary(one.span.start) && one.line >= 1);
                prop_assert!(!one.what.is_empty() && !one.remedy.is_empty());
            }
            prop_assert!(!farwheel::report::mistakes::render(&m, true).is_empty());
        }
    }

    #[test]
    fn no_bytes_make_the_reader_panic(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let _ = scenario::read_bytes(&bytes, "bytes", &common::kinds());
    }

    #[test]
    fn no_text_makes_a_value_panic(text in any::<String>(), digits in "[-+0-9.,/e ]{0,12}[a-zA-Z%°±µ² ]{0,6}.{0,6}") {
        for bound in keys::bounds::ALL {
            for t in [&text, &digits] {
                if let Ok(q) = scenario::quantity_text::parse(t, bound) {
                    prop_assert!(bound.min <= q.value && q.value <= bound.max);
                }
            }
        }
        let _ = scenario::stop_rule::parse(&text);
        let _ = scenario::stop_rule::parse(&format!("clean, at least {digits}"));
    }
}
