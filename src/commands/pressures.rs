//! `pressures`: the same job over a range of gauge pressures and with the other supplies.

use super::delivery::{Delivery, Files};
use super::options::{Computing, Input, Showing, quantity_if_given};
use super::outcome::{Done, Failure};
use super::progress::watched;
use crate::job::options::Options;
use crate::keys::bounds;
use crate::study::pressures::{self, Question, USUAL_STEPS};
use clap::Args;
use serde_json::json;

/// Run the job over a range of gauge pressures and with every other supply: what pressure changes, and what not
#[derive(Debug, Args)]
pub(super) struct Pressures {
    #[command(flatten)]
    input: Input,
    #[command(flatten)]
    showing: Showing,
    /// Lowest gauge pressure, with its unit; 5 psi if not given
    #[arg(long, value_name = "PRESSURE", allow_hyphen_values = true)]
    from: Option<String>,
    /// Highest gauge pressure, with its unit; the vehicle's limit if not given, without one 30 psi
    #[arg(long, value_name = "PRESSURE", allow_hyphen_values = true)]
    to: Option<String>,
    /// Number of even steps from one to the other
    #[arg(long, value_name = "N", allow_hyphen_values = true, default_value_t = USUAL_STEPS as u16,
        value_parser = clap::value_parser!(u16).range(1..=10_000))]
    steps: u16,
    #[command(flatten)]
    files: Files,
    #[command(flatten)]
    computing: Computing,
}

impl Pressures {
    /// Reads, runs, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        let delivery = Delivery { showing: &self.showing, files: &self.files, output: None };
        delivery.look_over::<pressures::Pressures>(&[&self.input.scenario])?;
        let question = Question {
            from_pa: quantity_if_given("--from", self.from.as_deref(), &bounds::GAUGE)?,
            to_pa: quantity_if_given("--to", self.to.as_deref(), &bounds::GAUGE)?,
            steps: self.steps.into(),
        };
        let options = Options { origins: false, ..self.computing.prepare(None)? };
        let source = self.input.read()?;
        let asked = json!({
            "verb": "pressures", "from_pa": question.from_pa, "to_pa": question.to_pa,
            "steps": question.steps, "seed": options.seed,
        });
        let answer = watched(self.showing.quiet, |to| {
            pressures::study(&source.scenario, &question, &options, to)
        })?;
        delivery.deliver(&answer, &source.origin(&asked))
    }
}
