//! `layouts`: several scenarios side by side, far wheel first and near wheel first.

use super::delivery::{Delivery, Files};
use super::options::{Computing, Settings, Showing};
use super::origin::Origin;
use super::outcome::{Done, Failure};
use super::progress::watched;
use super::source::Source;
use crate::job::options::Options;
use crate::study::layouts;
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

impl Layouts {
    /// Reads, runs, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        let delivery = Delivery { showing: &self.showing, files: &self.files, output: None };
        delivery.look_over::<layouts::Layouts>(&self.scenarios)?;
        let options = Options { origins: false, ..self.computing.prepare(None)? };
        let sources = Source::read_several(&self.scenarios, &self.settings.set)?;
        let asked = json!({"verb": "layouts", "seed": options.seed});
        let origin = Origin::of_several(&sources, &asked);
        let scenarios: Vec<_> = sources.into_iter().map(|source| source.scenario).collect();
        let answer = watched(self.showing.quiet, |to| layouts::compare(&scenarios, &options, to))?;
        delivery.deliver(&answer, &origin)
    }
}
