//! What to read next: of all that can be read at such a job, what would narrow the aim down most.

use super::reading::{Reading, What, When};
use super::sample::Sample;
use crate::circuit::Scenario;
use crate::job::record::Record;
use crate::portable;
use serde::Serialize;

/// A reading that might be taken.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Next {
    /// The reading in words.
    pub reading: String,
    /// Where.
    pub at: String,
    /// When.
    pub when: When,
    /// What.
    pub what: What,
    /// Standard deviation of its error, in the unit of `what`.
    pub error: f64,
    /// What would be left of the aim's standard deviation before any reading.
    pub share_of_prior: f64,
    /// What it would tell of all unknowns together, nats.
    pub nats: f64,
}

/// Colour beside a row of mixed samples, with care (an estimate).
const WITH_CARE: f64 = 0.025;

/// All that can be read at this job and has not been.
pub(super) fn candidates(scenario: &Scenario, record: &Record, taken: &[Reading]) -> Vec<Reading> {
    let mut all: Vec<Reading> = Vec::new();
    let mut add = |at: &str, when: When, what: What, error: Option<f64>| {
        let mut reading =
            Reading { at: at.to_owned(), when, what, value: 0.0, at_least: false, error: 0.0 };
        let same = |r: &Reading| (r.what, r.when, r.at.as_str()) == (what, when, at);
        if taken.iter().any(same) {
            return;
        }
        // An error grows with the figure: that which the scenario foretells.
        if let Some(value) = reading.predicted(0, scenario, record) {
            reading.value = value;
            reading.error = error.unwrap_or_else(|| what.usual_error(value));
            all.push(reading);
        }
    };
    let mut named: Vec<&str> = Vec::new();
    for o in &record.openings {
        if named.contains(&o.bleeder.as_str()) {
            continue;
        }
        named.push(&o.bleeder);
        add(&o.bleeder, When::Close, What::Drained, None);
        add(&o.bleeder, When::Close, What::Seconds, None);
        add(&o.bleeder, When::Close, What::Colour, None);
        add(&o.bleeder, When::Close, What::Colour, Some(WITH_CARE));
        if o.gauge_start_kpa > 0.0 {
            add(&o.bleeder, When::Close, What::Gauge, None);
        }
    }
    add("vessel", When::After, What::LeftInVessel, None);
    add("reservoir", When::Before, What::Boiling, None);
    add("reservoir", When::Before, What::Water, None);
    add("reservoir", When::Before, What::Level, None);
    add("car", When::Before, What::PadWear, None);
    all
}

/// The candidates, that which leaves least of the aim open first. Their predictions stand behind `first` others in the
/// draws, the aim behind them.
pub(super) fn ranked(
    candidates: &[Reading],
    first: usize,
    after: &Sample,
    aim_sd_before: f64,
) -> Vec<Next> {
    let mean = |of: &dyn Fn(&[f64]) -> f64| -> f64 {
        after.predicted.iter().zip(&after.weights).map(|(f, w)| w * of(f)).sum()
    };
    let aim_at = first + candidates.len();
    let aim = mean(&|f| f[aim_at]);
    let aim_variance = mean(&|f| (f[aim_at] - aim) * (f[aim_at] - aim));
    let mut all: Vec<Next> = candidates
        .iter()
        .enumerate()
        .map(|(i, r)| {
            let at = first + i;
            let middle = mean(&|f| f[at]);
            let variance = mean(&|f| (f[at] - middle) * (f[at] - middle));
            let together = mean(&|f| (f[at] - middle) * (f[aim_at] - aim));
            let noise = r.sd() * r.sd();
            let left = aim_variance - together * together / (variance + noise);
            Next {
                reading: r.in_words(),
                at: r.at.clone(),
                when: r.when,
                what: r.what,
                error: r.error,
                share_of_prior: if aim_sd_before > 0.0 {
                    left.max(0.0).sqrt() / aim_sd_before
                } else {
                    1.0
                },
                nats: 0.5 * portable::ln_1p(variance / noise),
            }
        })
        .collect();
    all.sort_by(|a, b| a.share_of_prior.total_cmp(&b.share_of_prior));
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Prior 20 ± 6, a reading ± 5 of it: ½ ln(1 + 36/25) = 0.446000 nat, and √(25/61) of the deviation is left.
    #[test]
    fn of_a_normal_reading_the_worth_is_known() {
        let candidate = Reading {
            at: "RR".into(),
            when: When::Close,
            what: What::Gauge,
            value: 20.0,
            at_least: false,
            error: 5.0,
        };
        let after = Sample {
            predicted: vec![vec![14.0, 14.0], vec![26.0, 26.0]],
            weights: vec![0.5, 0.5],
            ..Sample::default()
        };
        let next = ranked(&[candidate], 0, &after, 6.0);
        assert!((next[0].nats - 0.446).abs() < 1e-6, "{}", next[0].nats);
        assert!((next[0].share_of_prior - (25.0_f64 / 61.0).sqrt()).abs() < 1e-12);
    }
}
