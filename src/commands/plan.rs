//! `plan`: the least fluid or time that meets stated targets.

use super::delivery::{self, Files};
use super::engine;
use super::options::{Computing, Input, Showing, quantity};
use super::outcome::{Done, Failure, tell};
use super::outputs;
use super::progress::Terminal;
use crate::keys::bounds::{self, Bound};
use crate::measures::{to_celsius, to_ml};
use crate::plot;
use crate::report::write::Target;
use crate::report::{plan_csv, plan_table, table};
use crate::study::plan::{Least, Plan as Answer, Targets, Wishes};
use clap::{Args, ValueEnum, builder::OsStringValueParser};
use std::ffi::OsString;

/// Plan a flush: the least fluid or time that leaves no more than stated targets allow
#[derive(Debug, Args)]
pub(super) struct Plan {
    #[command(flatten)]
    input: Input,
    /// Old fluid in no part more than this, parts that no bleeder reaches left out, for instance "5 %"
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    old_anywhere: Option<String>,
    /// Old fluid in the whole system no more than this
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    old_overall: Option<String>,
    /// Water in the whole system no more than this share of the mass
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    water: Option<String>,
    /// Boiling point nowhere in a wheel brake, its pocket included, lower than this, for instance "200 °C"
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    boiling: Option<String>,
    /// What is to be least
    #[arg(long, value_enum, default_value_t)]
    least: LeastWord,
    /// Volumes at each bleeder are whole multiples of this
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true, default_value = "10 mL")]
    grid: String,
    /// Let the targets hold in this share of random draws, for instance 0.9
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    sure: Option<String>,
    /// Number of draws for --sure
    #[arg(long, value_name = "N", allow_hyphen_values = true, default_value_t = 100)]
    draws: usize,
    /// Write the plan as a scenario to this file
    #[arg(short, long, value_name = "FILE|-", value_parser = OsStringValueParser::new())]
    output: Option<OsString>,
    #[command(flatten)]
    showing: Showing,
    #[command(flatten)]
    files: Files,
    /// Push with this supply of the scenario instead of the one its procedure names
    #[arg(long, value_name = "NAME")]
    supply: Option<String>,
    #[command(flatten)]
    computing: Computing,
}

/// The words of `--least`.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
enum LeastWord {
    /// New fluid, for what is drained at the bleeders and taken by syringe
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
        let terminal = Terminal::new(self.showing.quiet);
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
        Ok(match (answer.partial, answer.record.stopped()) {
            (true, _) => Done::Partial,
            (false, true) => Done::Stopped,
            (false, false) => Done::Well,
        })
    }

    fn wishes(&self) -> Result<Wishes, Failure> {
        let read = |option: &str, text: &Option<String>, bound: &'static Bound| {
            text.as_ref().map(|t| quantity(option, t, bound)).transpose()
        };
        let targets = Targets {
            old_anywhere: read("--old-anywhere", &self.old_anywhere, &bounds::OLD_FRACTION)?,
            old_overall: read("--old-overall", &self.old_overall, &bounds::OLD_FRACTION)?,
            water_percent: read("--water", &self.water, &bounds::WATER)?.map(|w| 100.0 * w),
            boiling_c: read("--boiling", &self.boiling, &bounds::BOILING_POINT)?.map(to_celsius),
        };
        if targets.none() {
            return Err(Failure::Unusable(
                "state a target: --old-anywhere, --old-overall, --water or --boiling".to_owned(),
            ));
        }
        let grid = quantity("--grid", &self.grid, &bounds::DRAINED)?;
        Ok(Wishes {
            targets,
            least: match self.least {
                LeastWord::Fluid => Least::Fluid,
                LeastWord::Time => Least::Time,
            },
            grid_ml: to_ml(grid),
            sure: read("--sure", &self.sure, &bounds::SHARE)?,
            draws: self.draws,
            seed: self.computing.seed,
            supply: self.supply.clone(),
        })
    }

    fn output(&self) -> Option<Target> {
        self.output.as_deref().map(Target::from)
    }

    fn outputs(&self) -> Vec<(&'static str, Target)> {
        let mut outputs = self.files.outputs(&self.showing, &[plot::PLAN]);
        outputs.extend(self.output().map(|t| ("-o", t)));
        outputs
    }

    fn show(&self, answer: &Answer) -> Result<(), Failure> {
        // A plan whose run must be stopped is not written.
        let written = self.output().filter(|_| !answer.record.stopped());
        let file = written.map(|target| (target, answer.text.as_str()));
        let shown = delivery::Answer {
            answer,
            pictures: &|| Ok(vec![plot::draw_plan(answer)?]),
            csv: &|| plan_csv::render(answer),
            table: &|view| plan_table::render(answer, view),
            warnings: &|_| String::new(),
            file,
        };
        self.files.deliver(&self.showing, &shown)?;
        let stops = answer.record.warnings.iter().filter(|w| w.stops_the_job());
        let stops: Vec<_> = stops.cloned().collect();
        if !stops.is_empty() {
            tell(&table::warnings(&stops, self.showing.view()));
            if let Some(target) = self.output() {
                tell(&format!("no scenario was written to {target}: first see to what stops it"));
            }
        }
        Ok(())
    }
}
