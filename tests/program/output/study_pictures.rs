//! The pictures of the studies, with plain names, with long ones and with such as nobody should write.

use super::looks::{faults, hard_to_read, nasty_names, reading_in_the_dark};
use farwheel::Scenario;
use farwheel::job::options::Options;
use farwheel::plot::{self, Picture};
use farwheel::study::compare::{Compared, OneCar};
use farwheel::study::plan::Targets;
use farwheel::study::progress::Nobody;
use farwheel::study::{decides, layouts, orders, plan, pressures, spread};

/// A small car: two bleeders of these names, a title, what else pushes. `None` if the reader refuses a name.
fn car(title: &str, names: [&str; 2]) -> Option<(String, Scenario)> {
    let [title, one, two] = [title, names[0], names[1]].map(|n| serde_json::to_string(n).unwrap());
    let text = format!(
        r#"
title = {title}
[vehicle]
pad_wear = "40 % ± 20 %"
gauge_limit = "15 psi"
[old_fluid]
grade = "DOT 4"
[new_fluid]
grade = "DOT 4"
[reservoir]
level = "25 mL ± 3 mL"
min = "12 mL"
max = "28 mL"
brim = "32 mL"
[master_cylinder]
chambers = ["lever"]
volume = "2.5 mL ± 0.5 mL"
[parts]
hose = {{ kind = "hose", from = "lever", length = "0.9 m ± 5 %" }}
tee = {{ kind = "tee", from = "hose" }}
near = {{ kind = "hose", from = "tee", length = "0.3 m" }}
far = {{ kind = "hose", from = "tee", length = "0.6 m" }}
{one} = {{ kind = "caliper", from = "far", new_pads = "8 mL ± 1 mL" }}
{two} = {{ kind = "caliper", from = "near", new_pads = "8 mL ± 1 mL" }}
[supplies]
vessel = {{ kind = "pressure bleeder", loaded = "1 L", gauge = "10 psi" }}
{one} = {{ kind = "gravity" }}
{two} = {{ kind = "gravity" }}
[procedure]
supply = "vessel"
open = [{one}, {two}]
until = "clean, at most 400 mL"
"#
    );
    let scenario = farwheel::read(&text, "car.toml").ok()?;
    Some((text, scenario))
}

/// One picture of each study.
fn drawn(text: &str, car: &Scenario) -> Vec<Picture> {
    let options = Options::default();
    let question = orders::Question { draws: 4, ..orders::Question::default() };
    let ranked = orders::study(car, &question, &options, &Nobody).expect("orders");
    let question = pressures::Question { steps: 2, ..pressures::Question::default() };
    let swept = pressures::study(car, &question, &options, &Nobody).expect("a sweep");
    let beside = layouts::compare(&[car.clone(), car.clone()], &options, &Nobody);
    let question = spread::Question { draws: 24, ..spread::Question::default() };
    let ranges = spread::study(car, &question, &options, &Nobody).expect("ranges");
    let question = plan::Question {
        targets: Targets { old_overall: Some(0.1), ..Targets::default() },
        grid_ml: 40.0,
        ..plan::Question::default()
    };
    let planned = plan::study(car, text, &question, &options, &Nobody).expect("a plan");
    let alone = layouts::compare(std::slice::from_ref(car), &options, &Nobody).expect("one layout");
    let question = decides::Question { draws: 4, ..decides::Question::default() };
    let decided = decides::study(car, &question, &options, &Nobody).expect("what decides");
    let decided = OneCar(Compared { decides: Some(decided), ..Compared::of(alone) });
    let mut all = plot::draw_all(&ranges).unwrap();
    all.extend(plot::draw_all(&ranked).unwrap());
    all.extend(plot::draw_all(&swept).unwrap());
    all.extend(plot::draw_all(&beside.expect("layouts")).unwrap());
    all.extend(plot::draw_all(&planned).unwrap());
    all.extend(plot::draw_all(&decided).unwrap());
    all
}

fn sound(pictures: &[Picture]) {
    for p in pictures {
        assert_eq!(faults(&p.svg), Vec::<String>::new(), "{}", p.name);
        let dark = reading_in_the_dark(&p.svg);
        for (svg, reading) in [(&p.svg, "light"), (&dark, "dark")] {
            assert_eq!(hard_to_read(svg), Vec::<String>::new(), "{}, {reading}", p.name);
        }
        for size in p.svg.split("font-size=\"").skip(1) {
            // As of the pictures of a job: 11 px at 360 px.
            let size: f64 = size.split('"').next().unwrap().parse().unwrap();
            assert!(size / 20.0 >= 11.0 - 1e-9, "{size} in {}", p.name);
        }
    }
}

#[test]
fn plain_and_long_names() {
    let (text, plain) = car("A small car", ["RR", "LF"]).expect("a scenario");
    let pictures = drawn(&text, &plain);
    sound(&pictures);
    for (picture, units) in pictures.iter().zip([
        &["mL drained until it looks clean", "Minutes with the bleeder open"][..],
        &["share of the variance of the mL drained", "% ("],
        &["used, mL", "saves", "new fluid used, mL"],
        &["minutes with a bleeder open", "mL of new fluid; old fluid left", "psi", "kPa"],
        &["mL of new fluid until every bleeder is closed", "% old"],
        &["old fluid left, share of the system", "new fluid used, mL"],
        &["Fluid used, mL", "Old fluid left, mL", "as it is:"],
    ]) {
        let words = picture.svg.replace('\n', " ");
        for unit in units {
            // A line may break anywhere between words.
            let all = unit.split(' ').all(|word| words.contains(word));
            assert!(all, "{unit} in {}", picture.name);
        }
    }

    // Thirty letters each, told apart by the last one only.
    let names = ["rear caliper, upper right half 1", "rear caliper, upper right half 2"];
    let (text, long) =
        car(&"A car with a title that goes on and on ".repeat(3), names).expect("a scenario");
    let pictures = drawn(&text, &long);
    sound(&pictures);
    for name in names {
        assert!(pictures[0].svg.contains(name), "the ranges name {name} in full");
    }
}

#[test]
fn names_that_nobody_should_write() {
    // Control characters, empty titles and endless names do not get past the reader.
    let cars: Vec<_> = nasty_names()
        .iter()
        .map(|name| name.chars().take(44).collect::<String>().trim().to_owned())
        .filter_map(|name| car(&name, [&format!("{name} 1"), &format!("{name} 2")]))
        .collect();
    assert!(cars.len() >= 4, "{} names pass", cars.len());
    for (text, car) in cars {
        sound(&drawn(&text, &car));
    }
}
