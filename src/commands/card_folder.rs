//! Where the cards of several cars go: a folder, a file for each car.

use super::delivery::tell_stops;
use super::outcome::{Done, Failure, tell};
use super::outputs;
use super::source::Source;
use crate::circuit::Scenario;
use crate::job::record::Warning;
use crate::report::Units;
use crate::report::card;
use crate::report::write::{Target, write_together};
use std::io::Read as _;
use std::path::{Path, PathBuf};

/// The folder, and the file for each car in the order given.
#[derive(Debug)]
pub(super) struct Folder {
    dir: PathBuf,
    files: Vec<PathBuf>,
}

/// So much of a file is looked at for whose card it is: the title stands at its top.
const LOOKED_AT: u64 = 4096;

impl Folder {
    /// Each card under its scenario's name.
    ///
    /// # Errors
    /// If a card would have no name or that of another, lie over a scenario, or cannot be written.
    pub(super) fn of(dir: &Path, scenarios: &[PathBuf]) -> Result<Self, Failure> {
        if dir == Path::new("-") {
            return Err(Failure::Unusable(
                "cards of several cars need a directory: name one with -o".to_owned(),
            ));
        }
        let mut files: Vec<PathBuf> = Vec::new();
        for scenario in scenarios {
            let name = scenario.file_name().map(|name| name.to_string_lossy());
            let Some(name) = name.filter(|name| name != "-") else {
                return Err(Failure::Unusable(
                    "standard input has no name that its card among several could bear: make its card alone"
                        .to_owned(),
                ));
            };
            let file = dir.join(format!("{}.html", name.strip_suffix(".toml").unwrap_or(&name)));
            let same = |other: &PathBuf| {
                other.to_string_lossy().to_lowercase() == file.to_string_lossy().to_lowercase()
            };
            if let Some(other) = files.iter().position(same) {
                return Err(Failure::Unusable(format!(
                    "the cards of {} and {} would both be {}: make them one by one, or rename a scenario",
                    scenarios[other].display(),
                    scenario.display(),
                    file.display()
                )));
            }
            files.push(file);
        }
        let targets: Vec<_> = files.iter().map(|file| ("-o", Target::File(file.clone()))).collect();
        outputs::look_over_in(scenarios, &targets, |_| true)?;
        Ok(Self { dir: dir.to_owned(), files })
    }

    /// Makes and writes each card. One that cannot be made or written keeps none of the others back.
    ///
    /// # Errors
    /// If a file that is no card of its car would be lost, before any is made; every card that could not be made or
    /// written.
    pub(super) fn fill(
        &self,
        sources: &[Source],
        units: Units,
        make: impl Fn(&Scenario) -> Result<(Vec<Warning>, Result<String, minijinja::Error>), Failure>,
    ) -> Result<Done, Failure> {
        let mut failed: Vec<Failure> = Vec::new();
        for (source, file) in sources.iter().zip(&self.files) {
            failed.extend(another_file(file, &source.scenario.title).err());
        }
        if !failed.is_empty() {
            return Err(Failure::Several(failed));
        }
        let mut done = Done::Well;
        for (source, file) in sources.iter().zip(&self.files) {
            let put = || -> Result<Vec<Warning>, Failure> {
                let (stops, page) = make(&source.scenario)?;
                let page = page.map_err(|why| Failure::Failed(format!("no card: {why}")))?;
                write_together(&self.dir, &[(file.clone(), page.as_bytes())])?;
                Ok(stops)
            };
            match put() {
                Ok(stops) if stops.is_empty() => {}
                Ok(stops) => {
                    tell(&format!("{}: this job cannot be done as written", file.display()));
                    done = tell_stops(&stops, units);
                }
                Err(why) => failed.push(why),
            }
        }
        if failed.is_empty() { Ok(done) } else { Err(Failure::Several(failed)) }
    }
}

/// Whether something is there that is no card of the car with this title.
fn another_file(file: &Path, title: &str) -> Result<(), Failure> {
    if !file.is_file() {
        return Ok(());
    }
    let mut head = Vec::new();
    let read = std::fs::File::open(file).and_then(|f| f.take(LOOKED_AT).read_to_end(&mut head));
    let own = card::title_line(title).map_err(|why| Failure::Failed(format!("no card: {why}")))?;
    if read.is_ok() && String::from_utf8_lossy(&head).contains(&own) {
        return Ok(());
    }
    Err(Failure::Unusable(format!(
        "{} is there already and is no card of \"{title}\": move it away, or name another directory",
        file.display()
    )))
}
