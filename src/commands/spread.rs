//! `spread`: random draws over what nobody knows exactly.

use super::delivery::{self, Files};
use super::engine;
use super::options::{Computing, Input, Showing, quantity};
use super::outcome::{Done, Failure};
use super::outputs;
use super::progress::Terminal;
use crate::keys::bounds;
use crate::measures::to_ml;
use crate::plot;
use crate::report::{spread_csv, spread_table};
use crate::study::spread::{Spread as Answer, Wishes};
use clap::Args;

/// Draw what nobody knows exactly at random: ranges at each bleeder, how much to load, which unknown matters
#[derive(Debug, Args)]
pub(super) struct Spread {
    #[command(flatten)]
    input: Input,
    #[command(flatten)]
    showing: Showing,
    #[command(flatten)]
    files: Files,
    /// Number of draws; for the sensitivities as many jobs again are run for each unknown
    #[arg(long, value_name = "N", allow_hyphen_values = true, default_value_t = 200)]
    draws: usize,
    /// Push with this supply of the scenario instead of the one its procedure names
    #[arg(long, value_name = "NAME")]
    supply: Option<String>,
    /// What a bottle of new fluid holds, with its unit
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true, default_value = "500 mL")]
    bottle: String,
    #[command(flatten)]
    computing: Computing,
}

impl Spread {
    /// Reads, draws, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        outputs::look_over(
            &self.input.scenario,
            &self.files.outputs(&self.showing, &plot::SPREAD),
        )?;
        self.computing.prepare()?;
        let scenario = engine::read(&self.input.scenario)?;
        let wishes = Wishes {
            draws: self.draws,
            seed: self.computing.seed,
            supply: self.supply.clone(),
            bottle_ml: to_ml(quantity("--bottle", &self.bottle, &bounds::BOTTLE)?),
            sensitivities: true,
        };
        let terminal = Terminal::new(self.showing.quiet);
        let answer = engine::spread(&scenario, &wishes, &terminal);
        terminal.done();
        let answer = answer?;
        self.show(&answer)?;
        Ok(if answer.partial { Done::Partial } else { Done::Well })
    }

    fn show(&self, answer: &Answer) -> Result<(), Failure> {
        let shown = delivery::Answer {
            answer,
            pictures: &|| plot::draw_spread(answer),
            csv: &|| spread_csv::render(answer),
            table: &|view| spread_table::render(answer, view),
            warnings: &|_| String::new(),
            file: None,
        };
        self.files.deliver(&self.showing, &shown)
    }
}
