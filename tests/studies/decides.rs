//! What decides on one car.

use crate::common::program::{brief, keeps_to_its_width, table, words};
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::report::Units;
use farwheel::study::compare::{Compared, OneCar};
use farwheel::study::decides::{Decides, EYE, LINES, Lever, ORDER, Question, WEAR, study};
use farwheel::study::orders;
use farwheel::study::progress::Nobody;
use std::sync::LazyLock;

const HATCHBACK: &str = include_str!("../../scenarios/compact-hatchback.toml");
const ESTATE: &str = include_str!("../../scenarios/estate-front-rear-split.toml");

/// With fewer draws than usual: what they are for is tested by `orders`.
fn decided(text: &str) -> Decides {
    let car = farwheel::read(text, "car.toml").expect("a car");
    let question = Question { draws: 12, ..Question::default() };
    study(&car, &question, &Options::default(), &Nobody).expect("a study")
}

static OF_HATCHBACK: LazyLock<Decides> = LazyLock::new(|| decided(HATCHBACK));

fn of<'a>(decides: &'a Decides, what: &str) -> &'a Lever {
    decides.lever(what).unwrap_or_else(|| panic!("no {what}"))
}

/// Each end is the job of a file in which that alone is written otherwise.
#[test]
fn an_end_is_the_job_of_a_file_so_written() {
    let decides = &*OF_HATCHBACK;
    let totals = |text: &str| {
        let car = farwheel::read(text, "car.toml").expect("a car");
        let options = Options { estimate_error: false, ..Options::default() };
        flush(&car, &options).expect("it runs").totals
    };
    let own = totals(HATCHBACK);
    assert!((decides.own.fluid_ml - own.new_fluid_ml).abs() < 1e-6, "{:?}", decides.own);
    // With the reservoir as full at the end as by the own procedure, what is drained differs by what new fluid does.
    let used = |from: &str, to: &str| {
        let text = HATCHBACK.replace(from, to);
        assert!(text != HATCHBACK, "{from} is not there");
        own.new_fluid_ml + totals(&text).drained_ml - own.drained_ml
    };
    let eye = of(decides, EYE);
    for (end, threshold) in [(&eye.least, "30 %"), (&eye.most, "10 %")] {
        let text = format!("[clear_hose]\nthreshold = \"{threshold}\" #");
        let there = used("[clear_hose]\nthreshold = ", &text);
        assert!((end.fluid_ml - there).abs() < 1e-6, "{end:?}: {there}");
        assert_eq!(end.at, format!("{threshold} old"));
    }
    let wear = of(decides, WEAR);
    assert!(wear.most.at == "100 %" && wear.least.at == "0 %", "{wear:?}");
    // Every line wider by the 0.05 mm and longer by the 5 % that the file states.
    let wide = HATCHBACK
        .replace("3.33 mm ± 0.05 mm", "3.38 mm ± 0.05 mm")
        .replace("5 m ± 5 %", "5.25 m")
        .replace("4 m ± 5 %", "4.2 m")
        .replace("1.8 m ± 5 %", "1.89 m")
        .replace("0.8 m ± 5 %", "0.84 m");
    let there = used(HATCHBACK, &wide);
    let lines = of(decides, LINES);
    assert!((lines.most.fluid_ml - there).abs() < 1e-6, "{lines:?}: {there}");
}

/// The order decides little where an eye looks, and what is counted shows in what is left (as docs/order.md has it).
#[test]
fn the_order_is_small_beside_the_eye() {
    let decides = &*OF_HATCHBACK;
    assert!(!decides.counted && decides.levers[0].what == EYE);
    assert!(of(decides, ORDER).fluid_ml * 10.0 < decides.levers[0].fluid_ml);
    let falling = decides.levers.windows(2).all(|two| two[0].fluid_ml >= two[1].fluid_ml);
    assert!(falling && decides.levers.iter().all(|l| l.least.fluid_ml <= l.most.fluid_ml));
    let counted = decided(ESTATE);
    assert!(counted.counted && counted.lever(EYE).is_none());
    assert!(of(&counted, ORDER).old_left_ml > 5.0);
    assert!(counted.levers.windows(2).all(|two| two[0].old_left_ml >= two[1].old_left_ml));
    // Counted millilitres are what they are, whatever the car.
    assert!(of(&counted, WEAR).fluid_ml < 1e-6 && of(&counted, WEAR).old_left_ml > 1.0);
}

/// As far apart as `orders` ranks them, at equal old fluid left.
#[test]
fn the_order_is_what_orders_says() {
    for (text, counted) in [(HATCHBACK, false), (ESTATE, true)] {
        let car = farwheel::read(text, "car.toml").expect("a car");
        let options = Options::default();
        let ranked = orders::study(&car, &orders::Question::default(), &options, &Nobody)
            .expect("a ranking");
        let saves: Vec<f64> =
            ranked.orders.iter().map(|s| s.equal.expect("made as clean").saves_ml).collect();
        let most = saves.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let least = saves.iter().copied().fold(f64::INFINITY, f64::min);
        let decides = if counted { decided(text) } else { OF_HATCHBACK.clone() };
        let (lever, order) = (of(&decides, ORDER), decides.order.as_ref().expect("orders"));
        assert!((lever.fluid_ml - (most - least)).abs() < 1e-9, "{lever:?}");
        assert!((order.best_saves_ml - most).abs() < 1e-9 && order.best_saves_ml >= 0.0);
        assert!((order.worst_costs_ml + least).abs() < 1e-9 && order.worst_costs_ml >= 0.0);
        assert_eq!(lever.least.at, order.best.join(", "));
        assert_eq!(lever.least.old_left_ml, decides.own.old_left_ml, "as much old fluid left");
        assert!(order.every_order && order.tried == 24 && order.draws == 12);
    }
}

/// What must be stopped is told, not left out in silence: an eye that 100 mL do not satisfy.
#[test]
fn what_must_be_stopped_is_told() {
    assert!(OF_HATCHBACK.stopped.is_empty());
    let most = "clean, at most 100 mL";
    let text = ESTATE.replacen(
        "until = [\"240 mL\", \"180 mL\", \"120 mL\", \"80 mL\"]",
        &format!("until = \"{most}\""),
        1,
    );
    assert!(text != ESTATE);
    let decides = decided(&text);
    let told = decides.stopped.iter().any(|s| s.starts_with("what the eye accepts: "));
    assert!(told, "{:?}", decides.stopped);
}

#[test]
fn the_answer_stands_first_below_the_car() {
    let car = farwheel::read(HATCHBACK, "car.toml").expect("a car");
    let options = Options { origins: false, ..Options::default() };
    let layouts = farwheel::study::layouts::compare(&[car], &options, &Nobody).expect("a row");
    let title = layouts.layouts[0].title.clone();
    let answer = OneCar(Compared { decides: Some(OF_HATCHBACK.clone()), ..Compared::of(layouts) });
    let text = brief(&answer, Units::Metric, 80);
    let after = text.strip_prefix(&title).expect("the car's name first").trim_start();
    assert!(after.starts_with("What the eye accepts decides: "), "{text}");
    assert!(after.lines().next().expect("a line").contains("; the order "), "{text}");
    keeps_to_its_width(&answer);
    assert!(table(&answer, Units::Metric, 80).contains("order of the"));
}

/// README and page hold what the program finds.
#[test]
fn the_pages_say_what_decides() {
    let decides = &*OF_HATCHBACK;
    let page = words(include_str!("../../docs/layouts.md"));
    let readme = words(include_str!("../../README.md"));
    let (eye, order) = (of(decides, EYE).fluid_ml, of(decides, ORDER).fluid_ml);
    let wear = of(decides, WEAR).fluid_ml;
    let said = format!(
        "On the hatchback the eye decides, {eye:.0} mL, then the pads' wear, {wear:.0} mL; from best order to worst it is {order:.0} mL."
    );
    assert!(page.contains(&said), "docs/layouts.md should say: {said}");
    let said = format!(
        "what the eye accepts decides, {eye:.0} mL of fluid; the order of the bleeders is worth {order:.0} mL"
    );
    assert!(readme.contains(&said), "README.md should say: {said}");
}
