//! `lesson`: a page that shows the job moving.

use super::delivery::deliver_page;
use super::options::{Computing, Input, UnitsWord, WordingWord};
use super::outcome::{Done, Failure};
use super::outputs;
use crate::report::lesson;
use crate::report::write::Target;
use crate::study::lesson::prepare;
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
    /// Units of pressure and temperature
    #[arg(long, value_enum, default_value_t)]
    units: UnitsWord,
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
        outputs::look_over(&[&self.input.scenario], &[("-o", target.clone())])?;
        let options = self.computing.prepare(self.supply.clone())?;
        let answer = prepare(&self.input.read()?.scenario, &options)?;
        let page = lesson::render_in(&answer, self.wording.wording(), self.units.units());
        let own = &answer.runs[0].record;
        let stops = if own.stopped() { &own.warnings[..] } else { &[] };
        deliver_page(&target, ("lesson", page), stops, self.units.units())
    }
}
