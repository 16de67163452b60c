//! Outputs in places that cannot or must not be written.

use super::child::{command, contents, litter, run, with_car};
use std::fs;
use std::io::Read as _;
use std::os::unix::fs::symlink;
use std::process::Stdio;

/// Every verb that writes, with its arguments but for the scenario, and its options for a file.
const WRITERS: [(&[&str], &[&str]); 9] = [
    (&["check"], &["--json"]),
    (&["flush", "--no-error-estimate"], &["--json", "--csv"]),
    (&["orders"], &["--json", "--csv"]),
    (&["pressures"], &["--json", "--csv"]),
    (&["layouts"], &["--json", "--csv"]),
    (&["spread", "--draws", "20"], &["--json", "--csv"]),
    (&["plan", "--old-overall", "20 %", "--grid", "100 mL"], &["--json", "--csv", "-o"]),
    (&["card", "--draws", "20"], &["-o"]),
    (&["live"], &["-o"]),
];
/// Those that draw pictures.
const PAINTERS: [&[&str]; 6] = [
    &["flush", "--no-error-estimate"],
    &["orders"],
    &["pressures"],
    &["layouts"],
    &["spread", "--draws", "20"],
    &["plan", "--old-overall", "20 %", "--grid", "100 mL"],
];

#[test]
fn a_place_that_cannot_be_written_is_told_and_nothing_changes() {
    let dir = with_car();
    fs::create_dir(dir.path().join("folder")).unwrap();
    symlink("nowhere", dir.path().join("dangling")).unwrap();
    symlink("ring", dir.path().join("ring")).unwrap();
    let before = contents(dir.path());
    let places = [
        ("missing/out", "there is no directory"),
        ("car.toml/out", "is a file, not a directory"),
        ("folder", "it is a directory: name a file in it"),
        ("new/", "it names no file"),
        ("", "it names no file"),
        ("dangling", "a link that leads nowhere"),
        ("ring", "a link that leads nowhere"),
        ("/dev/full", "make room, or write to another place"),
    ];
    for (verb, options) in WRITERS {
        for option in options {
            for (place, why) in places {
                let told = run(dir.path(), &[verb, &["car.toml", option, place]].concat());
                assert_eq!(told.status, Some(1), "{verb:?} {option} {place}: {}", told.err);
                let named = format!("{place} could not be written: ");
                assert!(
                    told.err.contains(&named) && told.err.contains(why),
                    "{verb:?} {option} {place}: {}",
                    told.err
                );
                assert!(contents(dir.path()) == before, "{verb:?} {option} {place}");
            }
        }
    }
    for verb in PAINTERS {
        for (place, why) in [
            ("car.toml", "car.toml is a file, not a directory"),
            ("car.toml/plots", "car.toml is a file, not a directory"),
            ("/dev/full", "/dev/full is a file, not a directory"),
        ] {
            let told = run(dir.path(), &[verb, &["car.toml", "--plots", place]].concat());
            assert_eq!(told.status, Some(1), "{verb:?} {place}: {}", told.err);
            assert!(told.err.contains(why), "{verb:?} {place}: {}", told.err);
            assert!(contents(dir.path()) == before, "{verb:?} {place}");
        }
    }
}

/// What takes long is not begun if its answer could not be written.
#[test]
fn a_study_is_not_begun_for_nothing() {
    let dir = with_car();
    let begun = std::time::Instant::now();
    let told = run(
        dir.path(),
        &["orders", "car.toml", "--draws", "1000000", "--json", "missing/out.json"],
    );
    assert_eq!(told.status, Some(1), "{}", told.err);
    assert!(begun.elapsed().as_secs() < 20);
}

#[test]
fn no_output_may_be_the_scenario_however_it_is_spelt() {
    let dir = with_car();
    let at = |name: &str| dir.path().join(name);
    fs::create_dir(at("sub")).unwrap();
    fs::hard_link(at("car.toml"), at("hard.toml")).unwrap();
    symlink("car.toml", at("soft.toml")).unwrap();
    symlink(".", at("here")).unwrap();
    let before = contents(dir.path());
    let absolute = at("car.toml");
    let spelt = [
        ("car.toml", "car.toml"),
        ("car.toml", "./sub/../car.toml"),
        ("car.toml", "here/car.toml"),
        ("car.toml", absolute.to_str().unwrap()),
        ("car.toml", "hard.toml"),
        ("car.toml", "soft.toml"),
        ("soft.toml", "car.toml"),
        ("here/here/car.toml", "car.toml"),
    ];
    for (verb, options) in WRITERS {
        for option in options {
            for (scenario, output) in spelt {
                let told = run(dir.path(), &[verb, &[scenario, option, output]].concat());
                assert_eq!(told.status, Some(2), "{verb:?} {option} {output}: {}", told.err);
                assert!(told.err.contains("would overwrite the scenario"), "{}", told.err);
            }
            let read = fs::File::open(&absolute).unwrap();
            let mut child = command(dir.path());
            child.args(verb).args(["-", option, "car.toml"]).stdin(read);
            let told: super::child::Run = child.output().unwrap().into();
            assert_eq!(told.status, Some(2), "{verb:?} {option}: {}", told.err);
            assert!(told.err.contains("the scenario on standard input"), "{}", told.err);
        }
    }
    // A picture may bear the scenario's name too.
    fs::copy(at("car.toml"), at("sub/clearing.svg")).unwrap();
    let told = run(dir.path(), &["flush", "sub/clearing.svg", "--plots", "here/sub"]);
    assert_eq!(told.status, Some(2), "{}", told.err);
    fs::remove_file(at("sub/clearing.svg")).unwrap();
    assert!(contents(dir.path()) == before);
}

#[test]
fn two_outputs_never_share_a_place() {
    let dir = with_car();
    let at = |name: &str| dir.path().join(name);
    symlink(".", at("here")).unwrap();
    fs::write(at("old"), "kept").unwrap();
    fs::hard_link(at("old"), at("twin")).unwrap();
    let before = contents(dir.path());
    for (one, other) in
        [("out", "out"), ("out", "here/out"), ("here/out", "./out"), ("old", "twin"), ("-", "-")]
    {
        for verb in ["flush", "orders", "spread", "layouts", "pressures"] {
            let told = run(dir.path(), &[verb, "car.toml", "--json", one, "--csv", other]);
            assert_eq!(told.status, Some(2), "{verb} {one} {other}: {}", told.err);
            assert!(told.err.contains("give each its own place"), "{}", told.err);
        }
    }
    let told =
        run(dir.path(), &["flush", "car.toml", "--json", "plots/left.svg", "--plots", "plots"]);
    // The directory is not there yet: the one file cannot be written, or both are the same.
    assert!(matches!(told.status, Some(1 | 2)), "{}", told.err);
    assert!(contents(dir.path()) == before);
}

#[test]
fn an_output_that_fails_keeps_no_other_back() {
    let dir = with_car();
    let told =
        run(dir.path(), &["orders", "car.toml", "--csv", "/dev/full", "--json", "orders.json"]);
    assert_eq!(told.status, Some(1), "{}", told.err);
    assert!(told.err.contains("/dev/full could not be written"), "{}", told.err);
    assert!(told.out.contains("Keep the order"), "the table all the same: {}", told.out);
    assert_eq!(super::child::incomplete(&dir.path().join("orders.json")), None);
    assert!(litter(dir.path()).is_empty());
}

#[test]
fn devices_and_pipes_are_written_to_and_stay() {
    let dir = with_car();
    let told = run(dir.path(), &["flush", "car.toml", "--quiet", "--json", "/dev/null"]);
    assert_eq!((told.status, told.out.as_str()), (Some(0), ""));

    let fifo = dir.path().join("fifo");
    assert!(std::process::Command::new("mkfifo").arg(&fifo).status().unwrap().success());
    let reader = std::thread::spawn({
        let fifo = fifo.clone();
        move || fs::read(fifo).unwrap()
    });
    let told = run(dir.path(), &["flush", "car.toml", "--quiet", "--json", "fifo"]);
    assert_eq!(told.status, Some(0), "{}", told.err);
    let read: serde_json::Value = serde_json::from_slice(&reader.join().unwrap()).unwrap();
    assert!(read["openings"].is_array());
    assert!(!fs::metadata(&fifo).unwrap().is_file(), "still a pipe");

    // A reader that leaves in the middle is no fault: more is written than a pipe holds.
    let reader = std::thread::spawn({
        let fifo = fifo.clone();
        move || fs::File::open(fifo).unwrap().read_exact(&mut [0; 10]).unwrap()
    });
    let told = run(dir.path(), &["live", "car.toml", "-o", "fifo"]);
    reader.join().unwrap();
    assert_eq!((told.status, told.err.as_str()), (Some(0), ""));
}

#[test]
fn a_closed_pipe_is_no_fault_and_a_full_one_is_told() {
    let dir = with_car();
    let shown: [&[&str]; 8] = [
        &["live", "car.toml", "-o", "-"],
        &["card", "car.toml", "--draws", "20", "-o", "-"],
        &["flush", "car.toml"],
        &["flush", "car.toml", "--json", "-"],
        &["flush", "car.toml", "--csv", "-"],
        &["orders", "car.toml"],
        &["check", "car.toml"],
        &["schema"],
    ];
    for arguments in shown {
        let mut child = command(dir.path())
            .args(arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        child.stdout.take().unwrap().read_exact(&mut [0; 10]).unwrap();
        // The pipe is closed: what is written now fails.
        let told: super::child::Run = child.wait_with_output().unwrap().into();
        assert_eq!(told.status, Some(0), "{arguments:?}: {}", told.err);
        assert!(!told.err.contains("written"), "{arguments:?}: {}", told.err);

        let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let told: super::child::Run =
            command(dir.path()).args(arguments).stdout(full).output().unwrap().into();
        assert_eq!(told.status, Some(1), "{arguments:?}: {}", told.err);
        assert!(told.err.contains("standard output could not be written"), "{}", told.err);
    }
}

/// What a user is told where nobody can see what is printed.
const NOT_SEEN: &str = "standard output could not be written: it is closed";

/// The Rust runtime opens `/dev/null` where it finds standard output closed; the program looks before that. A caller that
/// leads it to `/dev/null`, for writing alone as a shell or for both as some programs do, does so on purpose.
#[cfg(unix)]
#[test]
fn closed_output_is_a_fault_and_output_that_leads_nowhere_is_none() {
    let dir = with_car();
    let shown: [&[&str]; 6] = [
        &["flush", "car.toml", "--no-error-estimate"],
        &["flush", "car.toml", "--no-error-estimate", "--json", "-"],
        &["flush", "car.toml", "--no-error-estimate", "--csv", "-"],
        &["check", "car.toml"],
        &["schema"],
        &["--help"],
    ];
    let closed = |arguments: &[&str]| -> super::child::Run {
        let mut shell = std::process::Command::new("sh");
        shell.current_dir(dir.path()).args(["-c", "exec \"$0\" \"$@\" >&-"]);
        shell.arg(env!("CARGO_BIN_EXE_farwheel")).args(arguments).output().unwrap().into()
    };
    let null = |read: bool, arguments: &[&str]| -> super::child::Run {
        let null = fs::OpenOptions::new().read(read).write(true).open("/dev/null").unwrap();
        command(dir.path()).args(arguments).stdout(null).output().unwrap().into()
    };
    for arguments in shown {
        let told = closed(arguments);
        assert_eq!(told.status, Some(1), "{arguments:?}: {}", told.err);
        assert!(told.err.contains(NOT_SEEN), "{arguments:?}: {}", told.err);
        for told in [null(true, arguments), null(false, arguments)] {
            assert_eq!(told.status, Some(0), "{arguments:?}: {}", told.err);
            assert!(!told.err.contains(NOT_SEEN), "{arguments:?}: {}", told.err);
        }
    }
    // Nothing is printed, so nothing is missed.
    let quiet = ["flush", "car.toml", "--no-error-estimate", "--quiet", "--json", "out.json"];
    let told = closed(&quiet);
    assert_eq!((told.status, told.err.contains(NOT_SEEN)), (Some(0), false), "{}", told.err);
    assert_eq!(super::child::incomplete(&dir.path().join("out.json")), None);
    // A file is written all the same.
    fs::remove_file(dir.path().join("out.json")).unwrap();
    let told = closed(&["flush", "car.toml", "--no-error-estimate", "--json", "out.json"]);
    assert!(told.status == Some(1) && told.err.contains(NOT_SEEN), "{}", told.err);
    assert_eq!(super::child::incomplete(&dir.path().join("out.json")), None);
}
