//! `check`: looks a scenario over without simulating anything.

use super::delivery::{Delivery, Files};
use super::options::{Input, Showing};
use super::outcome::{Done, Failure};
use crate::job;
use crate::job::check::CheckReport;
use crate::job::options::Options;
use crate::plot::Pictured;
use clap::Args;

impl Pictured for CheckReport {}

/// Read the scenario and list every part's volume, the path to each bleeder, defaults and warnings
#[derive(Debug, Args)]
pub(super) struct Check {
    #[command(flatten)]
    input: Input,
    #[command(flatten)]
    showing: Showing,
    /// Look at the flow under this supply of the scenario instead of the one its procedure names
    #[arg(long, value_name = "NAME")]
    supply: Option<String>,
}

impl Check {
    /// Reads, looks over, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        let delivery = Delivery { showing: &self.showing, files: &Files::default(), output: None };
        delivery.look_over::<CheckReport>(&[&self.input.scenario])?;
        let options = Options { supply: self.supply.clone(), ..Options::default() };
        let answer = job::check(&self.input.read()?, &options)?;
        delivery.deliver(&answer)
    }
}
