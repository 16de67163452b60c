//! The command-line program.

use farwheel::commands::Arguments;
use std::process::ExitCode;

fn main() -> ExitCode {
    Arguments::read().carry_out().report()
}
