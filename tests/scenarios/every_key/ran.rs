//! A scenario text read, and what comes of it, each only once and only if it is asked for.

use farwheel::Scenario;
use farwheel::job;
use farwheel::job::check::CheckReport;
use farwheel::job::options::Options;
use farwheel::job::record::{Opening, Record};
use farwheel::report::card::{self, Style};
use farwheel::report::{Report as _, Units, View};
use farwheel::study::guesses::LookedOver;
use farwheel::study::job_card::{self, JobCard};
use farwheel::study::spread::Question;
use std::cell::OnceCell;

/// A scenario and what comes of it.
pub struct Ran {
    read: Result<Scenario, String>,
    record: OnceCell<Record>,
    estimated: OnceCell<Record>,
    check: OnceCell<CheckReport>,
    card: OnceCell<JobCard>,
}

impl Ran {
    pub fn new(text: &str) -> Self {
        let read = farwheel::read(text, "keys.toml").map_err(|m| m.to_string());
        Self::from_read(read)
    }

    /// Of a scenario that is there already.
    pub fn of(scenario: Scenario) -> Self {
        Self::from_read(Ok(scenario))
    }

    fn from_read(read: Result<Scenario, String>) -> Self {
        let (record, estimated) = (OnceCell::new(), OnceCell::new());
        Self { read, record, estimated, check: OnceCell::new(), card: OnceCell::new() }
    }

    /// Why it is refused; nothing if it is not.
    pub fn refusal(&self) -> String {
        self.read.as_ref().err().cloned().unwrap_or_default()
    }

    pub fn scenario(&self) -> &Scenario {
        self.read.as_ref().unwrap_or_else(|why| panic!("{why}"))
    }

    fn flush(&self, estimate_error: bool) -> Record {
        let options = Options { estimate_error, ..Options::default() };
        job::flush(self.scenario(), &options).unwrap_or_else(|why| panic!("{why}"))
    }

    pub fn record(&self) -> &Record {
        self.record.get_or_init(|| self.flush(false))
    }

    /// The record with its errors estimated.
    pub fn estimated(&self) -> &Record {
        self.estimated.get_or_init(|| self.flush(true))
    }

    pub fn check(&self) -> &CheckReport {
        self.check.get_or_init(|| {
            let options = Options::default();
            job::check(self.scenario(), &options).unwrap_or_else(|why| panic!("{why}"))
        })
    }

    pub fn card(&self) -> &JobCard {
        self.card.get_or_init(|| {
            let question = Question { draws: 20, ..Question::default() };
            let options = Options { seed: 1, ..Options::default() };
            job_card::study(self.scenario(), &question, &options)
                .unwrap_or_else(|why| panic!("{why}"))
        })
    }

    /// Everything that a person gets to read of it: check, flush, card.
    pub fn all_text(&self) -> String {
        let view = View::of_width(Units::default(), 100);
        let card = card::render(self.card(), Style::default()).expect("a card");
        let json =
            |what: Result<String, _>| what.unwrap_or_else(|e: serde_json::Error| panic!("{e}"));
        [
            LookedOver { check: self.check().clone(), guesses: Vec::new() }.table(view),
            self.record().table(view),
            json(serde_json::to_string(self.check())),
            json(serde_json::to_string(self.record())),
            card,
        ]
        .join("\n")
    }

    pub fn opening(&self) -> &Opening {
        &self.record().openings[0]
    }

    /// Old fraction, water in % and boiling point in °C of what a part holds at the end.
    pub fn part(&self, name: &str) -> (f64, f64, f64) {
        let parts = &self.record().left.parts;
        let part = parts.iter().find(|p| p.part == name).unwrap_or_else(|| panic!("no {name}"));
        (part.old_fraction, part.water_percent, part.boiling_c)
    }
}
