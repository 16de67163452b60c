//! Where an answer goes: pictures, CSV, JSON, then the table; files first, so that a table on the screen means
//! that everything else is in place.

use super::options::Showing;
use super::outcome::{Failure, tell};
use super::outputs::PLOTS;
use crate::plot::{self, Picture, PlotError};
use crate::report::write::{self, Target};
use crate::report::{View, json};
use clap::{Args, builder::OsStringValueParser};
use serde::Serialize;
use std::ffi::OsString;
use std::io::IsTerminal as _;
use std::path::{Path, PathBuf};

/// Files that an answer is written to beside `--json`.
#[derive(Debug, Args)]
pub(super) struct Files {
    /// Write the answer as CSV to this file, or to standard output instead of the table
    #[arg(long, value_name = "FILE|-", value_parser = OsStringValueParser::new())]
    csv: Option<OsString>,
    /// Write the pictures as SVG and PNG into this directory, which is made if missing
    #[arg(long, value_name = "DIR")]
    plots: Option<PathBuf>,
}

/// An answer as each kind of output shows it; made only if asked for.
pub(super) struct Answer<'a, A: Serialize> {
    /// What `--json` writes.
    pub answer: &'a A,
    /// The pictures.
    pub pictures: &'a dyn Fn() -> Result<Vec<Picture>, PlotError>,
    /// The CSV.
    pub csv: &'a dyn Fn() -> Result<Vec<u8>, csv::Error>,
    /// The table.
    pub table: &'a dyn Fn(View) -> String,
    /// Warnings that the table ends with; empty if there are none.
    pub warnings: &'a dyn Fn(View) -> String,
    /// A further file, with its contents.
    pub file: Option<(Target, &'a str)>,
}

impl Files {
    /// Every output asked for, with its option; `pictures` are their file names without extension.
    pub(super) fn outputs(
        &self,
        showing: &Showing,
        pictures: &[&str],
    ) -> Vec<(&'static str, Target)> {
        let mut outputs = Vec::new();
        outputs.extend(showing.json().map(|t| ("--json", t)));
        outputs.extend(self.csv().map(|t| ("--csv", t)));
        if let Some(dir) = &self.plots {
            let files = pictures.iter().flat_map(|name| plot::files_of(name, dir));
            outputs.extend(files.map(|file| (PLOTS, Target::File(file))));
        }
        outputs
    }

    /// Where CSV goes, if anywhere.
    pub(super) fn csv(&self) -> Option<Target> {
        self.csv.as_deref().map(Target::from)
    }

    /// Writes what was asked for, then prints the table unless something else goes to standard output. An output
    /// that fails keeps none of the others back: what took minutes to compute is not to be lost with it.
    ///
    /// # Errors
    /// Every output that could not be made or written.
    pub(super) fn deliver<A: Serialize>(
        &self,
        showing: &Showing,
        answer: &Answer<'_, A>,
    ) -> Result<(), Failure> {
        let mut table_wanted = !showing.quiet;
        let mut failed: Vec<String> = Vec::new();
        let mut told = |done: Result<(), Failure>| {
            failed.extend(done.err().map(|why| why.to_string()));
        };
        if let Some(dir) = &self.plots {
            told(Self::draw(dir, showing, answer));
        }
        let mut put = |target: &Target, bytes: &[u8]| -> Result<(), Failure> {
            table_wanted &= *target != Target::Standard;
            Ok(target.write(bytes)?)
        };
        if let Some((target, text)) = &answer.file {
            told(put(target, text.as_bytes()));
        }
        if let Some(target) = self.csv() {
            let text = (answer.csv)().map_err(|why| Failure::Failed(format!("no CSV: {why}")));
            told(text.and_then(|text| put(&target, &text)));
        }
        if let Some(target) = showing.json() {
            let text = json::render(answer.answer);
            let text = text.map_err(|why| Failure::Failed(format!("no JSON: {why}")));
            told(text.and_then(|text| put(&target, text.as_bytes())));
        }
        let view = showing.view();
        if table_wanted {
            told(write::print(&(answer.table)(view)).map_err(Failure::from));
        }
        // The table ends with the warnings; whoever does not see it gets them here.
        let seen = table_wanted && std::io::stdout().is_terminal();
        let warnings = (answer.warnings)(view);
        if !seen && !warnings.is_empty() {
            tell(&warnings);
        }
        if failed.is_empty() { Ok(()) } else { Err(Failure::Failed(failed.join("\n"))) }
    }

    /// Draws the pictures and writes them into `dir`.
    fn draw<A: Serialize>(
        dir: &Path,
        showing: &Showing,
        answer: &Answer<'_, A>,
    ) -> Result<(), Failure> {
        let pictures = (answer.pictures)()?;
        let mut files: Vec<(PathBuf, &[u8])> = Vec::new();
        for picture in &pictures {
            let contents = [picture.svg.as_bytes(), picture.png.as_slice()];
            files.extend(plot::files_of(picture.name, dir).into_iter().zip(contents));
        }
        write::write_together(dir, &files)?;
        if !showing.quiet {
            let names: Vec<&str> = pictures.iter().map(|p| p.name).collect();
            let what = if names.len() == 1 { "picture" } else { "pictures" };
            tell(&format!("{what} {} in {}", names.join(", "), dir.display()));
        }
        Ok(())
    }
}
