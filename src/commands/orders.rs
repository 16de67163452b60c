//! `orders`: every order of the bleeders, or those named, ranked.

use super::delivery::{self, Files};
use super::engine;
use super::options::{Computing, Input, Showing};
use super::outcome::{Done, Failure};
use super::outputs;
use super::progress::Terminal;
use crate::plot;
use crate::report::{orders_csv, orders_table};
use crate::study::orders::{Orders as Answer, Wishes};
use clap::Args;

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
    #[arg(long, value_name = "N", allow_hyphen_values = true, default_value_t = 0)]
    draws: usize,
    /// Push with this supply of the scenario instead of the one its procedure names
    #[arg(long, value_name = "NAME")]
    supply: Option<String>,
    #[command(flatten)]
    showing: Showing,
    #[command(flatten)]
    files: Files,
    #[command(flatten)]
    computing: Computing,
}

impl Orders {
    /// Reads, compares, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        outputs::look_over(
            &self.input.scenario,
            &self.files.outputs(&self.showing, &[plot::ORDERS]),
        )?;
        self.computing.prepare()?;
        let scenario = engine::read(&self.input.scenario)?;
        let wishes = Wishes {
            orders: engine::named_orders(&scenario, &self.named)?,
            draws: self.draws,
            seed: self.computing.seed,
            supply: self.supply.clone(),
        };
        let terminal = Terminal::new(self.showing.quiet);
        let answer = engine::orders(&scenario, &wishes, &terminal);
        terminal.done();
        let answer = answer?;
        self.show(&answer)?;
        Ok(if answer.partial {
            Done::Partial
        } else if answer.own().is_some_and(|own| own.stopped || own.runs_short()) {
            Done::Stopped
        } else {
            Done::Well
        })
    }

    fn show(&self, answer: &Answer) -> Result<(), Failure> {
        let shown = delivery::Answer {
            answer,
            pictures: &|| Ok(vec![plot::draw_orders(answer)?]),
            csv: &|| orders_csv::render(answer),
            table: &|view| orders_table::render(answer, view),
            warnings: &|view| orders_table::warnings(answer, view),
            file: None,
        };
        self.files.deliver(&self.showing, &shown)
    }
}
