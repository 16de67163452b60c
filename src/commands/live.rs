//! `live`: a page that holds the model itself, with a car in it.

use super::delivery::deliver_page;
use super::options::{Computing, Input, UnitsWord, WordingWord};
use super::outcome::{Done, Failure};
use super::outputs;
use crate::job::flush_whole;
use crate::plot;
use crate::report::live::{self, Car, Opens, Style};
use crate::report::write::Target;
use crate::scenario::set_in_text;
use crate::study::class::quiz;
use clap::builder::OsStringValueParser;
use clap::{Args, ValueEnum};
use serde_json::json;
use std::ffi::OsString;
use std::path::Path;

/// Make a page to try the job out in any browser, without a network: the model itself with this car in it, as one HTML
/// file
#[derive(Debug, Args)]
pub(super) struct Live {
    #[command(flatten)]
    input: Input,
    /// Write the page to this file; - is standard output
    #[arg(short, long, value_name = "FILE|-", value_parser = OsStringValueParser::new())]
    output: OsString,
    /// View at which the page begins
    #[arg(long, value_enum)]
    view: Option<ViewWord>,
    /// Words of the trade: bleeder screw or bleed nipple, brake line or brake pipe
    #[arg(long, value_enum, default_value_t)]
    wording: WordingWord,
    /// Units of temperature and of sums
    #[arg(long, value_enum, default_value_t)]
    units: UnitsWord,
    /// Push with this supply of the scenario instead of the one its procedure names
    #[arg(long, value_name = "NAME")]
    supply: Option<String>,
    #[command(flatten)]
    computing: Computing,
}

/// The words of `--view`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum ViewWord {
    /// The car from above: tap the wheels in the order in which you would open them
    Try,
    /// Open it yourself: hold a bleeder open and decide when to close it
    Open,
    /// For a class: guess first, answer after
    Class,
    /// The car: its questions and its file
    Car,
}

impl Live {
    /// Reads, runs, writes the page; it begins with this view where none is asked for.
    pub(super) fn carry_out(self, usual: Opens) -> Result<Done, Failure> {
        let target = Target::from(self.output.as_os_str());
        outputs::look_over(&[&self.input.scenario], &[("-o", target.clone())])?;
        let options = self.computing.prepare(self.supply.clone())?;
        let source = self.input.read()?;
        let own = &flush_whole(&source.scenario, &options)?;
        let quiz = &quiz::draw(&source.scenario, options.seed, &options)?;
        // The page reads alone as what was asked for.
        let mut set = source.scenario.set.clone();
        let named = |name: &String| format!("procedure.supply={}", json!(name));
        set.extend(self.supply.as_ref().map(named));
        let text = set_in_text(&source.text(), &set).ok_or_else(|| {
            Failure::Failed("no page: what is set has no place in the file".to_owned())
        })?;
        let units = self.units.units();
        let map = plot::svg("left", own, units)?;
        let file = &file_name(&self.input.scenario);
        let car =
            Car { scenario: &source.scenario, record: own, quiz, text: &text, file, map: &map };
        let opens = self.view.map_or(usual, ViewWord::opens);
        let style = Style { units, wording: self.wording.wording(), opens };
        let page = live::render(&car, style);
        let stops = if own.stopped() { &own.warnings[..] } else { &[] };
        deliver_page(&target, ("page", page), stops, units)
    }
}

impl ViewWord {
    fn opens(self) -> Opens {
        match self {
            Self::Try => Opens::Try,
            Self::Open => Opens::Open,
            Self::Class => Opens::Class,
            Self::Car => Opens::Car,
        }
    }
}

/// What the page calls the file: its name alone, for where it lies is nobody's business who is given the page.
fn file_name(scenario: &Path) -> String {
    match scenario.file_name().map(|name| name.to_string_lossy()) {
        Some(name) if name.ends_with(".toml") => name.into_owned(),
        Some(name) if name != "-" => format!("{name}.toml"),
        _ => "car.toml".to_owned(),
    }
}
