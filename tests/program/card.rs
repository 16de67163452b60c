//! The job card: its figures are those of `flush` and `check`, its words those asked for, its text harmless.

use crate::common::program::{Ran, farwheel, farwheel_on, words};
use serde_json::Value;

pub(super) const CAR: &str = "scenarios/compact-hatchback.toml";

/// The card of a scenario on standard output, with as few draws as are allowed.
pub(super) fn card(scenario: &str, more: &[&str]) -> Ran {
    let mut arguments = vec!["card", scenario, "-o", "-", "--draws", "20"];
    arguments.extend(more);
    farwheel(&arguments)
}

/// The same of a text.
pub(super) fn card_of(text: &str) -> Ran {
    farwheel_on(text, &["card", "-", "-o", "-", "--draws", "20"])
}

pub(super) fn json(verb: &str, scenario: &str) -> Value {
    let mut arguments = vec![verb, scenario, "--json", "-"];
    if verb == "flush" {
        arguments.push("--no-error-estimate");
    }
    farwheel(&arguments).json()
}

/// The page without markup, its character references resolved and its spaces plain.
pub(super) fn read(page: &str) -> String {
    let body = page.split_once("<main").expect("a body").1;
    let mut text = String::new();
    let mut within = true;
    for c in body.chars() {
        match c {
            '<' => within = true,
            '>' if within => {
                within = false;
                text.push(' ');
            }
            c if !within => text.push(c),
            _ => {}
        }
    }
    for (reference, c) in
        [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&#x27;", "'"), ("&#x2f;", "/")]
    {
        text = text.replace(reference, c);
    }
    words(&text.replace("&amp;", "&"))
}

pub(super) fn says(text: &str, what: &str) {
    assert!(text.contains(what), "`{what}` is missing in: {text}");
}

/// As the card tells a time; a second writing of it, from the figures of the JSON.
fn lasting(seconds: f64) -> String {
    let all = seconds.round() as u64;
    match all {
        0..=59 => format!("{all} s"),
        60..=599 => format!("{} min {} s", all / 60, all % 60),
        _ => format!("{:.0} min", all as f64 / 60.0),
    }
}

/// Whose side a bleeder named after its wheel is on.
fn side(bleeder: &str, steered_on_the_left: bool) -> &'static str {
    if bleeder.starts_with('L') == steered_on_the_left {
        "driver’s side"
    } else {
        "passenger side"
    }
}

#[test]
fn the_side_of_the_steering_wheel_is_the_drivers() {
    let car = std::fs::read_to_string(CAR).expect("the car");
    for (steering, left) in [("left", true), ("right", false)] {
        let text =
            card_of(&car.replace("steering = \"left\"", &format!("steering = \"{steering}\"")));
        for wheel in ["RR", "LR", "RF", "LF"] {
            says(&read(&text.out), &format!(" {wheel} {} ", side(wheel, left)));
        }
    }
    // A motorcycle's bleeders are not named after a car's wheels.
    let motorcycle = read(&card("scenarios/motorcycle-front.toml", &[]).out);
    assert!(!motorcycle.contains("driver’s side") && !motorcycle.contains("passenger side"));
}

#[test]
fn millilitres_times_and_origins_are_those_of_flush() {
    for scenario in [CAR, "scenarios/off-roader-eight-bleeders.toml"] {
        let text = read(&card(scenario, &[]).out);
        let record = json("flush", scenario);
        for (i, o) in record["openings"].as_array().expect("openings").iter().enumerate() {
            let number = |key: &str| o[key].as_f64().expect("a number");
            let name = o["bleeder"].as_str().expect("a name");
            says(
                &text,
                &format!(
                    "{} {name} {} {:.0} mL clean from {:.0} (",
                    i + 1,
                    side(name, true),
                    number("drained_ml"),
                    number("clean_at_ml")
                ),
            );
            // A pause to pump up is no time of the bleeder.
            let time = lasting(number("drained_ml") / number("mean_flow_ml_per_s"));
            let time = time.strip_suffix(" 0 s").unwrap_or(&time);
            says(
                &text,
                &format!(
                    "then {:.0} mL more · about {time}",
                    number("drained_ml") - number("clean_at_ml")
                ),
            );
            let new = o["origins_ml"]["new fluid"].as_f64().expect("a number");
            says(&text, &format!("N {new:.0} "));
        }
        let bay = record["totals"]["bay_seconds"].as_f64().expect("a number");
        says(&text, &format!("Time in the bay {}", lasting(bay)));
        says(&text, "set-up 10 min");
    }
}

#[test]
fn the_range_is_that_of_spread_and_holds_its_own_middle() {
    let text = read(&card(CAR, &["--seed", "7"]).out);
    let arguments = ["spread", CAR, "--draws", "20", "--seed", "7", "--json", "-"];
    let spread = farwheel(&arguments).json();
    for b in spread["bleeders"].as_array().expect("bleeders") {
        let [low, high] =
            ["clean_at_ml_p10", "clean_at_ml_p90"].map(|k| b[k].as_f64().expect("a number"));
        assert!(low < high);
        says(&text, &format!("({low:.0}–{high:.0})"));
    }
}

#[test]
fn the_leak_test_is_that_of_check() {
    let text = read(&card(CAR, &[]).out);
    let leak = &json("check", CAR)["leak_test"];
    let [before, after] =
        ["gauge_before_kpa", "gauge_after_kpa"].map(|k| leak[k].as_f64().expect("a number"));
    assert!(before > after);
    says(&text, &format!("the gauge falls once, from {before:.0} to {after:.0} kPa"));
    let at = |what: &str| text.find(what).unwrap_or_else(|| panic!("`{what}` in {text}"));
    assert!(at("feed valve shut, pump to 103 kPa") < at("Leak test"));
    assert!(at("Leak test") < at("1 RR"));
    let gravity = read(&card(CAR, &["--supply", "gravity"]).out);
    says(&gravity, "Leak test: every joint and hose is dry");
}

/// Where nothing presses, nobody is told of what presses; with a pedal of what works it.
#[test]
fn words_follow_the_supply() {
    for (supply, title) in [
        ("gravity", "brake fluid flush by gravity"),
        ("vacuum pump", "brake fluid flush by vacuum"),
        ("pedal", "brake fluid flush by two people"),
    ] {
        let text = read(&card(CAR, &["--supply", supply]).out);
        says(&text, title);
        for never in
            ["gauge", "feed valve", "limit", "Relieve the tank", "adapter", "Pump up", "Load"]
        {
            let found = text.to_lowercase().find(&never.to_lowercase());
            assert!(found.is_none(), "{supply}: `{never}` in {text}");
        }
    }
    says(&read(&card(CAR, &[]).out), "brake fluid flush with a pressure bleeder");
    says(&read(&card(CAR, &["--supply", "pedal"]).out), " of the pedal, ");
    for (scenario, of) in [("motorcycle-front", "lever"), ("motorcycle-rear", "pedal")] {
        let machine = std::fs::read_to_string(format!("scenarios/{scenario}.toml")).expect("it");
        let start = machine.find("gravity = {").expect("the supply");
        let end = start + machine[start..].find('\n').expect("its end");
        let text = format!(
            "{}gravity = {{ kind = \"pedal\", stroke = \"2 mL\" }}{}",
            &machine[..start],
            &machine[end..]
        );
        let ran = card_of(&text);
        assert!(ran.err.is_empty(), "{}", ran.err);
        says(&read(&ran.out), &format!(" of the {of}, "));
    }
}

#[test]
fn everything_that_hangs_in_the_bay_is_there() {
    let text = read(&card(CAR, &[]).out);
    for what in [
        "Pump to 103 kPa (15.0 psi) never above 138 kPa (20.0 psi)".to_owned(),
        "69 kPa (10.0 psi)".to_owned(),
        "138 kPa (20.0 psi)".to_owned(),
        "no more than 20 % old fluid".to_owned(),
    ] {
        says(&text, &what);
    }
    for what in [
        "Looking clean is not being clean",
        "Close every bleeder screw, torque to the maker’s figure, dust caps on",
        "Relieve the tank",
        "Take the adapter off under a rag",
        "Level between MIN and MAX, cap on",
        "Pedal firm with the engine off, then running",
        "Look again for leaks",
        "no stored faults",
        "slow road test",
        "seized",
        "swollen",
        "oily",
        "This is a simulation",
        "not only a jack",
        "glasses, gloves, water at hand",
        "Never over the maker’s limit",
        "must never meet",
        "Old fluid is hazardous waste",
        "walking pace",
        "Your readings",
        "Engine off",
        "Fluid tested",
        "A hose that fits tightly over the bleeder screw",
        "Electric parking brake: service mode",
        "Test the fluid again; service plate or sticker",
        "Mileage",
        "signature",
        "Pump up to 103 kPa (15.0 psi)",
    ] {
        says(&text, what);
    }
    assert!(!text.contains("scan tool"), "no modulator");
    let saloon = read(&card("scenarios/saloon-esc-plain-flush.toml", &[]).out);
    says(&saloon, "No bleeder reaches: ");
    says(&saloon, "scan tool with the maker’s routine");
}

#[test]
fn steps_stand_where_they_are_done() {
    let text = read(&card("scenarios/compact-hatchback-syringed.toml", &[]).out);
    let at =
        |what: &str| text.find(what).unwrap_or_else(|| panic!("`{what}` is missing in {text}"));
    assert!(
        at(
            "Syringe the reservoir down to half of the way from the bottom to the dividing wall (30 mL) (takes out about 150 mL)"
        ) < at("Fill the reservoir to three quarters of the way from MIN to MAX (180 mL)")
    );
    assert!(at("Fill the reservoir to") < at("Load, adapter on"));
    assert!(at("Load, adapter on") < at("Leak test") && at("Leak test") < at("1 RR"));
    let routine = read(&card("scenarios/saloon-esc-with-routine.toml", &[]).out);
    let at = |what: &str| {
        routine.find(what).unwrap_or_else(|| panic!("`{what}` is missing in {routine}"))
    };
    assert!(at("4 LF driver’s side pass 1") < at("Work hydraulic modulator unit for 20 s"));
    assert!(at("Work hydraulic modulator unit for 20 s") < at("5 RR passenger side pass 2"));
    // What no bleeder reaches has been stirred: no longer all old, as the record says.
    let record = json("flush", "scenarios/saloon-esc-with-routine.toml");
    let parts = record["left"]["parts"].as_array().expect("parts");
    let trapped = parts.iter().filter(|p| {
        let name = p["part"].as_str().expect("a name");
        ["accumulator", "pump", "damper"].iter().any(|end| name.ends_with(end))
    });
    let (old, all) = trapped.fold((0.0, 0.0), |(old, all), p| {
        let ml = p["volume_ml"].as_f64().expect("a number");
        (old + ml * p["old_fraction"].as_f64().expect("a number"), all + ml)
    });
    assert!(all > 4.0 && old < 0.9 * all, "{old} of {all} mL");
    says(&routine, &format!("; {:.1} % of it old at the end", 100.0 * old / all));
    let plain = read(&card("scenarios/saloon-esc-plain-flush.toml", &[]).out);
    says(&plain, "No bleeder reaches");
    assert!(!plain.contains("of it old at the end"), "{plain}");
}

#[test]
fn words_and_units_are_those_asked_for() {
    let us = read(&card(CAR, &["--units", "us"]).out);
    let uk = read(&card(CAR, &["--wording", "uk"]).out);
    for (mine, yours) in [
        ("bleeder screw", "bleed nipple"),
        ("brake line", "brake pipe"),
        ("jack stands", "axle stands"),
        ("tire", "tyre"),
        (" hose or", "flexi hose"),
    ] {
        says(&us, mine);
        says(&uk, yours);
    }
    for never in ["bleeder screw", "brake line", "jack stand", "tire "] {
        assert!(!uk.contains(never), "{never}");
    }
    for never in ["nipple", "brake pipe", "axle stand", "tyre"] {
        assert!(!us.contains(never), "{never}");
    }
    assert!(!us.contains("kPa") && us.contains("US fl oz") && us.contains("15.0 psi"));
    assert!(!uk.contains("fl oz") && uk.contains("kPa"));
}

#[test]
fn a_job_that_cannot_be_done_says_so_on_top_and_ends_with_status_3() {
    let car = std::fs::read_to_string(CAR).expect("the car");
    for (find, replace, why) in [
        ("loaded = \"1 L\"", "loaded = \"0.4 L\"", "ran dry"),
        ("gauge_limit = \"20 psi\"", "gauge_limit = \"12 psi\"", "limit"),
    ] {
        let ran = card_of(&car.replace(find, replace));
        assert_eq!(ran.status, Some(3), "{}", ran.err);
        says(&ran.err, why);
        let text = read(&ran.out);
        let warned = text.find("Do not start: this job cannot be done as written").expect("a box");
        assert!(warned < text.find("Fluid to open").expect("the strip"));
        says(&text[warned..], why);
        // What is to be done is shown to its end, though the load as written does not last so long.
        says(&text, "4 LF driver’s side 64 mL clean from 62");
        says(&text, "Time in the bay 28 min");
    }
    let well = card(CAR, &[]);
    assert_eq!((well.status, well.err.as_str()), (Some(0), ""));
    assert!(!well.out.contains("Do not start"));
}

#[test]
fn text_from_the_scenario_is_only_text() {
    let long = "W".repeat(10_000);
    let nasty = "</title><script>alert(1)</script><img src=x onerror=y>\\\" ' & \\u202Eabc\\u200F";
    let mut text = std::fs::read_to_string(CAR).expect("the car");
    let title = text.lines().next().expect("a title").to_owned();
    text = text.replacen(&title, &format!("title = \"{nasty}{long}\""), 1);
    text = text.replace("\"RR\"", "\"<i>RR</i>&\"").replace("\nRR =", "\n\"<i>RR</i>&\" =");
    let ran = card_of(&text);
    assert_eq!(ran.status, Some(0), "{}", ran.err);
    for markup in ["<script", "<img", "<i>RR", "onerror=y>"] {
        assert!(!ran.out.contains(markup), "{markup}");
    }
    assert!(ran.out.chars().all(|c| !c.is_control() || c == '\n'));
    assert!(!ran.out.contains('\u{202e}'));
    assert!(!ran.out.contains(&"W".repeat(200)) && ran.out.contains('…'));
    assert!(ran.out.len() < 100_000, "{} bytes", ran.out.len());
    says(&read(&ran.out), "<i>RR</i>& 310 mL");
}

#[test]
fn the_page_asks_for_nothing_from_outside() {
    // The fonts lie in the page as Base64, in which anything may stand.
    let page: String = card(CAR, &[])
        .out
        .split("url(data:font/woff2;base64,")
        .enumerate()
        .map(|(i, piece)| if i == 0 { piece } else { piece.split_once(')').expect("an end").1 })
        .collect();
    assert!(page.len() < 40_000, "{} bytes without the fonts", page.len());
    // Patterns of the bars are in the page too.
    let page = page.replace("url(#", "");
    for outside in
        ["http:", "https:", "//", "@import", "url(", "<script", "<link rel=\"stylesheet\""]
    {
        assert!(!page.contains(outside), "{outside}");
    }
}

#[test]
fn the_same_bytes_on_any_number_of_threads() {
    let one = card(CAR, &["--threads", "1", "--seed", "3"]);
    let two = card(CAR, &["--threads", "2", "--seed", "3"]);
    assert!(one.status == Some(0) && one.out == two.out);
    assert_ne!(one.out, card(CAR, &["--threads", "2", "--seed", "4"]).out);
}

/// More openings than the page has room for are told as left out.
#[test]
fn what_has_no_room_is_said_to_be_missing() {
    let many = std::fs::read_to_string(CAR)
        .expect("the car")
        .replace("until = \"clean\"", "until = \"20 mL\"\npasses = 6");
    let ran = card_of(&many);
    assert_eq!(ran.status, Some(0), "{}", ran.err);
    assert_eq!(ran.out.matches("<li class=\"open").count(), 10);
    says(&read(&ran.out), "and 14 more steps, for which this page has no room");
}
