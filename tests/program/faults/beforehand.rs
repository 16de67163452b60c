//! What is too large is refused before it is run.

use super::child::with_car;
use super::large::{Large, watched};
use farwheel::job::error::JobError;
use farwheel::job::limits::{CLEARLY, MOST_NUMBERS, MOST_READINGS};
use farwheel::job::options::Options;
use farwheel::job::{check, cost, flush, least_cost};

/// Most memory of a run that is refused beforehand, MB.
const LITTLE_MB: f64 = 60.0;

/// Not by the clock: the sketch by which it is found counts its own computing, and no run beside it is begun.
#[test]
fn a_job_that_is_too_large_is_refused_before_it_is_run() {
    let dir = with_car();
    let many = Large { chambers: 8, bleeders: 200, shared: 6, procedure: "", together: false };
    let deep = Large { chambers: 1, bleeders: 100, shared: 150, ..many };
    let (computing, memory) = ("more computing (a minute or so)", "more memory (512 MB)");
    let cases = [
        ("by volume", Large { procedure: "passes = 10\nuntil = \"2 L\"", ..many }, memory),
        ("by the clock", Large { procedure: "passes = 10\nuntil = \"4 h\"", ..many }, memory),
        (
            "by what is drained at least",
            Large { procedure: "passes = 10\nuntil = \"clean, at least 2 L\"", ..many },
            memory,
        ),
        (
            "by the eye",
            Large {
                procedure: "passes = 20\nuntil = \"clean below 0.01 %, at least 2 L\"",
                ..deep
            },
            computing,
        ),
    ];
    for (what, large, more) in cases {
        let text = large.text();
        large.write(&dir.path().join("large.toml"));
        let scenario = farwheel::read(&text, "large.toml").expect("a scenario");
        let least = least_cost(&scenario, &Options::default()).expect("a circuit");
        assert!(
            least.readings as f64 > CLEARLY * MOST_READINGS as f64
                || least.numbers as f64 > CLEARLY * MOST_NUMBERS as f64,
            "{what}: {least:?}"
        );
        assert!(least.found_by < MOST_READINGS / 40, "{what}: {least:?}");
        let told = check(&scenario, &Options::default()).expect_err(what);
        assert!(matches!(told, JobError::TooLarge { .. }), "{what}: {told}");
        // With and without coarser runs beside it.
        for estimate_error in [true, false] {
            let options = Options { estimate_error, ..Options::default() };
            assert_eq!(flush(&scenario, &options).expect_err(what), told, "{what}");
        }
        let told = told.to_string();
        for words in
            ["of the procedure (line ", "of the scenario), pass ", more, "let it drain less"]
        {
            assert!(told.contains(words), "{what}: {told}");
        }
        for verb in ["check", "flush"] {
            let taken = watched(dir.path(), &[verb, "large.toml", "--quiet"]);
            assert_eq!(taken.run.status, Some(2), "{what}: {}", taken.run.err);
            assert!(taken.run.err.contains(more), "{what}: {}", taken.run.err);
            assert!(taken.peak_mb.is_none_or(|mb| mb < LITTLE_MB), "{what}: {:?}", taken.peak_mb);
        }
    }
}

/// A sketch of a large job that is allowed tells no more than it takes, and more than half of the computing and two fifths
/// of the memory: of the short steps that come down on a threshold it knows nothing.
#[test]
fn a_sketch_of_a_large_job_tells_no_more_than_it_takes() {
    let many = Large { chambers: 8, bleeders: 40, shared: 6, procedure: "", together: false };
    let deep = Large { chambers: 1, bleeders: 10, shared: 100, ..many };
    let cases = [
        Large { procedure: "until = \"100 mL\"", ..many },
        Large { procedure: "until = \"200 mL\"", together: true, ..many },
        Large { procedure: "passes = 2\nuntil = \"5 min\"", ..many },
        Large { procedure: "until = \"clean, at most 160 mL\"", ..many },
        Large { procedure: "passes = 2\nuntil = \"clean below 0.01 %\"", ..deep },
    ];
    for large in cases {
        let scenario = farwheel::read(&large.text(), "large.toml").expect("a scenario");
        let least = least_cost(&scenario, &Options::default()).expect("a circuit");
        let taken = cost(&scenario, &Options::default()).expect("it runs");
        let what = format!("{}: {least:?}, {taken:?}", large.procedure);
        assert!(least.readings <= taken.readings && 2 * least.readings > taken.readings, "{what}");
        assert!(least.numbers <= taken.numbers && 5 * least.numbers > 2 * taken.numbers, "{what}");
    }
}
