//! The verb as somebody at a terminal meets it.

use rexpect::session::{PtySession, spawn_command};
use std::path::Path;
use std::process::Command;

const ENTER: &str = "\r";
const DOWN: &str = "\u{1b}[B";
const ESCAPE: &str = "\u{1b}";
const SHOW_CURSOR: &str = "\u{1b}[?25h";

fn asked(folder: &Path, arguments: &[&str]) -> PtySession {
    let mut command = Command::new(env!("CARGO_BIN_EXE_farwheel"));
    command.current_dir(folder).env("TERM", "xterm").arg("describe").args(arguments);
    spawn_command(command, Some(20_000)).expect("a terminal")
}

/// Waits for a question, then presses keys.
fn at(session: &mut PtySession, question: &str, keys: &[&str]) {
    session.exp_string(question).unwrap_or_else(|e| panic!("{question}: {e}"));
    // The choices are drawn behind the question.
    std::thread::sleep(std::time::Duration::from_millis(100));
    for key in keys {
        session.send(key).expect("a key");
        session.flush().expect("keys sent");
    }
}

/// Exit status, as the terminal's owner is told.
fn status(session: &mut PtySession) -> Option<i32> {
    let ended = format!("{:?}", session.process_mut().wait().expect("an ending"));
    ended.strip_prefix("Exited(")?.strip_suffix(')')?.rsplit(", ").next()?.parse().ok()
}

#[test]
fn enter_takes_what_is_marked_to_the_end() {
    let dir = tempfile::tempdir().expect("a folder");
    let mut session = asked(dir.path(), &["-o", "car.toml", "--answer", "supply=gravity"]);
    // Of nine kinds the second.
    at(&mut session, "What is it?", &[DOWN, DOWN, ENTER]);
    for question in [
        "close a bleeder screw?",
        "suck out the reservoir",
        "Where is the fluid",
        "hold at MAX?",
        "front pads?",
        "brakes the rear wheels?",
        "has a front caliper?",
        "ABS or ESC lamp",
        "is the steering wheel?",
        "brake fluid reservoir?",
        "On which side is the ABS unit?",
        "Which fluid is in it?",
        "Which fluid goes in?",
        "What kind of tester",
        "How warm are bay",
        "Was a part replaced",
    ] {
        at(&mut session, question, &[ENTER]);
    }
    session.exp_string("car.toml is written").expect("it ends");
    assert_eq!(status(&mut session), Some(0));
    let text = std::fs::read_to_string(dir.path().join("car.toml")).expect("a car");
    assert!(text.contains("kind = hatchback"), "{text}");
    farwheel::read(&text, "car.toml").unwrap_or_else(|m| panic!("{m}"));
}

#[test]
fn back_asks_the_last_question_again() {
    let dir = tempfile::tempdir().expect("a folder");
    let mut session = asked(dir.path(), &["-o", "car.toml"]);
    at(&mut session, "What is it?", &[ENTER]);
    at(&mut session, "close a bleeder screw?", &[ESCAPE]);
    at(&mut session, "What is it?", &[DOWN, DOWN, ENTER]);
    // What was answered before somebody goes back stays marked.
    at(&mut session, "close a bleeder screw?", &[DOWN, ENTER]);
    at(&mut session, "suck out the reservoir", &[ESCAPE]);
    at(&mut session, "close a bleeder screw?", &[ENTER]);
    at(&mut session, "suck out the reservoir", &["\u{3}"]);
    assert_eq!(status(&mut session), Some(130));
}

#[test]
fn what_is_no_answer_is_asked_again() {
    let dir = tempfile::tempdir().expect("a folder");
    let answered = ["clean=like new", "syringe=no", "level=MAX", "kind=van"];
    let mut arguments = vec!["-o", "car.toml"];
    arguments.extend(answered.iter().flat_map(|a| ["--answer", a]));
    let mut session = asked(dir.path(), &arguments);
    at(&mut session, "hold at MAX?", &["\u{15}plenty", ENTER]);
    session.exp_string("250 mL").expect("what would be right");
    at(&mut session, "hold at MAX?", &["\u{15}quit", ENTER]);
    assert_eq!(status(&mut session), Some(130));
}

#[test]
fn quit_and_ctrl_c_leave_nothing_and_give_the_cursor_back() {
    for back_first in [false, true] {
        let dir = tempfile::tempdir().expect("a folder");
        let mut session = asked(dir.path(), &["-o", "car.toml"]);
        if back_first {
            at(&mut session, "What is it?", &[ESCAPE]);
        }
        // Asked again before the next key: an escape and what follows at once are one key to a terminal.
        at(&mut session, "What is it?", &["\u{3}"]);
        session.exp_string(SHOW_CURSOR).expect("a cursor");
        assert_eq!(status(&mut session), Some(130));
        assert_eq!(std::fs::read_dir(dir.path()).expect("the folder").count(), 0);
    }
}

#[test]
fn described_again_only_what_was_guessed_is_asked() {
    let dir = tempfile::tempdir().expect("a folder");
    let mut first = asked(dir.path(), &["-o", "car.toml", "--answer", "kind=van", "--defaults"]);
    first.exp_string("car.toml is written").expect("it ends");
    assert_eq!(status(&mut first), Some(0));
    let mut session = asked(dir.path(), &["car.toml"]);
    // Not what it is.
    at(&mut session, "close a bleeder screw?", &["\u{3}"]);
    assert_eq!(status(&mut session), Some(130));
}
