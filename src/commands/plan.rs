//! `plan`: the least fluid or time that meets stated targets.

use super::delivery::{Delivery, Files};
use super::options::{Computing, Input, Showing, quantity, quantity_if_given};
use super::outcome::{Done, Failure, tell};
use super::progress::watched;
use crate::job::options::Options;
use crate::keys::bounds;
use crate::measures::{to_celsius, to_ml};
use crate::report::terminal::{self, Shown};
use crate::report::warnings;
use crate::report::write::Target;
use crate::study::plan::{self, Least, Question, Targets};
use clap::{Args, ValueEnum, builder::OsStringValueParser};
use serde_json::{Value, json};
use std::ffi::OsString;

/// Plan a flush: the least fluid or time that leaves no more than stated targets allow; without one, no more old fluid than
/// the scenario's own procedure leaves
#[derive(Debug, Args)]
pub(super) struct Plan {
    #[command(flatten)]
    input: Input,
    /// Old fluid in no part more than this, parts that no bleeder reaches left out, for instance "5 %"
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    old_anywhere: Option<String>,
    /// Old fluid in the whole system no more than this
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    old_overall: Option<String>,
    /// Water in the whole system no more than this share of the mass
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    water: Option<String>,
    /// Boiling point nowhere in a wheel brake, its pocket included, lower than this, for instance "200 °C"
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    boiling: Option<String>,
    /// What is to be least
    #[arg(long, value_enum, default_value_t)]
    least: LeastWord,
    /// Volumes at each bleeder are whole multiples of this
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true, default_value = "10 mL")]
    grid: String,
    /// Let the targets hold in this share of random draws, for instance 0.9
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    sure: Option<String>,
    /// Number of draws for --sure
    #[arg(long, value_name = "N", allow_hyphen_values = true, default_value_t = 100)]
    draws: usize,
    /// Write the plan as a scenario to this file
    #[arg(short, long, value_name = "FILE|-", value_parser = OsStringValueParser::new())]
    output: Option<OsString>,
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

/// The words of `--least`.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
enum LeastWord {
    /// New fluid, for what is drained at the bleeders and taken by syringe
    #[default]
    Fluid,
    /// Time in the bay
    Time,
}

impl Plan {
    /// Reads, plans, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        let output = self.output.as_deref().map(Target::from);
        let delivery =
            Delivery { showing: &self.showing, files: &self.files, output: output.clone() };
        delivery.look_over::<plan::Plan>(&[&self.input.scenario])?;
        let question = self.question()?;
        let options = self.computing.prepare(self.supply.clone())?;
        let source = self.input.read()?;
        let origin = source.origin(&asked(&question, &options));
        let answer = watched(self.showing.quiet, |to| {
            plan::study(&source.scenario, &source.text(), &question, &options, to)
        })?;
        // A plan whose run must be stopped is not written.
        let text = (!answer.record.stopped()).then_some(answer.text.as_str());
        let done = delivery.deliver_as(&answer, &answer, &origin, text)?;
        let stops = answer.record.warnings.iter().filter(|w| w.stops_the_job());
        let stops: Vec<_> = stops.cloned().collect();
        if !stops.is_empty() {
            terminal::show(&Shown::drawn(&warnings(&stops, self.showing.view())));
            if let Some(target) = output {
                tell(&format!("no scenario was written to {target}: first see to what stops it"));
            }
        }
        Ok(done)
    }

    fn question(&self) -> Result<Question, Failure> {
        let targets = Targets {
            old_anywhere: quantity_if_given(
                "--old-anywhere",
                self.old_anywhere.as_deref(),
                &bounds::OLD_FRACTION,
            )?,
            old_overall: quantity_if_given(
                "--old-overall",
                self.old_overall.as_deref(),
                &bounds::OLD_FRACTION,
            )?,
            water_percent: quantity_if_given("--water", self.water.as_deref(), &bounds::WATER)?
                .map(|w| 100.0 * w),
            boiling_c: quantity_if_given(
                "--boiling",
                self.boiling.as_deref(),
                &bounds::BOILING_POINT,
            )?
            .map(to_celsius),
        };
        let grid = quantity("--grid", &self.grid, &bounds::GRID)?;
        Ok(Question {
            targets,
            least: match self.least {
                LeastWord::Fluid => Least::Fluid,
                LeastWord::Time => Least::Time,
            },
            grid_ml: to_ml(grid),
            sure: quantity_if_given("--sure", self.sure.as_deref(), &bounds::SURE)?,
            draws: self.draws,
        })
    }
}

/// The options that change the answer. Without `--sure` nothing is drawn.
fn asked(question: &Question, options: &Options) -> Value {
    let least = match question.least {
        Least::Fluid => "fluid",
        Least::Time => "time",
    };
    let targets = &question.targets;
    json!({
        "verb": "plan",
        "old_anywhere": targets.old_anywhere,
        "old_overall": targets.old_overall,
        "water_percent": targets.water_percent,
        "boiling_c": targets.boiling_c,
        "least": least,
        "grid_ml": question.grid_ml,
        "sure": question.sure,
        "draws": question.sure.map(|_| question.draws),
        "supply": options.supply,
        "seed": options.seed,
    })
}
