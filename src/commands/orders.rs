//! `orders`: every order of the bleeders, or those named, ranked.

use super::delivery::{Delivery, Files};
use super::options::{Computing, Input, Showing, quantity};
use super::outcome::{Done, Failure};
use super::progress::watched;
use crate::circuit::Scenario;
use crate::json::asked;
use crate::keys::bounds;
use crate::study::orders::{self, Question};
use crate::study::ranking::{self, Ranked};
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
    /// Compare the orders on N random draws of the vehicle too
    #[arg(long, value_name = "N", allow_hyphen_values = true, default_value_t = 0)]
    draws: usize,
    /// Orders that take no more than this share of the fluid more than the best of a place share it
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true, default_value = "5 %")]
    margin: String,
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
        let delivery = Delivery { showing: &self.showing, files: &self.files, output: None };
        delivery.look_over::<orders::Orders>(&[&self.input.scenario])?;
        let options = self.computing.prepare(self.supply.clone())?;
        let source = self.input.read()?;
        let margin = quantity("--margin", &self.margin, &bounds::MARGIN)?;
        let question =
            Question { orders: self.orders(&source.scenario), draws: self.draws, margin };
        let answer = watched(self.showing.quiet, |to| {
            orders::study(&source.scenario, &question, &options, to)
        })?;
        delivery.deliver(&answer, &source.origin(&asked::orders(&question, &options)))
    }

    /// The orders that were named.
    fn orders(&self, scenario: &Scenario) -> Vec<Vec<String>> {
        let names = |ranked: Vec<Ranked>| ranked.into_iter().map(|r| r.bleeder).collect();
        let order = |text: &String| match text.trim().to_ascii_lowercase().as_str() {
            "far first" => names(ranking::far_first(scenario)),
            "near first" => names(ranking::near_first(scenario)),
            _ => text.split(',').map(|name| name.trim().to_owned()).collect(),
        };
        self.named.iter().map(order).collect()
    }
}
