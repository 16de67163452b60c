//! Figures as the tables write them.

use super::Units;
use crate::harmless;
use crate::job::record::{CleanState, Left, PartLeft};
use crate::measures::{KPA_PER_PSI, to_fahrenheit, to_us_fl_oz};
use unicode_width::{UnicodeWidthChar as _, UnicodeWidthStr as _};

/// Columns that a name takes at most.
const LONGEST_NAME: usize = 24;

/// A name made harmless and, if long, ending in "…".
pub(super) fn name(name: &str) -> String {
    shortened(&harmless(name), LONGEST_NAME)
}

/// A part with its kind before its name, where that does not say it.
pub(super) fn of_kind(part: &PartLeft) -> String {
    let shown = name(&part.part);
    match part.part.contains(part.kind) {
        true => shown,
        false => format!("{} {shown}", part.kind),
    }
}

/// Where the lowest boiling point lies.
pub(super) fn lowest_place(left: &Left) -> String {
    let part = name(&left.lowest_boiling_part);
    if left.lowest_in_pocket() { format!("the pocket of {part}") } else { part }
}

/// The text, or its beginning with "…", in at most `columns` columns.
pub(super) fn shortened(text: &str, columns: usize) -> String {
    if text.width() <= columns {
        return text.to_owned();
    }
    let mut out = String::new();
    let mut used = 1;
    for c in text.chars() {
        used += c.width().unwrap_or(0);
        if used > columns {
            break;
        }
        out.push(c);
    }
    out.truncate(out.trim_end().len());
    out.push('…');
    out
}

/// What random draws took as known, since the scenario declares it exact; `None` if it declares nothing so.
pub(super) fn taken_as_known(names: &[String]) -> Option<String> {
    const MOST: usize = 3;
    const LONGEST: usize = 30;
    let named = names.iter().take(MOST).map(|n| shortened(&harmless(n), LONGEST));
    let mut all: Vec<String> = named.collect();
    match names.len() {
        0 => return None,
        n if n > MOST => all.push(format!("{} more", n - MOST)),
        _ => {}
    }
    Some(format!("Taken as known: {}.", all.join("; ")))
}

/// A volume in mL, one digit behind the point.
pub(super) fn ml(ml: f64) -> String {
    rounded(ml, 1)
}

/// A share as a percentage, without the sign.
pub(super) fn percent(share: f64) -> String {
    rounded(100.0 * share, 1)
}

/// A figure with this many digits behind the point; never "-0", and a dash if it is no number.
pub(super) fn rounded(value: f64, digits: usize) -> String {
    if !value.is_finite() {
        return "–".to_owned();
    }
    let text = format!("{value:.digits$}");
    if text.trim_start_matches('-').chars().all(|c| matches!(c, '0' | '.')) {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

/// A small figure with two significant digits.
pub(super) fn small(value: f64) -> String {
    if value != 0.0 && value.abs() < 0.01 { format!("{value:.1e}") } else { rounded(value, 2) }
}

/// Water, mass %: hundredths, and of fluids that dissolve hardly any ten-thousandths.
pub(super) fn water(percent: f64) -> String {
    rounded(percent, if percent > 0.0 && percent < 0.05 { 4 } else { 2 })
}

/// Minutes and seconds as 4:05.
pub(super) fn clock(seconds: f64) -> String {
    if !seconds.is_finite() {
        return "–".to_owned();
    }
    let all = seconds.round();
    format!("{:.0}:{:02.0}", (all / 60.0).floor(), all % 60.0)
}

/// A time in words: 45 s, 8 min 45 s, 23 min, 1 h 23 min.
pub(super) fn lasting(seconds: f64) -> String {
    let all = seconds.round();
    let (hours, minutes, rest) =
        ((all / 3600.0).floor(), (all % 3600.0 / 60.0).floor(), all % 60.0);
    if !seconds.is_finite() {
        "–".to_owned()
    } else if hours > 0.0 {
        format!("{hours:.0} h {minutes:.0} min")
    } else if minutes >= 10.0 {
        format!("{:.0} min", (all / 60.0).round())
    } else if minutes > 0.0 {
        format!("{minutes:.0} min {rest:.0} s")
    } else {
        format!("{rest:.0} s")
    }
}

/// A time to the minute.
pub(super) fn minutes(seconds: f64) -> String {
    lasting(60.0 * (seconds / 60.0).round())
}

/// A gauge pressure in psi, without the unit.
pub(super) fn psi(kpa: f64) -> String {
    rounded(kpa / KPA_PER_PSI, 1)
}

/// A gauge pressure in the units of the view, with the unit.
pub(super) fn pressure(kpa: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} kPa ({} psi)", rounded(kpa, 0), psi(kpa)),
        Units::Us => format!("{} psi", psi(kpa)),
    }
}

/// A temperature in the units of the view, without the unit.
pub(super) fn temperature(celsius: f64, units: Units) -> String {
    match units {
        Units::Metric => rounded(celsius, 0),
        Units::Us => rounded(to_fahrenheit(celsius), 0),
    }
}

/// The sign of temperature in the units of the view.
pub(super) fn degree(units: Units) -> &'static str {
    match units {
        Units::Metric => "°C",
        Units::Us => "°F",
    }
}

/// A volume in mL with its unit, in US units with fluid ounces beside it.
pub(super) fn volume(millilitres: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} mL", ml(millilitres)),
        Units::Us => {
            format!("{} mL ({} US fl oz)", ml(millilitres), rounded(to_us_fl_oz(millilitres), 1))
        }
    }
}

/// A volume without digits behind the point.
pub(super) fn whole(millilitres: f64, units: Units) -> String {
    volume(millilitres.round(), units).replacen(".0 mL", " mL", 1)
}

/// From which millilitre on it looked clean.
pub(super) fn clean_at(state: CleanState, at_ml: Option<f64>) -> String {
    match (state, at_ml) {
        (CleanState::Already, _) => "at once".to_owned(),
        (CleanState::Lost, _) => "lost".to_owned(),
        (CleanState::Reached, Some(at)) => rounded(at, 0),
        (CleanState::Reached, None) | (CleanState::NotReached, _) => "never".to_owned(),
    }
}

/// Words that begin a sentence.
pub(super) fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_list_of_what_is_known_is_cut() {
        let names: Vec<String> = (1..=5).map(|i| format!("length of line {i}")).collect();
        assert_eq!(taken_as_known(&[]), None);
        let all = "Taken as known: length of line 1; length of line 2; length of line 3";
        assert_eq!(taken_as_known(&names[..3]), Some(format!("{all}.")));
        assert_eq!(taken_as_known(&names), Some(format!("{all}; 2 more.")));
    }
}
