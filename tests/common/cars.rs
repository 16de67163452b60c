//! Small cars of tests, put together from what a scenario file holds, and what tests do with such a text.
//!
//! A file's tables may stand in any order: a text is its pieces, one after the other.

use farwheel::Scenario;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::job::record::{Opening, PartLeft, Record, Warning, WarningKind};

pub const HATCHBACK: &str = include_str!("../../scenarios/compact-hatchback.toml");

/// One grade in the car and in the can.
pub const DOT_4: &str = "[old_fluid]\ngrade = \"DOT 4\"\n[new_fluid]\ngrade = \"DOT 4\"";

/// Another in the car than in the can.
pub const DOT_3_THEN_4: &str = "[old_fluid]\ngrade = \"DOT 3\"\n[new_fluid]\ngrade = \"DOT 4\"";

/// A divided reservoir over two chambers; more keys of it may follow.
pub const DIVIDED: &str = r#"
[master_cylinder]
chambers = ["primary", "secondary"]
volume = "12 mL"
[reservoir]
compartment = "35 mL"
level = "180 mL"
min = "120 mL"
max = "200 mL"
brim = "270 mL""#;

pub const GRAVITY: &str = "[supplies.gravity]\nkind = \"gravity\"";

pub const VESSEL: &str =
    "[supplies.vessel]\nkind = \"pressure bleeder\"\nloaded = \"1 L\"\ngauge = \"15 psi\"\n";

/// A chamber of the master cylinder, mL, under a reservoir: its level, MIN, MAX and brim, mL. More keys of it may
/// follow.
pub fn undivided(chamber: &str, volume_ml: f64, [level, min, max, brim]: [u32; 4]) -> String {
    format!(
        "[master_cylinder]\nchambers = [{chamber:?}]\nvolume = \"{volume_ml} mL\"\n\
         [reservoir]\nlevel = \"{level} mL\"\nmin = \"{min} mL\"\nmax = \"{max} mL\"\nbrim = \"{brim} mL\""
    )
}

/// A scenario file of these pieces.
pub fn scenario_text(pieces: &[&str]) -> String {
    format!("title = \"a test's car\"\n{}\n", pieces.join("\n"))
}

pub fn read(text: &str) -> Scenario {
    farwheel::read(text, "car.toml").unwrap_or_else(|m| panic!("{m}\n{text}"))
}

/// One job, not three, with its books compared at every step.
pub fn quick() -> Options {
    Options { estimate_error: false, check_every_step: true, ..Options::default() }
}

pub fn run(text: &str) -> Record {
    flush(&read(text), &quick()).unwrap_or_else(|e| panic!("{e}\n{text}"))
}

/// The text with the one place where `find` stands otherwise.
pub fn edited(text: &str, find: &str, replace: &str) -> String {
    assert_eq!(text.matches(find).count(), 1, "`{find}` must stand once");
    text.replacen(find, replace, 1)
}

/// The same of several places.
pub fn edited_all(text: &str, edits: &[(&str, &str)]) -> String {
    edits.iter().fold(text.to_owned(), |text, (find, replace)| edited(&text, find, replace))
}

/// The first opening of a bleeder.
pub fn opening<'r>(record: &'r Record, bleeder: &str) -> &'r Opening {
    record.openings.iter().find(|o| o.bleeder == bleeder).expect("an opening of this bleeder")
}

/// What is left in a part.
pub fn part<'r>(record: &'r Record, name: &str) -> &'r PartLeft {
    record.left.parts.iter().find(|p| p.part == name).unwrap_or_else(|| panic!("no part {name}"))
}

/// Old fluid left in a part, mL.
pub fn old_ml(record: &Record, name: &str) -> f64 {
    let part = part(record, name);
    part.volume_ml * part.old_fraction
}

/// The warning of a kind, which must be there.
pub fn warning(record: &Record, kind: WarningKind) -> &Warning {
    let of_kind = record.warnings.iter().find(|w| w.kind == kind);
    of_kind.unwrap_or_else(|| panic!("no warning \"{kind}\" among {:?}", record.warnings))
}

/// Within an absolute tolerance.
pub fn near(a: f64, b: f64, tolerance: f64) {
    assert!((a - b).abs() <= tolerance, "{a} is not {b} within {tolerance:e}");
}

/// The same with a word on what it is.
pub fn close(a: f64, b: f64, tolerance: f64, what: &str) {
    assert!((a - b).abs() <= tolerance, "{what}: {a} is not {b} within {tolerance:e}");
}

/// The largest error in the books of a job, mL or g.
pub fn worst_of_the_books(record: &Record) -> f64 {
    let b = record.balance;
    b.volume_error_ml.max(b.old_error_ml).max(b.water_error_g)
}
