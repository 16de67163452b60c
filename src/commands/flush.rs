//! `flush`: runs the scenario's procedure.

use super::engine::{self, Wishes};
use super::options::{Computing, Input, Showing};
use super::outcome::{Done, Failure, tell};
use super::outputs;
use crate::job::record::Record;
use crate::plot;
use crate::report::write::{self, Target};
use crate::report::{csv, json, table};
use clap::{Args, builder::OsStringValueParser};
use std::ffi::OsString;
use std::io::IsTerminal as _;
use std::path::PathBuf;

/// Run the scenario's procedure: millilitres, times and pressures at each bleeder, and what stays behind
#[derive(Debug, Args)]
pub(super) struct Flush {
    #[command(flatten)]
    input: Input,
    #[command(flatten)]
    showing: Showing,
    /// Write openings, curves and parts as CSV to this file, or to standard output instead of the table
    #[arg(long, value_name = "FILE|-", value_parser = OsStringValueParser::new())]
    csv: Option<OsString>,
    /// Write the pictures as SVG and PNG into this directory, which is made if missing
    #[arg(long, value_name = "DIR")]
    plots: Option<PathBuf>,
    /// Push with this supply of the scenario instead of the one its procedure names
    #[arg(long, value_name = "NAME")]
    supply: Option<String>,
    /// Skip the estimate of the computation's own error
    #[arg(long)]
    no_error_estimate: bool,
    #[command(flatten)]
    computing: Computing,
}

impl Flush {
    /// Reads, runs, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        outputs::look_over(&self.input.scenario, &self.outputs())?;
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
            seed: self.computing.seed,
        }
    }

    fn csv(&self) -> Option<Target> {
        self.csv.as_deref().map(Target::from)
    }

    fn outputs(&self) -> Vec<(&'static str, Target)> {
        let mut outputs = Vec::new();
        outputs.extend(self.showing.json().map(|t| ("--json", t)));
        outputs.extend(self.csv().map(|t| ("--csv", t)));
        let pictures = self.plots.iter().flat_map(|dir| plot::files(dir));
        outputs.extend(pictures.map(|f| ("--plots", Target::File(f))));
        outputs
    }

    /// Files first: a table on the screen then means that everything else is in place.
    fn show(&self, record: &Record) -> Result<(), Failure> {
        let mut table_wanted = !self.showing.quiet;
        if let Some(dir) = &self.plots {
            let files = plot::write_all(record, dir)?;
            if !self.showing.quiet {
                tell(&format!("{} pictures in {}", files.len(), dir.display()));
            }
        }
        if let Some(target) = self.csv() {
            let text =
                csv::render(record).map_err(|why| Failure::Failed(format!("no CSV: {why}")))?;
            target.write(&text)?;
            table_wanted &= target != Target::Standard;
        }
        if let Some(target) = self.showing.json() {
            let text =
                json::render(record).map_err(|why| Failure::Failed(format!("no JSON: {why}")))?;
            target.write(text.as_bytes())?;
            table_wanted &= target != Target::Standard;
        }
        let view = self.showing.view();
        if table_wanted {
            write::print(&table::render(record, view))?;
        }
        // The table ends with the warnings; whoever does not see it gets them here.
        let seen = table_wanted && std::io::stdout().is_terminal();
        if !seen && !record.warnings.is_empty() {
            tell(&table::warnings(&record.warnings, view));
        }
        Ok(())
    }
}
