//! Completions for shells.

use assert_cmd::Command;
use clap::CommandFactory as _;
use farwheel::commands::Arguments;

#[test]
fn each_shell_learns_every_verb_and_its_options() {
    let arguments = Arguments::command();
    let verbs: Vec<_> = arguments.get_subcommands().map(clap::Command::get_name).collect();
    assert!(verbs.len() >= 11, "{verbs:?}");
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let run = Command::new(env!("CARGO_BIN_EXE_farwheel"))
            .args(["completions", shell])
            .assert()
            .success();
        assert!(run.get_output().stderr.is_empty(), "{shell}");
        let script = String::from_utf8(run.get_output().stdout.clone()).expect("text");
        for word in verbs.iter().copied().chain(["no-error-estimate", "old-anywhere", "farwheel"]) {
            assert!(script.contains(word), "{shell} is not told of {word}");
        }
    }
}

#[test]
fn another_shell_is_refused_with_those_there_are() {
    let run = Command::new(env!("CARGO_BIN_EXE_farwheel")).args(["completions", "dash"]).assert();
    let told = String::from_utf8_lossy(&run.code(2).get_output().stderr).into_owned();
    assert!(told.contains("bash") && told.contains("powershell"), "{told}");
}
