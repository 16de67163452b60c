//! `card`: a one-page job card to print and hang in the bay.

use super::card_folder::Folder;
use super::delivery::deliver_page;
use super::options::{Computing, Settings, UnitsWord, WordingWord, quantity};
use super::outcome::{Done, Failure};
use super::outputs;
use super::source::Source;
use crate::circuit::Scenario;
use crate::keys::bounds;
use crate::measures::to_ml;
use crate::report::card::{self, Paper, Style};
use crate::report::write::Target;
use crate::study::job_card;
use crate::study::spread::Question;
use clap::builder::OsStringValueParser;
use clap::{Args, ValueEnum};
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// Make a one-page job card to print and hang in the bay, as an HTML file; of several cars one each
#[derive(Debug, Args)]
pub(super) struct Card {
    /// Scenario files, or names of shipped scenarios; a single one may be - for standard input
    #[arg(value_name = "SCENARIO", required = true)]
    scenarios: Vec<PathBuf>,
    #[command(flatten)]
    settings: Settings,
    /// Write the card to this file, - being standard output; of several scenarios each card into this directory, which is
    /// made if missing, under its scenario's name
    #[arg(short, long, value_name = "FILE|DIR|-", value_parser = OsStringValueParser::new())]
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
    /// Reads, runs, draws, writes the page or pages.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        let folder = match self.scenarios.len() {
            1 => None,
            _ => Some(Folder::of(Path::new(&self.output), &self.scenarios)?),
        };
        let target = Target::from(self.output.as_os_str());
        if folder.is_none() {
            outputs::look_over(&self.scenarios, &[("-o", target.clone())])?;
        }
        let bottle_ml = to_ml(quantity("--bottle", &self.bottle, &bounds::BOTTLE)?);
        let options = self.computing.prepare(self.supply.clone())?;
        let sources = Source::read_several(&self.scenarios, &self.settings.set)?;
        let question = Question { draws: self.draws, bottle_ml, ..Question::default() };
        let units = self.units.units();
        let make = |scenario: &Scenario| -> Result<_, Failure> {
            let answer = job_card::study(scenario, &question, &options)?;
            let page = card::render(&answer, self.style());
            Ok((answer.stops, page))
        };
        match folder {
            Some(folder) => folder.fill(&sources, units, make),
            None => {
                let (stops, page) = make(&sources[0].scenario)?;
                deliver_page(&target, ("card", page), &stops, units)
            }
        }
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
