//! The command-line program.

use farwheel::commands::Arguments;
use std::process::ExitCode;

/// Looks whether standard output is closed, before the Rust runtime opens `/dev/null` in its place. So early nothing but
/// a call to the system may be done.
#[cfg(unix)]
#[ctor::ctor(unsafe)]
fn look_at_standard_output() {
    if rustix::io::fcntl_getfd(rustix::stdio::stdout()).is_err() {
        farwheel::report::terminal::standard_output_is_closed();
    }
}

fn main() -> ExitCode {
    match Arguments::read() {
        Ok(arguments) => arguments.carry_out(),
        Err(ending) => ending,
    }
    .report()
}
