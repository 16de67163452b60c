//! From a value to a place on the paper, and the round values to mark.

use plotters::coord::ranged1d::{Ranged, ValueFormatter};
use plotters::coord::types::RangedCoordf64;

/// A linear scale between two ends of an axis.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scale {
    /// Value at the near end.
    low: f64,
    /// Value at the far end.
    high: f64,
    /// Spot of `low`.
    from: f64,
    /// Spot of `high`.
    to: f64,
}

impl Scale {
    /// Maps `low` to `from` and `high` to `to`; ends that coincide or are no numbers are moved apart.
    pub(super) fn new((low, high): (f64, f64), (from, to): (f64, f64)) -> Self {
        let low = if low.is_finite() { low } else { 0.0 };
        let high = if high.is_finite() && high > low { high } else { low + 1.0 };
        Self { low, high, from, to }
    }

    /// Spot of `value`; values outside are set at the end they passed.
    pub(super) fn at(&self, value: f64) -> f64 {
        let share = ((value - self.low) / (self.high - self.low)).clamp(0.0, 1.0);
        let share = if share.is_nan() { 0.0 } else { share };
        self.from + share * (self.to - self.from)
    }

    /// About `most` round values at even distances, with their lettering.
    pub(super) fn marks(&self, most: usize) -> Vec<(f64, String)> {
        let range: RangedCoordf64 = (self.low..self.high).into();
        range
            .key_points(most)
            .into_iter()
            .filter(|v| (self.low..=self.high).contains(v))
            .map(|v| {
                let text = RangedCoordf64::format(&v);
                let text = match text.split_once('.') {
                    Some((whole, zeros)) if zeros.chars().all(|c| c == '0') => whole.to_owned(),
                    _ => text,
                };
                (v, text)
            })
            .collect()
    }
}
