//! `completions`: what a shell needs to complete verbs and options.

use super::Arguments;
use super::outcome::{Done, Failure};
use crate::report::write::Target;
use clap::{Args, CommandFactory as _};
use clap_complete::Shell;

/// Print what a shell needs to complete verbs and options
#[derive(Debug, Args)]
pub(super) struct Completions {
    /// The shell
    shell: Shell,
}

impl Completions {
    /// Writes the shell's script, made of the same declarations that the arguments are read by.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        let mut script = Vec::new();
        clap_complete::generate(self.shell, &mut Arguments::command(), "farwheel", &mut script);
        Target::Standard.write(&script)?;
        Ok(Done::Well)
    }
}
