//! From the command line to [`Arguments`], or to what is wrong with it.

use super::Arguments;
use super::outcome::{Ending, Failure};
use crate::keys::harmless::in_place;
use crate::report::terminal::Shown;
use crate::report::write;
use clap::Parser as _;
use std::ffi::OsString;

/// Exit status of a command line that cannot be used.
const UNUSABLE: u8 = 2;

/// The program's own arguments.
pub(super) fn read() -> Result<Arguments, Ending> {
    let given: Vec<OsString> = std::env::args_os().collect();
    Arguments::try_parse_from(&given).map_err(|why| told(&why, &given))
}

/// What clap has to say: a mistake on standard error, help on standard output.
fn told(why: &clap::Error, given: &[OsString]) -> Ending {
    let text = harmless(why, given);
    if why.use_stderr() {
        return Ending::saying(UNUSABLE, Some(Shown::drawn(&text)));
    }
    match write::print(&text) {
        Ok(()) => Ending::saying(0, None),
        Err(why) => Err(Failure::from(why)).into(),
    }
}

/// Its text in its styles. It quotes what was given amid these, so where that acts on a terminal it is asked about what
/// does not.
fn harmless(why: &clap::Error, given: &[OsString]) -> String {
    let shown: Vec<String> = given.iter().map(|text| in_place(&text.to_string_lossy())).collect();
    if given.iter().zip(&shown).all(|(given, shown)| given.as_os_str() == shown.as_str()) {
        return why.render().ansi().to_string();
    }
    match Arguments::try_parse_from(&shown) {
        Err(same) if same.kind() == why.kind() => same.render().ansi().to_string(),
        // Without styles everything in it can be made to show.
        _ => in_place(&why.render().to_string()),
    }
}
