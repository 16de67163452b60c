//! Looks over where output is to go, before anything is computed.

use super::outcome::Failure;
use crate::report::write::{Target, same_file};
use std::path::Path;

/// The option of the outputs whose directory is made if missing.
pub(super) const PLOTS: &str = "--plots";

/// Refuses outputs that would overwrite a scenario or one another, and those that cannot be written.
///
/// # Errors
/// Names the option and what to write instead, or the place and why nothing can be written there.
pub(super) fn look_over(
    scenarios: &[impl AsRef<Path>],
    outputs: &[(&str, Target)],
) -> Result<(), Failure> {
    look_over_in(scenarios, outputs, |option| option == PLOTS)
}

/// As [`look_over`], where `makes_dir` says of which options the directory is made if missing.
///
/// # Errors
/// As [`look_over`].
pub(super) fn look_over_in(
    scenarios: &[impl AsRef<Path>],
    outputs: &[(&str, Target)],
    makes_dir: impl Fn(&str) -> bool,
) -> Result<(), Failure> {
    for scenario in scenarios {
        keep_apart(scenario.as_ref(), outputs)?;
    }
    for (option, target) in outputs {
        target.look_over(makes_dir(option))?;
    }
    Ok(())
}

fn keep_apart(scenario: &Path, outputs: &[(&str, Target)]) -> Result<(), Failure> {
    for (i, (option, target)) in outputs.iter().enumerate() {
        if let Target::File(path) = target
            && let Some(name) = scenario_at(path, scenario)
        {
            return Err(Failure::Unusable(format!(
                "{option} would overwrite the scenario {name}: name another file"
            )));
        }
        if let Some((other, _)) = outputs[..i].iter().find(|(_, t)| same(t, target)) {
            return Err(Failure::Unusable(format!(
                "{other} and {option} both go to {target}: give each its own place"
            )));
        }
    }
    Ok(())
}

/// The scenario's name, if it is what the path leads to.
fn scenario_at(path: &Path, scenario: &Path) -> Option<String> {
    if scenario != Path::new("-") {
        return same_file(path, scenario).then(|| scenario.display().to_string());
    }
    // A file that the shell opened as standard input; a terminal or a pipe cannot be overwritten.
    (path.is_file() && same_file(path, Path::new("/dev/stdin")))
        .then(|| "on standard input".to_owned())
}

fn same(one: &Target, other: &Target) -> bool {
    match (one, other) {
        (Target::Standard, Target::Standard) => true,
        (Target::File(a), Target::File(b)) => same_file(a, b),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_output_may_not_be_the_scenario_under_another_spelling() {
        let dir = tempfile::tempdir().expect("a temporary directory");
        let car = dir.path().join("car.toml");
        std::fs::write(&car, "title = 'x'").expect("a file");
        let again = dir.path().join(".").join("car.toml");
        let refused = look_over(&[&car], &[("--json", Target::File(again))]);
        assert!(
            matches!(refused, Err(Failure::Unusable(why)) if why.contains("--json would overwrite"))
        );
        look_over(&[&car], &[("--json", Target::File(dir.path().join("car.json")))])
            .expect("another file");
    }

    #[test]
    fn two_outputs_need_two_places() {
        let both = [("--json", Target::Standard), ("--csv", Target::Standard)];
        assert!(look_over(&["-"], &both).is_err());
        let new = Target::File("not there yet".into());
        assert!(look_over(&["-"], &[("--json", new.clone()), ("--csv", new)]).is_err());
        let apart = [("--json", Target::Standard), ("--csv", Target::File("x.csv".into()))];
        look_over(&["-"], &apart).expect("outputs apart");
    }
}
