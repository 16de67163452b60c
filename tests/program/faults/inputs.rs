//! Inputs that are no scenario, or one in unusual clothes.

use super::CAR;
use super::child::{Run, command, run, with_car};
use std::fs;
use std::io::Write as _;
use std::process::Stdio;

fn refused(told: &Run, what: &str) {
    assert_eq!(told.status, Some(2), "{what}: {}", told.err);
    assert!(told.err.contains("help: ") && told.out.is_empty(), "{what}: {}", told.err);
}

#[test]
fn what_is_no_scenario_is_refused_with_a_remedy() {
    let dir = with_car();
    let at = |name: &str| dir.path().join(name);
    fs::create_dir(at("folder.toml")).unwrap();
    let huge = fs::File::create(at("huge.toml")).unwrap();
    // Sparse: a gigabyte that takes no room.
    huge.set_len(1 << 30).unwrap();
    let utf16: Vec<u8> =
        [0xff, 0xfe].into_iter().chain(CAR.encode_utf16().flat_map(u16::to_le_bytes)).collect();
    fs::write(at("utf16.toml"), utf16).unwrap();
    fs::write(at("latin.toml"), CAR.replace("title = \"", "title = \"\u{fffd}")).unwrap();
    let latin = CAR.replacen("title = \"", "title = \"§", 1).into_bytes();
    let latin: Vec<u8> = latin.into_iter().filter(|b| *b != 0xc2).collect();
    fs::write(at("latin.toml"), latin).unwrap();
    fs::write(at("nul.toml"), format!("{CAR}\nx\0 = 1\n")).unwrap();
    fs::write(at("returns.toml"), CAR.replace('\n', "\r")).unwrap();
    fs::write(at("empty.toml"), "").unwrap();
    fs::write(at("binary.toml"), fs::read(env!("CARGO_BIN_EXE_farwheel")).unwrap()).unwrap();
    let cases = [
        ("folder.toml", "can't be read"),
        ("not there.toml", "can't be read"),
        ("huge.toml", "larger than 1 MB"),
        ("/dev/zero", "larger than 1 MB"),
        ("/dev/null", "holds no scenario"),
        ("utf16.toml", "not UTF-8"),
        ("latin.toml", "not UTF-8"),
        ("nul.toml", "a character that a text file does not hold"),
        ("returns.toml", "a character that a text file does not hold"),
        ("empty.toml", "holds no scenario"),
        ("binary.toml", "larger than 1 MB"),
    ];
    let verbs: [&[&str]; 8] = [
        &["check"],
        &["flush"],
        &["orders"],
        &["pressures"],
        &["layouts"],
        &["spread"],
        &["plan", "--old-overall", "5 %"],
        &["card", "-o", "out.html"],
    ];
    for (file, why) in cases {
        for verb in verbs {
            let told = run(dir.path(), &[verb, &[file]].concat());
            refused(&told, file);
            assert!(told.err.contains(why), "{verb:?} {file}: {}", told.err);
        }
    }
    assert!(!at("out.html").exists());
}

/// A pipe that never ends, on standard input and by name.
#[test]
fn an_endless_input_is_given_up() {
    let dir = with_car();
    let endless = |mut into: Box<dyn std::io::Write + Send>| {
        std::thread::spawn(move || while into.write_all(&[b'#'; 4096]).is_ok() {})
    };
    for verb in ["flush", "layouts", "check"] {
        let mut child = command(dir.path())
            .args([verb, "-"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let writer = endless(Box::new(child.stdin.take().unwrap()));
        let told: Run = child.wait_with_output().unwrap().into();
        writer.join().unwrap();
        refused(&told, verb);
        assert!(told.err.contains("larger than 1 MB"), "{}", told.err);
    }
    let fifo = dir.path().join("fifo.toml");
    assert!(std::process::Command::new("mkfifo").arg(&fifo).status().unwrap().success());
    let writer = std::thread::spawn(move || {
        let mut into = fs::OpenOptions::new().write(true).open(fifo).unwrap();
        while into.write_all(&[b'#'; 4096]).is_ok() {}
    });
    let told = run(dir.path(), &["flush", "fifo.toml"]);
    writer.join().unwrap();
    refused(&told, "a pipe");
}

/// A mark at the beginning of the file, line ends of another system, and as many comments as there is room for.
#[test]
fn a_scenario_in_unusual_clothes_is_read_all_the_same() {
    let dir = with_car();
    let at = |name: &str| dir.path().join(name);
    let longest = usize::try_from(farwheel::scenario::limits::LARGEST_FILE).unwrap();
    let full = format!("{CAR}{}\n", "#".repeat(longest - CAR.len() - 1));
    assert_eq!(full.len(), longest);
    fs::write(at("mark.toml"), format!("\u{feff}{CAR}")).unwrap();
    fs::write(at("ends.toml"), CAR.replace('\n', "\r\n")).unwrap();
    fs::write(at("full.toml"), &full).unwrap();
    fs::write(at("fuller.toml"), format!("{full}\n")).unwrap();
    let plain = run(dir.path(), &["flush", "car.toml", "--csv", "-"]);
    assert_eq!(plain.status, Some(0), "{}", plain.err);
    for name in ["mark.toml", "ends.toml", "full.toml"] {
        let told = run(dir.path(), &["flush", name, "--csv", "-"]);
        assert_eq!((told.status, told.out), (Some(0), plain.out.clone()), "{name}: {}", told.err);
    }
    refused(&run(dir.path(), &["flush", "fuller.toml"]), "one byte too many");
}
