//! What decides on one car.

use crate::common::program::{brief, table};
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::report::Units;
use farwheel::study::decides::{Decides, Lever, ORDER, study};
use farwheel::study::progress::Nobody;

const HATCHBACK: &str = include_str!("../../scenarios/compact-hatchback.toml");
const ESTATE: &str = include_str!("../../scenarios/estate-front-rear-split.toml");

fn decided(text: &str) -> Decides {
    let car = farwheel::read(text, "car.toml").expect("a car");
    study(&car, &Options::default(), &Nobody).expect("a study")
}

fn of<'a>(decides: &'a Decides, what: &str) -> &'a Lever {
    decides.levers.iter().find(|l| l.what == what).unwrap_or_else(|| panic!("no {what}"))
}

/// Each end is the job of a file in which that alone is written otherwise.
#[test]
fn an_end_is_the_job_of_a_file_so_written() {
    let decides = decided(HATCHBACK);
    let drained = |from: &str, to: &str| {
        let text = HATCHBACK.replacen(from, to, 1);
        assert!(text != HATCHBACK, "{from} is not there");
        let car = farwheel::read(&text, "car.toml").expect("a car");
        let options = Options { estimate_error: false, ..Options::default() };
        flush(&car, &options).expect("it runs").totals.drained_ml
    };
    let eye = of(&decides, "what the eye accepts");
    for (end, threshold) in [(&eye.least, "30 %"), (&eye.most, "10 %")] {
        let text = format!("[clear_hose]\nthreshold = \"{threshold}\" #");
        let there = drained("[clear_hose]\nthreshold = ", &text);
        assert!((end.fluid_ml - there).abs() < 1e-6, "{end:?}: {there}");
        assert_eq!(end.at, format!("{threshold} old"));
    }
    let wear = of(&decides, "wear of the pads");
    assert!(wear.most.at == "100 %" && wear.least.at == "0 %", "{wear:?}");
}

/// The order decides little where an eye looks, and what is counted shows in what is left (as docs/order.md has it).
#[test]
fn the_order_is_small_beside_the_eye() {
    let decides = decided(HATCHBACK);
    assert!(!decides.counted && decides.levers[0].what == "what the eye accepts");
    assert!(of(&decides, ORDER).fluid_ml * 10.0 < decides.levers[0].fluid_ml);
    let falling = decides.levers.windows(2).all(|two| two[0].fluid_ml >= two[1].fluid_ml);
    assert!(falling && decides.levers.iter().all(|l| l.least.fluid_ml <= l.most.fluid_ml));
    let counted = decided(ESTATE);
    assert!(counted.counted && counted.levers.iter().all(|l| l.what != "what the eye accepts"));
    assert!(of(&counted, ORDER).fluid_ml < 1e-6 && of(&counted, ORDER).old_left_ml > 5.0);
    assert!(counted.levers.windows(2).all(|two| two[0].old_left_ml >= two[1].old_left_ml));
}

/// What must be stopped is told, not left out in silence: an eye that 100 mL do not satisfy.
#[test]
fn what_must_be_stopped_is_told() {
    assert!(decided(HATCHBACK).stopped.is_empty());
    let most = "clean, at most 100 mL";
    let text = ESTATE.replacen(
        "until = [\"240 mL\", \"180 mL\", \"120 mL\", \"80 mL\"]",
        &format!("until = \"{most}\""),
        1,
    );
    assert!(text != ESTATE);
    let decides = decided(&text);
    assert!(
        decides.stopped.iter().any(|s| s.starts_with("what the eye accepts: ")),
        "{:?}",
        decides.stopped
    );
}

#[test]
fn the_answer_stands_first() {
    let car = farwheel::read(HATCHBACK, "car.toml").expect("a car");
    let options = Options { origins: false, ..Options::default() };
    let mut answer =
        farwheel::study::layouts::compare(&[car], &options, &Nobody).expect("a comparison");
    answer.decides = Some(decided(HATCHBACK));
    let text = brief(&answer, Units::Metric, 80);
    assert!(text.starts_with("What the eye accepts decides: "), "{text}");
    crate::common::program::keeps_to_its_width(&answer);
    assert!(table(&answer, Units::Metric, 80).contains("order of the"));
}
