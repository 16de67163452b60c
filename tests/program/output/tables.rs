//! Tables, JSON and CSV. Snapshots are regression values of the layout; their figures are the fixture's.

use super::fixture_check::fixture_check;
use super::fixture_record::fixture_record;
use crate::common::program::table;
use farwheel::job::record::{CleanState, ClosedBy, Warning, WarningKind};
use farwheel::report::{Report as _, Units, View, from_cell, json};

/// The text as it stands where styles are not wanted.
fn plain(text: &str) -> String {
    anstream::adapter::strip_str(text).to_string()
}

fn columns(line: &str) -> usize {
    unicode_width::UnicodeWidthStr::width(line)
}

#[test]
fn the_table_at_80_columns() {
    insta::assert_snapshot!(table(&fixture_record(), Units::Metric, 80));
}

#[test]
fn the_table_in_us_units_at_100_columns() {
    insta::assert_snapshot!(table(&fixture_record(), Units::Us, 100));
}

#[test]
fn the_check_report_at_80_columns() {
    insta::assert_snapshot!(table(&fixture_check(), Units::Metric, 80));
}

#[test]
fn no_line_is_wider_than_asked_and_a_silly_width_is_floored() {
    let mut record = fixture_record();
    record.openings[2].bleeder = "a bleeder with quite a long name, longer than any column".into();
    record.left.parts[3].part = "前右キャリパー".repeat(40);
    record.scenario.title = "title ".repeat(100);
    for width in [0, 1, 60, 67, 80, 93, 100, 500] {
        let view = View::of_width(Units::Metric, width).in_detail();
        assert!((60..=100).contains(&view.width));
        for text in [record.table(view), fixture_check().table(view)] {
            for line in plain(&text).lines() {
                assert!(columns(line) <= usize::from(view.width), "{width}: {line}");
            }
        }
    }
}

#[test]
fn names_cannot_steer_the_terminal() {
    let mut record = fixture_record();
    let evil = "\u{1b}]0;owned\u{7}\u{1b}[2J\u{202e}RR\r\nLF\u{9b}31m";
    record.scenario.title = evil.into();
    record.scenario.file = evil.into();
    record.supply = evil.into();
    record.openings[0].bleeder = evil.into();
    record.left.parts[0].part = evil.into();
    record.left.lowest_boiling_part = evil.into();
    record.warnings = vec![Warning { kind: WarningKind::NoFlow, text: evil.into() }];
    let text = record.table(View::of_width(Units::Metric, 80).in_detail());
    // The program's own styles are the only escape sequences.
    let without = text.replace("\u{1b}[1m", "").replace("\u{1b}[33m", "").replace("\u{1b}[0m", "");
    assert!(!without.contains(|c: char| (c.is_control() && c != '\n') || c == '\u{202e}'));
    assert!(plain(&text).contains("Stop, no flow:"));
}

#[test]
fn odd_endings_are_said_in_words() {
    let mut record = fixture_record();
    for (opening, (state, why)) in record.openings.iter_mut().zip([
        (CleanState::Already, ClosedBy::Volume),
        (CleanState::NotReached, ClosedBy::Bound),
        (CleanState::Lost, ClosedBy::Supply),
        (CleanState::NotReached, ClosedBy::Time),
    ]) {
        opening.clean_state = state;
        opening.closed_by = why;
        opening.clean_at_ml = None;
    }
    record.numerics = Default::default();
    record.totals.fluid = None;
    let text = plain(&record.table(View::of_width(Units::Metric, 80).in_detail()));
    for words in [
        "at once",
        "never",
        "lost",
        "volume reached",
        "upper bound met",
        "supply ran dry",
        "not estimated",
    ] {
        assert!(text.contains(words), "{words}");
    }
    assert!(!text.contains("Where the loaded fluid went"));
}

#[test]
fn json_keeps_its_names_and_their_order() {
    insta::assert_snapshot!(json::render(&fixture_record()).unwrap());
}

#[test]
fn json_is_as_the_design_promises() {
    let value = serde_json::to_value(fixture_record()).unwrap();
    let keys = |v: &serde_json::Value| {
        v.as_object().unwrap().keys().cloned().collect::<Vec<_>>().join(" ")
    };
    assert_eq!(
        keys(&value),
        "farwheel scenario seed openings steps totals left balance numerics warnings supply"
    );
    assert_eq!(
        keys(&value["openings"][0]),
        "bleeder pass step opened_s closed_s closed_by drained_ml clean_at_ml clean_state seen_old_fraction \
         path_old_fraction mean_flow_ml_per_s reynolds gauge_start_kpa gauge_end_kpa origins_ml hold_ml waited_for \
         flow_seconds clean_since_ml strokes threshold part"
    );
    assert_eq!(
        keys(&value["totals"]),
        "drained_ml removed_ml new_fluid_ml flow_seconds bay_seconds repumps fluid strokes"
    );
    assert_eq!(
        keys(&value["totals"]["fluid"]),
        "loaded_ml bled_ml reservoir_ml feed_hose_ml left_ml least_load_ml"
    );
    assert_eq!(
        keys(&value["left"]),
        "old_ml old_fraction water_percent lowest_boiling_c lowest_boiling_part parts trapped \
         oldest_part oldest_fraction regions axles"
    );
    assert_eq!(
        keys(&value["left"]["parts"][0]),
        "part kind volume_ml old_fraction water_percent boiling_c lowest_boiling_c pocket_boiling_c reached \
         volume_before_ml old_fraction_before sort place to clutch"
    );
    assert_eq!(keys(&value["balance"]), "volume_error_ml old_error_ml water_error_g");
    assert_eq!(
        keys(&value["numerics"]),
        "clean_at_error_ml old_left_error_ml drained_error_ml new_fluid_error_ml"
    );
    assert_eq!(keys(&value["warnings"][0]), "kind text stops_the_job");
    assert_eq!(value["openings"][0]["closed_by"], "clean");
    assert_eq!(value["openings"][0]["clean_state"], "reached");
}

#[test]
fn json_has_null_for_what_is_no_number() {
    let mut record = fixture_record();
    record.left.water_percent = f64::NAN;
    let back: serde_json::Value = serde_json::from_str(&json::render(&record).unwrap()).unwrap();
    assert!(back["left"]["water_percent"].is_null());
}

#[test]
fn csv_reads_back_to_the_record() {
    let mut record = fixture_record();
    record.openings[1].bleeder = "=rear, \"left\"\nwheel".into();
    record.supply = "@pump".into();
    let lf = record.left.parts.iter_mut().find(|p| p.part == "LF").unwrap();
    lf.part = "'-LF".into();
    let bytes = record.csv().unwrap().unwrap();
    let mut reader = csv::Reader::from_reader(bytes.as_bytes());
    let columns = "about name step pass at_s drained_ml quantity unit value";
    assert_eq!(reader.headers().unwrap(), columns.split(' ').collect::<Vec<_>>());
    let cells: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    // A spreadsheet takes figures alone for more than text.
    let formula =
        |cell: &&str| cell.starts_with(['=', '+', '-', '@']) && cell.parse::<f64>().is_err();
    assert_eq!(cells.iter().flat_map(|row| row.iter()).find(formula), None);
    for written in ["'=rear, \"left\"\nwheel", "'@pump", "''-LF"] {
        assert!(cells.iter().any(|row| &row[1] == written), "{written}");
    }
    let rows: Vec<csv::StringRecord> =
        cells.iter().map(|row| row.iter().map(from_cell).collect()).collect();
    let find = |about: &str, name: &str, quantity: &str| -> Vec<&csv::StringRecord> {
        rows.iter().filter(|r| &r[0] == about && &r[1] == name && &r[6] == quantity).collect()
    };
    let opening = &record.openings[1];
    let clean = find("opening", &opening.bleeder, "clean_at_ml");
    assert_eq!(clean.len(), 1);
    assert_eq!(clean[0][8].parse::<f64>().unwrap(), opening.clean_at_ml.unwrap());
    assert_eq!((&clean[0][2], &clean[0][3]), ("2", "1"));
    let curve = find("curve", &opening.bleeder, "seen_old_fraction");
    assert_eq!(curve.len(), opening.curve.len());
    for (row, point) in curve.iter().zip(&opening.curve) {
        assert_eq!(row[4].parse::<f64>().unwrap(), point.at_s);
        assert_eq!(row[5].parse::<f64>().unwrap(), point.drained_ml);
        assert_eq!(row[8].parse::<f64>().unwrap(), point.seen_old_fraction);
    }
    assert_eq!(find("origin", "RR", "reservoir")[0][8].parse::<f64>().unwrap(), 118.2);
    assert_eq!(find("part", "'-LF", "boiling_c")[0][8].parse::<f64>().unwrap(), 183.2);
    assert_eq!(find("total", "", "left_ml")[0][7], *"mL");
    assert_eq!(find("supply", "@pump", "gauge_kpa").len(), record.supply_curve.len());
}
