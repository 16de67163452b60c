//! One job at other pressures: Hagen–Poiseuille, millilitres that pressure leaves alone and those that it
//! does not, each point beside `flush` of the scenario with that gauge written in, and the program.
#![cfg(all(feature = "program", feature = "pictures"))]

#[cfg(unix)]
#[path = "common/interrupt.rs"]
mod interrupt;
#[path = "pressures/program.rs"]
mod program;
#[path = "common/shown.rs"]
mod shown;
#[path = "pressures/study.rs"]
mod study;

use farwheel::Scenario;
use farwheel::job::options::Options;
use farwheel::study::pressures::{Pressures, Question, study as run_study};
use farwheel::study::progress::Nobody;

const CAR: &str = include_str!("../scenarios/compact-hatchback.toml");
/// Pascals in a psi (NIST SP 811).
const PSI: f64 = 6_894.757_293_168;

fn edited(edits: &[(&str, &str)]) -> String {
    let mut text = CAR.to_owned();
    for (find, replace) in edits {
        assert_eq!(text.matches(find).count(), 1, "`{find}` must stand once in the car");
        text = text.replacen(find, replace, 1);
    }
    text
}

fn read(text: &str) -> Scenario {
    farwheel::read(text, "car.toml").unwrap_or_else(|m| panic!("{m}"))
}

fn plain() -> Options {
    Options { origins: false, ..Options::default() }
}

fn sweep(scenario: &Scenario, from_psi: f64, to_psi: f64, steps: usize) -> Pressures {
    let question = Question { from_pa: Some(from_psi * PSI), to_pa: Some(to_psi * PSI), steps };
    run_study(scenario, &question, &plain(), &Nobody).expect("it can be run")
}
