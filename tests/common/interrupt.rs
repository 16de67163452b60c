//! The program, interrupted while it works, as by Ctrl-C.

use std::os::unix::process::ExitStatusExt as _;
use std::process::{Command, Output, Stdio};
use std::time::Duration;

const SIGINT: i32 = 2;
/// Longest wait for an interrupted program to write what it has.
const PATIENCE: Duration = Duration::from_secs(60);

/// Starts the program, sends it SIGINT after `wait` and gives what it left behind. Where it was done by then, again
/// after half the wait; where a busy machine had not let it come so far as to listen, after twice the wait. A program
/// that does not end is killed, and the test with it.
pub fn interrupted(arguments: &[&str], wait: Duration) -> Output {
    let mut wait = wait;
    for _ in 0..5 {
        let run = interrupted_after(arguments, wait);
        match (run.status.code(), run.status.signal()) {
            (Some(0), _) => wait /= 2,
            (None, Some(SIGINT)) => wait *= 2,
            _ => return run,
        }
    }
    panic!("it was done before each interruption, or not yet listening");
}

/// The same once.
fn interrupted_after(arguments: &[&str], wait: Duration) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_farwheel"))
        .args(arguments)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program");
    std::thread::sleep(wait);
    if child.try_wait().expect("a state").is_some() {
        return child.wait_with_output().expect("its output");
    }
    let sent = Command::new("kill").args(["-INT", &child.id().to_string()]).status();
    assert!(sent.expect("kill").success());
    // Read while it ends, or what it prints fills the pipe and it never does.
    let id = child.id().to_string();
    let (tell, told) = std::sync::mpsc::channel();
    std::thread::spawn(move || tell.send(child.wait_with_output()));
    let output = told.recv_timeout(PATIENCE).unwrap_or_else(|_| {
        Command::new("kill").args(["-KILL", &id]).status().expect("kill");
        panic!("it did not end");
    });
    output.expect("its output")
}

/// Interrupts a study that is told to write JSON and CSV, and sees to it that it ends with 130, says so, and
/// marks both as partial. Gives the JSON, the CSV and what it printed. Where a busy machine had it still reading its
/// scenarios, so that there was nothing to tell, it is asked again after a longer wait.
pub fn marked_as_partial(
    arguments: &[&str],
    wait: Duration,
) -> (serde_json::Value, String, String) {
    let dir = tempfile::tempdir().expect("a place");
    let at = |name: &str| dir.path().join(name).to_str().expect("a plain name").to_owned();
    let (json, csv) = (at("a.json"), at("a.csv"));
    let asked = [arguments, &["--json", &json, "--csv", &csv]].concat();
    let begun = |run: &Output| !run.stderr.is_empty();
    let mut runs = [1, 2, 4, 8].into_iter().map(|times| interrupted(&asked, times * wait));
    let run = runs.find(begun).expect("a study that begins");
    let told = String::from_utf8_lossy(&run.stderr);
    assert_eq!(run.status.code(), Some(130), "{told}");
    assert!(told.contains("marked as partial"), "{told}");
    let value: serde_json::Value =
        serde_json::from_slice(&std::fs::read(&json).expect("what is finished"))
            .expect("whole JSON");
    assert_eq!(value["partial"], true);
    let sheet = std::fs::read_to_string(&csv).expect("what is finished");
    assert!(sheet.contains("partial"), "{sheet}");
    (value, sheet, String::from_utf8_lossy(&run.stdout).into_owned())
}
