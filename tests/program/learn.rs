//! `learn` from outside: readings that cannot be used are told with line and remedy.

use crate::common::program::{Ran, farwheel, farwheel_in, words};
use std::fs;
use std::path::Path;

const TABLE: &str = "[learn]\nreadings = \"read.csv\"\n\n[cars]\nhatch = \"compact-hatchback\"\n";
const HEAD: &str = "job,car,technician,at,when,what,value,error\n";

fn with(folder: &Path, table: &str, rows: &str) -> Ran {
    fs::write(folder.join("read.toml"), table).expect("a file");
    fs::write(folder.join("read.csv"), rows).expect("a file");
    farwheel_in(folder, &["learn", "read.toml", "--json", "out.json"])
}

#[test]
fn readings_that_cannot_be_used_are_told_with_line_and_remedy() {
    let folder = tempfile::tempdir().expect("a folder");
    let good = "17,hatch,A,RR,close,drained,310 mL,\n";
    for (row, told, remedy) in [
        ("17,hatch,A,RR,close,drained,310 psi,\n", "psi", "mL"),
        ("17,hatch,A,RR,close,drained,-5 mL,\n", "-5 mL", "0.1 mL"),
        ("17,hatch,A,RR,close,drained,310,\n", "310", "mL"),
        ("17,hatch,A,RX,close,drained,310 mL,\n", "opens no bleeder `RX`", "RR"),
        ("17,hatch,A,reservoir,before,copper strip,good,\n", "copper strip", "`boiling`"),
        ("17,hatch,A,RR,close,draned,310 mL,\n", "`draned`", "did you mean `drained`?"),
        ("17,hatch,A,RR,shut,drained,310 mL,\n", "`shut`", "`close`"),
        ("17,van,A,RR,close,drained,310 mL,\n", "no car `van`", "`hatch`"),
        ("17,hatch,A,RR,close,drained,310 mL,0 mL\n", "no reading is exact", "above 0"),
        ("17,hatch,A,RR,close,seconds,>= 60 s,\n", "not closed by a cap", "without `>=`"),
        ("17,hatch,B,RR,close,seconds,60 s,\n", "another car or technician", "name of its own"),
        ("17,hatch,A,RR\n", "4 columns", "comma"),
        (",hatch,A,RR,close,drained,310 mL,\n", "no job", "name the job"),
    ] {
        let ran = with(folder.path(), TABLE, &format!("{HEAD}{good}{row}"));
        let err = words(&ran.err);
        assert_eq!(ran.status, Some(2), "{row}: {ran:?}");
        assert!(err.contains("read.csv:3"), "{row}: {err}");
        assert!(err.contains(told) && err.contains(remedy), "{row}: {err}");
        assert!(!folder.path().join("out.json").exists(), "{row}");
    }
}

#[test]
fn a_table_that_cannot_be_used_is_told_with_line_and_remedy() {
    let folder = tempfile::tempdir().expect("a folder");
    let rows = format!("{HEAD}17,hatch,A,RR,close,drained,310 mL,\n");
    for (table, told) in [
        ("", "missing field `learn`"),
        ("[learn]\nreading = \"read.csv\"\n[cars]\n", "unknown field `reading`"),
        ("[learn]\nreadings = \"read.csv\"\nof = \"old\"\n[cars]\n", "known words: `old left`"),
        (&format!("{TABLE}[error]\nbottel = \"5 mL\"\n"), "did you mean `bottle`?"),
        (&format!("{TABLE}[error]\nbottle = \"5 s\"\n"), "mL"),
        ("[learn]\nreadings = \"none.csv\"\n[cars]\n", "none.csv"),
    ] {
        let ran = with(folder.path(), table, &rows);
        assert_eq!(ran.status, Some(2), "{table}: {ran:?}");
        assert!(words(&ran.err).contains(told), "{table}: {}", ran.err);
    }
    let two = format!("{rows}18,hatch,A,RR,close,drained,300 mL,\n");
    let ran = with(folder.path(), TABLE, &two);
    assert!(ran.err.contains("--job: `17` or `18`"), "{}", ran.err);
}

/// The example that ships, from the table to the JSON.
#[test]
fn the_example_is_learned_from() {
    let ran = farwheel(&["learn", "examples/readings/november.toml", "--json", "-", "--quiet"]);
    assert_eq!(ran.status, Some(0), "{}", ran.err);
    let answer = ran.json();
    let unknowns = answer["unknowns"].as_array().expect("unknowns");
    let eye =
        unknowns.iter().find(|u| u["quantity"] == "threshold of clear hose").expect("the eye");
    assert!(eye["share_of_prior"].as_f64().expect("a share") < 0.6, "{eye}");
    assert_eq!(answer["readings"].as_array().map(Vec::len), Some(8));
    assert_eq!(answer["contradiction"]["contradicts"], false);
    assert_eq!(answer["diagnostics"]["resolved"], true);
    assert!(answer["next"][0]["share_of_prior"].as_f64() < Some(0.6));
}

/// Readings that no such car gives leave nothing resolved: refused, and no file is written.
#[test]
fn what_is_not_resolved_is_refused_and_writes_no_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let rows = [
        "RR,close,drained,310 mL",
        "LR,close,drained,120 mL",
        "RF,close,drained,150 mL",
        "LF,close,drained,110 mL",
        "RR,close,seconds,120 s",
        "LR,close,seconds,50 s",
        "RF,close,seconds,40 s",
        "LF,close,seconds,30 s",
    ];
    let rows: String = rows.iter().map(|r| format!("17,hatch,A,{r},\n")).collect();
    let ran = with(folder.path(), TABLE, &format!("{HEAD}{rows}"));
    assert_eq!(ran.status, Some(3), "{ran:?}");
    assert!(ran.err.contains("not resolved") && ran.err.contains("contradict"), "{}", ran.err);
    assert!(!folder.path().join("out.json").exists());
}
