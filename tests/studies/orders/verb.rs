//! The verb as a user starts it. Figures in the snapshot are regression values.

use crate::common::program::{Ran, farwheel, keys};
use std::path::Path;
use std::time::Duration;

fn orders(arguments: &[&str]) -> Ran {
    farwheel(&[&["orders"], arguments].concat())
}

#[test]
fn the_table_at_80_columns() {
    let ran = orders(&["scenarios/estate-front-rear-split.toml"]);
    assert_eq!((ran.status, ran.err.as_str()), (Some(0), ""));
    insta::assert_snapshot!(ran.out);
}

#[test]
fn json_keeps_its_names_and_their_order_on_any_number_of_threads() {
    let dir = tempfile::tempdir().unwrap();
    let (one, two) = (dir.path().join("one.csv"), dir.path().join("two.csv"));
    let on = |threads: &str, csv: &Path| {
        let asked = ["scenarios/compact-hatchback.toml", "--draws", "20", "--seed", "4"];
        let to = ["--json", "-", "--csv", csv.to_str().unwrap(), "--threads", threads];
        orders(&[&asked[..], &to].concat())
    };
    let (a, b) = (on("1", &one), on("2", &two));
    assert_eq!(a.status, Some(0), "{}", a.err);
    assert!(a == b, "the same bytes on one thread and on two");
    assert_eq!(std::fs::read(one).unwrap(), std::fs::read(two).unwrap());
    let value = a.json();
    assert_eq!(
        keys(&value),
        "own_order draws seed orders asked by_place unsure_ml suffers deciders spreads title margin scenario_sha256 options_sha256"
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
    let near_first = ["--order", "near first", "--json", "-"];
    let plain = orders(&[&["scenarios/compact-hatchback.toml"], &near_first[..]].concat()).json();
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
        let Ran { status, out, err } = orders(&[car, "--order", order]);
        assert_eq!(status, Some(2), "{order}");
        assert!(out.is_empty() && err.contains(why), "{order}: {err}");
    }
    for (arguments, why) in
        [(["--draws", "99999999"], "ask for at most"), (["--json", car], "would overwrite")]
    {
        let ran = orders(&[&[car], &arguments[..]].concat());
        assert!(ran.status == Some(2) && ran.err.contains(why), "{ran:?}");
    }
}

#[test]
fn pictures_are_written_whole_and_hold_every_order() {
    let dir = tempfile::tempdir().unwrap();
    let plots = dir.path().join("plots");
    let drawn = |asked: &[&str], plots: &Path| {
        let to = ["--quiet", "--plots", plots.to_str().unwrap()];
        let ran = orders(&[asked, &to].concat());
        assert_eq!((ran.status, ran.err.as_str()), (Some(0), ""));
        std::fs::read_to_string(plots.join("orders.svg")).unwrap()
    };
    let svg = drawn(&["scenarios/compact-hatchback.toml"], &plots);
    assert!(svg.contains("LF, RF, RR, LR") && svg.contains("own order"));
    assert!(plots.join("orders.png").exists());
    let eight = dir.path().join("eight");
    let svg = drawn(&["scenarios/splits/hh.toml", "--order", "near first"], &eight);
    assert!(svg.contains("LFp, LFs, RFp, RFs,") && svg.contains("RRp: RR primary"), "codes");
}

/// Ctrl-C: what is finished is written whole and marked, exit status 130.
#[cfg(unix)]
#[test]
fn an_interrupted_study_says_what_is_finished() {
    // Far more draws than are made in a few seconds.
    let (json, csv, table) = crate::common::interrupt::marked_as_partial(
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
    let Ran { status, out, err } = orders(&[name, "--order", "near first"]);
    assert_eq!(status, Some(3), "{err}");
    assert!(err.contains("Stop, supply runs dry: ") && err.contains("2 of the orders"), "{err}");
    assert!(out.contains("Keep the order") && out.contains("Stop, supply runs dry: "), "{out}");
    let ran = orders(&["scenarios/compact-hatchback.toml", "--order", "near first"]);
    assert_eq!((ran.status, ran.err.as_str()), (Some(0), ""));
}
