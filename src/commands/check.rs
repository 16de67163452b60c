//! `check`: looks a scenario over without simulating anything.

use super::delivery::{Delivery, Files};
use super::options::{Settings, Showing};
use super::outcome::{Done, Failure};
use super::shipped;
use super::source::Source;
use crate::job::options::Options;
use crate::json::asked;
use crate::plot::Pictured;
use crate::report::write::Target;
use crate::study::guesses::{self, LookedOver};
use clap::Args;
use std::path::PathBuf;

impl Pictured for LookedOver {}

/// Read the scenario and list every part's volume, the path to each bleeder, defaults and warnings
#[derive(Debug, Args)]
pub(super) struct Check {
    /// Scenario file, or the name of a shipped scenario; - reads standard input
    #[arg(required_unless_present = "shipped")]
    scenario: Option<PathBuf>,
    /// List the shipped scenarios, or print the one of this name, to start a file of one's own from
    #[arg(long, value_name = "NAME", num_args = 0..=1, conflicts_with_all = ["scenario", "json", "supply", "quiet", "set"])]
    shipped: Option<Option<PathBuf>>,
    #[command(flatten)]
    settings: Settings,
    #[command(flatten)]
    showing: Showing,
    /// Look at the flow under this supply of the scenario instead of the one its procedure names
    #[arg(long, value_name = "NAME")]
    supply: Option<String>,
}

impl Check {
    /// Reads, looks over, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        let Some(scenario) = &self.scenario else {
            let name = self.shipped.flatten();
            let text =
                name.map_or_else(|| Ok(shipped::list().into_bytes()), |name| shipped::text(&name))?;
            Target::Standard.write(&text)?;
            return Ok(Done::Well);
        };
        let delivery = Delivery { showing: &self.showing, files: &Files::default(), output: None };
        delivery.look_over::<LookedOver>(&[scenario])?;
        let options = Options { supply: self.supply.clone(), ..Options::default() };
        let source = Source::read(scenario, &self.settings.set)?;
        let answer = guesses::look_over(&source.scenario, &options)?;
        delivery.deliver(&answer, &source.origin(&asked::check(&options)))
    }
}
