//! The program as a user starts it: what it offers, and what it refuses before it computes anything.

use super::program::{Ran, farwheel};

#[test]
fn help_lists_every_verb_and_the_exit_status() {
    let Ran { status, out: help, .. } = farwheel(&["--help"]);
    assert_eq!(status, Some(0));
    for word in ["check", "flush", "compare", "schema", "Exit status: 0 done; 2"] {
        assert!(help.contains(word), "{word} in {help}");
    }
    let Ran { status, out: help, .. } = farwheel(&["flush", "--help"]);
    assert_eq!(status, Some(0));
    let options = "--json <FILE|->, --csv <FILE|->, --plots <DIR>, --seed <N>, --threads <N>, --quiet, \
                   --units <UNITS>, --supply <NAME>, --no-error-estimate, --also <WHAT>";
    for option in options.split(", ") {
        assert!(help.contains(option), "{option} in {help}");
    }
}

/// Of the commit only that it is said: which one, and whether there is any, depends on where this is built.
#[test]
fn the_version_says_the_commit_in_its_long_form() {
    let version = concat!("farwheel ", env!("CARGO_PKG_VERSION"));
    let short = farwheel(&["-V"]);
    assert_eq!((short.status, short.out), (Some(0), format!("{version}\n")));
    let Ran { status, out: long, .. } = farwheel(&["--version"]);
    assert_eq!(status, Some(0));
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
        let refused = farwheel(wrong);
        assert_eq!((refused.status, refused.out.as_str()), (Some(2), ""), "{wrong:?}");
        assert!(!refused.err.is_empty(), "{wrong:?}");
    }
}

#[test]
fn the_scenario_is_never_overwritten() {
    let dir = tempfile::tempdir().unwrap();
    let car = dir.path().join("car.toml");
    std::fs::write(&car, "title = \"mine\"\n").unwrap();
    let car = car.to_str().unwrap();
    for option in ["--json", "--csv"] {
        let Ran { status, err: told, .. } = farwheel(&["flush", car, option, car]);
        assert_eq!(status, Some(2));
        assert!(told.contains(option) && told.contains("would overwrite the scenario"), "{told}");
        assert!(!told.contains('\u{1b}'), "no colour where there is no terminal");
    }
    assert_eq!(std::fs::read_to_string(car).unwrap(), "title = \"mine\"\n");
}

#[test]
fn two_outputs_cannot_share_standard_output() {
    let refused = farwheel(&["flush", "x.toml", "--json", "-", "--csv", "-"]);
    assert_eq!(refused.status, Some(2));
    assert!(refused.err.contains("both go to standard output"));
}
