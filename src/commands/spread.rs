//! `spread`: random draws over what nobody knows exactly.

use super::engine;
use super::options::{Computing, Input, Showing};
use super::outcome::{Done, Failure};
use super::outputs;
use crate::report::write::{self, Target};
use crate::report::{json, spread_table};
use crate::study::spread::Wishes;
use clap::Args;

/// Draw what nobody knows exactly at random: ranges at each bleeder, how much to load, which unknown matters
#[derive(Debug, Args)]
pub(super) struct Spread {
    #[command(flatten)]
    input: Input,
    #[command(flatten)]
    showing: Showing,
    /// Number of draws; for the sensitivities as many jobs again are run for each unknown
    #[arg(long, value_name = "N", default_value_t = 200)]
    draws: usize,
    /// Push with this supply of the scenario instead of the one its procedure names
    #[arg(long, value_name = "NAME")]
    supply: Option<String>,
    #[command(flatten)]
    computing: Computing,
}

impl Spread {
    /// Reads, draws, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        let outputs: Vec<_> = self.showing.json().map(|t| ("--json", t)).into_iter().collect();
        outputs::look_over(&self.input.scenario, &outputs)?;
        self.computing.prepare()?;
        let scenario = engine::read(&self.input.scenario)?;
        let wishes =
            Wishes { draws: self.draws, seed: self.computing.seed, supply: self.supply.clone() };
        let answer = engine::spread(&scenario, &wishes)?;

        let mut table_wanted = !self.showing.quiet;
        if let Some(target) = self.showing.json() {
            let text =
                json::render(&answer).map_err(|why| Failure::Failed(format!("no JSON: {why}")))?;
            target.write(text.as_bytes())?;
            table_wanted &= target != Target::Standard;
        }
        if table_wanted {
            write::print(&spread_table::render(&answer, self.showing.view()))?;
        }
        Ok(Done::Well)
    }
}
