//! The program as a user starts it, and what holds for all that it shows.

use farwheel::report::{Report, Units, View, from_cell};
use serde_json::Value;
use std::path::Path;
use std::process::Output;

/// How a run ended: exit status, standard output, standard error.
#[derive(Debug, PartialEq, Eq)]
pub struct Ran {
    pub status: Option<i32>,
    pub out: String,
    pub err: String,
}

impl From<Output> for Ran {
    fn from(output: Output) -> Self {
        let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
        Self { status: output.status.code(), out: text(&output.stdout), err: text(&output.stderr) }
    }
}

impl Ran {
    /// What it gave on standard output, as JSON.
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|e| panic!("{e}: {self:?}"))
    }
}

/// Runs the program in a folder, with a text on its standard input.
fn started(folder: &Path, input: &str, arguments: &[&str]) -> Ran {
    let mut command = assert_cmd::Command::cargo_bin("farwheel").expect("the program");
    command.current_dir(folder).env_remove("NO_COLOR").args(arguments).write_stdin(input);
    command.output().expect("an ending").into()
}

pub fn farwheel(arguments: &[&str]) -> Ran {
    started(Path::new("."), "", arguments)
}

pub fn farwheel_in(folder: &Path, arguments: &[&str]) -> Ran {
    started(folder, "", arguments)
}

pub fn farwheel_on(input: &str, arguments: &[&str]) -> Ran {
    started(Path::new("."), input, arguments)
}

/// The words of a text, wherever its lines break.
pub fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The names in a JSON object, in their order.
pub fn keys(v: &Value) -> String {
    v.as_object().expect("an object").keys().cloned().collect::<Vec<_>>().join(" ")
}

/// Every table of an answer as plain text.
pub fn table(report: &impl Report, units: Units, width: u16) -> String {
    drawn(report, View::of_width(units, width).in_detail())
}

/// What is shown of it unless details are asked for.
pub fn brief(report: &impl Report, units: Units, width: u16) -> String {
    drawn(report, View::of_width(units, width))
}

fn drawn(report: &impl Report, view: View) -> String {
    anstream::adapter::strip_str(&report.table(view)).to_string()
}

/// Whether a table, drawn for several widths, keeps to them.
pub fn keeps_to_its_width(report: &impl Report) {
    for width in [60, 67, 80, 93, 100] {
        let shown = brief(report, Units::Metric, width) + &table(report, Units::Metric, width);
        for line in shown.lines() {
            let wide = unicode_width::UnicodeWidthStr::width(line);
            assert!(wide <= usize::from(width), "{width}: {line}");
        }
    }
}

/// The rows of a CSV, its texts as they were, and its columns beside those that it should have.
pub fn csv_rows(report: &impl Report, columns: &str) -> Vec<csv::StringRecord> {
    let bytes = report.csv().expect("a table").expect("some rows");
    let mut reader = csv::Reader::from_reader(bytes.as_bytes());
    let found = reader.headers().expect("columns").iter().collect::<Vec<_>>().join(" ");
    assert_eq!(found, columns);
    let texts = |row: csv::StringRecord| row.iter().map(from_cell).collect();
    reader.records().map(|r| texts(r.expect("a row"))).collect()
}
