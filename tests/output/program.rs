//! The program as a user starts it: what it offers, and what it refuses before it computes anything.

use assert_cmd::Command;

fn farwheel(arguments: &[&str]) -> assert_cmd::assert::Assert {
    Command::new(env!("CARGO_BIN_EXE_farwheel")).env_remove("NO_COLOR").args(arguments).assert()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[test]
fn help_lists_every_verb_and_the_exit_status() {
    let help = farwheel(&["--help"]).success();
    let help = text(&help.get_output().stdout);
    for word in ["check", "flush", "layouts", "schema", "Exit status: 0 done; 2"] {
        assert!(help.contains(word), "{word} in {help}");
    }
    let help = farwheel(&["flush", "--help"]).success();
    let help = text(&help.get_output().stdout);
    for option in [
        "--json <FILE|->",
        "--csv <FILE|->",
        "--plots <DIR>",
        "--seed <N>",
        "--threads <N>",
        "--quiet",
        "--units <UNITS>",
        "--supply <NAME>",
        "--no-error-estimate",
        "--also <WHAT>",
    ] {
        assert!(help.contains(option), "{option} in {help}");
    }
}

/// Of the commit only that it is said: which one, and whether there is any, depends on where this is built.
#[test]
fn the_version_says_the_commit_in_its_long_form() {
    let version = concat!("farwheel ", env!("CARGO_PKG_VERSION"));
    let short = farwheel(&["-V"]).success();
    assert_eq!(text(&short.get_output().stdout), format!("{version}\n"));
    let long = farwheel(&["--version"]).success();
    let long = text(&long.get_output().stdout);
    let commit = long.trim_end().strip_prefix(version).and_then(|l| l.strip_prefix(" (commit "));
    let commit = commit.and_then(|l| l.strip_suffix(')')).unwrap_or_else(|| panic!("{long}"));
    let digits = commit.split(',').next().unwrap_or_default();
    let digits = digits.len() == 12 && digits.chars().all(|c| c.is_ascii_hexdigit());
    assert!(digits || commit == "unknown: built without git", "{long}");
}

#[test]
fn mistakes_on_the_command_line_are_status_2_and_say_so_on_standard_error() {
    for wrong in [
        &["flsh", "x.toml"][..],
        &["flush"],
        &["flush", "x.toml", "--threads", "0"],
        &["flush", "x", "--units", "uk"],
        &["flush", "x", "--also", "curve", "--json", "-"],
        &["flush", "x", "--also", "curves,", "--json", "-"],
    ] {
        let refused = farwheel(wrong).code(2);
        assert!(refused.get_output().stdout.is_empty(), "{wrong:?}");
        assert!(!refused.get_output().stderr.is_empty(), "{wrong:?}");
    }
}

#[test]
fn the_scenario_is_never_overwritten() {
    let dir = tempfile::tempdir().unwrap();
    let car = dir.path().join("car.toml");
    std::fs::write(&car, "title = \"mine\"\n").unwrap();
    let car = car.to_str().unwrap();
    for option in ["--json", "--csv"] {
        let refused = farwheel(&["flush", car, option, car]).code(2);
        let told = text(&refused.get_output().stderr);
        assert!(told.contains(option) && told.contains("would overwrite the scenario"), "{told}");
        assert!(!told.contains('\u{1b}'), "no colour where there is no terminal");
    }
    assert_eq!(std::fs::read_to_string(car).unwrap(), "title = \"mine\"\n");
}

#[test]
fn two_outputs_cannot_share_standard_output() {
    let refused = farwheel(&["flush", "x.toml", "--json", "-", "--csv", "-"]).code(2);
    assert!(text(&refused.get_output().stderr).contains("both go to standard output"));
}
