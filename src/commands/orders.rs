//! `orders`: every order of the bleeders, or those named, ranked.

use super::engine;
use super::options::{Computing, Input, Showing};
use super::outcome::{Done, Failure, tell};
use super::outputs;
use super::progress::Terminal;
use crate::plot;
use crate::report::write::{self, Target};
use crate::report::{json, orders_csv, orders_table};
use crate::study::orders::{Orders as Answer, Wishes};
use clap::{Args, builder::OsStringValueParser};
use std::ffi::OsString;
use std::path::PathBuf;

/// Rank the orders in which the bleeders can be opened: fluid, time, old fluid left, and what each saves
#[derive(Debug, Args)]
pub(super) struct Orders {
    #[command(flatten)]
    input: Input,
    /// An order to compare with the scenario's own, for instance "RR, LR, RF, LF", or "far first" or "near
    /// first"; may be given several times. Without, every order
    #[arg(long = "order", value_name = "NAMES")]
    named: Vec<String>,
    /// Compare the orders on so many random draws of the vehicle too
    #[arg(long, value_name = "N", default_value_t = 0)]
    draws: usize,
    /// Push with this supply of the scenario instead of the one its procedure names
    #[arg(long, value_name = "NAME")]
    supply: Option<String>,
    #[command(flatten)]
    showing: Showing,
    /// Write one row an order as CSV to this file, or to standard output instead of the table
    #[arg(long, value_name = "FILE|-", value_parser = OsStringValueParser::new())]
    csv: Option<OsString>,
    /// Write the picture as SVG and PNG into this directory, which is made if missing
    #[arg(long, value_name = "DIR")]
    plots: Option<PathBuf>,
    #[command(flatten)]
    computing: Computing,
}

impl Orders {
    /// Reads, compares, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        outputs::look_over(&self.input.scenario, &self.outputs())?;
        self.computing.prepare()?;
        let scenario = engine::read(&self.input.scenario)?;
        let wishes = Wishes {
            orders: engine::named_orders(&scenario, &self.named)?,
            draws: self.draws,
            seed: self.computing.seed,
            supply: self.supply.clone(),
        };
        let terminal = Terminal::new(self.showing.quiet)?;
        let answer = engine::orders(&scenario, &wishes, &terminal)?;
        terminal.done();
        self.show(&answer)?;
        Ok(if answer.partial {
            Done::Partial
        } else if answer.own().is_some_and(|own| own.stopped || own.short_ml > Some(0.0)) {
            Done::Stopped
        } else {
            Done::Well
        })
    }

    fn csv(&self) -> Option<Target> {
        self.csv.as_deref().map(Target::from)
    }

    fn outputs(&self) -> Vec<(&'static str, Target)> {
        let mut outputs = Vec::new();
        outputs.extend(self.showing.json().map(|t| ("--json", t)));
        outputs.extend(self.csv().map(|t| ("--csv", t)));
        let pictures = self.plots.iter().flat_map(|dir| plot::files_of(plot::ORDERS, dir));
        outputs.extend(pictures.map(|f| ("--plots", Target::File(f))));
        outputs
    }

    /// Files first, as `flush` does.
    fn show(&self, answer: &Answer) -> Result<(), Failure> {
        let mut table_wanted = !self.showing.quiet;
        if let Some(dir) = &self.plots {
            plot::write(&[plot::draw_orders(answer)?], dir)?;
            if !self.showing.quiet {
                tell(&format!("picture {} in {}", plot::ORDERS, dir.display()));
            }
        }
        if let Some(target) = self.csv() {
            let text = orders_csv::render(answer)
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
            write::print(&orders_table::render(answer, self.showing.view()))?;
        }
        Ok(())
    }
}
