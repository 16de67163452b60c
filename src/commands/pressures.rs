//! `pressures`: the same job over a range of gauge pressures and with the other supplies.

use super::engine;
use super::options::{Computing, Input, Showing};
use super::outcome::{Done, Failure, tell};
use super::outputs;
use super::progress::Terminal;
use crate::plot;
use crate::report::write::{self, Target};
use crate::report::{json, pressures_csv, pressures_table};
use crate::scenario::{bounds, quantity_text};
use crate::study::pressures::{Pressures as Answer, USUAL_STEPS, Wishes};
use clap::{Args, builder::OsStringValueParser};
use std::ffi::OsString;
use std::io::IsTerminal as _;
use std::path::PathBuf;

/// Run the job over a range of gauge pressures and with every other supply: what pressure changes, and what not
#[derive(Debug, Args)]
pub(super) struct Pressures {
    #[command(flatten)]
    input: Input,
    #[command(flatten)]
    showing: Showing,
    /// Lowest gauge pressure, with its unit; 5 psi if not given
    #[arg(long, value_name = "PRESSURE")]
    from: Option<String>,
    /// Highest gauge pressure, with its unit; the vehicle's limit if not given, without one 30 psi
    #[arg(long, value_name = "PRESSURE")]
    to: Option<String>,
    /// Number of even steps from one to the other
    #[arg(long, value_name = "N", default_value_t = USUAL_STEPS as u16,
        value_parser = clap::value_parser!(u16).range(1..=10_000))]
    steps: u16,
    /// Write one row a job as CSV to this file, or to standard output instead of the table
    #[arg(long, value_name = "FILE|-", value_parser = OsStringValueParser::new())]
    csv: Option<OsString>,
    /// Write the picture as SVG and PNG into this directory, which is made if missing
    #[arg(long, value_name = "DIR")]
    plots: Option<PathBuf>,
    #[command(flatten)]
    computing: Computing,
}

impl Pressures {
    /// Reads, runs, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        outputs::look_over(&self.input.scenario, &self.outputs())?;
        let wishes = Wishes {
            from_pa: pressure("--from", self.from.as_deref())?,
            to_pa: pressure("--to", self.to.as_deref())?,
            steps: self.steps.into(),
        };
        self.computing.prepare()?;
        let scenario = engine::read(&self.input.scenario)?;
        let terminal = Terminal::new(self.showing.quiet)?;
        let answer = engine::pressures(&scenario, &wishes, self.computing.seed, &terminal);
        terminal.done();
        let answer = answer?;
        self.show(&answer)?;
        Ok(match (answer.partial, answer.stopped()) {
            (true, _) => Done::Partial,
            (false, true) => Done::Stopped,
            (false, false) => Done::Well,
        })
    }

    fn csv(&self) -> Option<Target> {
        self.csv.as_deref().map(Target::from)
    }

    fn outputs(&self) -> Vec<(&'static str, Target)> {
        let mut outputs = Vec::new();
        outputs.extend(self.showing.json().map(|t| ("--json", t)));
        outputs.extend(self.csv().map(|t| ("--csv", t)));
        let pictures = self.plots.iter().flat_map(|dir| plot::files_of(plot::PRESSURES, dir));
        outputs.extend(pictures.map(|f| ("--plots", Target::File(f))));
        outputs
    }

    /// Files first, as `flush` does.
    fn show(&self, answer: &Answer) -> Result<(), Failure> {
        let mut table_wanted = !self.showing.quiet;
        if let Some(dir) = &self.plots {
            plot::write(&[plot::draw_pressures(answer)?], dir)?;
            if !self.showing.quiet {
                tell(&format!("picture {} in {}", plot::PRESSURES, dir.display()));
            }
        }
        if let Some(target) = self.csv() {
            let text = pressures_csv::render(answer)
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
        let view = self.showing.view();
        if table_wanted {
            write::print(&pressures_table::render(answer, view))?;
        }
        // The table ends with the warnings; whoever does not see it gets them here.
        let seen = table_wanted && std::io::stdout().is_terminal();
        let warnings = pressures_table::warnings(answer, view);
        if !seen && !warnings.is_empty() {
            tell(&warnings);
        }
        Ok(())
    }
}

/// A gauge pressure as a scenario would give it.
fn pressure(option: &str, text: Option<&str>) -> Result<Option<f64>, Failure> {
    let Some(text) = text else { return Ok(None) };
    let unusable = |what: &str, remedy: &str| {
        Failure::Unusable(format!("{option} \"{text}\": {what}; {remedy}"))
    };
    let read = quantity_text::parse(text, &bounds::GAUGE)
        .map_err(|wrong| unusable(&wrong.what, &wrong.remedy))?;
    match read.spread {
        None => Ok(Some(read.value)),
        Some(_) => Err(unusable("an end of the range is one pressure", "leave out what follows ±")),
    }
}
