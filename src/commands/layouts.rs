//! `layouts`: several scenarios side by side, far wheel first and near wheel first.

use super::engine;
use super::options::{Computing, Showing};
use super::outcome::{Done, Failure, tell};
use super::outputs;
use super::progress::Terminal;
use crate::plot;
use crate::report::write::{self, Target};
use crate::report::{json, layouts_csv, layouts_table};
use crate::scenario::model::Scenario;
use crate::study::layouts::Layouts as Answer;
use clap::{Args, builder::OsStringValueParser};
use std::ffi::OsString;
use std::io::IsTerminal as _;
use std::path::{Path, PathBuf};

/// Set several scenarios side by side, each flushed with the far wheel first and with the near wheel first
#[derive(Debug, Args)]
pub(super) struct Layouts {
    /// Scenario files; one may be - for standard input
    #[arg(value_name = "SCENARIO", required = true)]
    scenarios: Vec<PathBuf>,
    #[command(flatten)]
    showing: Showing,
    /// Write one row a layout and order as CSV to this file, or to standard output instead of the table
    #[arg(long, value_name = "FILE|-", value_parser = OsStringValueParser::new())]
    csv: Option<OsString>,
    /// Write the picture as SVG and PNG into this directory, which is made if missing
    #[arg(long, value_name = "DIR")]
    plots: Option<PathBuf>,
    #[command(flatten)]
    computing: Computing,
}

impl Layouts {
    /// Reads, runs, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        let outputs = self.outputs();
        for scenario in &self.scenarios {
            outputs::look_over(scenario, &outputs)?;
        }
        self.computing.prepare()?;
        let scenarios = self.read()?;
        let terminal = Terminal::new(self.showing.quiet)?;
        let answer = engine::layouts(&scenarios, self.computing.seed, &terminal);
        terminal.done();
        let answer = answer?;
        self.show(&answer)?;
        Ok(match (answer.partial, answer.stopped()) {
            (true, _) => Done::Partial,
            (false, true) => Done::Stopped,
            (false, false) => Done::Well,
        })
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
            match engine::read(path) {
                Ok(scenario) => scenarios.push(scenario),
                Err(Failure::Unusable(why)) => told.push(why),
                Err(other) => return Err(other),
            }
        }
        if told.is_empty() { Ok(scenarios) } else { Err(Failure::Unusable(told.join("\n"))) }
    }

    fn csv(&self) -> Option<Target> {
        self.csv.as_deref().map(Target::from)
    }

    fn outputs(&self) -> Vec<(&'static str, Target)> {
        let mut outputs = Vec::new();
        outputs.extend(self.showing.json().map(|t| ("--json", t)));
        outputs.extend(self.csv().map(|t| ("--csv", t)));
        let pictures = self.plots.iter().flat_map(|dir| plot::files_of(plot::LAYOUTS, dir));
        outputs.extend(pictures.map(|f| ("--plots", Target::File(f))));
        outputs
    }

    /// Files first, as `flush` does.
    fn show(&self, answer: &Answer) -> Result<(), Failure> {
        let mut table_wanted = !self.showing.quiet;
        if let Some(dir) = &self.plots {
            plot::write(&[plot::draw_layouts(answer)?], dir)?;
            if !self.showing.quiet {
                tell(&format!("picture {} in {}", plot::LAYOUTS, dir.display()));
            }
        }
        if let Some(target) = self.csv() {
            let text = layouts_csv::render(answer)
                .map_err(|why| Failure::Failed(format!("no CSV: {why}")))?;
            target.write(&text)?;
            table_wanted &= target != Target::Standard;
        }
        if let Some(target) = self.showing.json() {
            let text =
                json::render(answer).map_err(|why| Failure::Failed(format!("no JSON: {why}")))?;
            target.write(text.as_bytes())?;
            table_wanted &= target != Target::Standard;
        }
        let view = self.showing.view();
        if table_wanted {
            write::print(&layouts_table::render(answer, view))?;
        }
        // The table ends with the warnings; whoever does not see it gets them here.
        let seen = table_wanted && std::io::stdout().is_terminal();
        let warnings = layouts_table::warnings(answer, view);
        if !seen && !warnings.is_empty() {
            tell(&warnings);
        }
        Ok(())
    }
}
