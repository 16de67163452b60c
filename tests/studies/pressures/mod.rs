//! One job at other pressures: Hagen–Poiseuille, millilitres that pressure leaves alone and those that it
//! does not, each point beside `flush` of the scenario with that gauge written in, and the program.

mod study;
mod verb;

use crate::common::cars;
use farwheel::Scenario;
use farwheel::job::options::Options;
use farwheel::study::pressures::{Pressures, Question, study as run_study};
use farwheel::study::progress::Nobody;

/// Pascals in a psi (NIST SP 811).
const PSI: f64 = 6_894.757_293_168;

fn edited(edits: &[(&str, &str)]) -> String {
    cars::edited_all(cars::HATCHBACK, edits)
}

fn plain() -> Options {
    Options { origins: false, ..Options::default() }
}

fn sweep(scenario: &Scenario, from_psi: f64, to_psi: f64, steps: usize) -> Pressures {
    let question = Question { from_pa: Some(from_psi * PSI), to_pa: Some(to_psi * PSI), steps };
    run_study(scenario, &question, &plain(), &Nobody).expect("it can be run")
}
