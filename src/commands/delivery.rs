//! Where an answer goes: pictures, CSV, JSON, then the table; files first, so that a table on the screen means
//! that everything else is in place.

use super::options::Showing;
use super::outcome::{Failure, tell};
use crate::plot::{self, Picture, PlotError};
use crate::report::write::{self, Target};
use crate::report::{View, json};
use clap::{Args, builder::OsStringValueParser};
use serde::Serialize;
use std::ffi::OsString;
use std::io::IsTerminal as _;
use std::path::PathBuf;

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
            outputs.extend(files.map(|file| ("--plots", Target::File(file))));
        }
        outputs
    }

    fn csv(&self) -> Option<Target> {
        self.csv.as_deref().map(Target::from)
    }

    /// Writes what was asked for, then prints the table unless something else goes to standard output.
    ///
    /// # Errors
    /// The first output that cannot be made or written.
    pub(super) fn deliver<A: Serialize>(
        &self,
        showing: &Showing,
        answer: &Answer<'_, A>,
    ) -> Result<(), Failure> {
        let mut table_wanted = !showing.quiet;
        let mut put = |target: &Target, bytes: &[u8]| -> Result<(), Failure> {
            target.write(bytes)?;
            table_wanted &= *target != Target::Standard;
            Ok(())
        };
        if let Some(dir) = &self.plots {
            let pictures = (answer.pictures)()?;
            plot::write(&pictures, dir)?;
            if !showing.quiet {
                let names: Vec<&str> = pictures.iter().map(|p| p.name).collect();
                let what = if names.len() == 1 { "picture" } else { "pictures" };
                tell(&format!("{what} {} in {}", names.join(", "), dir.display()));
            }
        }
        if let Some((target, text)) = &answer.file {
            put(target, text.as_bytes())?;
        }
        if let Some(target) = self.csv() {
            let text = (answer.csv)().map_err(|why| Failure::Failed(format!("no CSV: {why}")))?;
            put(&target, &text)?;
        }
        if let Some(target) = showing.json() {
            let text = json::render(answer.answer)
                .map_err(|why| Failure::Failed(format!("no JSON: {why}")))?;
            put(&target, text.as_bytes())?;
        }
        let view = showing.view();
        if table_wanted {
            write::print(&(answer.table)(view))?;
        }
        // The table ends with the warnings; whoever does not see it gets them here.
        let seen = table_wanted && std::io::stdout().is_terminal();
        let warnings = (answer.warnings)(view);
        if !seen && !warnings.is_empty() {
            tell(&warnings);
        }
        Ok(())
    }
}
