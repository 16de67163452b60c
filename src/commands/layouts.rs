//! `layouts`: several scenarios side by side, far wheel first and near wheel first.

use super::delivery::{self, Files};
use super::engine;
use super::options::{Computing, Showing};
use super::outcome::{Done, Failure};
use super::outputs;
use super::progress::Terminal;
use crate::circuit::Scenario;
use crate::plot;
use crate::report::{layouts_csv, layouts_table};
use crate::study::layouts::Layouts as Answer;
use clap::Args;
use std::path::{Path, PathBuf};

/// Set several scenarios side by side, each flushed with the far wheel first and with the near wheel first
#[derive(Debug, Args)]
pub(super) struct Layouts {
    /// Scenario files; one may be - for standard input
    #[arg(value_name = "SCENARIO", required = true)]
    scenarios: Vec<PathBuf>,
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
        let outputs = self.files.outputs(&self.showing, &[plot::LAYOUTS]);
        for scenario in &self.scenarios {
            outputs::keep_apart(scenario, &outputs)?;
        }
        outputs::try_out(&outputs)?;
        self.computing.prepare()?;
        let scenarios = self.read()?;
        let terminal = Terminal::new(self.showing.quiet);
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

    fn show(&self, answer: &Answer) -> Result<(), Failure> {
        let shown = delivery::Answer {
            answer,
            pictures: &|| Ok(vec![plot::draw_layouts(answer)?]),
            csv: &|| layouts_csv::render(answer),
            table: &|view| layouts_table::render(answer, view),
            warnings: &|view| layouts_table::warnings(answer, view),
            file: None,
        };
        self.files.deliver(&self.showing, &shown)
    }
}
