//! The verb as a user starts it. Figures in the snapshot are regression values.

use crate::shown::keys;
use assert_cmd::Command;
use std::time::Duration;

/// Exit status, standard output and standard error.
fn orders(arguments: &[&str]) -> (Option<i32>, Vec<u8>, String) {
    let run = Command::new(env!("CARGO_BIN_EXE_farwheel"))
        .arg("orders")
        .args(arguments)
        .output()
        .expect("an ending");
    (run.status.code(), run.stdout, String::from_utf8(run.stderr).unwrap())
}

#[test]
fn the_table_at_80_columns() {
    let (status, out, err) = orders(&["scenarios/estate-front-rear-split.toml"]);
    assert_eq!((status, err.as_str()), (Some(0), ""));
    insta::assert_snapshot!(String::from_utf8(out).unwrap());
}

#[test]
fn json_keeps_its_names_and_their_order_on_any_number_of_threads() {
    let dir = tempfile::tempdir().unwrap();
    let (one, two) = (dir.path().join("one.csv"), dir.path().join("two.csv"));
    let on = |threads: &str, csv: &std::path::Path| {
        let csv = csv.to_str().unwrap();
        orders(&[
            "scenarios/compact-hatchback.toml",
            "--draws",
            "20",
            "--seed",
            "4",
            "--json",
            "-",
            "--csv",
            csv,
            "--threads",
            threads,
        ])
    };
    let (a, b) = (on("1", &one), on("2", &two));
    assert_eq!(a.0, Some(0), "{}", a.2);
    assert!(a == b, "the same bytes on one thread and on two");
    assert_eq!(std::fs::read(one).unwrap(), std::fs::read(two).unwrap());
    let value: serde_json::Value = serde_json::from_slice(&a.1).unwrap();
    assert_eq!(
        keys(&value),
        "own_order draws seed orders asked by_place unsure_ml suffers deciders spreads title scenario_sha256 options_sha256"
    );
    assert_eq!(value["own_order"], serde_json::json!(["RR", "LR", "RF", "LF"]));
    assert_eq!((value["draws"].as_u64(), value["seed"].as_u64()), (Some(20), Some(4)));
    let list = value["orders"].as_array().unwrap();
    assert_eq!(list.len(), 24);
    let mut saved = f64::INFINITY;
    for order in list {
        assert_eq!(
            keys(order),
            "order drained_ml flow_seconds left_old_ml left_old_fraction lowest_boiling_c equal told_apart \
             saves_ml_p10 saves_ml_p50 saves_ml_p90 better_share new_fluid_ml place short_ml stopped"
        );
        assert_eq!(keys(&order["equal"]), "drained_ml saves_ml new_fluid_ml");
        let saves = order["equal"]["saves_ml"].as_f64().unwrap();
        assert!(saves <= saved + 0.5, "those that save most first, but for what is not told apart");
        saved = saved.min(saves);
    }
    let (_, plain, _) =
        orders(&["scenarios/compact-hatchback.toml", "--order", "near first", "--json", "-"]);
    let plain: serde_json::Value = serde_json::from_slice(&plain).unwrap();
    assert_eq!(
        keys(&plain["orders"][0]),
        "order drained_ml flow_seconds left_old_ml left_old_fraction lowest_boiling_c equal told_apart new_fluid_ml place short_ml stopped"
    );
    assert_eq!(plain["orders"].as_array().unwrap().len(), 2);
    assert!(plain.get("spreads").is_none(), "none without draws");
    assert_eq!((&value["asked"], &value["by_place"]), (&24.into(), &false.into()));
    assert_eq!(keys(&value["deciders"][0]), "what new_fluid_ml left_old_ml");
}

#[test]
fn orders_that_cannot_be_opened_are_explained() {
    let car = "scenarios/compact-hatchback.toml";
    for (order, why) in [
        ("RR, LR, RF", "leaves it out"),
        ("RR, LR, RF, LF, LF", "twice"),
        ("RR, LR, RF, XX", "opens no bleeder \"XX\""),
        ("RR LR RF LF", "as in \"RR, LR, RF, LF\""),
    ] {
        let (status, out, err) = orders(&[car, "--order", order]);
        assert_eq!(status, Some(2), "{order}");
        assert!(out.is_empty() && err.contains(why), "{order}: {err}");
    }
    let (status, _, err) = orders(&[car, "--draws", "99999999"]);
    assert_eq!(status, Some(2));
    assert!(err.contains("ask for at most"), "{err}");
    let (status, _, err) = orders(&[car, "--json", car]);
    assert_eq!(status, Some(2));
    assert!(err.contains("would overwrite"), "{err}");
}

#[test]
fn pictures_are_written_whole_and_hold_every_order() {
    let dir = tempfile::tempdir().unwrap();
    let plots = dir.path().join("plots");
    let (status, _, err) = orders(&[
        "scenarios/compact-hatchback.toml",
        "--quiet",
        "--plots",
        plots.to_str().unwrap(),
    ]);
    assert_eq!((status, err.as_str()), (Some(0), ""));
    let svg = std::fs::read_to_string(plots.join("orders.svg")).unwrap();
    assert!(svg.contains("LF, RF, RR, LR") && svg.contains("own order"));
    assert!(plots.join("orders.png").exists());
    let eight = dir.path().join("eight");
    let hh = ["scenarios/splits/hh.toml", "--order", "near first", "--quiet", "--plots"];
    let (status, _, err) = orders(&[&hh[..], &[eight.to_str().unwrap()]].concat());
    assert_eq!((status, err.as_str()), (Some(0), ""));
    let svg = std::fs::read_to_string(eight.join("orders.svg")).unwrap();
    assert!(svg.contains("LFp, LFs, RFp, RFs,") && svg.contains("RRp: RR primary"), "codes");
}

/// Ctrl-C: what is finished is written whole and marked, exit status 130.
#[cfg(unix)]
#[test]
fn an_interrupted_study_says_what_is_finished() {
    // Far more draws than are made in a few seconds.
    let (json, csv, table) = crate::interrupt::marked_as_partial(
        &["orders", "scenarios/compact-hatchback.toml", "--draws", "100000"],
        Duration::from_secs(4),
    );
    assert!(table.contains("Interrupted"), "{table}");
    let draws = json["draws"].as_u64().unwrap();
    assert!(draws < 100_000, "{draws}");
    assert_eq!(json["orders"].as_array().unwrap().len(), 24);
    assert!(csv.lines().skip(1).all(|row| row.ends_with(",true")), "{csv}");
}

/// A load that is not enough ends with status 3, and standard error says why; figures are those of enough.
#[test]
fn a_load_that_is_not_enough_is_said() {
    let dir = tempfile::tempdir().expect("a place");
    let car = std::fs::read_to_string("scenarios/compact-hatchback.toml").expect("the car");
    let file = dir.path().join("dry.toml");
    std::fs::write(&file, car.replace("loaded = \"1 L\"", "loaded = \"500 mL\"")).expect("written");
    let name = file.to_str().expect("a plain name");
    let (status, out, err) = orders(&[name, "--order", "near first"]);
    assert_eq!(status, Some(3), "{err}");
    assert!(err.contains("Stop, supply runs dry: ") && err.contains("2 of the orders"), "{err}");
    let out = String::from_utf8(out).expect("text");
    assert!(out.contains("What it comes to") && out.contains("Stop, supply runs dry: "), "{out}");
    let (status, _, err) = orders(&["scenarios/compact-hatchback.toml", "--order", "near first"]);
    assert_eq!((status, err.as_str()), (Some(0), ""));
}
