//! Texts of the record in the units that people read.

use crate::measures::{KPA_PER_PSI, Units, to_fahrenheit};

/// A text of the record or of a study in these units: of a pressure only psi, a temperature in °F. As it stands it has
/// pressures in kPa, with psi behind them in brackets or not, and temperatures in °C.
pub fn in_units(text: &str, units: Units) -> String {
    if units == Units::Metric {
        return text.to_owned();
    }
    let mut words: Vec<String> = Vec::new();
    let mut all = text.split(' ').peekable();
    while let Some(word) = all.next() {
        let last = words.last().map(|w| w.trim_start_matches('(').to_owned());
        let value = last.as_deref().and_then(|w| w.parse::<f64>().ok());
        let opened = words.last().is_some_and(|w| w.starts_with('('));
        let converted = value.and_then(|value| {
            if let Some(rest) = word.strip_prefix("°C") {
                return Some((format!("{:.0}", to_fahrenheit(value)), format!("°F{rest}")));
            }
            let rest = word.strip_prefix("kPa")?;
            // "138 kPa (20.0 psi)": only what stands in brackets.
            let mut ahead = all.clone();
            let psi =
                ahead.next().and_then(|w| w.strip_prefix('(')?.parse::<f64>().ok().map(|_| w));
            if let (true, Some(psi), Some(unit)) = (rest.is_empty(), psi, ahead.next())
                && unit.starts_with("psi)")
            {
                all = ahead;
                return Some((psi.replace('(', ""), unit.replacen("psi)", "psi", 1)));
            }
            Some((format!("{:.1}", value / KPA_PER_PSI), format!("psi{rest}")))
        });
        match converted {
            Some((value, unit)) => {
                words.pop();
                words.extend([if opened { format!("({value}") } else { value }, unit]);
            }
            None => words.push(word.to_owned()),
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
            ("down to 34 kPa, up to 138 kPa", "down to 4.9 psi, up to 20.0 psi"),
            ("hose of a kPa (my psi) make", "hose of a kPa (my psi) make"),
        ] {
            assert_eq!(in_units(text, Units::Us), us);
            assert_eq!(in_units(text, Units::Metric), text);
        }
    }
}
