//! Keys that a person at the car can answer: what a new part makes of the job and of what is said of it, and what a
//! motorcycle is called.

use crate::common::cars::{HATCHBACK, quick, read};
use crate::common::program::farwheel_on;
use farwheel::Scenario;
use farwheel::job::record::{Warning, WarningKind};
use farwheel::job::{check, flush};

/// The compact hatchback with lines more behind those that stand in it.
fn car(edits: &[(&str, &str)]) -> String {
    let mut text = HATCHBACK.to_owned();
    for (behind, line) in edits {
        assert!(text.contains(behind), "`{behind}` must stand in the car");
        text = text.replacen(behind, &format!("{behind}{line}"), 1);
    }
    text
}

const CALIPER: (&str, &str) = ("RR = { like = \"rear\", ", "replaced = true, ");
const HOSE: (&str, &str) = ("\"hose LF\" = { ", "replaced = true, ");
const MASTER: (&str, &str) = ("[master_cylinder] # bore 22.2 mm\n", "replaced = true\n");

/// What is said of the air in new parts, by `check` and by `flush` alike.
fn air(scenario: &Scenario) -> Option<String> {
    let of = |warnings: &[Warning]| {
        let found = warnings.iter().find(|w| w.kind == WarningKind::AirInAReplacedPart);
        found.map(|w| w.text.clone())
    };
    let before = of(&check(scenario, &quick()).expect("looked over").warnings);
    assert_eq!(of(&flush(scenario, &quick()).expect("run").warnings), before);
    before
}

#[test]
fn a_new_part_holds_air_until_its_bleeders_are_bled() {
    assert_eq!(air(&read(&car(&[]))), None);
    for (edits, parts, bleeders) in [
        (&[CALIPER][..], "RR was replaced and holds air until bled", "bleed at RR until"),
        (&[HOSE], "hose LF was replaced", "bleed at LF until"),
        (&[HOSE, CALIPER], "hose LF, RR were replaced and hold", "bleed at RR, LF until"),
        (&[MASTER], "the master cylinder was replaced", "bleed at every bleeder until"),
    ] {
        let text = air(&read(&car(edits))).expect(parts);
        for says in
            [parts, bleeders, "no bubbles come", "pedal is firm", "hold only once", "(line "]
        {
            assert!(text.contains(says), "`{says}` is missing in: {text}");
        }
    }
}

#[test]
fn a_new_part_holds_new_fluid_unless_it_says_otherwise() {
    let of = |text: &str, name: &str| {
        let scenario = read(text);
        let circuit = scenario.circuit();
        let nodes = circuit.nodes.iter().filter(|n| n.part == name && n.chamber.is_some());
        nodes.map(|n| n.filling).next().expect("a chamber")
    };
    let new = |f: farwheel::circuit::Filling| {
        f.old_fraction == 0.0 && (f.water_share - 0.001).abs() < 1e-9
    };
    assert_eq!(of(&car(&[]), "RR").old_fraction, 1.0);
    assert!(new(of(&car(&[CALIPER]), "RR")));
    assert!(new(of(&car(&[MASTER]), "primary")));
    let used = ("RR = { like = \"rear\", ", "replaced = true, old_fraction = \"40 %\", ");
    let held = of(&car(&[used]), "RR");
    assert!((held.old_fraction - 0.4).abs() < 1e-12 && held.water_share > 0.01);
    assert!(air(&read(&car(&[used]))).is_some(), "it holds air all the same");
}

#[test]
fn card_page_and_plan_say_so_too() {
    let text = car(&[CALIPER]);
    let say = |arguments: &[&str]| {
        let ran = farwheel_on(&text, arguments);
        assert!(ran.out.contains("was replaced and holds air"), "{arguments:?}");
    };
    say(&["card", "-", "-o", "-", "--draws", "20"]);
    say(&["live", "-", "-o", "-"]);
    say(&["plan", "-", "--old-anywhere", "20 %", "--grid", "50 mL", "--json", "-"]);
    say(&["flush", "-", "--no-error-estimate", "--json", "-"]);
}

const MOTORCYCLE: &str = include_str!("../../scenarios/motorcycle-front.toml");

/// What is read of an answer of the motorcycle, without what its own file and shipped words say.
fn of_the_motorcycle(arguments: &[&str]) -> String {
    assert!(MOTORCYCLE.contains("chambers ="));
    let text = MOTORCYCLE.replacen("chambers =", "replaced = true\nchambers =", 1);
    farwheel_on(&text, arguments).out
}

#[test]
fn a_motorcycle_has_neither_steering_wheel_nor_jack_stands() {
    let card = of_the_motorcycle(&["card", "-", "-o", "-", "--draws", "20"]);
    let live = of_the_motorcycle(&["live", "-", "-o", "-", "--wording", "uk"]);
    // Without the page's own script.
    let live = live.split_once("<script").map_or(live.as_str(), |(shown, _)| shown).to_owned();
    let check = of_the_motorcycle(&["check", "-"]);
    for (page, says) in [
        (&card, "a paddock stand"),
        (&card, "Lever firm"),
        (&card, "Motorcycle stops at walking pace"),
        (&card, "lever or pedal is firm"),
        (&live, "a paddock stand"),
        (&live, "the motorcycle must stop"),
        (&check, "Motorcycle."),
    ] {
        assert!(page.contains(says), "`{says}` is missing in: {page}");
    }
    for page in [&card, &live, &check] {
        let body = page.split_once("<main").map_or(page.as_str(), |(_, body)| body);
        for never in [
            "teering wheel",
            "driver’s side",
            "jack stands",
            "axle stands",
            " car ",
            "with the engine off",
        ] {
            assert!(!body.contains(never), "`{never}` is said of a motorcycle");
        }
    }
}
