//! `layouts`: several scenarios side by side, far wheel first and near wheel first.

use super::delivery::{Delivery, Files};
use super::options::{self, Computing, Showing};
use super::outcome::{Done, Failure};
use super::progress::watched;
use crate::circuit::Scenario;
use crate::job::options::Options;
use crate::study::layouts;
use clap::Args;
use std::path::{Path, PathBuf};

/// Set several scenarios side by side, each flushed with the far wheel first and with the near wheel first
#[derive(Debug, Args)]
pub(super) struct Layouts {
    /// Scenario files; one may be - for standard input
    #[arg(value_name = "SCENARIO", required = true)]
    scenarios: Vec<PathBuf>,
    #[command(flatten)]
    showing: Showing,
    #[command(flatten)]
    files: Files,
    #[command(flatten)]
    computing: Computing,
}

impl Layouts {
    /// Reads, runs, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        let delivery = Delivery { showing: &self.showing, files: &self.files, output: None };
        delivery.look_over::<layouts::Layouts>(&self.scenarios)?;
        let options = Options { origins: false, ..self.computing.prepare(None)? };
        let scenarios = self.read()?;
        let answer = watched(self.showing.quiet, |to| layouts::compare(&scenarios, &options, to))?;
        delivery.deliver(&answer)
    }

    /// Every scenario, or what is wrong with each that cannot be used.
    fn read(&self) -> Result<Vec<Scenario>, Failure> {
        if self.scenarios.iter().filter(|s| *s == Path::new("-")).count() > 1 {
            return Err(Failure::Unusable(
                "standard input can be read once only: name `-` once".to_owned(),
            ));
        }
        let (mut scenarios, mut told) = (Vec::new(), Vec::new());
        for path in &self.scenarios {
            match options::read(path) {
                Ok((scenario, _)) => scenarios.push(scenario),
                Err(Failure::Unusable(why)) => told.push(why),
                Err(other) => return Err(other),
            }
        }
        if told.is_empty() { Ok(scenarios) } else { Err(Failure::Unusable(told.join("\n"))) }
    }
}
