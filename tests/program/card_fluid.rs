//! The job card's fluid and how often it is pumped up: what `spread` says, and arithmetic.

use super::card::{CAR, card, card_of, json, read, says};
use crate::common::program::{farwheel, farwheel_on};
use serde_json::Value;

/// Every shipped scenario.
fn shipped() -> Vec<String> {
    let mut all = Vec::new();
    for dir in ["scenarios", "scenarios/splits"] {
        for file in std::fs::read_dir(dir).expect("a directory") {
            let path = file.expect("a file").path();
            if path.extension().is_some_and(|e| e == "toml") {
                all.push(path.to_str().expect("a plain name").to_owned());
            }
        }
    }
    assert!(all.len() >= 18, "{all:?}");
    all
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no {key} in {value}"))
}

/// What is to be enough, in whole millilitres.
fn least(ml: f64) -> String {
    format!("{:.0} mL", (ml - 1e-6).ceil())
}

#[test]
fn card_and_spread_agree_on_every_shipped_scenario() {
    let (mut again, mut short) = (0, 0);
    for scenario in shipped() {
        let text = read(&card(&scenario, &[]).out);
        let spread = farwheel(&["spread", &scenario, "--draws", "20", "--json", "-"]).json();
        let have = number(&spread, "have_ml_p95");
        let bottles = number(&spread, "bottles_p95");
        assert!(bottles * 500.0 >= have && (bottles - 1.0) * 500.0 < have, "{scenario}");
        says(&text, &format!("Fluid to open {bottles} × 500 mL "));
        says(&text, &format!("Enough for 95 of 100 {}", least(have)));
        let loaded = !spread["loaded_ml"].is_null();
        if loaded {
            says(&text, &format!("Load at least {} ", least(number(&spread, "load_ml_p95"))));
            let share = number(&spread, "pumped_up_again_share");
            let never = text.contains("not needed in this job, nor in any draw");
            assert_eq!(never, share == 0.0 && text.contains("Pump up again below"), "{scenario}");
            again += usize::from(share > 0.0);
            if share > 0.0 && share < 1.0 {
                says(&text, &format!("{:.0} of 100 ", 100.0 * share));
            }
        } else {
            assert!(spread["pumped_up_again_share"].is_null() && !text.contains("Pump up"));
        }
        let more = number(&spread, "bottles_short_share");
        assert!(more <= 0.05 + 1e-9, "{scenario}: {more}");
        assert_eq!(text.contains("Sealed at hand 1 more"), more > 0.0, "{scenario}");
        short += usize::from(more > 0.0);
        for b in spread["bleeders"].as_array().expect("bleeders") {
            let name = b["bleeder"].as_str().expect("a name");
            let range = b["clean_at_ml_p10"].as_f64().zip(b["clean_at_ml_p90"].as_f64());
            let said = range.map(|(low, high)| format!("({low:.0}–{high:.0})"));
            assert!(
                said.as_ref().is_none_or(|said| text.contains(said)) || text.contains("No range"),
                "{scenario} {name}: {said:?}"
            );
        }
    }
    assert!(again > 0, "some are pumped up again");
    eprintln!("{again} are pumped up again, {short} keep a bottle at hand");
}

/// Two litres are loaded, 95 of 100 need less than three bottles.
#[test]
fn no_bottle_is_opened_for_what_stays_in_the_vessel() {
    let text = read(&card("scenarios/pickup-rear-drums.toml", &[]).out);
    says(&text, "3 × 500 mL");
    says(&text, "Gauge reckoned with 2000 mL loaded");
}

/// By arithmetic: what is opened, less what went out, raised the reservoir, filled the hose and was poured in.
#[test]
fn what_is_left_over_is_what_was_not_used() {
    for (scenario, bottle, ml) in [
        (CAR, "500 mL", 500.0),
        (CAR, "1 L", 1000.0),
        (CAR, "300 mL", 300.0),
        ("scenarios/compact-hatchback-syringed.toml", "500 mL", 500.0),
        ("scenarios/motorcycle-front.toml", "250 mL", 250.0),
    ] {
        let text = read(&card(scenario, &["--bottle", bottle]).out);
        let spread =
            farwheel(&["spread", scenario, "--draws", "20", "--bottle", bottle, "--json", "-"]);
        let record = json("flush", scenario);
        let book = &record["totals"]["fluid"];
        let used = match book.is_null() {
            true => number(&record["totals"], "new_fluid_ml"),
            false => {
                let poured = record["steps"].as_array().expect("steps").iter();
                let by_hand: f64 =
                    poured.filter(|s| s["does"] == "top up").map(|s| number(s, "moved_ml")).sum();
                by_hand
                    + ["bled_ml", "reservoir_ml", "feed_hose_ml"]
                        .map(|key| number(book, key))
                        .iter()
                        .sum::<f64>()
            }
        };
        let left = number(&spread.json(), "bottles_p95") * ml - used;
        says(&text, &format!("Left over about {left:.0} mL"));
    }
    // From 30 to 180 mL.
    let syringed = read(&card("scenarios/compact-hatchback-syringed.toml", &[]).out);
    says(&syringed, "Pour in by hand about 150 mL");
}

/// More is loaded than the job needs at the middle, less than 95 in 100 draws need: what these need is to be loaded, and
/// it is said that the load as written may run dry.
#[test]
fn a_tight_load_is_told_and_not_followed() {
    let text = std::fs::read_to_string(CAR)
        .expect("the car")
        .replace("loaded = \"1 L\"", "loaded = \"700 mL\"");
    let ran = card_of(&text);
    assert_eq!(ran.status, Some(0), "{}", ran.err);
    let spread = farwheel_on(&text, &["spread", "-", "--draws", "20", "--json", "-"]).json();
    let enough = number(&spread, "load_ml_p95");
    assert!(enough > 700.0, "{enough}");
    let ran = farwheel_on(&text, &["card", "-", "-o", "-", "--draws", "20", "--bottle", "350 mL"]);
    let card = read(&ran.out);
    says(&card, "Fluid to open 3 × 350 mL");
    says(&card, &format!("Load at least {}", least(enough)));
    let dry = 100.0 * number(&spread, "runs_dry_share");
    says(&card, &format!("The 700 mL that the scenario loads run dry in {dry:.0} of 100 draws"));
}

/// Pumped up before anything flows is not pumped up again; a vessel that is nearly full falls below its mark.
#[test]
fn the_first_pumping_is_not_one_again() {
    let car = std::fs::read_to_string(CAR).expect("the car");
    let tables = json("flush", CAR);
    assert_eq!(number(&tables["totals"], "repumps"), 1.0);
    says(&read(&card(CAR, &[]).out), "(not needed here; in ");
    // The mark lies above what the gauge falls to in the leak test: it is pumped up as the first bleeder is opened.
    let high = car
        .replace("before = [{ re_pump = \"15 psi\" }]", "before = []")
        .replace("re_pump_below = \"10 psi\"", "re_pump_below = \"14.7 psi\"");
    let record = farwheel_on(&high, &["flush", "-", "--no-error-estimate", "--json", "-"]).json();
    let opened = number(&record["openings"][0], "opened_s");
    let times: Vec<f64> = record["steps"]
        .as_array()
        .expect("steps")
        .iter()
        .filter(|s| s["does"] == "re-pump" && s["step"] == 0)
        .map(|s| number(s, "at_s") - opened)
        .collect();
    assert!((times[0] - 30.0).abs() < 1.0 && times.len() > 1, "{times:?}");
    says(&read(&card_of(&high).out), &format!("({}× in this job)", times.len() - 1));
}
