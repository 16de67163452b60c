//! `card`: a one-page job card to print and hang in the bay.

use super::delivery::deliver_page;
use super::options::{Computing, Input, UnitsWord, WordingWord, quantity};
use super::outcome::{Done, Failure};
use super::outputs;
use crate::keys::bounds;
use crate::measures::to_ml;
use crate::report::card::{self, Paper, Style};
use crate::report::write::Target;
use crate::study::job_card;
use crate::study::spread::Question;
use clap::builder::OsStringValueParser;
use clap::{Args, ValueEnum};
use std::ffi::OsString;

/// Make a one-page job card to print and hang in the bay, as an HTML file
#[derive(Debug, Args)]
pub(super) struct Card {
    #[command(flatten)]
    input: Input,
    /// Write the card to this file; - is standard output
    #[arg(short, long, value_name = "FILE|-", value_parser = OsStringValueParser::new())]
    output: OsString,
    /// Words of the trade: bleeder screw or bleed nipple, brake line or brake pipe
    #[arg(long, value_enum, default_value_t)]
    wording: WordingWord,
    /// Units of pressure and of sums
    #[arg(long, value_enum, default_value_t)]
    units: UnitsWord,
    /// Sheet to ask the printer for; if not given, the card prints to one page on either
    #[arg(long, value_enum)]
    paper: Option<PaperWord>,
    /// What one bottle of new fluid holds
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true, default_value = "500 mL")]
    bottle: String,
    /// Number of draws for the ranges
    #[arg(long, value_name = "N", allow_hyphen_values = true, default_value_t = 200)]
    draws: usize,
    /// Push with this supply of the scenario instead of the one its procedure names
    #[arg(long, value_name = "NAME")]
    supply: Option<String>,
    #[command(flatten)]
    computing: Computing,
}

/// The words of `--paper`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum PaperWord {
    /// 210 mm by 297 mm
    A4,
    /// 8.5 in by 11 in
    Letter,
}

impl Card {
    /// Reads, runs, draws, writes the page.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        let target = Target::from(self.output.as_os_str());
        outputs::look_over(&[&self.input.scenario], &[("-o", target.clone())])?;
        let bottle_ml = to_ml(quantity("--bottle", &self.bottle, &bounds::BOTTLE)?);
        let options = self.computing.prepare(self.supply.clone())?;
        let scenario = self.input.read()?.scenario;
        let question = Question { draws: self.draws, bottle_ml, ..Question::default() };
        let answer = job_card::study(&scenario, &question, &options)?;
        let page = card::render(&answer, self.style());
        deliver_page(&target, ("card", page), &answer.stops, self.units.units())
    }

    fn style(&self) -> Style {
        Style {
            units: self.units.units(),
            wording: self.wording.wording(),
            paper: match self.paper {
                None => Paper::Any,
                Some(PaperWord::A4) => Paper::A4,
                Some(PaperWord::Letter) => Paper::Letter,
            },
        }
    }
}
