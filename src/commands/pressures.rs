//! `pressures`: the same job over a range of gauge pressures and with the other supplies.

use super::delivery::{self, Files};
use super::engine;
use super::options::{Computing, Input, Showing, quantity};
use super::outcome::{Done, Failure};
use super::outputs;
use super::progress::Terminal;
use crate::keys::bounds;
use crate::plot;
use crate::report::{pressures_csv, pressures_table};
use crate::study::pressures::{Pressures as Answer, USUAL_STEPS, Wishes};
use clap::Args;

/// Run the job over a range of gauge pressures and with every other supply: what pressure changes, and what not
#[derive(Debug, Args)]
pub(super) struct Pressures {
    #[command(flatten)]
    input: Input,
    #[command(flatten)]
    showing: Showing,
    /// Lowest gauge pressure, with its unit; 5 psi if not given
    #[arg(long, value_name = "PRESSURE", allow_hyphen_values = true)]
    from: Option<String>,
    /// Highest gauge pressure, with its unit; the vehicle's limit if not given, without one 30 psi
    #[arg(long, value_name = "PRESSURE", allow_hyphen_values = true)]
    to: Option<String>,
    /// Number of even steps from one to the other
    #[arg(long, value_name = "N", allow_hyphen_values = true, default_value_t = USUAL_STEPS as u16,
        value_parser = clap::value_parser!(u16).range(1..=10_000))]
    steps: u16,
    #[command(flatten)]
    files: Files,
    #[command(flatten)]
    computing: Computing,
}

impl Pressures {
    /// Reads, runs, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        outputs::look_over(
            &self.input.scenario,
            &self.files.outputs(&self.showing, &[plot::PRESSURES]),
        )?;
        let pressure = |option: &str, text: &Option<String>| {
            text.as_ref().map(|t| quantity(option, t, &bounds::GAUGE)).transpose()
        };
        let wishes = Wishes {
            from_pa: pressure("--from", &self.from)?,
            to_pa: pressure("--to", &self.to)?,
            steps: self.steps.into(),
        };
        self.computing.prepare()?;
        let scenario = engine::read(&self.input.scenario)?;
        let terminal = Terminal::new(self.showing.quiet);
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

    fn show(&self, answer: &Answer) -> Result<(), Failure> {
        let shown = delivery::Answer {
            answer,
            pictures: &|| Ok(vec![plot::draw_pressures(answer)?]),
            csv: &|| pressures_csv::render(answer),
            table: &|view| pressures_table::render(answer, view),
            warnings: &|view| pressures_table::warnings(answer, view),
            file: None,
        };
        self.files.deliver(&self.showing, &shown)
    }
}
