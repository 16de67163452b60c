//! `flush`: runs the scenario's procedure.

use super::delivery::{self, Files};
use super::engine::{self, Wishes};
use super::options::{Computing, Input, Showing};
use super::outcome::{Done, Failure};
use super::outputs;
use crate::job::record::Record;
use crate::plot;
use crate::report::json::Flushed;
use crate::report::{csv, table};
use clap::{Args, ValueEnum};

/// Run the scenario's procedure: millilitres, times and pressures at each bleeder, and what stays behind
#[derive(Debug, Args)]
pub(super) struct Flush {
    #[command(flatten)]
    input: Input,
    #[command(flatten)]
    showing: Showing,
    #[command(flatten)]
    files: Files,
    /// Push with this supply of the scenario instead of the one its procedure names
    #[arg(long, value_name = "NAME")]
    supply: Option<String>,
    /// Skip the estimate of the computation's own error
    #[arg(long)]
    no_error_estimate: bool,
    /// Tell this too in JSON and CSV; several with a comma between
    #[arg(long, value_name = "WHAT", value_enum, value_delimiter = ',')]
    also: Vec<Also>,
    #[command(flatten)]
    computing: Computing,
}

/// The words of `--also`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Also {
    /// What was seen, left the bleeder and lay on its path along each opening, and supply and reservoir over time; CSV has
    /// them in any case
    Curves,
    /// The fluid and the old fluid in each part over time
    Parts,
}

impl Flush {
    /// Reads, runs, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        if !self.also.is_empty() && self.showing.json().or(self.files.csv()).is_none() {
            return Err(Failure::Unusable(
                "--also has no place in the table: name a file for it with --json or --csv"
                    .to_owned(),
            ));
        }
        outputs::look_over(
            &self.input.scenario,
            &self.files.outputs(&self.showing, &plot::names()),
        )?;
        self.computing.prepare()?;
        let scenario = engine::read(&self.input.scenario)?;
        let record = engine::flush(&scenario, &self.wishes())?;
        self.show(&record)?;
        Ok(if record.stopped() { Done::Stopped } else { Done::Well })
    }

    fn wishes(&self) -> Wishes {
        Wishes {
            supply: self.supply.clone(),
            error_estimate: !self.no_error_estimate,
            film: self.also.contains(&Also::Parts),
            seed: self.computing.seed,
        }
    }

    fn show(&self, answer: &Record) -> Result<(), Failure> {
        let shown = delivery::Answer {
            answer: &Flushed::new(answer, self.also.contains(&Also::Curves)),
            pictures: &|| plot::draw_all(answer),
            csv: &|| csv::render(answer),
            table: &|view| table::render(answer, view),
            warnings: &|view| table::warnings(&answer.warnings, view),
            file: None,
        };
        self.files.deliver(&self.showing, &shown)
    }
}
