//! Figures and short phrases as the pictures letter them.

use super::style::MOST_ROWS;
use crate::harmless;
use crate::job::record::{CleanState, Opening, Record, with_set};
use crate::measures::{Units, to_fahrenheit, to_us_fl_oz};

/// A name from the scenario, made harmless.
pub(super) fn shown(name: &str) -> String {
    harmless(name)
}

/// The scenario of a record.
pub(super) fn of_scenario(record: &Record) -> String {
    titled(&record.scenario.title, &record.scenario.set)
}

/// A scenario's title with what was set over its values.
pub(super) fn titled(title: &str, settings: &[String]) -> String {
    let set = with_set(settings).map_or(String::new(), |set| format!(", {set}"));
    harmless(title) + &set
}

/// A no-break space, which keeps a figure and its unit on one line.
pub(super) const TIE: char = '\u{a0}';

/// A volume or pressure as the tables write it: one digit behind the point below 100, none from there on.
pub(super) fn number(value: f64) -> String {
    let digits = usize::from(value.abs() < 99.95);
    let text = format!("{value:.digits$}");
    if text == "-0.0" { "0.0".to_owned() } else { text }
}

/// A volume in mL with its unit; of a sum, in US units with fluid ounces beside it.
pub(super) fn volume(ml: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{}{TIE}mL", number(ml)),
        Units::Us => {
            format!("{}{TIE}mL ({:.1}{TIE}US{TIE}fl{TIE}oz)", number(ml), to_us_fl_oz(ml))
        }
    }
}

/// A temperature without its unit.
pub(super) fn temperature(celsius: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{celsius:.0}"),
        Units::Us => format!("{:.0}", to_fahrenheit(celsius)),
    }
}

/// The sign of temperature.
pub(super) fn degree(units: Units) -> &'static str {
    match units {
        Units::Metric => "°C",
        Units::Us => "°F",
    }
}

/// A share as whole percent; less than one is not nothing.
pub(super) fn whole_percent(share: f64) -> String {
    let percent = 100.0 * share;
    if percent > 0.0 && percent < 0.5 {
        format!("<{TIE}1{TIE}%")
    } else {
        format!("{percent:.0}{TIE}%")
    }
}

/// A share as a percentage with one digit behind the point.
pub(super) fn share(share: f64) -> String {
    let percent = 100.0 * share;
    if percent > 99.949 { format!("{percent:.0}{TIE}%") } else { format!("{percent:.1}{TIE}%") }
}

/// A mark of a percentage axis: no more digits than it needs.
pub(super) fn mark(share: f64) -> String {
    let percent = (1e5 * share).round() / 1e3;
    format!("{percent}{TIE}%")
}

/// Which time a bleeder is opened: `, pass 2` from the second pass on, `, again` within a pass.
pub(super) fn turn(openings: &[Opening], i: usize) -> String {
    let now = &openings[i];
    let again = openings[..i].iter().any(|o| o.bleeder == now.bleeder && o.pass == now.pass);
    let pass = if now.pass > 1 { format!(", pass {}", now.pass) } else { String::new() };
    pass + if again { ", again" } else { "" }
}

/// From which millilitre on it looked clean.
pub(super) fn clean_at(opening: &Opening) -> String {
    match (opening.clean_state, opening.clean_at_ml) {
        (CleanState::Already, _) => "clean from the first draw".to_owned(),
        (CleanState::Lost, _) => "ran clean, then dirty again".to_owned(),
        (CleanState::Reached, Some(at)) => format!("clean from {}{TIE}mL", number(at)),
        (CleanState::Reached, None) | (CleanState::NotReached, _) => "never ran clean".to_owned(),
    }
}

/// A note if a picture cannot show all rows.
pub(super) fn rows_left_out(rows: usize, of_what: &str) -> Option<String> {
    left_out(rows, MOST_ROWS, of_what)
}

/// A note if a picture cannot show more than so many.
pub(super) fn left_out(rows: usize, most: usize, of_what: &str) -> Option<String> {
    let more = rows.checked_sub(most).filter(|m| *m > 0)?;
    Some(format!("… and {more} more {of_what}: see the table"))
}
