//! What `check` says of guesses: which there are, and which is worth measuring.

use farwheel::describe::{Answers, describe};
use farwheel::job::options::Options;
use farwheel::study::guesses::{Worth, look_over};

fn guesses(text: &str) -> Vec<Worth> {
    let scenario = farwheel::read(text, "car.toml").unwrap_or_else(|m| panic!("{m}"));
    look_over(&scenario, &Options::default()).expect("it can be looked over").guesses
}

fn described(answers: &[(&str, &str)]) -> String {
    let mut all = Answers::default();
    for (id, answer) in answers {
        all.give(id, answer).unwrap_or_else(|w| panic!("{id} = {answer}: {}", w.what));
    }
    describe(&all).unwrap_or_else(|w| panic!("{}", w.what)).text
}

fn place(all: &[Worth], quantity: &str) -> Option<usize> {
    all.iter().position(|w| w.quantity == quantity)
}

/// Most of the spread comes from what the eye accepts, then from the reservoir, then from the pads (design of the
/// questions; common practice, no source).
#[test]
fn the_eye_is_worth_most_then_the_reservoir() {
    let all = guesses(&described(&[("kind", "hatchback")]));
    assert_eq!(place(&all, "threshold of clear hose"), Some(0));
    assert_eq!(place(&all, "level of reservoir"), Some(1));
    let pads = &all[place(&all, "pad wear of every caliper").expect("pads")];
    assert!((0.03..0.25).contains(&pads.share_of_drained), "{pads:?}");
    let sum: f64 = all.iter().map(|w| w.share_of_drained).sum();
    assert!((0.8..1.15).contains(&sum), "{sum}: shares of one whole");
}

#[test]
fn what_was_measured_is_no_guess_any_more() {
    let text = described(&[("kind", "hatchback")]);
    let level = text.lines().find(|l| l.starts_with("level = ")).expect("a level");
    let measured = text.replace(level, "level = \"200 mL ± 5 mL\"");
    let all = guesses(&measured);
    assert_eq!(place(&all, "level of reservoir"), None);
    assert!(place(&all, "threshold of clear hose").is_some());
    let answered = guesses(&described(&[("kind", "hatchback"), ("clean", "faint tint")]));
    assert_eq!(place(&answered, "threshold of clear hose"), None);
}

#[test]
fn pistons_that_were_guessed_are_guesses_of_what_follows_from_them() {
    let all = guesses(&described(&[("kind", "motorcycle")]));
    assert!(all.iter().any(|w| w.quantity.starts_with("new pads")), "{all:?}");
    let known = guesses(&described(&[("kind", "motorcycle"), ("front_piston", "32 mm")]));
    assert!(known.iter().all(|w| !w.quantity.starts_with("new pads")), "{known:?}");
}

#[test]
fn a_scenario_that_was_not_described_has_none() {
    let scenario = farwheel::read_file("scenarios/compact-hatchback.toml".as_ref()).expect("read");
    assert!(look_over(&scenario, &Options::default()).expect("looked over").guesses.is_empty());
}

#[test]
fn what_is_no_answer_is_told() {
    let text = described(&[("kind", "van")]).replace("kind = van", "knid = van");
    let scenario = farwheel::read(&text, "car.toml").expect("read");
    let why = look_over(&scenario, &Options::default()).expect_err("no answer").to_string();
    assert!(why.contains("[described]") && why.contains("did you mean `kind`?"), "{why}");
}
