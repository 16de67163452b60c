//! Completions for shells.

use super::program::{Ran, farwheel};
use clap::CommandFactory as _;
use farwheel::commands::Arguments;

#[test]
fn each_shell_learns_every_verb_and_its_options() {
    let arguments = Arguments::command();
    let verbs: Vec<_> = arguments.get_subcommands().map(clap::Command::get_name).collect();
    assert!(verbs.len() >= 11, "{verbs:?}");
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let Ran { status, out: script, err } = farwheel(&["completions", shell]);
        assert_eq!((status, err.as_str()), (Some(0), ""), "{shell}");
        for word in verbs.iter().copied().chain(["no-error-estimate", "old-anywhere", "farwheel"]) {
            assert!(script.contains(word), "{shell} is not told of {word}");
        }
    }
}

#[test]
fn another_shell_is_refused_with_those_there_are() {
    let Ran { status, err: told, .. } = farwheel(&["completions", "dash"]);
    assert_eq!(status, Some(2));
    assert!(told.contains("bash") && told.contains("powershell"), "{told}");
}
