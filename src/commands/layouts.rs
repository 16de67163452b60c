//! `layouts`: several scenarios side by side, far wheel first and near wheel first. `compare` is on top of it.

use super::delivery::{Delivery, Files};
use super::options::{Computing, Settings, Showing};
use super::outcome::{Done, Failure};
use super::progress::watched;
use super::source::Source;
use crate::circuit::Scenario;
use crate::job::options::Options;
use crate::json::Origin;
use crate::study::layouts;
use clap::Args;
use serde_json::{Value, json};
use std::path::PathBuf;

/// Set several scenarios side by side, each flushed with the far wheel first and with the near wheel first
#[derive(Debug, Args)]
pub(super) struct Layouts {
    /// Scenario files, or names of shipped scenarios; one may be - for standard input
    #[arg(value_name = "SCENARIO", required = true)]
    pub scenarios: Vec<PathBuf>,
    #[command(flatten)]
    settings: Settings,
    #[command(flatten)]
    pub showing: Showing,
    #[command(flatten)]
    files: Files,
    #[command(flatten)]
    computing: Computing,
}

/// What both spellings begin with.
pub(super) struct Begun {
    pub scenarios: Vec<Scenario>,
    pub options: Options,
    pub layouts: layouts::Layouts,
    sources: Vec<Source>,
}

impl Begun {
    /// What the answer comes of.
    pub(super) fn origin(&self, asked: &Value) -> Origin {
        let sources: Vec<_> = self.sources.iter().map(|s| (&s.scenario, &*s.bytes)).collect();
        Origin::of_several(&sources, asked)
    }
}

impl Layouts {
    /// Reads, runs, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        let delivery = self.delivery();
        delivery.look_over::<layouts::Layouts>(&self.scenarios)?;
        let begun = self.begin()?;
        let asked = json!({"verb": "layouts", "seed": begun.options.seed});
        delivery.deliver(&begun.layouts, &begun.origin(&asked))
    }

    pub(super) fn delivery(&self) -> Delivery<'_> {
        Delivery { showing: &self.showing, files: &self.files, output: None }
    }

    /// Reads all scenarios and flushes each, far wheel first and near wheel first.
    pub(super) fn begin(&self) -> Result<Begun, Failure> {
        let options = Options { origins: false, ..self.computing.prepare(None)? };
        let sources = Source::read_several(&self.scenarios, &self.settings.set)?;
        let scenarios: Vec<Scenario> = sources.iter().map(|s| s.scenario.clone()).collect();
        let layouts = watched(self.showing.quiet, |to| layouts::compare(&scenarios, &options, to))?;
        Ok(Begun { scenarios, options, layouts, sources })
    }
}
