//! `plan`: the least fluid or time that meets stated targets.

use super::engine;
use super::options::{Computing, Input, Showing};
use super::outcome::{Done, Failure, tell};
use super::outputs;
use super::progress::Terminal;
use crate::plot;
use crate::report::write::{self, Target};
use crate::report::{json, plan_csv, plan_table, table};
use crate::scenario::bounds::{self, Bound};
use crate::scenario::quantity_text;
use crate::study::plan::{Least, Plan as Answer, Targets, Wishes};
use clap::{Args, ValueEnum, builder::OsStringValueParser};
use std::ffi::OsString;
use std::path::PathBuf;

/// Plan a flush: the least fluid or time that leaves no more than stated targets allow
#[derive(Debug, Args)]
pub(super) struct Plan {
    #[command(flatten)]
    input: Input,
    /// Old fluid in no part more than this, parts that no bleeder reaches left out, for instance "5 %"
    #[arg(long, value_name = "SHARE")]
    old_anywhere: Option<String>,
    /// Old fluid in the whole system no more than this
    #[arg(long, value_name = "SHARE")]
    old_overall: Option<String>,
    /// Water in the whole system no more than this share of the mass
    #[arg(long, value_name = "SHARE")]
    water: Option<String>,
    /// Boiling point at no wheel brake lower than this, for instance "200 °C"
    #[arg(long, value_name = "TEMPERATURE")]
    boiling: Option<String>,
    /// What is to be least
    #[arg(long, value_enum, default_value_t)]
    least: LeastWord,
    /// Volumes at each bleeder are whole multiples of this
    #[arg(long, value_name = "VOLUME", default_value = "10 mL")]
    grid: String,
    /// Let the targets hold in this share of random draws, for instance 0.9
    #[arg(long, value_name = "SHARE")]
    sure: Option<String>,
    /// Number of draws for --sure
    #[arg(long, value_name = "N", default_value_t = 100)]
    draws: usize,
    /// Write the plan as a scenario to this file
    #[arg(short, long, value_name = "FILE|-", value_parser = OsStringValueParser::new())]
    output: Option<OsString>,
    #[command(flatten)]
    showing: Showing,
    /// Write the openings as CSV to this file, or to standard output instead of the table
    #[arg(long, value_name = "FILE|-", value_parser = OsStringValueParser::new())]
    csv: Option<OsString>,
    /// Write the picture as SVG and PNG into this directory, which is made if missing
    #[arg(long, value_name = "DIR")]
    plots: Option<PathBuf>,
    /// Push with this supply of the scenario instead of the one its procedure names
    #[arg(long, value_name = "NAME")]
    supply: Option<String>,
    #[command(flatten)]
    computing: Computing,
}

/// The words of `--least`.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
enum LeastWord {
    /// Fluid drained at the bleeders and taken by syringe
    #[default]
    Fluid,
    /// Time in the bay
    Time,
}

impl Plan {
    /// Reads, plans, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        outputs::look_over(&self.input.scenario, &self.outputs())?;
        let wishes = self.wishes()?;
        self.computing.prepare()?;
        let (scenario, text) = engine::read_with_text(&self.input.scenario)?;
        let terminal = Terminal::new(self.showing.quiet)?;
        let answer = engine::plan((&scenario, &text), &wishes, &terminal);
        terminal.done();
        let answer = match answer? {
            Ok(answer) => answer,
            Err(why) => {
                tell(&why);
                return Ok(Done::Stopped);
            }
        };
        self.show(&answer)?;
        Ok(match (answer.record.stopped(), answer.partial) {
            (true, _) => Done::Stopped,
            (false, true) => Done::Partial,
            (false, false) => Done::Well,
        })
    }

    fn wishes(&self) -> Result<Wishes, Failure> {
        let read = |option: &str, text: &Option<String>, bound: &Bound| match text {
            None => Ok(None),
            Some(text) => match quantity_text::parse(text, bound) {
                Ok(q) if q.spread.is_none() => Ok(Some(q.value)),
                Ok(_) => Err(Failure::Unusable(format!("{option}: leave the ± out"))),
                Err(wrong) => {
                    Err(Failure::Unusable(format!("{option}: {}: {}", wrong.what, wrong.remedy)))
                }
            },
        };
        let targets = Targets {
            old_anywhere: read("--old-anywhere", &self.old_anywhere, &bounds::OLD_FRACTION)?,
            old_overall: read("--old-overall", &self.old_overall, &bounds::OLD_FRACTION)?,
            water_percent: read("--water", &self.water, &bounds::WATER)?.map(|w| 100.0 * w),
            boiling_c: read("--boiling", &self.boiling, &bounds::BOILING_POINT)?
                .map(|t| t - 273.15),
        };
        let grid = read("--grid", &Some(self.grid.clone()), &bounds::DRAINED)?;
        Ok(Wishes {
            targets,
            least: match self.least {
                LeastWord::Fluid => Least::Fluid,
                LeastWord::Time => Least::Time,
            },
            grid_ml: grid.map_or(10.0, |g| 1e6 * g),
            sure: read("--sure", &self.sure, &bounds::SHARE)?,
            draws: self.draws,
            seed: self.computing.seed,
            supply: self.supply.clone(),
        })
    }

    fn csv(&self) -> Option<Target> {
        self.csv.as_deref().map(Target::from)
    }

    fn output(&self) -> Option<Target> {
        self.output.as_deref().map(Target::from)
    }

    fn outputs(&self) -> Vec<(&'static str, Target)> {
        let mut outputs = Vec::new();
        outputs.extend(self.output().map(|t| ("--output", t)));
        outputs.extend(self.showing.json().map(|t| ("--json", t)));
        outputs.extend(self.csv().map(|t| ("--csv", t)));
        let pictures = self.plots.iter().flat_map(|dir| plot::files_of(plot::PLAN, dir));
        outputs.extend(pictures.map(|f| ("--plots", Target::File(f))));
        outputs
    }

    /// Files first, as `flush` does; a plan whose run must be stopped is not written.
    fn show(&self, answer: &Answer) -> Result<(), Failure> {
        let mut table_wanted = !self.showing.quiet;
        if let Some(dir) = &self.plots {
            plot::write(&[plot::draw_plan(answer)?], dir)?;
            if !self.showing.quiet {
                tell(&format!("picture {} in {}", plot::PLAN, dir.display()));
            }
        }
        if let Some(target) = self.output()
            && !answer.record.stopped()
        {
            target.write(answer.text.as_bytes())?;
            table_wanted &= target != Target::Standard;
        }
        if let Some(target) = self.csv() {
            let text = plan_csv::render(answer)
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
            write::print(&plan_table::render(answer, view))?;
        }
        let stops = answer.record.warnings.iter().filter(|w| w.stops_the_job);
        let stops: Vec<_> = stops.cloned().collect();
        if !stops.is_empty() {
            tell(&table::warnings(&stops, view));
        }
        Ok(())
    }
}
