//! The largest scenario that is read runs in bounded memory and time, and what is larger is refused with a remedy.

use super::child::{run, with_car};
use super::large::{Large, watched};
use farwheel::job::MOST_HELD;
use farwheel::job::limits::MOST_NUMBERS;
use farwheel::scenario::limits::{
    LONGEST_NAME, MOST_BLEEDERS, MOST_NAMES, MOST_OPENINGS, MOST_OUTLETS, MOST_PARTS, MOST_STEPS,
    MOST_SUPPLIES,
};
use std::fs;
use std::time::Duration;

/// The table of docs/limits.md says what the program does.
#[test]
fn the_page_states_the_limits() {
    use farwheel::job::limits::MOST_READINGS;
    use farwheel::scenario::limits::LARGEST_FILE;
    use farwheel::study::{orders, plan, pressures, spread};
    let table = include_str!("../../../docs/limits.md");
    let row = |of: &str| {
        let rows = table.lines().filter(|l| l.starts_with(&format!("| {of}")));
        rows.map(str::to_owned).collect::<Vec<_>>().join("\n")
    };
    let grouped = |n: usize| {
        let digits = n.to_string();
        let groups = digits.as_bytes().rchunks(3).rev().map(String::from_utf8_lossy);
        groups.collect::<Vec<_>>().join(",")
    };
    let millions = |n: usize| format!("{} million", n / 1_000_000);
    for (of, words) in [
        ("scenario file", vec![format!("{} MB", LARGEST_FILE / 1_000_000)]),
        ("scenario file", vec![format!("names of {LONGEST_NAME}")]),
        ("parts, templates", vec![format!("{MOST_PARTS} each; {MOST_BLEEDERS}")]),
        ("chambers", vec![format!("{MOST_OUTLETS} each; {MOST_SUPPLIES}")]),
        ("steps in a list", vec![format!("{MOST_STEPS}; 20; {}", grouped(MOST_OPENINGS))]),
        (
            "one job: computing",
            vec![format!("{} million", grouped((MOST_READINGS / 1_000_000) as usize))],
        ),
        (
            "one job: memory",
            vec![millions(MOST_NUMBERS), format!("{} MB", 8 * MOST_NUMBERS / 1_000_000)],
        ),
        ("`flush --also parts`", vec![millions(MOST_HELD)]),
        ("`orders`", vec![grouped(orders::MOST_ORDERS), millions(orders::MOST_DRAWN)]),
        ("`spread`", vec![grouped(spread::MOST_DRAWS), millions(spread::MOST_DRAWN)]),
        (
            "`plan`",
            vec![plan::MOST_GROUPS.to_string(), grouped(plan::DRAWS.1), grouped(plan::MOST_DRAWN)],
        ),
        ("`pressures`", vec![grouped(pressures::MOST_KEPT)]),
    ] {
        for word in words {
            assert!(row(of).contains(&word), "{of}: no `{word}` in\n{}", row(of));
        }
    }
}

/// What a run may take beside the numbers that it keeps, MB.
const BESIDE_MB: f64 = 100.0;

/// As many parts, outlets, bleeders and openings as are read; MB and time hold for any number of cores.
#[test]
fn the_largest_scenario_runs_in_bounded_memory_and_time() {
    let dir = with_car();
    let largest = Large {
        chambers: MOST_OUTLETS,
        bleeders: MOST_BLEEDERS,
        shared: 6,
        procedure: "passes = 10\nuntil = \"5 mL\"",
        together: false,
    };
    assert!(largest.parts() <= MOST_PARTS && largest.parts() + 8 >= MOST_PARTS);
    assert_eq!(10 * largest.bleeders, MOST_OPENINGS);
    largest.write(&dir.path().join("large.toml"));
    for (arguments, within) in [
        (&["check", "large.toml", "--quiet"][..], 60),
        (&["flush", "large.toml", "--quiet", "--json", "out.json", "--csv", "out.csv"], 300),
    ] {
        let taken = watched(dir.path(), arguments);
        let (err, time) = (&taken.run.err, taken.time);
        assert!(matches!(taken.run.status, Some(0 | 3)), "{arguments:?}: {err}");
        assert!(time < Duration::from_secs(within), "{arguments:?}: {time:?}");
        eprintln!("{arguments:?}: {time:?}, {:?} MB", taken.peak_mb);
        // A flush runs three jobs at once, the coarser two with half of the steps and half of the lanes.
        let most_mb = 2.0 * 8e-6 * MOST_NUMBERS as f64 + BESIDE_MB;
        assert!(taken.peak_mb.is_none_or(|mb| mb < most_mb), "{arguments:?}: {:?}", taken.peak_mb);
    }
}

/// What is counted, how much of it is accepted, a scenario with so much, and what is said of one more.
type Case<'a> = (&'a str, usize, &'a dyn Fn(usize) -> String, &'a str);

/// Each limit of the file: one more, and what the message says of it.
#[test]
fn one_more_than_is_read_is_refused_with_a_remedy() {
    let dir = with_car();
    let car = |find: &str, replace: &str| {
        assert_eq!(super::CAR.matches(find).count(), 1, "`{find}` must stand once in the car");
        super::CAR.replacen(find, replace, 1)
    };
    let many = |n: usize, each: &dyn Fn(usize) -> String| (0..n).map(each).collect::<String>();
    let parts = |n: usize| {
        // Lines and tees in turn behind the car's own tee; the 501st would be a line without an end.
        let line = "kind = \"line\", length = \"0.1 m\"";
        let more = many(n - 6, &|i| match (i, i % 2) {
            (0, _) => format!("more0 = {{ {line}, from = \"tee\" }}\n"),
            (_, 0) => format!("more{i} = {{ {line}, from = \"more{}\" }}\n", i - 1),
            _ => format!("more{i} = {{ kind = \"tee\", from = \"more{}\" }}\n", i - 1),
        });
        car("\n[supplies]", &format!("{more}\n[supplies]"))
    };
    let templates = |n: usize| {
        let more = many(n - 1, &|i| format!("more{i} = {{ kind = \"tee\" }}\n"));
        car("\n[parts]", &format!("{more}\n[parts]"))
    };
    let supplies = |n: usize| {
        let more = many(n - 1, &|i| format!("more{i} = {{ kind = \"gravity\" }}\n"));
        car("\n[procedure]", &format!("{more}\n[procedure]\nsupply = \"gravity\""))
    };
    let before = |n: usize| {
        let list = many(n, &|_| "{ top_up = \"27 mL\" }, ".to_owned());
        car(
            "before = [{ syringe = \"6 mL\" }, { top_up = \"27 mL\" }]",
            &format!("before = [{list}]"),
        )
    };
    let open =
        |n: usize| car("open = [\"R\", \"L\"]", &format!("open = [{}]", "\"R\", ".repeat(n)));
    let passes = |n: usize| open(n / 20) + "passes = 20\n";
    let large = |chambers, bleeders| {
        Large { chambers, bleeders, shared: 0, procedure: "until = \"1 mL\"", together: false }
            .text()
    };
    let list = |n: usize| {
        let names = many(n, &|i| format!("\"x{i}\", "));
        car("open = [\"R\", \"L\"]", &format!("open = [[{names}]]"))
    };
    let name = |n: usize| super::CAR.replace("\"hose L\"", &format!("\"{}\"", "x".repeat(n)));
    let cases: [Case; 10] = [
        ("parts", MOST_PARTS, &parts, "`[parts]` holds 501 entries"),
        ("templates", MOST_PARTS, &templates, "`[like]` holds 501 entries"),
        ("supplies", MOST_SUPPLIES, &supplies, "`[supplies]` holds 51 entries"),
        ("steps", MOST_STEPS, &before, "`before` has 501 steps"),
        ("entries of open", MOST_STEPS, &open, "`open` has 501 entries"),
        ("openings", MOST_OPENINGS, &passes, "opens bleeders 2020 times"),
        ("bleeders", MOST_BLEEDERS, &|n| large(1, n), "the circuit has 201 bleeders"),
        ("chambers", MOST_OUTLETS, &|n| large(n, n), "`chambers` lists 9 names"),
        ("names in a list", MOST_NAMES, &list, "`open` lists 201 names"),
        ("name", LONGEST_NAME, &name, "longer than 60 characters"),
    ];
    for (what, most, text, told) in cases {
        let path = dir.path().join("limit.toml");
        fs::write(&path, text(most)).expect("a scenario");
        let within = run(dir.path(), &["check", "limit.toml", "--quiet"]);
        assert!(!within.err.contains(told), "{what}: {}", within.err);
        // A list of names that there are not is refused for another reason.
        assert!(within.status == Some(0) || what == "names in a list", "{what}: {}", within.err);
        // Openings come in passes of 20.
        let beyond = if what == "openings" { most + 20 } else { most + 1 };
        fs::write(&path, text(beyond)).expect("a scenario");
        for verb in ["check", "flush"] {
            let told_of = run(dir.path(), &[verb, "limit.toml", "--quiet"]);
            assert_eq!(told_of.status, Some(2), "{what}: {}", told_of.err);
            let err = crate::common::program::words(&told_of.err);
            assert!(err.contains(told) && err.contains("help: "), "{what}: {err}");
        }
    }
}

/// A few lines of text that would fill any memory are refused before they have filled much; litres through many
/// lines fit, since what has left a line is forgotten.
#[test]
fn no_job_fills_the_memory() {
    let dir = with_car();
    let litres = Large {
        chambers: 8,
        bleeders: 32,
        shared: 24,
        procedure: "until = \"3 L\"",
        together: true,
    };
    let procedure =
        "before = [{ wait = \"1 h\", remix = \"50 %\" }]\nuntil = \"clean below 0.01 %\"";
    let wait = Large { procedure, together: false, ..litres };
    let cases = [
        ("litres through many lines", litres, None),
        ("a wait with many lanes", wait, Some("raise the strictest threshold")),
    ];
    for (what, large, remedy) in cases {
        large.write(&dir.path().join("large.toml"));
        let before = super::child::contents(dir.path());
        let flush = ["flush", "large.toml", "--no-error-estimate", "--quiet"];
        let taken = watched(dir.path(), &flush);
        let err = &taken.run.err;
        eprintln!("{what}: {:?}, {:?} MB", taken.time, taken.peak_mb);
        match remedy {
            Some(remedy) => {
                assert_eq!(taken.run.status, Some(2), "{what}: {err}");
                assert!(err.contains("memory (512 MB)") && err.contains(remedy), "{what}: {err}");
                assert!(err.contains("of the scenario), pass 1"), "{what}: {err}");
            }
            // Status 3: the supply of so small a car runs dry on the way.
            None => assert!(matches!(taken.run.status, Some(0 | 3)), "{what}: {err}"),
        }
        assert!(taken.time < Duration::from_secs(300), "{what}: {:?}", taken.time);
        // Vectors that grow may for a moment take as much again.
        let most_mb = 2.0 * 8e-6 * MOST_NUMBERS as f64 + BESIDE_MB;
        assert!(taken.peak_mb.is_none_or(|mb| mb < most_mb), "{what}: {:?} MB", taken.peak_mb);
        assert!(super::child::contents(dir.path()) == before, "{what}");
    }
}

/// What many parts hold in many openings would be a file that nothing reads.
#[test]
fn parts_over_time_that_would_be_too_many_are_refused() {
    let dir = with_car();
    let large = Large {
        chambers: 2,
        bleeders: 100,
        shared: 70,
        procedure: "passes = 4\nuntil = \"20 mL\"",
        together: false,
    };
    // Six looks to each opening at the least.
    assert!((140 + 2 * large.bleeders) * 6 * 4 * large.bleeders > MOST_HELD / 2);
    large.write(&dir.path().join("large.toml"));
    let arguments =
        ["flush", "large.toml", "--also", "parts", "--no-error-estimate", "--json", "out.json"];
    let taken = watched(dir.path(), &arguments);
    eprintln!("parts: {:?}, {:?} MB", taken.time, taken.peak_mb);
    assert_eq!(taken.run.status, Some(2), "{}", taken.run.err);
    assert!(taken.run.err.contains("more than a million figures"), "{}", taken.run.err);
    assert!(!dir.path().join("out.json").exists());
}

/// Studies that would never end, or fill the memory.
#[test]
fn a_study_that_asks_for_too_much_is_refused_at_once() {
    let dir = with_car();
    let twelve = Large {
        chambers: 2,
        bleeders: 12,
        shared: 0,
        procedure: "until = \"clean\"",
        together: false,
    };
    twelve.write(&dir.path().join("twelve.toml"));
    let large = Large { bleeders: 200, chambers: 1, ..twelve };
    large.write(&dir.path().join("large.toml"));
    let uncertain =
        large.text().replace("\"8 mL\"", "\"8 mL ± 5 %\"").replace("\"1 m\"", "\"1 m ± 5 %\"");
    // Alike parts are one unknown; these are not alike.
    let uncertain = (0..200).fold(uncertain, |text, b| {
        let (from, to) = (
            format!("from = \"own {b}\","),
            format!("from = \"own {b}\", seat_gap = \"0.{} mm ± 5 %\",", 200 + b),
        );
        text.replacen(&from, &to, 1)
    });
    fs::write(dir.path().join("uncertain.toml"), uncertain).expect("a scenario");
    let cases: [(&[&str], &str); 13] = [
        (
            &["orders", "twelve.toml"],
            "12 bleeders can be opened in more than 40320 orders: name those",
        ),
        (
            &["orders", "car.toml", "--draws", "1000000000"],
            "2 orders: ask for at most 5000000 draws",
        ),
        (
            &["orders", "car.toml", "--draws", "18446744073709551615"],
            "ask for at most 5000000 draws",
        ),
        (&["spread", "car.toml", "--draws", "1000000000"], "ask for 20 to 100000"),
        (
            &["spread", "uncertain.toml", "--draws", "100000"],
            "or leave out spreads that matter little",
        ),
        (&["card", "car.toml", "--draws", "1000000000", "-o", "c.html"], "ask for 20 to 100000"),
        (
            &["plan", "car.toml", "--old-overall", "5 %", "--sure", "0.9", "--draws", "1000000000"],
            "ask for 10 to 10000",
        ),
        (
            &["plan", "large.toml", "--old-overall", "5 %", "--sure", "0.9", "--draws", "10000"],
            "10000 draws of a vehicle with 400 parts: ask for at most 625",
        ),
        (
            &["plan", "large.toml", "--old-overall", "5 %"],
            "opens 200 bleeders or groups of them: a plan is sought for 16 at most",
        ),
        (&["pressures", "car.toml", "--steps", "4294967295"], "is not in 1..=10000"),
        (&["pressures", "large.toml", "--steps", "10000"], "ask for at most 1250 steps"),
        (&["flush", "car.toml", "--threads", "100000"], "is not in 1..=1024"),
        (&["flush", "car.toml", "--seed", "99999999999999999999"], "invalid value"),
    ];
    for (arguments, words) in cases {
        let taken = watched(dir.path(), arguments);
        assert_eq!(taken.run.status, Some(2), "{arguments:?}: {}", taken.run.err);
        assert!(taken.run.err.contains(words), "{arguments:?}: {}", taken.run.err);
        assert!(taken.time < Duration::from_secs(60), "{arguments:?}: {:?}", taken.time);
        assert!(
            taken.peak_mb.is_none_or(|mb| mb < BESIDE_MB),
            "{arguments:?}: {:?}",
            taken.peak_mb
        );
    }
}
