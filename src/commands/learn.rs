//! `learn`: what a shop's own readings tell.

use super::delivery::{Delivery, Files};
use super::options::{Computing, Settings, Showing};
use super::outcome::{Done, Failure};
use super::progress::watched;
use super::source::Source;
use crate::readings;
use crate::study::learn::{self, Learned};
use clap::Args;
use serde_json::json;
use std::path::PathBuf;

/// Learn from the shop's own readings of a job: of the eye, of the car, and what to read next
#[derive(Debug, Args)]
pub(super) struct Learn {
    /// Table of readings in TOML: it names a CSV file beside it, and the cars
    readings: PathBuf,
    /// Job to learn from, where there are several
    #[arg(long, value_name = "NAME")]
    job: Option<String>,
    #[command(flatten)]
    settings: Settings,
    #[command(flatten)]
    showing: Showing,
    #[command(flatten)]
    files: Files,
    /// Push with this supply of the scenario instead of the one its procedure names
    #[arg(long, value_name = "NAME")]
    supply: Option<String>,
    #[command(flatten)]
    computing: Computing,
}

impl Learn {
    /// Reads, learns, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        let delivery = Delivery { showing: &self.showing, files: &self.files, output: None };
        delivery.look_over::<Learned>(&[&self.readings])?;
        let options = self.computing.prepare(self.supply.clone())?;
        let all = readings::read(&self.readings).map_err(Failure::Mistaken)?;
        let job = all.job(self.job.as_deref()).map_err(Failure::Mistaken)?;
        let source = Source::read(&job.car, &self.settings.set)?;
        all.fit(job, &source.scenario).map_err(Failure::Mistaken)?;
        let asked = json!({
            "verb": "learn", "job": job.name, "of": all.of.words(), "supply": options.supply, "seed": options.seed,
            "readings": job.readings.iter().map(|r| format!("{r:?}")).collect::<Vec<_>>(),
        });
        let answer = watched(self.showing.quiet, |to| {
            learn::study(&source.scenario, &job.readings, all.of, &options, to)
        })?;
        let trust = answer.diagnostics;
        if !trust.resolved {
            return Err(Failure::Unreachable(format!(
                "not resolved: draws that fit these readings are too few to say anything of ({:.0} effective draws of at least 400, k {:.2}); {}",
                trust.effective_draws,
                trust.pareto_k,
                match answer.contradiction.contradicts {
                    true => "the readings contradict the scenario: look over both",
                    false => "give errors as large as they are, or fewer readings",
                }
            )));
        }
        delivery.deliver(&answer, &source.origin(&asked))
    }
}
