//! The verb as a user starts it. Figures in the snapshots are regression values.

use super::{edited, plain};
use crate::common::cars::{HATCHBACK, read};
use crate::common::program::{Ran, csv_rows, farwheel, keeps_to_its_width, keys, table, words};
use farwheel::report::{Report as _, Units, View};
use farwheel::study::pressures::{Pressures, Question, study};
use farwheel::study::progress::Nobody;
use std::sync::LazyLock;

const FILE: &str = "scenarios/compact-hatchback.toml";

static ANSWER: LazyLock<Pressures> = LazyLock::new(|| {
    study(&read(HATCHBACK), &Question::default(), &plain(), &Nobody).expect("it runs")
});

fn pressures(arguments: &[&str]) -> Ran {
    farwheel(&[&["pressures"], arguments].concat())
}

#[test]
fn the_table_at_80_columns() {
    insta::assert_snapshot!(table(&*ANSWER, Units::Metric, 80));
}

#[test]
fn the_table_in_us_units_at_100_columns() {
    insta::assert_snapshot!(table(&*ANSWER, Units::Us, 100));
}

#[test]
fn no_line_is_wider_than_asked() {
    keeps_to_its_width(&*ANSWER);
}

#[test]
fn json_keeps_its_names_and_their_order_on_any_number_of_threads() {
    let one = pressures(&[FILE, "--json", "-", "--threads", "1"]);
    let two = pressures(&[FILE, "--json", "-", "--threads", "2"]);
    assert_eq!(one.status, Some(0));
    assert!(one == two, "the same bytes on one thread and on two");
    let value = one.json();
    assert_eq!(
        keys(&value),
        "points swept limit_kpa changes seed title range_asked_for scenario_sha256 options_sha256"
    );
    let points = value["points"].as_array().unwrap();
    assert_eq!(points.len(), 10);
    for p in points {
        assert_eq!(
            keys(p),
            "supply gauge_kpa totals left mean_flow_ml_per_s reynolds cap_kpa master_cylinder_kpa wheel_kpa over_limit own numerics warnings least_look_binds swept balance"
        );
        assert_eq!(
            keys(&p["left"]),
            "old_ml old_fraction water_percent lowest_boiling_c lowest_boiling_part parts trapped oldest_part oldest_fraction regions axles"
        );
    }
    assert!(points[7]["gauge_kpa"].is_null(), "gravity has no gauge");
    assert_eq!(
        keys(&value["changes"]),
        "from_kpa to_kpa flow_seconds flow_seconds_told_apart drained old_left because rate_dependent new_fluid"
    );
}

#[test]
fn csv_has_one_row_a_job() {
    let columns = "supply gauge_kpa drained_ml removed_ml new_fluid_ml flow_seconds bay_seconds repumps left_old_ml left_old_fraction left_water_percent lowest_boiling_c lowest_boiling_part mean_flow_ml_per_s reynolds cap_kpa master_cylinder_kpa wheel_kpa over_limit own stopped least_look_binds";
    let rows = csv_rows(&*ANSWER, columns);
    assert_eq!(rows.len(), ANSWER.points.len());
    for (row, p) in rows.iter().zip(&ANSWER.points) {
        assert_eq!(&row[0], p.supply);
        assert_eq!(row[1].parse().ok(), p.gauge_kpa);
        assert_eq!(row[5].parse::<f64>().unwrap(), p.totals.flow_seconds);
        assert_eq!(row[8].parse::<f64>().unwrap(), p.left.old_ml);
    }
}

#[test]
fn broken_options_are_told_with_a_remedy() {
    for (arguments, words) in [
        (&["--from", "10"][..], &["--from", "unit"][..]),
        (&["--to", "20 mL"], &["--to", "pressure"]),
        (&["--to", "900 kPa"], &["--to", "too large", "500 kPa"]),
        (&["--from", "10 psi ± 1 psi"], &["--from", "one value is wanted"]),
        (&["--from", "20 psi", "--to", "10 psi"], &["ends below", "higher"]),
        (&["--steps", "0"], &["--steps", "1..="]),
    ] {
        let Ran { status, out, err: told } = pressures(&[&[FILE], arguments].concat());
        assert_eq!((status, out.as_str()), (Some(2), ""), "{arguments:?}: {told}");
        for word in words {
            assert!(told.contains(word), "{arguments:?}: no `{word}` in {told}");
        }
    }
    let ran = pressures(&["scenarios/motorcycle-front.toml", "--from", "1 bar"]);
    assert!(ran.status == Some(2) && ran.err.contains("no pressure bleeder"), "{ran:?}");
    assert_eq!(pressures(&["scenarios/motorcycle-front.toml", "--quiet"]).status, Some(0));
}

#[test]
fn an_asked_for_gauge_over_the_limit_is_status_3() {
    let run = pressures(&[FILE, "--from", "15 psi", "--to", "1.6 bar", "--steps", "1"]);
    assert_eq!(run.status, Some(3), "{}", run.err);
    assert!(words(&run.err).contains("Stop, pressure over limit:"), "{}", run.err);
    assert!(run.out.contains("over it"));
}

#[test]
fn outputs_are_files_beside_one_another() {
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str| dir.path().join(name).to_str().unwrap().to_owned();
    let (json, csv, plots) = (at("a.json"), at("a.csv"), at("plots"));
    let run = pressures(&[FILE, "--quiet", "--json", &json, "--csv", &csv, "--plots", &plots]);
    assert_eq!((run.status, run.out.as_str()), (Some(0), ""));
    let svg = std::fs::read_to_string(dir.path().join("plots/pressures.svg")).unwrap();
    for words in ["What the gauge pressure changes", "limit", "gravity", "old fluid left"] {
        assert!(svg.contains(words), "{words}");
    }
    assert!(std::fs::read(dir.path().join("plots/pressures.png")).unwrap().starts_with(b"\x89PNG"));
    assert!(std::fs::metadata(json).unwrap().len() > 1000);
    assert!(std::fs::metadata(csv).unwrap().len() > 500);
}

/// A picture with one point, with no gauge at all, and with a job that was stopped.
#[test]
fn odd_answers_are_drawn_too() {
    let few = edited(&[("loaded = \"1 L\"", "loaded = \"0.4 L\"")]);
    let question = Question { from_pa: Some(1e5), to_pa: Some(1e5), steps: 1 };
    let motorcycle = include_str!("../../../scenarios/motorcycle-front.toml");
    for (text, question) in [(few.as_str(), question), (motorcycle, Question::default())] {
        let mut answer = study(&read(text), &question, &plain(), &Nobody).unwrap();
        farwheel::plot::draw_all(&answer).unwrap();
        answer.points.clear();
        farwheel::plot::draw_all(&answer).unwrap();
        answer.table(View::of_width(Units::Metric, 80));
    }
}

/// Ctrl-C (SIGINT) in the middle of many jobs.
#[cfg(unix)]
#[test]
fn ctrl_c_writes_what_is_finished() {
    // Long enough to listen, far too short for ten thousand jobs.
    let (json, _, table) = crate::common::interrupt::marked_as_partial(
        &["pressures", FILE, "--steps", "10000"],
        std::time::Duration::from_millis(1500),
    );
    assert!(json["points"].as_array().expect("points").len() < 10_000);
    assert!(table.contains("Interrupted"), "{table}");
}
