//! `flush`: runs the scenario's procedure.

use super::delivery::{Delivery, Files};
use super::options::{Computing, Input, Showing};
use super::outcome::{Done, Failure};
use crate::job;
use crate::job::options::Options;
use crate::job::record::Record;
use crate::json::{Flushed, asked};
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
        let delivery = Delivery { showing: &self.showing, files: &self.files, output: None };
        delivery.look_over::<Record>(&[&self.input.scenario])?;
        let options = Options {
            estimate_error: !self.no_error_estimate,
            ..self.computing.prepare(self.supply.clone())?
        };
        let source = self.input.read()?;
        let [curves, parts] = [Also::Curves, Also::Parts].map(|word| self.also.contains(&word));
        let also = [(curves, "curves"), (parts, "parts")];
        let also: Vec<&str> = also.iter().filter(|a| a.0).map(|a| a.1).collect();
        let mut answer = job::flush(&source.scenario, &options)?;
        if parts {
            answer.parts_over_time = Some(job::parts_over_time(&source.scenario, &options)?);
        }
        let json = Flushed::new(&answer, curves);
        let origin = source.origin(&asked::flush(&options, &also));
        delivery.deliver_as(&answer, &json, &origin, None)
    }
}
