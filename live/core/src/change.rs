//! A scenario with what somebody changed in the job.

use crate::question::{Failure, read};
use farwheel::Scenario;
use farwheel::job::options::Options;
use farwheel::scenario::tables::Split;
use farwheel::study::controls;
use farwheel::study::decides::SYRINGE;
use farwheel::study::order::{Rules, reordered, together};
use farwheel::study::{modulator, split};
use serde::Deserialize;

/// A scenario's text and what is changed.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Changed {
    /// The scenario.
    pub text: String,
    /// What it is called, for messages.
    #[serde(default)]
    pub file: String,
    #[serde(default)]
    pub change: Change,
}

/// What is changed; nothing by default.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Change {
    /// Controls by their words, with values in SI units: as `car` tells them.
    pub set: Vec<(String, f64)>,
    /// Whether the reservoir is emptied by syringe and filled again before all else, as far down as is usual.
    pub syringed: bool,
    /// Another supply of the scenario.
    pub supply: Option<String>,
    /// In which order the bleeders are opened; with fewer than all of them, only these are.
    pub order: Option<Vec<String>>,
    /// Whether the hydraulic modulator is worked; as the procedure has it if left out.
    pub worked: Option<bool>,
    /// How the wheels hang on the chambers; as the scenario has it if left out.
    pub split: Option<Hung>,
}

/// The splits in which every wheel may have a line of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub enum Hung {
    /// Front and rear.
    II,
    /// Diagonal.
    X,
}

impl Hung {
    /// The scenario with its lines joined so.
    pub fn joined(self, scenario: &Scenario) -> Scenario {
        let split = match self {
            Self::II => Split::II,
            Self::X => Split::X,
        };
        split::joined(scenario, split)
    }
}

/// What comes of it.
pub struct Job {
    pub scenario: Scenario,
    /// Options as `flush` has them, without its estimate of errors.
    pub options: Options,
    /// After so many openings it ends; `None` if it runs to the end.
    pub openings: Option<usize>,
}

impl Changed {
    /// The job as changed.
    pub fn job(&self) -> Result<Job, Failure> {
        let Change { set, syringed, supply, order, worked, split } = &self.change;
        let mut scenario = read(&self.text, &self.file)?;
        if let Some(split) = split {
            scenario = split.joined(&scenario);
        }
        let options =
            Options { supply: supply.clone(), estimate_error: false, ..Options::default() };
        for (what, value) in set {
            scenario = controls::set(&scenario, &options, what, *value)?;
        }
        if *syringed {
            let all = controls::controls(&scenario, &options);
            let leave = all.iter().find(|c| c.what == SYRINGE).map_or(0.0, |c| c.least);
            scenario = controls::set(&scenario, &options, SYRINGE, leave)?;
        }
        if let Some(worked) = worked {
            scenario = modulator::worked(&scenario, *worked);
        }
        let mut openings = None;
        if let Some(order) = order {
            let wheels: Vec<String> = together(&scenario.procedure).concat();
            let rest = wheels.iter().filter(|w| !order.contains(w));
            let whole: Vec<&String> = order.iter().chain(rest).collect();
            openings = (whole.len() > order.len()).then_some(order.len());
            scenario = reordered(&scenario, &whole, Rules::of(&scenario.procedure))?;
        }
        Ok(Job { scenario, options, openings })
    }
}
