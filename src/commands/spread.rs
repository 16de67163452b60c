//! `spread`: random draws over what nobody knows exactly.

use super::engine;
use super::options::{Computing, Input, Showing};
use super::outcome::{Done, Failure, tell};
use super::outputs;
use super::progress::Terminal;
use crate::plot;
use crate::report::write::{self, Target};
use crate::report::{json, spread_csv, spread_table};
use crate::scenario::bounds;
use crate::scenario::quantity_text;
use crate::study::spread::{Spread as Answer, Wishes};
use clap::{Args, builder::OsStringValueParser};
use std::ffi::OsString;
use std::path::PathBuf;

/// Draw what nobody knows exactly at random: ranges at each bleeder, how much to load, which unknown matters
#[derive(Debug, Args)]
pub(super) struct Spread {
    #[command(flatten)]
    input: Input,
    #[command(flatten)]
    showing: Showing,
    /// Write a row a figure as CSV to this file, or to standard output instead of the table
    #[arg(long, value_name = "FILE|-", value_parser = OsStringValueParser::new())]
    csv: Option<OsString>,
    /// Write the pictures as SVG and PNG into this directory, which is made if missing
    #[arg(long, value_name = "DIR")]
    plots: Option<PathBuf>,
    /// Number of draws; for the sensitivities as many jobs again are run for each unknown
    #[arg(long, value_name = "N", default_value_t = 200)]
    draws: usize,
    /// Push with this supply of the scenario instead of the one its procedure names
    #[arg(long, value_name = "NAME")]
    supply: Option<String>,
    /// What a bottle of new fluid holds, with its unit
    #[arg(long, value_name = "VOLUME", default_value = "500 mL", value_parser = volume_ml)]
    bottle: f64,
    #[command(flatten)]
    computing: Computing,
}

/// A volume as a scenario writes it, in mL.
fn volume_ml(text: &str) -> Result<f64, String> {
    let told = |wrong: crate::scenario::mistake::Wrong| format!("{}: {}", wrong.what, wrong.remedy);
    let quantity = quantity_text::parse(text, &bounds::LOADED).map_err(told)?;
    match quantity.spread {
        None => Ok(1e6 * quantity.value),
        Some(_) => Err("a bottle holds what it holds: give a volume without a spread".to_owned()),
    }
}

impl Spread {
    /// Reads, draws, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        outputs::look_over(&self.input.scenario, &self.outputs())?;
        self.computing.prepare()?;
        let scenario = engine::read(&self.input.scenario)?;
        let wishes = Wishes {
            draws: self.draws,
            seed: self.computing.seed,
            supply: self.supply.clone(),
            bottle_ml: self.bottle,
            sensitivities: true,
        };
        let terminal = Terminal::new(self.showing.quiet)?;
        let answer = engine::spread(&scenario, &wishes, &terminal);
        terminal.done();
        let answer = answer?;
        self.show(&answer)?;
        Ok(if answer.partial { Done::Partial } else { Done::Well })
    }

    fn csv(&self) -> Option<Target> {
        self.csv.as_deref().map(Target::from)
    }

    fn outputs(&self) -> Vec<(&'static str, Target)> {
        let mut outputs = Vec::new();
        outputs.extend(self.showing.json().map(|t| ("--json", t)));
        outputs.extend(self.csv().map(|t| ("--csv", t)));
        let pictures = self
            .plots
            .iter()
            .flat_map(|dir| plot::SPREAD.iter().flat_map(move |name| plot::files_of(name, dir)));
        outputs.extend(pictures.map(|f| ("--plots", Target::File(f))));
        outputs
    }

    /// Files first, as `flush` does.
    fn show(&self, answer: &Answer) -> Result<(), Failure> {
        let mut table_wanted = !self.showing.quiet;
        if let Some(dir) = &self.plots {
            plot::write(&plot::draw_spread(answer)?, dir)?;
            if !self.showing.quiet {
                tell(&format!("pictures {} in {}", plot::SPREAD.join(", "), dir.display()));
            }
        }
        if let Some(target) = self.csv() {
            let text = spread_csv::render(answer)
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
        if table_wanted {
            write::print(&spread_table::render(answer, self.showing.view()))?;
        }
        Ok(())
    }
}
