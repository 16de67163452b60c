//! Ctrl-C at random moments of a run, from its start to after its end: the exit status says what is there, and what
//! is there is whole.

use super::child::{command, incomplete, litter, with_car};
use farwheel::study::chance::draws::column;
use std::collections::BTreeMap;
use std::fs;
use std::os::unix::process::ExitStatusExt as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Moments tried of each verb; of the five studies together 200.
const TRIALS: usize = 40;
/// Longest wait for an interrupted program, on a machine that does much else.
const PATIENCE: Duration = Duration::from_secs(120);
/// What stands in an output's place before.
const OLD: &str = "what was there before";

/// Sets of outputs that trials take in turn.
const OUTPUTS: [&[&str]; 4] = [
    &["--json", "out.json"],
    &["--json", "out.json", "--csv", "out.csv"],
    &["--csv", "out.csv", "--plots", "plots"],
    &["--json", "out.json", "--csv", "out.csv", "--plots", "plots"],
];

/// Files below a directory that have an extension of an output, with what they hold.
fn outputs(dir: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut all = super::child::contents(dir);
    all.retain(|p, _| p.is_file() && !p.ends_with("car.toml"));
    all
}

/// How a program ended that was told to.
struct Ended {
    /// Exit status; as a shell has it, 128 and the signal's number, if the signal ended it before it listened.
    status: i32,
    listened: bool,
    told: String,
}

/// Runs the program and sends it signals after so many seconds each.
fn interrupted(dir: &Path, arguments: &[&str], signals: &[(&str, f64)]) -> Ended {
    let began = Instant::now();
    let mut child = command(dir)
        .args(arguments)
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts");
    for (signal, after_s) in signals {
        std::thread::sleep(Duration::from_secs_f64(*after_s).saturating_sub(began.elapsed()));
        // Until it is waited for its number is not given to another.
        let sent =
            Command::new("kill").args([&format!("-{signal}"), &child.id().to_string()]).status();
        assert!(sent.expect("kill").success());
    }
    let begun = Instant::now();
    while child.try_wait().expect("a state").is_none() {
        if begun.elapsed() > PATIENCE {
            child.kill().expect("killed");
            panic!("{arguments:?} did not end");
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    let output = child.wait_with_output().expect("its output");
    let status = output.status.code().or_else(|| output.status.signal().map(|s| 128 + s));
    Ended {
        status: status.expect("a status"),
        listened: output.status.code().is_some(),
        told: String::from_utf8_lossy(&output.stderr).into_owned(),
    }
}

/// What a trial left must be whole, and of one piece with its exit status; `study` says whether it could write
/// what was finished. Gives whether anything new was written.
fn look_at(dir: &Path, ended: &Ended, study: bool, what: &str) -> bool {
    let Ended { status, told, .. } = ended;
    let car = fs::read_to_string(dir.join("car.toml")).expect("the scenario");
    assert!(car == super::CAR, "{what}: the scenario has changed");
    assert_eq!(litter(dir), Vec::<PathBuf>::new(), "{what}");
    assert!(matches!(status, 0 | 130 | 143), "{what}: {status} {told}");
    assert!(*status != 143 || !ended.listened, "{what}: {status}");
    let mut new = outputs(dir);
    new.retain(|_, bytes| bytes != OLD.as_bytes());
    for path in new.keys() {
        assert_eq!(incomplete(path), None, "{what}: {status} {told}");
    }
    let partial = study && *status == 130;
    for (path, bytes) in &new {
        assert!(ended.listened, "{what}: {} before it listened", path.display());
        match path.extension().and_then(|e| e.to_str()) {
            Some("json") => {
                let value: serde_json::Value = serde_json::from_slice(bytes).expect("whole");
                let marked = value.get("partial").map(|p| p == true);
                assert_eq!(marked, partial.then_some(true), "{what}: {status}");
            }
            Some("csv") => {
                let sheet = String::from_utf8(bytes.clone()).expect("text");
                // Sheets with a row an item; one without any item has no row to be marked.
                assert_eq!(sheet.contains("partial"), partial, "{what}: {status}\n{sheet}");
            }
            _ => {}
        }
    }
    if study {
        let says = told.contains("what was finished is written and marked as partial");
        assert_eq!(says, *status == 130 && !new.is_empty(), "{what}: {status} {told}");
    }
    !new.is_empty()
}

/// Interrupts a verb at [`TRIALS`] moments, every third time where it does not begin from nothing.
fn at_random_moments(verb: &[&str], more: &[&str], study: bool, trials: usize) {
    let dir = with_car();
    let all = |set: &[&str]| -> Vec<String> {
        let outputs = if more.contains(&"-o") { &[] } else { set };
        let words = verb.iter().chain(more).chain(outputs);
        words.map(|w| (*w).to_owned()).collect()
    };
    let run = |trial: usize, signals: &[(&str, f64)]| {
        for path in outputs(dir.path()).into_keys() {
            fs::remove_file(path).expect("removed");
        }
        if trial % 3 == 1 {
            for name in ["out.json", "out.csv", "out.html", "out.toml"] {
                fs::write(dir.path().join(name), OLD).expect("an old file");
            }
        }
        let words = all(OUTPUTS[trial % OUTPUTS.len()]);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        interrupted(dir.path(), &words, signals)
    };
    // How long it takes with each set of outputs, on this machine now.
    let takes: Vec<f64> = (0..if more.contains(&"-o") { 1 } else { OUTPUTS.len() })
        .map(|set| {
            let began = Instant::now();
            let whole = run(set, &[]);
            assert_eq!(whole.status, 0, "{}", whole.told);
            assert!(look_at(dir.path(), &whole, study, "uninterrupted"));
            began.elapsed().as_secs_f64()
        })
        .collect();

    let name = verb.join(" ");
    let (mut ends, mut with_answer) = (BTreeMap::new(), 0);
    for (trial, moment) in column(7, &name, trials).into_iter().enumerate() {
        let signal = if trial % 7 == 3 { "TERM" } else { "INT" };
        let takes = takes[trial % takes.len()];
        let at = moment * 1.2 * takes;
        // A second one close by counts for nothing; some programs send theirs twice.
        let signals = [(signal, at), (signal, at + 0.02)];
        let signals = &signals[..1 + usize::from(trial % 5 == 2)];
        let ended = run(trial, signals);
        let what = format!("{name}, trial {trial}, {signal} after {at:.3} of {takes:.3} s");
        with_answer += usize::from(look_at(dir.path(), &ended, study, &what));
        *ends.entry(ended.status).or_insert(0) += 1;
    }
    eprintln!("{name}: exit status and number of trials {ends:?}, {with_answer} with an answer");
    assert!(ends.contains_key(&130), "{ends:?}: no moment was before the end");
}

#[test]
fn orders_at_random_moments() {
    at_random_moments(&["orders", "car.toml", "--draws", "150"], &[], true, TRIALS);
}

#[test]
fn spread_at_random_moments() {
    at_random_moments(&["spread", "car.toml", "--draws", "25"], &[], true, TRIALS);
}

#[test]
fn pressures_at_random_moments() {
    let split = concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios/compact-hatchback.toml");
    at_random_moments(&["pressures", split, "--steps", "20"], &[], true, TRIALS);
}

#[test]
fn layouts_at_random_moments() {
    let split = |name| format!("{}/scenarios/splits/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let splits = ["ii", "x", "hi", "ll", "hh"].map(split);
    let verb: Vec<&str> =
        std::iter::once("layouts").chain(splits.iter().map(String::as_str)).collect();
    at_random_moments(&verb, &[], true, TRIALS);
}

#[test]
fn plan_at_random_moments() {
    let plan = ["plan", "car.toml", "--old-overall", "10 %", "--grid", "5 mL"];
    at_random_moments(&plan, &["--output", "out.toml"], true, TRIALS);
}

/// Verbs that are no studies end at once, with nothing half written.
#[test]
fn other_verbs_at_random_moments() {
    at_random_moments(&["flush", "car.toml"], &[], false, 20);
    at_random_moments(&["card", "car.toml", "--draws", "20"], &["-o", "out.html"], false, 20);
    at_random_moments(&["live", "car.toml"], &["-o", "out.html"], false, 20);
}

/// Who does not want to wait for what is finished: a second Ctrl-C ends the program at once.
#[test]
fn a_second_ctrl_c_ends_it_at_once() {
    let dir = with_car();
    fs::write(dir.path().join("out.json"), OLD).expect("an old file");
    let fifo = dir.path().join("fifo");
    assert!(Command::new("mkfifo").arg(&fifo).status().expect("mkfifo").success());
    // Nobody reads the pipe, so that the answer waits for ever.
    let study = ["orders", "car.toml", "--json", "out.json", "--csv", "fifo"];
    let ended = interrupted(dir.path(), &study, &[("INT", 2.0), ("INT", 3.0)]);
    assert!(ended.listened && ended.status == 130, "{}", ended.told);
    assert_eq!(fs::read_to_string(dir.path().join("out.json")).expect("a file"), OLD);
    assert!(litter(dir.path()).is_empty());
}
