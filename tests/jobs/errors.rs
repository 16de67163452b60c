//! How far steps and lanes let figures be off: shipped and random cars against the same jobs in far more of both. Prints
//! the table of docs/cost.md:
//!
//! `cargo test --release --test jobs -- --ignored --nocapture errors::`

use crate::common::random::car;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::job::record::{CleanState, Record};
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngSeed, TestRunner};

/// Random cars, and the seed they come from; it was written down before figures were looked at.
const RANDOM: (usize, u64) = (200, 20_261_201);

fn random() -> Vec<String> {
    let seeded = Config { rng_seed: RngSeed::Fixed(RANDOM.1), ..Config::default() };
    let mut runner = TestRunner::new(seeded);
    let mut one = || car().new_tree(&mut runner).expect("a car").current().toml();
    (0..RANDOM.0).map(|_| one()).collect()
}

fn shipped() -> Vec<String> {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let files = [root.clone(), root.join("splits")].into_iter().flat_map(|folder| {
        std::fs::read_dir(folder).expect("a folder").map(|entry| entry.expect("a file").path())
    });
    let files = files.filter(|f| f.extension().is_some_and(|e| e == "toml"));
    files.map(|f| std::fs::read_to_string(f).expect("a scenario")).collect()
}

/// The largest error of each kind.
#[derive(Default)]
struct Worst {
    /// Millilitres to clean, as a share of 0.5 mL or 0.5 %, whichever is more.
    clean: f64,
    left_ml: f64,
    /// Seconds with a bleeder open, %.
    seconds: f64,
    jobs: usize,
}

impl Worst {
    fn of(cars: &[String], options: &Options) -> Self {
        let mut worst = Self::default();
        let fine = Options { steps_per_path: 300.0, lanes: Some(150), ..Options::for_sums(0) };
        for text in cars {
            let scenario = farwheel::read(text, "a car").expect("it reads");
            let run = |options: &Options| flush(&scenario, options).expect("it runs");
            worst.add(&run(options), &run(&fine));
        }
        worst
    }

    fn add(&mut self, is: &Record, fine: &Record) {
        for (a, b) in is.openings.iter().zip(&fine.openings) {
            // A rule that is met by a hair in one run and not in the other: from there on they are two jobs.
            if a.clean_state != b.clean_state || a.closed_by != b.closed_by {
                return;
            }
            if let (CleanState::Reached, Some(x), Some(y)) =
                (a.clean_state, a.clean_at_ml, b.clean_at_ml)
            {
                self.clean = self.clean.max((x - y).abs() / (5e-3 * y).max(0.5));
            }
        }
        self.jobs += 1;
        self.left_ml = self.left_ml.max((is.left.old_ml - fine.left.old_ml).abs());
        let (s, fine_s) = (is.totals.flow_seconds, fine.totals.flow_seconds);
        if fine_s > 0.0 {
            self.seconds = self.seconds.max(100.0 * (s / fine_s - 1.0).abs());
        }
    }
}

#[test]
#[ignore = "prints a table"]
fn errors() {
    println!("| cars | options | clean from, of the promise | old left, mL | seconds, % |");
    println!("| --- | --- | --- | --- | --- |");
    for (cars, texts) in [("shipped", shipped()), ("random", random())] {
        for (name, options) in [("sums", Options::for_sums(0)), ("draws", Options::for_draws(0))] {
            let Worst { clean, left_ml, seconds, jobs } = Worst::of(&texts, &options);
            println!("| {jobs} {cars} | {name} | {clean:.2} | {left_ml:.3} | {seconds:.2} |");
        }
    }
}
