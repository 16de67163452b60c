//! Random answers, each of every question and "don't know": none is refused, and each car can be flushed.

use farwheel::describe::{Answers, Form, QUESTIONS, describe, to_ask};
use farwheel::job::flush;
use farwheel::job::options::Options;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

/// How many sets are tried in the ordinary run; `DESCRIBED` asks for more.
const ORDINARY: u64 = 60;

fn one(rng: &mut ChaCha8Rng, form: Form) -> String {
    let within =
        |low: f64, high: f64, rng: &mut ChaCha8Rng| low + (high - low) * rng.random::<f64>();
    match form {
        Form::Choice(choices) => choices[rng.random_range(0..choices.len())].word.to_owned(),
        Form::Quantity(bound) => {
            let unit = bound.dimension.units().next().expect("a unit");
            let (low, high) = bound.usual;
            format!("{:.3} {}", unit.number_from_si(within(low, high, rng)), unit.name)
        }
        Form::Either(one_bound, other) => {
            let bound = if rng.random::<bool>() { one_bound } else { other };
            one(rng, Form::Quantity(bound))
        }
        Form::Text => "nothing".to_owned(),
    }
}

fn answers(seed: u64) -> Answers {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut answers = Answers::default();
    loop {
        let next = to_ask(&answers, true).next();
        let Some(q) = next else { break };
        let text = match rng.random_range(0..4) {
            0 => "don't know".to_owned(),
            _ if q.id == "replaced" => "don't know".to_owned(),
            _ => one(&mut rng, q.form),
        };
        answers.give(q.id, &text).unwrap_or_else(|w| panic!("{} = {text}: {}", q.id, w.what));
    }
    answers
}

#[test]
fn no_set_of_answers_is_refused() {
    let sets = std::env::var("DESCRIBED").ok().and_then(|n| n.parse().ok()).unwrap_or(ORDINARY);
    let mut dry = 0;
    for seed in 0..sets {
        let answers = answers(seed);
        let told = || answers.written().join("\n");
        let car = describe(&answers)
            .unwrap_or_else(|w| panic!("{seed}: {}; {}\n{}", w.what, w.remedy, told()));
        let scenario = farwheel::read(&car.text, "described.toml")
            .unwrap_or_else(|m| panic!("{seed}: {m}\n{}", car.text));
        let options = Options { estimate_error: false, ..Options::default() };
        let record =
            flush(&scenario, &options).unwrap_or_else(|e| panic!("{seed}: {e}\n{}", car.text));
        let b = record.balance;
        let worst = b.volume_error_ml.max(b.old_error_ml).max(b.water_error_g);
        assert!(worst < 1e-9 * 5000.0, "{seed}: {b:?}");
        if record.stopped() {
            dry += 1;
            let kinds: Vec<_> = record
                .warnings
                .iter()
                .filter(|w| w.stops_the_job())
                .map(|w| w.kind.words())
                .collect();
            println!("{seed}: {kinds:?}");
        }
    }
    println!("{dry} of {sets} stopped");
    assert!(QUESTIONS.len() > 25);
}
