//! Where an answer goes: pictures, CSV, JSON, then the table; files first, so that a table on the screen means
//! that everything else is in place.

use super::options::Showing;
use super::outcome::{Done, Failure, tell};
use super::outputs::{self, PLOTS};
use crate::job::record::Warning;
use crate::json::{self, Origin};
use crate::plot::{self, Pictured};
use crate::report::terminal::{self, Shown};
use crate::report::write::{self, Target};
use crate::report::{Report, Units, View, warnings};
use clap::{Args, builder::OsStringValueParser};
use serde::Serialize;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// Files that an answer is written to beside `--json`.
#[derive(Debug, Default, Args)]
pub(super) struct Files {
    /// Write the answer as CSV to this file, or to standard output instead of the table
    #[arg(long, value_name = "FILE|-", value_parser = OsStringValueParser::new())]
    csv: Option<OsString>,
    /// Write the pictures as SVG and PNG into this directory, which is made if missing
    #[arg(long, value_name = "DIR")]
    plots: Option<PathBuf>,
}

/// Writes a page, and tells what stops the job that it is about.
///
/// # Errors
/// If the page could not be made or written.
pub(super) fn deliver_page(
    target: &Target,
    (what, page): (&str, Result<String, minijinja::Error>),
    stops: &[Warning],
    units: Units,
) -> Result<Done, Failure> {
    let page = page.map_err(|why| Failure::Failed(format!("no {what}: {why}")))?;
    target.write(page.as_bytes())?;
    Ok(tell_stops(stops, units))
}

/// Tells what stops the job, if anything, and how its verb ends.
pub(super) fn tell_stops(stops: &[Warning], units: Units) -> Done {
    if stops.is_empty() {
        return Done::Well;
    }
    terminal::show(&Shown::drawn(&warnings(stops, View::for_terminal(units))));
    Done::Stopped
}

impl Files {
    /// Where CSV goes, if anywhere.
    pub(super) fn csv(&self) -> Option<Target> {
        self.csv.as_deref().map(Target::from)
    }
}

/// Every output that was asked for.
pub(super) struct Delivery<'a> {
    pub showing: &'a Showing,
    pub files: &'a Files,
    /// A further file, `-o`.
    pub output: Option<Target>,
}

impl Delivery<'_> {
    /// Refuses, before anything is computed, outputs that would overwrite one of the scenarios or one another, and
    /// those that cannot be written.
    ///
    /// # Errors
    /// As [`outputs::look_over`].
    pub(super) fn look_over<A: Pictured>(
        &self,
        scenarios: &[impl AsRef<Path>],
    ) -> Result<(), Failure> {
        let mut outputs = Vec::new();
        outputs.extend(self.showing.json().map(|t| ("--json", t)));
        outputs.extend(self.files.csv().map(|t| ("--csv", t)));
        if let Some(dir) = &self.files.plots {
            let pictures = A::pictures().into_iter();
            let files = pictures.flat_map(|(name, _)| plot::files_of(name, dir));
            outputs.extend(files.map(|file| (PLOTS, Target::File(file))));
        }
        outputs.extend(self.output.clone().map(|t| ("-o", t)));
        outputs::look_over(scenarios, &outputs)
    }

    /// Delivers an answer, which as JSON is itself.
    ///
    /// # Errors
    /// As [`Self::deliver_as`].
    pub(super) fn deliver(
        &self,
        answer: &(impl Report + Pictured),
        origin: &Origin,
    ) -> Result<Done, Failure> {
        self.deliver_as(answer, answer, origin, None)
    }

    /// Writes what was asked for, `json` with its origin behind it and, into the further file, `text` among it, then prints the table unless
    /// something else goes to standard output. An output that fails keeps none of the others back: what took minutes to
    /// compute is not to be lost with it.
    ///
    /// # Errors
    /// Every output that could not be made or written.
    pub(super) fn deliver_as(
        &self,
        answer: &(impl Report + Pictured),
        json: &impl Serialize,
        origin: &Origin,
        text: Option<&str>,
    ) -> Result<Done, Failure> {
        let mut table_wanted = !self.showing.quiet;
        let mut failed: Vec<Failure> = Vec::new();
        let mut told = |done: Result<(), Failure>| failed.extend(done.err());
        if let Some(dir) = &self.files.plots {
            told(self.draw(dir, answer));
        }
        let mut put = |target: &Target, bytes: &[u8]| -> Result<(), Failure> {
            table_wanted &= *target != Target::Standard;
            Ok(target.write(bytes)?)
        };
        if let Some((target, text)) = self.output.as_ref().zip(text) {
            told(put(target, text.as_bytes()));
        }
        if let Some((target, text)) = self.files.csv().zip(answer.csv()) {
            let text = text.map_err(|why| Failure::Failed(format!("no CSV: {why}")));
            told(text.and_then(|text| put(&target, text.as_bytes())));
        }
        if let Some(target) = self.showing.json() {
            let text = json::render(&origin.behind(json));
            let text = text.map_err(|why| Failure::Failed(format!("no JSON: {why}")));
            told(text.and_then(|text| put(&target, text.as_bytes())));
        }
        let view = self.showing.view();
        if table_wanted {
            told(write::print(&answer.table(view)).map_err(Failure::from));
        }
        // The table ends with the warnings; whoever does not see it gets them here.
        let seen = table_wanted && terminal::is_seen();
        let warnings = answer.warnings(view);
        if !seen && !warnings.is_empty() {
            terminal::show(&Shown::drawn(&warnings));
        }
        if failed.is_empty() { Ok(Done::of(answer)) } else { Err(Failure::Several(failed)) }
    }

    /// Draws the pictures and writes them into `dir`.
    fn draw(&self, dir: &Path, answer: &impl Pictured) -> Result<(), Failure> {
        let pictures = plot::draw_all_in(answer, self.showing.view().units)?;
        let mut files: Vec<(PathBuf, &[u8])> = Vec::new();
        for picture in &pictures {
            let contents = [picture.svg.as_bytes(), picture.png.as_slice()];
            files.extend(plot::files_of(picture.name, dir).into_iter().zip(contents));
        }
        write::write_together(dir, &files)?;
        if !self.showing.quiet {
            let names: Vec<&str> = pictures.iter().map(|p| p.name).collect();
            let what = if names.len() == 1 { "picture" } else { "pictures" };
            tell(&format!("{what} {} in {}", names.join(", "), dir.display()));
        }
        Ok(())
    }
}
