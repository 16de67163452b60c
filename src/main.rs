//! The command-line program.

use farwheel::commands::Arguments;
use std::process::ExitCode;

fn main() -> ExitCode {
    match Arguments::read() {
        Ok(arguments) => arguments.carry_out(),
        Err(ending) => ending,
    }
    .report()
}
