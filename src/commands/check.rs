//! `check`: looks a scenario over without simulating anything.

use super::engine;
use super::options::{Input, Showing};
use super::outcome::{Done, Failure, tell};
use super::outputs;
use crate::report::write::{self, Target};
use crate::report::{check, json, table};
use clap::Args;
use std::io::IsTerminal as _;

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
        let outputs: Vec<_> = self.showing.json().map(|t| ("--json", t)).into_iter().collect();
        outputs::look_over(&self.input.scenario, &outputs)?;
        let scenario = engine::read(&self.input.scenario)?;
        let report = engine::check(&scenario, self.supply.as_deref())?;

        let mut table_wanted = !self.showing.quiet;
        if let Some(target) = self.showing.json() {
            let text =
                json::render(&report).map_err(|why| Failure::Failed(format!("no JSON: {why}")))?;
            target.write(text.as_bytes())?;
            table_wanted &= target != Target::Standard;
        }
        let view = self.showing.view();
        if table_wanted {
            write::print(&check::render(&report, view))?;
        }
        let seen = table_wanted && std::io::stdout().is_terminal();
        if !seen && !report.warnings.is_empty() {
            tell(&table::warnings(&report.warnings, view));
        }
        let stopped = report.warnings.iter().any(|w| w.stops_the_job());
        Ok(if stopped { Done::Stopped } else { Done::Well })
    }
}
