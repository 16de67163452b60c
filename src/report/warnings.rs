//! Warnings in words.

use super::figures::temperature;
use super::{Units, View, grid};
use crate::harmless;
use crate::job::record::Warning;

/// Warnings, each on its own paragraph; those that stop the job say so.
pub fn warnings(warnings: &[Warning], view: View) -> String {
    warnings.iter().map(|w| warning(w.stops_the_job(), w, view)).collect()
}

/// A warning on its own paragraph, as one that stops something or not.
pub(super) fn warning(stops: bool, w: &Warning, view: View) -> String {
    let what = if stops { "Stop" } else { "Warning" };
    let text = in_units(&harmless(&w.text), view.units);
    let kind = grid::alarm(&format!("{what}, {}:", w.kind));
    let plain = format!("{what}, {}: {text}", w.kind);
    // Broken into lines without styles, so that these take no columns.
    let lines = grid::paragraph(&plain, view.width, 2);
    match lines.strip_prefix(&format!("{what}, {}:", w.kind)) {
        Some(rest) => kind + rest,
        None => lines,
    }
}

/// A text of the record in the units of the view: of a pressure in both only psi, a temperature in °F.
pub(super) fn in_units(text: &str, units: Units) -> String {
    if units == Units::Metric {
        return text.to_owned();
    }
    let mut words: Vec<String> = Vec::new();
    for word in text.split(' ') {
        words.push(word.to_owned());
        let end = |n: usize| words.len().checked_sub(n).map(|i| words[i].as_str());
        let number = |n: usize| {
            end(n).map(|w| w.trim_start_matches('(')).and_then(|w| w.parse::<f64>().ok())
        };
        // "138 kPa (20.0 psi)": only what stands in brackets.
        if word.starts_with("psi)")
            && end(3) == Some("kPa")
            && number(2).is_some()
            && number(4).is_some()
        {
            let (psi, rest) =
                (words[words.len() - 2].replace('(', ""), word.replacen("psi)", "psi", 1));
            words.truncate(words.len() - 4);
            words.extend([psi, rest]);
        } else if let (Some(rest), Some(celsius)) = (word.strip_prefix("°C"), number(2)) {
            let at = words.len() - 2;
            let before = if words[at].starts_with('(') { "(" } else { "" };
            words[at] = format!("{before}{}", temperature(celsius, units));
            words[at + 1] = format!("°F{rest}");
        }
    }
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 138 kPa are 20.0 psi; 0 °C are 32 °F and 205 °C 401 °F by definition.
    #[test]
    fn us_units_leave_no_metric_pressure_or_temperature() {
        for (text, us) in [
            ("the gauge of 138 kPa (20.0 psi) is above", "the gauge of 20.0 psi is above"),
            (
                "at 103 kPa (15.0 psi), of 138 kPa (20.0 psi): stop",
                "at 15.0 psi, of 20.0 psi: stop",
            ),
            ("DOT 3 (205 °C dry, 0 °C wet); boils", "DOT 3 (401 °F dry, 32 °F wet); boils"),
            ("hose of a kPa (my psi) make", "hose of a kPa (my psi) make"),
        ] {
            assert_eq!(in_units(text, Units::Us), us);
            assert_eq!(in_units(text, Units::Metric), text);
        }
    }
}
