//! How warnings and errors put places, pressures and parts into words.

use crate::measures::{PSI, to_kpa};

/// Lines and hoses that a warning names; more are counted.
const MOST_NAMED: usize = 4;

/// Where in the scenario file something stands, to be put behind a warning; nothing if it was built in
/// code.
pub(crate) fn at_line(line: usize) -> String {
    if line == 0 { String::new() } else { format!(" (line {line} of the scenario)") }
}

/// A warning's text without the line of the scenario that it ends with: for a page that goes where no scenario is.
pub fn without_line(text: &str) -> &str {
    match text.rsplit_once(" (line ") {
        Some((before, rest)) if rest.ends_with(" of the scenario)") => before,
        _ => text,
    }
}

/// A pressure as warnings give it.
pub(crate) fn in_both_units(pressure_pa: f64) -> String {
    format!("{:.0} kPa ({:.1} psi)", to_kpa(pressure_pa), pressure_pa / PSI)
}

/// Some of the lines and hoses: by name, or how many.
pub(crate) fn which(names: &[String], of: usize) -> String {
    match names.len() {
        all if all == of => "all lines and hoses".to_owned(),
        few if few <= MOST_NAMED => names.join(", "),
        many => format!("{many} of {of} lines and hoses"),
    }
}
