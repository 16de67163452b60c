//! `spread`: random draws over what nobody knows exactly.

use super::delivery::{Delivery, Files};
use super::options::{Computing, Input, Showing, quantity};
use super::outcome::{Done, Failure};
use super::progress::watched;
use crate::keys::bounds;
use crate::measures::to_ml;
use crate::study::spread::{self, Question};
use clap::Args;
use serde_json::json;

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
        let delivery = Delivery { showing: &self.showing, files: &self.files, output: None };
        delivery.look_over::<spread::Spread>(&[&self.input.scenario])?;
        let options = self.computing.prepare(self.supply.clone())?;
        let source = self.input.read()?;
        let bottle_ml = to_ml(quantity("--bottle", &self.bottle, &bounds::BOTTLE)?);
        let question = Question { draws: self.draws, bottle_ml, sensitivities: true };
        let asked = json!({
            "verb": "spread", "draws": question.draws, "bottle_ml": question.bottle_ml,
            "supply": options.supply, "seed": options.seed,
        });
        let answer = watched(self.showing.quiet, |to| {
            spread::study(&source.scenario, &question, &options, to)
        })?;
        delivery.deliver(&answer, &source.origin(&asked))
    }
}
