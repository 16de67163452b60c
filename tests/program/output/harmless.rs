//! Whatever stands on the command line or in a file, nothing of it acts on a terminal.

use assert_cmd::Command;
use farwheel::keys::harmless::in_place;
use farwheel::report::mistakes;
use std::ffi::OsString;

/// A title is set, a colour chosen, the screen cleared, what follows turned round, a line begun.
const EVIL: &str =
    "x\u{1b}]0;t\u{7}\u{1b}[31m\u{1b}[2J\u{9b}2J\u{202e}\u{2067}\u{200b}\r\n\u{2028}y";
/// The same to be seen.
const SEEN: &str = "x·]0;t··[31m·[2J·2J···   y";

/// What the program writes to both outputs, and its exit status.
fn told(arguments: &[OsString], coloured: bool) -> (Option<i32>, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_farwheel"));
    command.env_remove("NO_COLOR").args(arguments);
    if coloured {
        command.env("CLICOLOR_FORCE", "1");
    }
    let output = command.output().expect("it starts");
    let text = |bytes| String::from_utf8(bytes).expect("UTF-8");
    (output.status.code(), text(output.stdout) + &text(output.stderr))
}

/// No line holds anything that acts, but for styles where they are wanted.
fn is_harmless(text: &str, coloured: bool) {
    let plain = match coloured {
        true => anstream::adapter::strip_str(text).to_string(),
        false => text.to_owned(),
    };
    for line in plain.lines() {
        assert_eq!(in_place(line), line, "{text:?}");
    }
}

#[test]
fn what_is_echoed_of_the_command_line_does_not_act() {
    let car = "compact-hatchback";
    let missing = format!("no/{EVIL}");
    let cases: [(&[&str], i32, usize); 17] = [
        (&[EVIL], 2, 1),
        (&["flush", EVIL], 2, 1),
        (&["check", EVIL], 2, 1),
        (&["layouts", EVIL, EVIL], 2, 2),
        (&["check", "--shipped", EVIL], 2, 1),
        (&["flush", car, EVIL], 2, 1),
        (&["flush", car, "--units", EVIL], 2, 1),
        (&["flush", car, "--threads", EVIL], 2, 1),
        (&["flush", car, &format!("--{EVIL}")], 2, 1),
        (&["flush", car, "--supply", EVIL], 2, 1),
        (&["flush", car, "--json", &missing], 1, 1),
        (&["flush", car, "--plots", &format!("/dev/null/{EVIL}")], 1, 1),
        (&["flush", car, "--json", EVIL, "--csv", EVIL], 2, 1),
        (&["orders", car, "--order", EVIL], 2, 1),
        (&["pressures", car, "--from", EVIL], 2, 1),
        (&["spread", car, "--bottle", EVIL], 2, 1),
        (&["plan", car, "--old-overall", EVIL], 2, 1),
    ];
    for (arguments, status, times) in cases {
        let arguments: Vec<OsString> = arguments.iter().map(Into::into).collect();
        for coloured in [false, true] {
            let (code, text) = told(&arguments, coloured);
            assert_eq!(code, Some(status), "{arguments:?}: {text}");
            is_harmless(&text, coloured);
            let plain = anstream::adapter::strip_str(&text).to_string();
            assert!(plain.matches(SEEN).count() >= times, "{arguments:?}: {plain:?}");
        }
    }
}

#[cfg(unix)]
#[test]
fn a_path_that_is_no_text_is_told_of() {
    use std::os::unix::ffi::OsStringExt as _;
    let path = OsString::from_vec(b"x\xff\x1b[31m.toml".to_vec());
    for coloured in [false, true] {
        let (code, text) = told(&["flush".into(), path.clone()], coloured);
        assert_eq!(code, Some(2), "{text}");
        is_harmless(&text, coloured);
        assert!(text.contains("x\u{fffd}·[31m.toml"), "{text}");
        let (code, text) = told(&["flush".into(), "--units".into(), path.clone()], coloured);
        assert_eq!(code, Some(2), "{text}");
        is_harmless(&text, coloured);
    }
}

/// Words of a file come back in what is wrong, in what would be right, and in the line that is shown.
#[test]
fn what_is_quoted_of_a_file_does_not_act() {
    let good = include_str!("../../../scenarios/motorcycle-front.toml");
    let unseen = "\u{2067}\u{200b}\u{ad}\u{202e}";
    let cases = [
        ("[reservoir]", format!("[\"{unseen}reservoir\"]")),
        ("kind = \"hose\"", format!("kind = \"{unseen}hoze\"")),
        ("until = \"clean\"", format!("until = \"{unseen}claen\"")),
        ("[procedure]", format!("[procedure]\n\"{unseen}supplie\" = 1")),
        ("title = ", format!("\"{unseen}titel\" = 'a' # \u{1b}[2J{unseen}\ntitle = ")),
        ("[procedure]", format!("[procedure] x{unseen}")),
    ];
    for (find, replace) in cases {
        assert!(good.contains(find), "{find}");
        let text = good.replacen(find, &replace, 1);
        let found = farwheel::read(&text, EVIL).expect_err(&replace);
        is_harmless(&found.to_string(), false);
        is_harmless(&format!("{found:?}"), false);
        is_harmless(&mistakes::render(&found, false), false);
        is_harmless(&mistakes::render(&found, true), true);
        for mistake in &found.list {
            is_harmless(&mistake.to_string(), false);
        }
        assert!(mistakes::render(&found, false).contains(SEEN), "{found}");
    }
}

/// What is not seen takes a column in the line that is shown, so that the mark stands below what it is about.
#[test]
fn the_mark_stands_below_what_it_is_about() {
    let good = include_str!("../../../scenarios/motorcycle-front.toml");
    let before = "before = [{ syringe = \"6 mL\" }, { top_up = \"27 mL\" }]";
    assert!(good.contains(before));
    let text = good.replacen(before, "before = [\"\u{200b}\t\u{202e}\", 17, \"wrong\"]", 1);
    let found = farwheel::read(&text, "marked.toml").expect_err("no steps");
    for drawn in [found.to_string(), mistakes::render(&found, false)] {
        let lines: Vec<&str> = drawn.lines().collect();
        let mut marked = Vec::new();
        for pair in lines.windows(2).filter(|pair| pair[0].contains("before = [")) {
            let column = |line: &str, what: char| line.chars().position(|c| c == what);
            let (from, marks) =
                (column(pair[1], '^').expect("a mark"), pair[1].matches('^').count());
            marked.push(pair[0].chars().skip(from).take(marks).collect::<String>());
        }
        assert!(
            marked.iter().any(|m| m == "17") && marked.iter().any(|m| m == "\"· ·\""),
            "{marked:?}\n{drawn}"
        );
    }
}
