//! A key that would move nothing is refused where it stands.

use super::cars::{DOT_4, GRAVITY, quick, read, scenario_text, undivided};
use farwheel::job::flush;

fn car(parts: &str) -> String {
    let above = undivided("one", 9.0, [150, 60, 200, 270]);
    let procedure = "[procedure]\nopen = [\"wheel\"]\nuntil = \"20 mL\"";
    scenario_text(&[DOT_4, &above, GRAVITY, procedure, "[parts]", parts])
}

fn told(parts: &str) -> String {
    farwheel::read(&car(parts), "car.toml").map(|_| String::new()).unwrap_or_else(|m| m.to_string())
}

const WHEEL: &str = "wheel = { kind = \"caliper\", from = \"b\", new_pads = \"20 mL\" }";

#[test]
fn it_is_refused_where_there_is_no_joint() {
    let at_a_chamber = told(&format!(
        "b = {{ kind = \"line\", from = \"one\", length = \"2 m\", joint_remix = \"30 %\" }}\n{WHEEL}"
    ));
    let at_a_tee = told(&format!(
        "a = {{ kind = \"line\", from = \"one\", length = \"2 m\" }}\nt = {{ kind = \"tee\", from = \"a\" }}\n\
         b = {{ kind = \"hose\", from = \"t\", joint_remix = \"30 %\" }}\n{WHEEL}"
    ));
    for (told, at) in [(at_a_chamber, "the chamber `one`"), (at_a_tee, "`t`, a tee")] {
        for words in [&format!("`b` begins at {at}"), "leave out `joint_remix`", "runs on"] {
            assert!(told.contains(words), "{words} in {told}");
        }
    }
}

#[test]
fn it_is_refused_at_a_plug() {
    for (a, b, name) in [("plug", "laminar", "a"), ("laminar", "plug", "b"), ("plug", "plug", "b")]
    {
        let told = told(&format!(
            "a = {{ kind = \"line\", from = \"one\", length = \"2 m\", profile = \"{a}\" }}\n\
             b = {{ kind = \"line\", from = \"a\", length = \"2 m\", profile = \"{b}\", joint_remix = 0 }}\n{WHEEL}"
        ));
        let words = format!("fluid moves through `{name}` as a plug");
        assert!(told.contains(&words), "{words} in {told}");
    }
}

/// 0 from line to line and from hose to hose of one bore, 1 else; what is stated holds.
#[test]
fn every_kind_of_joint_has_its_degree() {
    let cases = [
        ("line", "", "line", "", Some(0.0)),
        ("hose", "", "hose", "", Some(0.0)),
        ("line", "bore = \"3.33 mm\"", "line", "bore = \"3.40 mm\"", Some(0.0)),
        ("line", "bore = \"3.33 mm\"", "line", "bore = \"3.5 mm\"", Some(1.0)),
        ("line", "", "hose", "bore = \"3.33 mm\"", Some(1.0)),
        ("hose", "", "line", "", Some(1.0)),
        ("line", "", "hose", "joint_remix = \"20 %\"", Some(0.2)),
        ("line", "", "line", "joint_remix = \"100 %\"", Some(1.0)),
        ("line", "profile = \"plug\"", "line", "", Some(1.0)),
        ("line", "profile = \"plug\"", "line", "profile = \"plug\"", Some(0.0)),
    ];
    for case in cases {
        let (a, of_a, b, of_b, degree) = case;
        let key = |text: &str| if text.is_empty() { String::new() } else { format!(", {text}") };
        let text = car(&format!(
            "a = {{ kind = \"{a}\", from = \"one\", length = \"2 m\"{} }}\n\
             b = {{ kind = \"{b}\", from = \"a\", length = \"1 m\"{} }}\n{WHEEL}",
            key(of_a),
            key(of_b)
        ));
        let circuit = read(&text).circuit().clone();
        let joint =
            |name: &str| circuit.links.iter().find(|l| l.name == name).and_then(|l| l.joint);
        assert_eq!((joint("a"), joint("b")), (None, degree), "{case:?}");
    }
}

/// Lines in a row from the chamber to the wheel, with keys for each and for the last of them.
fn row(lines: usize, keys: &str, of_last: &str) -> String {
    let (mut parts, mut from) = (String::new(), "one".to_owned());
    for i in 1..=lines {
        let name = if i == lines { "b".to_owned() } else { format!("l{i}") };
        let own = if i == lines { of_last } else { "" };
        parts += &format!(
            "{name} = {{ kind = \"line\", from = \"{from}\", length = \"0.1 m\"{keys}{own} }}\n"
        );
        from = name;
    }
    parts + WHEEL
}

/// A row that no vehicle has: refused with what would do.
#[test]
fn too_long_a_row_is_refused() {
    assert_eq!(told(&row(40, "", "")), "");
    let told = told(&row(40, ", bends = 2", ""));
    for words in ["40 lines and hoses in a row", "up to \"b\"", "joint_remix"] {
        assert!(told.contains(words), "{words} in {told}");
    }
}

/// What a row that is filled differently takes is known before it is taken.
#[test]
fn a_row_filled_differently_is_run_as_far_as_memory_goes() {
    let job = |lines| {
        let parts = row(lines, "", ", old_fraction = 0.3");
        let text = car(&format!("{parts}\n[clear_hose]\nthreshold = \"0.5 %\""));
        flush(&read(&text), &quick()).map(|_| ()).map_err(|e| e.to_string())
    };
    assert_eq!(job(5), Ok(()));
    let told = job(400).expect_err("too much");
    for words in ["filled differently", "memory (512 MB)", "fill them alike"] {
        assert!(told.contains(words), "{words} in {told}");
    }
}
