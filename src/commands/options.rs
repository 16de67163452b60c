//! Options that several verbs share.

use super::outcome::Failure;
use super::source::Source;
use crate::job::options::Options;
use crate::keys::bounds::Bound;
use crate::report::write::Target;
use crate::report::{Units, View, Wording};
use crate::scenario::quantity_text;
use clap::{Args, ValueEnum};
use std::ffi::OsString;
use std::path::PathBuf;

/// The scenario to read.
#[derive(Debug, Args)]
pub(super) struct Input {
    /// Scenario file, or the name of a shipped scenario; - reads standard input
    pub scenario: PathBuf,
    #[command(flatten)]
    settings: Settings,
}

/// What is set over the values of the file.
#[derive(Debug, Args)]
pub(super) struct Settings {
    /// Set a value over the one in the scenario, or one that it leaves out, for instance "reservoir.level=130 mL" or
    /// 'parts."line RR".length=6 m'; may be given several times
    #[arg(long, value_name = "KEY=VALUE")]
    pub set: Vec<String>,
}

impl Input {
    /// The scenario, checked, with what it was read from.
    ///
    /// # Errors
    /// As [`Source::read`].
    pub(super) fn read(&self) -> Result<Source, Failure> {
        Source::read(&self.scenario, &self.settings.set)
    }
}

/// How to show the answer.
#[derive(Debug, Args)]
pub(super) struct Showing {
    /// Write the answer as JSON to this file, or to standard output instead of the table
    #[arg(long, value_name = "FILE|-", value_parser = clap::builder::OsStringValueParser::new())]
    json: Option<OsString>,
    /// Units of pressure, temperature and totals in the table
    #[arg(long, value_enum, default_value_t)]
    units: UnitsWord,
    /// Show every table, not the answer alone
    #[arg(long)]
    details: bool,
    /// Show neither table nor progress; warnings still go to standard error
    #[arg(long)]
    pub quiet: bool,
}

impl Showing {
    /// Where JSON goes, if anywhere.
    pub(super) fn json(&self) -> Option<Target> {
        self.json.as_deref().map(Target::from)
    }

    /// Layout of the table.
    pub(super) fn view(&self) -> View {
        View { details: self.details, ..View::for_terminal(self.units.units()) }
    }
}

/// The words of `--units`.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum UnitsWord {
    /// kPa with psi beside it, °C, mL
    #[default]
    Metric,
    /// psi, °F, mL with fluid ounces beside totals
    Us,
}

impl UnitsWord {
    /// What the word stands for.
    pub(super) fn units(self) -> Units {
        match self {
            Self::Metric => Units::Metric,
            Self::Us => Units::Us,
        }
    }
}

/// The words of `--wording`.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum WordingWord {
    /// Bleeder screw, brake line, hose, jack stand
    #[default]
    Us,
    /// Bleed nipple, brake pipe, flexi hose, axle stand
    Uk,
}

impl WordingWord {
    /// What the word stands for.
    pub(super) fn wording(self) -> Wording {
        match self {
            Self::Us => Wording::Us,
            Self::Uk => Wording::Uk,
        }
    }
}

/// A quantity given to an option, as a scenario would give it, without a spread (SI).
///
/// # Errors
/// Names the option, what is wrong and what would be right.
pub(super) fn quantity(option: &str, text: &str, bound: &Bound) -> Result<f64, Failure> {
    let unusable = |what: &str, remedy: &str| {
        Failure::Unusable(format!("{option} \"{text}\": {what}; {remedy}"))
    };
    let read =
        quantity_text::parse(text, bound).map_err(|wrong| unusable(&wrong.what, &wrong.remedy))?;
    match read.spread {
        None => Ok(read.value),
        Some(_) => Err(unusable("one value is wanted", "leave out what follows ±")),
    }
}

/// The same of an option that may be left out.
///
/// # Errors
/// As [`quantity`].
pub(super) fn quantity_if_given(
    option: &str,
    text: Option<&str>,
    bound: &Bound,
) -> Result<Option<f64>, Failure> {
    text.map(|text| quantity(option, text, bound)).transpose()
}

/// How to compute.
#[derive(Debug, Args)]
pub(super) struct Computing {
    /// Seed of the random draws, where there are any; kept in the record
    #[arg(long, value_name = "N", allow_hyphen_values = true, default_value_t = 0)]
    seed: u64,
    /// Threads to use, of which no more than four a core (or sixteen) are started; one a core if not given. The answer does not depend on it
    #[arg(long, value_name = "N", allow_hyphen_values = true, value_parser = clap::value_parser!(u16).range(1..=1024))]
    threads: Option<u16>,
}

/// As many of these threads as may be of use. A thread that finds nothing to do looks for it at every other, so that a
/// thousand of them cost seconds before they sleep.
fn of_use(threads: usize) -> usize {
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    threads.min((PER_CORE * cores).max(ALWAYS))
}

/// Threads that are started for each core of the machine at the most, and as many as are started on any machine.
const PER_CORE: usize = 4;
const ALWAYS: usize = 16;

impl Computing {
    /// Sets the number of threads for everything that runs afterwards, and gives the options of its jobs.
    ///
    /// # Errors
    /// If the threads cannot be started.
    pub(super) fn prepare(&self, supply: Option<String>) -> Result<Options, Failure> {
        if let Some(threads) = self.threads {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(of_use(threads.into()));
            pool.build_global().map_err(|why| {
                Failure::Failed(format!("{threads} threads could not be started: {why}"))
            })?;
        }
        Ok(Options { supply, seed: self.seed, ..Options::default() })
    }
}

#[cfg(test)]
mod tests {
    use super::{ALWAYS, of_use};

    #[test]
    fn no_more_threads_are_started_than_are_of_use() {
        assert_eq!([1, 2, ALWAYS].map(of_use), [1, 2, ALWAYS]);
        // No machine has a quarter of a million cores.
        assert!(of_use(1 << 20) < 1 << 20);
    }
}
