//! `layouts`: several scenarios side by side, far wheel first and near wheel first.

use super::delivery::{Delivery, Files};
use super::options::{Computing, Settings, Showing};
use super::origin::Origin;
use super::outcome::{Done, Failure};
use super::progress::watched;
use super::source::Source;
use crate::job::options::Options;
use crate::study::{decides, layouts};
use clap::Args;
use serde_json::json;
use std::path::PathBuf;

/// Set several scenarios side by side, each flushed with the far wheel first and with the near wheel first
#[derive(Debug, Args)]
pub(super) struct Layouts {
    /// Scenario files, or names of shipped scenarios; one may be - for standard input
    #[arg(value_name = "SCENARIO", required = true)]
    scenarios: Vec<PathBuf>,
    #[command(flatten)]
    settings: Settings,
    #[command(flatten)]
    showing: Showing,
    #[command(flatten)]
    files: Files,
    #[command(flatten)]
    computing: Computing,
}

/// What decides on one car; several set side by side, each flushed with the far wheel first and with the near wheel first
#[derive(Debug, Args)]
pub(super) struct Compare {
    #[command(flatten)]
    layouts: Layouts,
}

impl Compare {
    /// Reads, runs, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        self.layouts.compared("compare")
    }
}

impl Layouts {
    /// Reads, runs, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        self.compared("layouts")
    }

    /// As the verb `compare` asked for by its own name also what decides.
    fn compared(self, verb: &'static str) -> Result<Done, Failure> {
        let delivery = Delivery { showing: &self.showing, files: &self.files, output: None };
        delivery.look_over::<layouts::Layouts>(&self.scenarios)?;
        let options = Options { origins: false, ..self.computing.prepare(None)? };
        let sources = Source::read_several(&self.scenarios, &self.settings.set)?;
        let asked = json!({"verb": verb, "seed": options.seed});
        let origin = Origin::of_several(&sources, &asked);
        let scenarios: Vec<_> = sources.into_iter().map(|source| source.scenario).collect();
        let mut answer =
            watched(self.showing.quiet, |to| layouts::compare(&scenarios, &options, to))?;
        if let ("compare", [car]) = (verb, scenarios.as_slice()) {
            let decides = watched(self.showing.quiet, |to| decides::study(car, &options, to))?;
            answer.decides = Some(decides);
        }
        delivery.deliver(&answer, &origin)
    }
}
