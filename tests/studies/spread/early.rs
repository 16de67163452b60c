//! Ended early: what is written rests on the first draws, and says so.

use super::{car, known_but, plain};
use farwheel::job::flush;
use farwheel::keys::quantity::Quantity;
use farwheel::parts::Kind;
use farwheel::study::chance::draws::column;
use farwheel::study::chance::summary::quantile;
use farwheel::study::chance::unknowns::Uncertain;
use farwheel::study::progress::Onlooker;
use farwheel::study::spread::{self, Question, Spread};
use std::sync::atomic::{AtomicU64, Ordering};

struct After(u64, AtomicU64);

impl Onlooker for After {
    fn advanced(&self, done: u64, _of: u64) {
        self.1.fetch_max(done, Ordering::Relaxed);
    }

    fn enough(&self) -> bool {
        self.1.load(Ordering::Relaxed) >= self.0
    }
}

const UNCERTAIN: [(&str, &str); 2] = [
    (
        "threshold = \"20 %\"",
        "threshold = { value = \"20 %\", from = \"10 %\", to = \"40 %\", shape = \"uniform\" }",
    ),
    ("\"5 m\"", "\"5 m ± 10 %\""),
];

fn ended_after(jobs: u64) -> Spread {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build().expect("a thread");
    let question = Question { draws: 60, ..Question::default() };
    let onlooker = After(jobs, AtomicU64::new(0));
    pool.install(|| spread::study(&known_but(&UNCERTAIN), &question, &super::seeded(5), &onlooker))
        .expect("it can be drawn")
}

/// The first 30 of 60 draws, each run by itself, give the same quantiles.
#[test]
fn ranges_rest_on_the_first_draws() {
    let answer = ended_after(30);
    assert_eq!((answer.partial, answer.draws, answer.draws_wanted), (true, 30, Some(60)));
    let thresholds = column(5, "one threshold of clear hose", 60);
    let lengths = column(5, "one length of line R", 60);
    let z = statrs::distribution::Normal::new(5.0, 0.5 / 1.644_853_626_951_472_2).expect("normal");
    let mut clean = Vec::new();
    for (u, v) in thresholds.iter().zip(&lengths).take(30) {
        let threshold = Quantity::known(0.1 + 0.3 * u);
        let length = statrs::distribution::ContinuousCDF::inverse_cdf(&z, *v);
        let known = car(&[]).changed(|car| {
            car.clear_hose.threshold = threshold;
            let Kind::Line(line) = &mut car.parts[0].kind else { panic!("no line") };
            line.length = Quantity::known(length);
        });
        let known = known.expect("a circuit");
        let record = flush(&known, &plain()).expect("it runs");
        clean.push(record.openings[0].clean_at_ml.expect("clean"));
    }
    let there = quantile(&clean, 0.9).expect("finite");
    let here = answer.bleeders[0].clean_at_ml_p90.expect("finite");
    assert!((here - there).abs() < 0.1, "{here}, {there}");
    // Rank correlations rest on the same draws; shares of variance need more.
    assert_eq!(answer.matters.len(), 2);
    assert!(answer.matters.iter().all(|m| m.indices.is_none()), "{:?}", answer.matters);
}

#[test]
fn only_finished_indices_are_said() {
    // Set a, set b, the first unknown's own and half of the second's.
    let answer = ended_after(210);
    assert_eq!((answer.partial, answer.draws, answer.draws_wanted), (true, 60, None));
    let with: Vec<&str> = answer
        .matters
        .iter()
        .filter(|m| m.indices.is_some())
        .map(|m| m.quantity.as_str())
        .collect();
    assert_eq!(with, ["threshold of clear hose"], "the stronger one comes first");
    let whole = ended_after(u64::MAX);
    assert!(!whole.partial && whole.draws_wanted.is_none());
    let of = |s: &Spread| s.matters.iter().find(|m| m.quantity == with[0]).cloned();
    assert_eq!(of(&answer), of(&whole), "finished is finished");
    assert_eq!(answer.bleeders, whole.bleeders);
}

#[test]
fn too_few_draws_give_no_ranges() {
    let answer = ended_after(10);
    assert_eq!((answer.partial, answer.draws, answer.draws_wanted), (true, 10, Some(60)));
    assert!(answer.bleeders.is_empty() && answer.matters.is_empty());
    assert_eq!((answer.load_ml_p95, answer.bottles_p95, answer.runs_dry_share), (None, None, None));
    let json = serde_json::to_value(&answer).expect("JSON");
    assert_eq!(json["partial"], true);
}

/// However wide the level, and wherever the brim itself is drawn, nothing is overfilled.
#[test]
fn no_draw_overfills_the_reservoir() {
    for brim in ["\"270 mL\"", "\"270 mL ± 30 mL\""] {
        let car = known_but(&[
            ("level = \"180 mL\"", "level = \"180 mL ± 150 mL\""),
            ("\"270 mL\"", brim),
        ]);
        let car = Uncertain::new(&car, None);
        for i in 0..200 {
            let drawn = car.draw(|k| if k == 0 { f64::from(i) / 200.0 + 1e-3 } else { 0.2 });
            let drawn = drawn.expect("a circuit");
            let (level, brim) = (drawn.reservoir.level.value, drawn.reservoir.brim.value);
            assert!(level <= brim, "{level} in {brim}");
            flush(&drawn, &plain()).expect("it runs");
        }
    }
    // Cut off, not piled up: no two draws of a known brim are alike.
    let car = known_but(&[("level = \"180 mL\"", "level = \"180 mL ± 150 mL\"")]);
    let car = Uncertain::new(&car, None);
    let level = |u: f64| car.draw(|_| u).expect("a circuit").reservoir.level.value;
    assert!(level(0.98) < level(0.99) && level(0.99) < 270e-6);
}
