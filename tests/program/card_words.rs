//! What the job card says beside its order: note, bounds, what stays, guesses.

use super::card::{CAR, card, card_of, json, read, says};
use crate::common::program::{farwheel, farwheel_on};
use serde_json::Value;

/// What a person wrote of the vehicle stands on the card, harmless and no longer than there is room for.
#[test]
fn the_note_of_the_vehicle_is_printed() {
    let with = |note: &str| {
        let car = std::fs::read_to_string(CAR).expect("the car");
        let ran = card_of(&car.replacen("[vehicle]", &format!("[vehicle]\nnote = \"{note}\""), 1));
        assert_eq!(ran.status, Some(0), "{}", ran.err);
        read(&ran.out)
    };
    says(
        &with("RR screw seized once; <b>soak it</b>"),
        "Note: RR screw seized once; <b>soak it</b>",
    );
    assert!(!with(&"long ".repeat(100)).contains(&"long ".repeat(41)));
    assert!(!read(&card(CAR, &[]).out).contains("Note:"));
}

/// The same upper bound at every wheel is said once; one that differs stands in its row.
#[test]
fn an_upper_bound_of_all_is_said_once() {
    let with = |until: &str| {
        let car = std::fs::read_to_string(CAR).expect("the car");
        let text = car.replace("until = \"clean\"", &format!("until = {until}"));
        read(&card_of(&text).out)
    };
    let same = with("\"clean, at most 400 mL\"");
    says(&same, "Close each at 400 mL in any case.");
    assert_eq!(same.matches("400 mL in any case").count(), 1);
    let two = "[\"clean, at most 400 mL\", \"clean\", \"clean\", \"clean, at most 300 mL\"]";
    let differ = with(two);
    assert!(!differ.contains("Close each at"), "{differ}");
    says(&differ, "; at 400 mL in any case");
    says(&differ, "; at 300 mL in any case");
}

/// What runs clean from the first drop is told as what to run, what stays as part, kind and state; no line of a file is
/// told.
#[test]
fn what_is_left_is_told_by_part_with_its_water_and_boiling_point() {
    let routine = "scenarios/saloon-esc-with-routine.toml";
    let text = read(&card(routine, &[]).out);
    let record = json("flush", routine);
    let openings = record["openings"].as_array().expect("openings");
    let already = openings.iter().filter(|o| o["clean_state"] == "already");
    let mut seen = 0;
    for o in already {
        let ml = o["drained_ml"].as_f64().expect("a number");
        says(&text, &format!("run {ml:.0} mL, all of it clean"));
        seen += 1;
    }
    assert_eq!(seen, 4);
    says(&text, "No range: the bleeder is opened more than once.");
    let left = &record["left"];
    let number = |value: &Value, key: &str| value[key].as_f64().expect("a number");
    says(
        &text,
        &format!(
            "Boils from {:.0} °C in {}",
            number(left, "lowest_boiling_c"),
            left["lowest_boiling_part"].as_str().expect("a part")
        ),
    );
    says(&text, &format!("Water {:.2} %", number(left, "water_percent")));
    says(
        &text,
        &format!(
            "{:.0} mL ({:.1} %)",
            number(left, "old_ml"),
            100.0 * number(left, "old_fraction")
        ),
    );
    let parts = || left["parts"].as_array().expect("parts").iter();
    let old_ml = |p: &Value| number(p, "old_fraction") * number(p, "volume_ml");
    let most = parts().map(old_ml).fold(0.0, f64::max);
    let reached = parts().filter(|p| p["reached"] == true);
    let dirtiest = reached.map(|p| number(p, "old_fraction")).fold(0.0, f64::max);
    let of = |what: &dyn Fn(&Value) -> bool| parts().find(|p| what(p)).expect("a part").clone();
    let caliper = of(&|p| p["reached"] == true && number(p, "old_fraction") == dirtiest);
    let line = of(&|p| old_ml(p) == most);
    assert_ne!(caliper["part"], line["part"]);
    assert_eq!((caliper["kind"].as_str(), line["kind"].as_str()), (Some("caliper"), Some("line")));
    let name = |p: &Value| p["part"].as_str().expect("a name").to_owned();
    let dirty = format!(
        "dirtiest that a bleeder reaches: caliper {}, {:.1} %",
        name(&caliper),
        100.0 * dirtiest
    );
    says(&text, &dirty);
    says(&text, &format!("Most of it {}, {most:.0} mL", name(&line)));
    let pickup = read(&card("scenarios/pickup-rear-drums.toml", &[]).out);
    says(&pickup, "Metering valve \"front valve\": it is held open");
    says(&pickup, "the heavier fluid can sink under the lighter");
    says(&pickup, "W caliper or wheel cylinder");
}

/// A described car's card says how many of its values are guesses and how many are left to the program, as `check` does.
#[test]
fn guesses_are_counted() {
    let described = farwheel(&["describe", "--defaults", "-o", "-"]).out;
    let check = farwheel_on(&described, &["check", "-", "--json", "-"]).json();
    let count = |key: &str| check[key].as_array().expect("a list").len();
    assert!(count("guesses") > 9 && count("defaults") > 9);
    let text = read(&card_of(&described).out);
    let both = format!("{} guesses and {} usual values", count("guesses"), count("defaults"));
    says(&text, &format!("Rests on {both}: check says which are worth measuring."));
}
