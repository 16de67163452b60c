//! `lesson`: a page that shows the job moving.

use super::engine;
use super::options::{Computing, Input, WordingWord};
use super::outcome::{Done, Failure, tell};
use super::outputs;
use crate::report::write::Target;
use crate::report::{Units, View, lesson, table};
use clap::Args;
use clap::builder::OsStringValueParser;
use std::ffi::OsString;

/// Make a page that shows old and new fluid moving, orders side by side, as one HTML file for any browser
#[derive(Debug, Args)]
pub(super) struct Lesson {
    #[command(flatten)]
    input: Input,
    /// Write the page to this file; - is standard output
    #[arg(short, long, value_name = "FILE|-", value_parser = OsStringValueParser::new())]
    output: OsString,
    /// Words of the trade: bleeder screw or bleed nipple, brake line or brake pipe
    #[arg(long, value_enum, default_value_t)]
    wording: WordingWord,
    /// Push with this supply of the scenario instead of the one its procedure names
    #[arg(long, value_name = "NAME")]
    supply: Option<String>,
    #[command(flatten)]
    computing: Computing,
}

impl Lesson {
    /// Reads, runs, writes the page.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        let target = Target::from(self.output.as_os_str());
        outputs::look_over(&self.input.scenario, &[("-o", target.clone())])?;
        self.computing.prepare()?;
        let scenario = engine::read(&self.input.scenario)?;
        let answer = engine::lesson(&scenario, self.supply.as_deref(), self.computing.seed)?;
        let page = lesson::render(&answer, self.wording.wording())
            .map_err(|why| Failure::Failed(format!("no lesson: {why}")))?;
        target.write(page.as_bytes())?;
        let own = &answer.runs[0].record;
        if own.stopped() {
            tell(&table::warnings(&own.warnings, View::for_terminal(Units::Metric)));
            return Ok(Done::Stopped);
        }
        Ok(Done::Well)
    }
}
