//! Ranges of weighted draws.

use super::super::chance::draws::stream;
use super::sample::Sample;
use rand::RngExt;
use serde::Serialize;

/// A range.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Range {
    /// One in ten lies below.
    pub p10: f64,
    /// Every second lies below.
    pub p50: f64,
    /// Nine in ten lie below.
    pub p90: f64,
    /// Mean.
    #[serde(skip)] // the median stands for it
    pub mean: f64,
    /// Standard deviation.
    #[serde(skip)] // told as a share of the one before
    pub sd: f64,
}

/// Something before and after the readings.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Told {
    /// Before.
    pub before: Range,
    /// After.
    pub after: Range,
    /// What is left of the standard deviation; 1 of what had none.
    pub share_of_prior: f64,
}

impl Told {
    /// Of values and weights before and after.
    pub(super) fn of(before: (&[f64], &[f64]), after: (&[f64], &[f64])) -> Self {
        let (before, after) = (Range::of(before.0, before.1), Range::of(after.0, after.1));
        let share_of_prior = if before.sd > 0.0 { after.sd / before.sd } else { 1.0 };
        Self { before, after, share_of_prior }
    }
}

impl Range {
    pub(super) fn of(values: &[f64], weights: &[f64]) -> Self {
        let [p10, p50, p90] = quantiles(values, weights);
        let mean: f64 = values.iter().zip(weights).map(|(v, w)| w * v).sum();
        let variance: f64 =
            values.iter().zip(weights).map(|(v, w)| w * (v - mean) * (v - mean)).sum();
        Self { p10, p50, p90, mean, sd: variance.max(0.0).sqrt() }
    }
}

/// The values below which a tenth, half and nine tenths of the weights lie, halfway into the weight that crosses.
pub(super) fn quantiles(values: &[f64], weights: &[f64]) -> [f64; 3] {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    [0.1, 0.5, 0.9].map(|share| {
        let (mut below, mut last) = (0.0, (0.0, f64::NAN));
        for &i in &order {
            // Where the middle of its weight lies.
            let here = below + 0.5 * weights[i];
            if here >= share {
                let (there, value) = last;
                return match value.is_nan() || here <= there {
                    true => values[i],
                    false => value + (values[i] - value) * (share - there) / (here - there),
                };
            }
            last = (here, values[i]);
            below += weights[i];
        }
        last.1
    })
}

/// How many draws are kept.
pub const KEPT: usize = 1000;

/// Draws of equal weight: each so often as its weight asks for, but for less than one (systematic resampling; any text on
/// particle filters, from memory).
pub(super) fn resampled(sample: &Sample, seed: u64) -> Vec<usize> {
    let mut rng = stream(seed, "kept");
    let begin: f64 = rng.random::<f64>();
    let (mut chosen, mut below) = (Vec::with_capacity(KEPT), 0.0);
    for (i, w) in sample.weights.iter().enumerate() {
        below += w;
        while chosen.len() < KEPT && chosen.len() as f64 + begin < below * KEPT as f64 {
            chosen.push(i);
        }
    }
    // Rounding may have kept the last back.
    while chosen.len() < KEPT && !sample.weights.is_empty() {
        chosen.push(sample.weights.len() - 1);
    }
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_of_equal_weights_are_those_of_the_values() {
        let values: Vec<f64> = (0..=100).map(f64::from).collect();
        let even = vec![1.0 / 101.0; 101];
        let [p10, p50, p90] = quantiles(&values, &even);
        assert!((p50 - 50.0).abs() < 1e-9);
        assert!((p10 - 9.6).abs() < 1e-9 && (p90 - 90.4).abs() < 1e-9, "{p10} {p90}");
    }

    #[test]
    fn draws_are_kept_as_often_as_their_weights_ask_for() {
        let weights = vec![0.5, 0.25, 0.25];
        let sample = Sample { weights, ..Sample::default() };
        let kept = resampled(&sample, 3);
        let count = |i: usize| kept.iter().filter(|k| **k == i).count();
        assert_eq!(kept.len(), KEPT);
        for (i, wanted) in [(0, 500), (1, 250), (2, 250)] {
            assert!(count(i).abs_diff(wanted) <= 1, "{i}");
        }
    }
}
