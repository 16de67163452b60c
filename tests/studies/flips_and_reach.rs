//! When the order matters, and what each opening reaches.

use farwheel::Scenario;
use farwheel::job::options::Options;
use farwheel::job::{flush, record::Record};
use farwheel::study::flips::{Flips, study, worth};
use farwheel::study::progress::Nobody;
use farwheel::study::reach::{Reach, study as reach};

fn car(name: &str) -> Scenario {
    let path = format!("{}/scenarios/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).expect("shipped");
    farwheel::read(&text, name).expect("a car")
}

fn flips(car: &Scenario, margin: f64) -> Flips {
    study(car, margin, &Options::default(), &Nobody).expect("a study")
}

/// Closed by eye the order hardly matters; counted out by position it does (common practice, no source, and docs/order.md).
#[test]
fn counting_makes_the_order_matter_and_looking_makes_it_not() {
    let by_eye = flips(&car("compact-hatchback"), 0.05);
    assert!(!by_eye.matters && by_eye.own.share < 0.05 && by_eye.every_order);
    let closing = by_eye.flips.iter().find(|f| f.what == "how a bleeder is closed").expect("tried");
    assert!(closing.share_of_range == Some(1.0) && closing.worth.share > 0.05, "{closing:?}");
    let counted = flips(&car("estate-front-rear-split"), 0.05);
    assert!(counted.matters);
    let closing =
        counted.flips.iter().find(|f| f.what == "how a bleeder is closed").expect("tried");
    assert!(closing.share_of_range == Some(1.0) && closing.worth.share < 0.05, "{closing:?}");
}

/// Where it is said to turn, it does; the smallest change stands first; a margin beyond all of them is passed by none.
#[test]
fn it_turns_where_it_is_said_to() {
    let hatchback = car("compact-hatchback");
    let answer = flips(&hatchback, 0.05);
    let shares: Vec<f64> =
        answer.flips.iter().map(|f| f.share_of_range.unwrap_or(f64::INFINITY)).collect();
    assert!(shares.is_sorted(), "{shares:?}");
    assert!(shares.iter().all(|s| *s > 0.0));
    let first = &answer.flips[0];
    assert_eq!(first.what, "wear of the pads", "{answer:?}");
    let worn: f64 = first.at.as_ref().and_then(|at| at.split(' ').next()?.parse().ok()).expect("%");
    let own = hatchback.vehicle.pad_wear.value;
    let share = first.share_of_range.expect("it turns");
    assert!(((worn / 100.0 - own).abs() - share).abs() < 0.006, "{worn} %, {share}");
    let options =
        Options { steps_per_path: 4.0, lanes: Some(12), flow_drift: 0.05, ..Options::default() };
    let at = |wear: f64| {
        let with = |t: &mut farwheel::scenario::model::Tables| t.vehicle.pad_wear.value = wear;
        worth(&hatchback.changed(with).expect("a car"), &options).expect("a worth").share
    };
    assert!(at(own + share) > 0.05, "{}", at(own + share));
    assert!(at(own + share - 0.02) < 0.05, "{}", at(own + share - 0.02));
    assert!(flips(&hatchback, 0.9).flips.iter().all(|f| f.at.is_none() && f.worth.share < 0.9));
}

fn reached(car: &Scenario) -> (Reach, Record) {
    let options = Options { estimate_error: false, ..Options::default() };
    (reach(car, &Options::default()).expect("a study"), flush(car, &options).expect("it runs"))
}

/// What is moved and what is left is all there was, and what is left is what `flush` leaves.
#[test]
fn shares_moved_and_left_make_one() {
    for name in [
        "compact-hatchback",
        "compact-hatchback-syringed",
        "saloon-esc-with-routine",
        "pickup-rear-drums",
    ] {
        let (reach, record) = reached(&car(name));
        for p in &reach.parts {
            let sum = p.moved.iter().sum::<f64>() + p.moved_otherwise + p.left;
            assert!((sum - 1.0).abs() < 1e-9, "{name}, {}: {sum}", p.part);
            let left = record.left.parts.iter().find(|l| l.part == p.part).expect("a part");
            let old_ml = left.old_fraction * left.volume_ml;
            assert!(
                (p.left * p.old_ml - old_ml).abs() < 1e-6 * p.old_ml.max(1.0),
                "{name}, {}",
                p.part
            );
        }
    }
}

/// Where the graph lets no fluid through to an open bleeder, nothing moves; trapped fluid is what no opening reaches.
#[test]
fn what_the_graph_does_not_reach_does_not_move() {
    for name in [
        "compact-hatchback",
        "saloon-esc-plain-flush",
        "off-roader-eight-bleeders",
        "hatchback-with-clutch",
    ] {
        let (reach, record) = reached(&car(name));
        let mut zeros = 0;
        for p in &reach.parts {
            for (moved, reached) in p.moved.iter().zip(&p.reached) {
                assert!(*reached || moved.abs() < 1e-12, "{name}, {}: {moved}", p.part);
                zeros += usize::from(!reached);
            }
            let left = record.left.parts.iter().find(|l| l.part == p.part).expect("a part");
            assert_eq!(p.trapped(), !left.reached, "{name}, {}", p.part);
        }
        assert!(zeros > reach.parts.len(), "{name}: every wheel has its own line");
    }
    // On a diagonal split (DIN 74000, from memory) one chamber feeds LF and RR, the other RF and LR.
    let (reach, _) = reached(&car("compact-hatchback"));
    let opened: Vec<&str> = reach.openings.iter().map(|o| o.bleeders[0].as_str()).collect();
    let on = |part: &str| -> Vec<&str> {
        let p = reach.parts.iter().find(|p| p.part == part).expect("a part");
        let mut on: Vec<&str> =
            opened.iter().zip(&p.reached).filter(|(_, r)| **r).map(|(o, _)| *o).collect();
        on.sort_unstable();
        on
    };
    assert_eq!((on("secondary"), on("primary")), (vec!["LF", "RR"], vec!["LR", "RF"]));
    assert_eq!(on("reservoir").len(), 4);
}
