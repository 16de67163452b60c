//! A key that would move nothing is refused where it stands.

use farwheel::circuit::Circuit;
use farwheel::job::intake;

fn car(parts: &str) -> String {
    format!(
        "title = \"joints\"\n[old_fluid]\ngrade = \"DOT 4\"\n[new_fluid]\ngrade = \"DOT 4\"\n[reservoir]\nlevel = \"150 mL\"\n\
         min = \"60 mL\"\nmax = \"200 mL\"\nbrim = \"270 mL\"\n[master_cylinder]\nchambers = [\"one\"]\nvolume = \"9 mL\"\n\
         [supplies.gravity]\nkind = \"gravity\"\n[procedure]\nopen = [\"wheel\"]\nuntil = \"20 mL\"\n[parts]\n{parts}\n"
    )
}

fn told(parts: &str) -> String {
    let read = intake::read_text(&car(parts), "car.toml");
    read.map(|_| String::new()).unwrap_or_else(|m| m.to_string())
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
        let scenario = intake::read_text(&text, "car.toml").unwrap_or_else(|m| panic!("{m}"));
        let circuit = Circuit::build(&scenario).expect("a circuit");
        let joint =
            |name: &str| circuit.links.iter().find(|l| l.name == name).and_then(|l| l.joint);
        assert_eq!((joint("a"), joint("b")), (None, degree), "{case:?}");
    }
}

/// A row that no vehicle has: refused with what would do.
#[test]
fn too_long_a_row_is_refused() {
    let row = |bends: u32| {
        let mut parts = String::new();
        for i in 0..40 {
            let (name, from) = match i {
                0 => ("l0".to_owned(), "one".to_owned()),
                39 => ("b".to_owned(), "l38".to_owned()),
                _ => (format!("l{i}"), format!("l{}", i - 1)),
            };
            parts += &format!(
                "{name} = {{ kind = \"line\", from = \"{from}\", length = \"0.1 m\", bends = {bends} }}\n"
            );
        }
        told(&(parts + WHEEL))
    };
    assert_eq!(row(0), "");
    let told = row(2);
    for words in ["40 lines and hoses in a row", "up to \"b\"", "joint_remix"] {
        assert!(told.contains(words), "{words} in {told}");
    }
}
