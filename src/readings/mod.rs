//! A shop's readings: a table in TOML that names a CSV file, one reading a row, and the cars that its column `car` names.

mod rows;
mod table;

use crate::circuit::Scenario;
use crate::scenario::mistake::Diagnostics;
use crate::scenario::procedure::{Action, Step};
use crate::scenario::{Mistakes, suggest};
use crate::study::learn::{Aim, Reading, When};
use std::ops::Range;
use std::path::{Path, PathBuf};

/// Everything that a table of readings names.
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    /// What the next reading is to narrow down.
    pub of: Aim,
    /// The CSV file, as messages call it.
    pub file: String,
    /// Its text.
    text: String,
    /// Jobs in the order of the file.
    pub jobs: Vec<Job>,
}

/// The readings of one job.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// What it is called.
    pub name: String,
    /// The car's scenario: a file, or the name of a shipped one.
    pub car: PathBuf,
    /// Who did it; empty if nobody is named.
    pub technician: String,
    /// What was read, in the order of the file.
    pub readings: Vec<Reading>,
    /// Where each stands in the CSV file.
    places: Vec<Range<usize>>,
}

/// Reads a table of readings and the CSV file that it names, which stands beside it.
///
/// # Errors
/// Every mistake in either, with its line and remedy.
pub fn read(path: &Path) -> Result<Readings, Mistakes> {
    let text = text_of(path)?;
    let name = path.display().to_string();
    let table = table::read(&text, &name)?;
    let beside = path.parent().unwrap_or(Path::new(""));
    let csv = beside.join(&table.readings);
    let (csv_name, csv_text) = (csv.display().to_string(), text_of(&csv)?);
    let jobs = rows::read(&csv_text, &csv_name, &table, beside)?;
    Ok(Readings { of: table.of, file: csv_name, text: csv_text, jobs })
}

fn text_of(path: &Path) -> Result<String, Mistakes> {
    let bytes = crate::scenario::file_bytes(path)?;
    let (what, remedy) = ("the file is not UTF-8 text", "save it as UTF-8 with a text editor");
    String::from_utf8(bytes)
        .map_err(|_| Mistakes::about_file(&path.display().to_string(), what, remedy))
}

impl Readings {
    /// The job of this name; the only one if none is named.
    ///
    /// # Errors
    /// If there is none of this name, or several and none is named.
    pub fn job(&self, name: Option<&str>) -> Result<&Job, Mistakes> {
        let names: Vec<&str> = self.jobs.iter().map(|j| j.name.as_str()).collect();
        let found = match name {
            Some(name) => self.jobs.iter().find(|j| j.name == name),
            None if names.len() == 1 => self.jobs.first(),
            None => None,
        };
        found.ok_or_else(|| {
            let what = match name {
                Some(name) => format!("there is no job `{name}` in it"),
                None => format!("it holds {} jobs, and one is learned from at a time", names.len()),
            };
            Mistakes::about_file(
                &self.file,
                what,
                format!("name one with --job: {}", suggest::either(&names)),
            )
        })
    }

    /// Makes sure that a car has what was read on it.
    ///
    /// # Errors
    /// Each reading at a place that the car, or its procedure, has not.
    pub fn fit(&self, job: &Job, scenario: &Scenario) -> Result<(), Mistakes> {
        let mut diagnostics = Diagnostics::new(&self.file, &self.text);
        let bleeders = |step: &'_ Step| match &step.action {
            Action::Open { bleeders, .. } => bleeders.clone(),
            _ => Vec::new(),
        };
        let opened: Vec<String> = scenario.procedure.steps.iter().flat_map(bleeders).collect();
        let opened: Vec<&str> = opened.iter().map(String::as_str).collect();
        for (r, place) in job.readings.iter().zip(&job.places) {
            let known: Vec<&str> = match r.when {
                When::Close => opened.clone(),
                When::Before => vec!["reservoir", "wheels", "vessel", "car"],
                When::After => std::iter::once("vessel")
                    .chain(["reservoir"])
                    .chain(scenario.parts.iter().map(|p| p.name.as_str()))
                    .collect(),
            };
            if !known.contains(&r.at.as_str()) {
                let what = match r.when {
                    When::Close => format!("the job opens no bleeder `{}`", r.at),
                    _ => format!("nothing is read at `{}` {} the job", r.at, r.when),
                };
                diagnostics.add(place.clone(), what, suggest::remedy(&r.at, known, "known words"));
            }
        }
        if diagnostics.clean() { Ok(()) } else { Err(diagnostics.close()) }
    }
}
