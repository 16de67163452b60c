//! The verb as a user starts it. Figures in the snapshots are regression values.

use super::study::ANSWER;
use crate::common::program::{Ran, csv_rows, farwheel, keeps_to_its_width, keys, table, words};
use farwheel::report::Units;

const FILES: [&str; 5] = [
    "scenarios/splits/ii.toml",
    "scenarios/splits/x.toml",
    "scenarios/splits/hi.toml",
    "scenarios/splits/ll.toml",
    "scenarios/splits/hh.toml",
];

fn layouts(arguments: &[&str]) -> Ran {
    farwheel(&[&["layouts"], arguments].concat())
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
    let one = layouts(&[&FILES[..], &["--json", "-", "--threads", "1"]].concat());
    let two = layouts(&[&FILES[..], &["--json", "-", "--threads", "2"]].concat());
    assert_eq!(one.status, Some(0), "{}", one.err);
    assert!(one == two, "the same bytes on one thread and on two");
    let value = one.json();
    assert_eq!(keys(&value), "layouts between_layouts by_order scenario_sha256 options_sha256");
    assert_eq!(keys(&value["between_layouts"]), "new_fluid old_left");
    assert_eq!(keys(&value["between_layouts"]["new_fluid"]), "least most difference share");
    assert_eq!(keys(&value["by_order"]), "layout share");
    let list = value["layouts"].as_array().unwrap();
    assert_eq!(list.len(), 5);
    for (layout, file) in list.iter().zip(FILES) {
        assert_eq!(layout["file"], file, "in the order given");
        assert_eq!(
            keys(layout),
            "file title capacity_ml bleeders far_bleeder far_path_ml far_first near_first new_fluid_difference old_left_difference"
        );
        for key in ["new_fluid_difference", "old_left_difference"] {
            assert_eq!(keys(&layout[key]), "ml unsure_ml");
        }
        for order in ["far_first", "near_first"] {
            let run = &layout[order];
            assert_eq!(keys(run), "totals left order balance numerics warnings");
            assert_eq!(
                keys(&run["totals"]),
                "drained_ml removed_ml new_fluid_ml flow_seconds bay_seconds repumps fluid strokes"
            );
            assert_eq!(
                keys(&run["left"]),
                "old_ml old_fraction water_percent lowest_boiling_c lowest_boiling_part parts trapped oldest_part oldest_fraction regions axles"
            );
        }
    }
}

#[test]
fn csv_has_one_row_a_layout_and_order() {
    let columns = "file title capacity_ml bleeders far_bleeder far_path_ml order drained_ml removed_ml new_fluid_ml flow_seconds bay_seconds repumps left_old_ml left_old_fraction left_water_percent lowest_boiling_c lowest_boiling_part";
    let rows = csv_rows(&*ANSWER, columns);
    assert_eq!(rows.len(), 10);
    let hh = &ANSWER.layouts[4].near_first;
    assert_eq!((&rows[9][0], &rows[9][6]), ("hh.toml", "near first"));
    assert_eq!(rows[9][7].parse::<f64>().unwrap(), hh.totals.drained_ml);
    assert_eq!(rows[9][16].parse::<f64>().unwrap(), hh.left.lowest_boiling_c);
}

#[test]
fn every_file_that_cannot_be_used_is_told_with_its_mistakes() {
    let dir = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| {
        let path = dir.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let good = super::text_of("II");
    let one = write("one.toml", &good.replace("kind = \"hose\"", "kind = \"hoes\""));
    let two = write("two.toml", &good.replace("until = \"clean\"", "until = \"clena\""));
    let Ran { status, out, err: told } = layouts(&[FILES[0], &one, &two, "missing.toml"]);
    assert_eq!((status, out.as_str()), (Some(2), ""), "{told}");
    for words in ["one.toml", "two.toml", "missing.toml", "hoes", "clena"] {
        assert!(told.contains(words), "{words} in {told}");
    }
}

#[test]
fn a_job_that_must_be_stopped_is_named_and_is_status_3() {
    let dir = tempfile::tempdir().unwrap();
    let short = dir.path().join("short.toml");
    let text = super::text_of("HH").replace("loaded = \"1.5 L\"", "loaded = \"0.5 L\"");
    std::fs::write(&short, text).unwrap();
    let Ran { status, out, err } = layouts(&[FILES[0], FILES[1], short.to_str().unwrap()]);
    assert_eq!(status, Some(3), "{err}");
    let told = words(&err);
    assert!(told.contains("Stop, supply ran dry:") && told.contains("short.toml"), "{err}");
    assert!(!told.contains("ii.toml"), "{err}");
    // What a stopped job drained is compared with nothing.
    let out = words(&out);
    let between = out.split_once("Between the layouts").expect("two are left").1;
    assert!(!between.split_once('.').unwrap().0.contains("HH split"), "{out}");
}

#[test]
fn outputs_are_files_beside_one_another_and_never_a_scenario() {
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str| dir.path().join(name).to_str().unwrap().to_owned();
    let (json, csv, plots) = (at("a.json"), at("a.csv"), at("plots"));
    let ran = layouts(&[
        FILES[0], FILES[1], "--quiet", "--json", &json, "--csv", &csv, "--plots", &plots,
    ]);
    assert_eq!((ran.status, ran.out.as_str(), ran.err.as_str()), (Some(0), "", ""));
    let svg = std::fs::read_to_string(dir.path().join("plots/layouts.svg")).unwrap();
    for words in ["II split, front and rear", "X split, diagonals", "4\u{a0}bleeders"] {
        assert!(svg.contains(words), "{words}");
    }
    let png = std::fs::read(dir.path().join("plots/layouts.png")).unwrap();
    assert!(png.starts_with(b"\x89PNG"));
    assert!(std::fs::metadata(json).unwrap().len() > 1000);
    assert!(std::fs::metadata(csv).unwrap().len() > 500);

    let mine = at("mine.toml");
    std::fs::write(&mine, super::text_of("X")).unwrap();
    let ran = layouts(&[FILES[0], &mine, "--json", &mine]);
    assert!(ran.status == Some(2) && ran.err.contains("would overwrite"), "{ran:?}");
    assert_eq!(std::fs::read_to_string(&mine).unwrap(), super::text_of("X"));
    let ran = layouts(&["-", "-"]);
    assert!(ran.status == Some(2) && ran.err.contains("once"), "{ran:?}");
}

/// Ctrl-C (SIGINT) while many layouts are run.
#[cfg(unix)]
#[test]
fn ctrl_c_writes_what_is_finished() {
    // Eight bleeders take tens of milliseconds each way: so many take far longer than the wait, and are read
    // well before it is over.
    let many = vec![FILES[4]; 800];
    let (json, csv, table) = crate::common::interrupt::marked_as_partial(
        &[&["layouts"][..], &many].concat(),
        std::time::Duration::from_secs(3),
    );
    let finished = json["layouts"].as_array().unwrap().len();
    assert!(finished < many.len(), "{finished}");
    assert_eq!(csv.lines().count(), 1 + 2 * finished);
    assert!(csv.lines().skip(1).all(|row| row.ends_with(",true")), "{csv}");
    assert!(table.contains("PARTIAL"), "{table}");
}
