//! How warnings and errors put places, pressures and parts into words.

use crate::harmless;
use crate::keys::Place;
use crate::measures::{PSI, to_kpa};
use crate::scenario::settings;

/// Lines and hoses that a warning names; more are counted.
const MOST_NAMED: usize = 4;
/// Things set that are named below a title; more are counted.
const MOST_SET: usize = 6;
/// Characters of one of them.
const LONGEST_SET: usize = 60;

/// Where in the scenario something stands, to be put behind a warning; nothing if it was built in code.
pub(crate) fn at_line(line: Place) -> String {
    match line {
        Place::Nowhere => String::new(),
        Place::Line(line) => format!(" (line {line} of the scenario)"),
        Place::Set(_) => format!(" ({line})"),
    }
}

/// What was set over the values of the file, for the line below a title: `with reservoir.level = 130 mL`; `None` if
/// nothing was.
pub fn with_set(settings: &[String]) -> Option<String> {
    let mut shown: Vec<String> = settings.iter().take(MOST_SET).map(|s| set(s)).collect();
    match settings.len().saturating_sub(MOST_SET) {
        0 => {}
        more => shown.push(format!("{more} more")),
    }
    let last = shown.pop()?;
    Some(match shown.is_empty() {
        true => format!("with {last}"),
        false => format!("with {} and {last}", shown.join(", ")),
    })
}

/// `key = value` of something that was set.
fn set(setting: &str) -> String {
    let value = settings::split(setting).map_or(setting.len(), |split| split.value.start);
    let (key, value) = setting.split_at(value);
    let key = key.trim_end().trim_end_matches('=').trim();
    let text = harmless(&format!("{key} = {value}"));
    match text.char_indices().nth(LONGEST_SET) {
        None => text,
        Some((at, _)) => format!("{}…", &text[..at]),
    }
}

/// A warning's text without where in the scenario something stands: for a page that goes where no scenario is.
pub fn without_lines(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once(" (") {
        out.push_str(before);
        let place = |inner: &str| {
            let line = inner.strip_prefix("line ").map(|n| n.trim_end_matches(" of the scenario"));
            let number = line.or_else(|| inner.strip_prefix("--set "));
            number.is_some_and(|n| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit()))
        };
        rest = match after.split_once(')') {
            Some((inner, behind)) if place(inner) => behind,
            _ => {
                out.push_str(" (");
                after
            }
        };
    }
    out + rest
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_taken_out_wherever_they_stand() {
        for (text, left) in [
            ("valve \"a (b)\" (line 46 of the scenario): open", "valve \"a (b)\": open"),
            ("too low (line 7 of the scenario)", "too low"),
            ("too low (--set 2); 138 kPa (20.0 psi)", "too low; 138 kPa (20.0 psi)"),
            ("the brake (line 12) and (line twelve)", "the brake and (line twelve)"),
            ("an open ( end", "an open ( end"),
        ] {
            assert_eq!(without_lines(text), left);
        }
    }
}
