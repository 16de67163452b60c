//! The scenario reader: what it makes of good scenarios, that no input makes it panic, and that the
//! JSON Schema says what the reader says.

use crate::common::cars::{HATCHBACK as CAR, read};
use farwheel::keys::table::keys_in;
use farwheel::keys::{Form, LeftOut, Place, Spread, bounds, keys_of};
use farwheel::parts::{self, Kind};
use farwheel::scenario::procedure::Action;
use farwheel::scenario::{self, tables};
use farwheel::supply;
use proptest::prelude::*;
use serde_json::Value as Json;

const BASE: &str = include_str!("../common/base.toml");

#[test]
fn the_hatchback_is_read_as_written() {
    let s = read(CAR);
    let names: Vec<_> = s.parts.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names[..5], ["line RR", "line LR", "line RF", "line LF", "hose RR"], "file order");
    assert_eq!(s.parts.len(), 12);
    let line = &s.parts[0];
    assert_eq!((line.word(), line.from.as_slice()), ("line", &["secondary".to_owned()][..]));
    let Kind::Line(tube) = &line.kind else { panic!("{line:?}") };
    assert!((tube.bore.value - 3.33e-3).abs() < 1e-12);
    assert_eq!((tube.length.value, tube.run.bends), (5.0, 8));
    let hose = s.parts.iter().find(|p| p.name == "hose RR").expect("hose RR");
    assert!(hose.written.defaulted.contains(&"length"));
    let tables =
        [&s.vehicle.written, &s.reservoir.written, &s.procedure.tasks.written, &line.written];
    let called: Vec<_> = tables.iter().map(|t| t.name.as_str()).collect();
    assert_eq!(called, ["vehicle", "reservoir", "procedure", "parts.line RR"]);
    let front = s.parts.iter().find(|p| p.name == "LF").expect("LF");
    assert_eq!(front.bleeders, ["LF"]);
    let worn = front.kind.pads().and_then(|p| p.worn_pads).expect("worn pads");
    assert!((worn.value - 49e-6).abs() < 1e-15);
    assert!((s.vehicle.temperature.value - 293.15).abs() < 1e-9);
    // 20 psi in pascals: 20 × 6894.757…, NIST SP 811 appendix B.
    assert!((s.vehicle.gauge_limit.expect("a limit").value - 137_895.145_863).abs() < 1e-5);
    assert!((s.clear_hose.threshold.value - 0.2).abs() < 1e-12);
    assert!(s.clear_hose.hold.is_none());
    assert!(s.new_fluid.written.defaulted.contains(&"water"));
    assert!(!s.old_fluid.written.defaulted.contains(&"water"));
    assert!(s.reservoir.topped_up);
    assert_eq!(s.supplies.len(), 4);
    assert_eq!(s.procedure.tasks.supply.as_deref(), Some("pressure bleeder"));
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
    assert_eq!(Some(s.procedure.steps[1].line), line_of("open").map(Place::Line));
    assert_eq!(Some(line.written.line), line_of("\"line RR\"").map(Place::Line));
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
    let q = rr.kind.pads().and_then(|p| p.worn_pads).expect("worn pads");
    assert!(matches!(q.spread, Some(Spread::Triangular { low, high })
        if (low - 17e-6).abs() < 1e-15 && (high - 22e-6).abs() < 1e-15));
    assert_eq!(s.reservoir.outlets, ["primary", "secondary"]);
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

/// A car on which every table leaves out what it may: the reader takes each default as if it were written.
#[test]
fn defaults_are_within_their_own_bounds() {
    let tables = tables::TABLES.iter().flat_map(|t| (t.keys)());
    let parts = parts::Kind::all().iter().flat_map(|k| keys_in(&mut *k.clone()));
    let supplies = supply::Kind::all().iter().flat_map(|k| keys_in(&mut *k.clone()));
    let tasks = keys_of::<tables::Tasks>().into_iter();
    let mut seen = 0;
    for key in tables.chain(parts).chain(supplies).chain(tasks) {
        seen += 1;
        assert!(!key.doc.is_empty(), "{}", key.name);
        let LeftOut::Text(text) = key.left_out else { continue };
        let fits = match key.form {
            Form::Quantity(bound) | Form::Quantities(bound) => {
                scenario::quantity_text::parse(text, bound).is_ok()
            }
            Form::Word(words) => words.contains(&text),
            Form::Flag => ["true", "false"].contains(&text),
            Form::Count(least, most) => {
                text.parse().is_ok_and(|n: u32| (least..=most).contains(&n))
            }
            Form::Text | Form::Names => true,
        };
        assert!(fits, "{}: {text}", key.name);
    }
    assert!(seen > 150, "{seen}");
}

fn json(text: &str) -> Json {
    toml::from_str(text).expect("TOML")
}

#[test]
fn the_schema_accepts_what_the_reader_accepts() {
    let schema = scenario::schema();
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
    let validator = jsonschema::validator_for(&scenario::schema()).expect("a schema");
    for (find, replace) in [
        ("steering = \"left\"", "stearing = \"left\""),
        ("split = \"X\"", "split = \"XX\""),
        ("length = \"5 m\"", "length = \"5 psi\""),
        ("length = \"5 m\"", "length = \"5\""),
        ("length = \"5 m\"", "length = 5"),
        ("grade = \"DOT 4\"", "grade = \"DOT 44\""),
        ("max = \"200 mL\"", ""),
        ("kind = \"caliper\", from = \"hose RR\"", "kind = \"brick\", from = \"hose RR\""),
        ("until = \"clean\"", ""),
        ("{ relieve = true }", "{ releive = true }"),
    ] {
        assert!(BASE.contains(find), "{find}");
        let text = BASE.replacen(find, replace, 1);
        assert!(farwheel::read(&text, "t").is_err(), "{replace}");
        assert!(!validator.is_valid(&json(&text)), "{replace}");
    }
}

/// Words that shops use for the same thing, and other spellings (common practice, no source).
#[test]
fn a_car_in_other_words_is_the_same_car() {
    let other = CAR
        .replace("grade = \"DOT 3\"", "grade = \"dot-3\"")
        .replace("steering = \"left\"", "steering = \"LHD\"")
        .replace("split = \"X\"", "split = \"diagonal\"")
        .replace("kind = \"line\"", "kind = \"Brake Pipe\"")
        .replace("kind = \"hose\"", "kind = \"flexi hose\"")
        .replace("kind = \"caliper\"", "kind = \"brake caliper\"")
        .replace("kind = \"pressure bleeder\"", "kind = \"power bleeder\"");
    let (as_shipped, other) = (read(CAR), (read(&other), other));
    assert_eq!(as_shipped.circuit(), other.0.circuit());
    assert_eq!(as_shipped.vehicle.values, other.0.vehicle.values);
    assert_eq!(as_shipped.old_fluid.values, other.0.old_fluid.values);
    assert_eq!(as_shipped.supplies[0].kind, other.0.supplies[0].kind);
    let validator = jsonschema::validator_for(&scenario::schema()).expect("a schema");
    let errors: Vec<_> = validator.iter_errors(&json(&other.1)).map(|e| e.to_string()).collect();
    assert!(errors.is_empty(), "{errors:#?}");
}

#[test]
fn every_other_word_is_read_and_means_one_thing() {
    let validator = jsonschema::validator_for(&scenario::schema()).expect("a schema");
    let takes = |text: &str, word: &str| {
        read(text);
        assert!(validator.is_valid(&json(text)), "{word}");
    };
    let mut words = 0;
    for key in tables::TABLES.iter().flat_map(|t| (t.keys)().into_iter().map(|k| (t.name, k))) {
        let (table, Form::Word(known)) = (key.0, key.1.form) else { continue };
        for (also, stands_for) in known.also {
            words += 1;
            match known.meant(also).as_slice() {
                [one] => assert_eq!(one, stands_for),
                several => {
                    assert!(several.len() > 1 && key.1.name == "grade", "{also}: {several:?}")
                }
            }
            if table == "vehicle" {
                let header = format!("[vehicle]\n{} = \"{also}\"", key.1.name);
                // The base states no kind; a motorcycle has no steering wheel.
                let own = if key.1.name == "kind" { "steering" } else { key.1.name };
                let is_own = |l: &&str| l.starts_with(&format!("{own} = "));
                let bare: String =
                    BASE.lines().filter(|l| !is_own(l)).map(|l| format!("{l}\n")).collect();
                takes(&bare.replacen("[vehicle]", &header, 1), also);
            }
        }
    }
    for kind in Kind::all() {
        let spec = kind.spec();
        // A key that only this kind may take tells that it was meant.
        let own =
            keys_in(&mut *kind.clone()).into_iter().find_map(|k| match (k.form, k.left_out) {
                (Form::Quantity(_), LeftOut::Text(text)) => {
                    Some(format!("{} = \"{text}\"", k.name))
                }
                _ => None,
            });
        for also in spec.also {
            words += 1;
            let template = format!(
                "[like.other]\nkind = \"{also}\"\n{}\n[parts]",
                own.as_deref().unwrap_or("")
            );
            takes(&BASE.replacen("[parts]", &template, 1), also);
        }
    }
    for kind in supply::Kind::all() {
        for also in kind.also() {
            words += 1;
            let found =
                CAR.replace(&format!("kind = \"{}\"", kind.word()), &format!("kind = \"{also}\""));
            assert_ne!(found, CAR, "{also}");
            takes(&found, also);
        }
    }
    assert!(words > 40, "{words}");
    // No word belongs to two kinds, nor is one read that is answered.
    let folded = farwheel::keys::words::folded;
    let all = Kind::all().iter().map(|k| k.spec()).collect::<Vec<_>>();
    let mut seen = std::collections::BTreeSet::new();
    for spec in &all {
        for word in std::iter::once(&spec.name).chain(spec.also) {
            assert!(seen.insert(folded(word)), "{word} twice");
        }
    }
    for (near, _) in all.iter().flat_map(|s| s.near) {
        assert!(!seen.contains(&folded(near)), "{near} is read and answered");
    }
}

/// One random edit of a text: where, how much goes, what comes.
fn edit() -> impl Strategy<Value = (prop::sample::Index, usize, String)> {
    // Marks of TOML, odd characters, numbers.
    let short = [
        "", " ", "\n", "\r", "\t", "\"", "'''", "[", "]", "{", "}", "=", ",", ".", "#", "/", "-",
        "±", "%", "%", "°", "µ", "\\u0000", "\u{feff}", "0", "0x1f", "1e999", "nan", "true",
    ];
    let words = "RR LF from to like kind min max clean mL psi [parts] [[parts]] 1979-05-27";
    let scraps: Vec<&str> = short.into_iter().chain(words.split(' ')).collect();
    let piece = prop_oneof![
        4 => prop::sample::select(scraps).prop_map(str::to_owned),
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
        if let Err(m) = farwheel::read(&text, "fuzz.toml") {
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
        let _ = farwheel::read_bytes(&bytes, "bytes");
    }

    #[test]
    fn no_text_makes_a_value_panic(text in any::<String>(), digits in "[-+0-9.,/e ]{0,12}[a-zA-Z%°±µ² ]{0,6}.{0,6}") {
        for bound in bounds::ALL {
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
