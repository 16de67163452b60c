//! What a set of outcomes comes to: quantiles and shares. An outcome may be +∞ (it never came).

/// The p-quantile, p from 0 to 1; `None` where it falls among outcomes that never came, or of no outcomes.
///
/// Between two outcomes it is interpolated at (n + 1/3) p + 1/3 (median-unbiased whatever the
/// distribution: R. J. Hyndman, Y. Fan 1996, definition 8).
pub fn quantile(outcomes: &[f64], p: f64) -> Option<f64> {
    let mut sorted = outcomes.to_vec();
    sorted.sort_by(f64::total_cmp);
    let n = sorted.len();
    let last = n.checked_sub(1)?;
    let h = ((n as f64 + 1.0 / 3.0) * p + 1.0 / 3.0).clamp(1.0, n as f64) - 1.0;
    let below = (h.floor() as usize).min(last);
    let share = h - below as f64;
    let low = sorted[below];
    let high = if share > 0.0 { sorted[(below + 1).min(last)] } else { low };
    (low.is_finite() && high.is_finite()).then_some(low + share * (high - low))
}

/// The share of outcomes that are finite.
pub fn share_that_came(outcomes: &[f64]) -> f64 {
    outcomes.iter().filter(|x| x.is_finite()).count() as f64 / outcomes.len().max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::statistics::{Data, OrderStatistics};

    /// statrs gives the same definition.
    #[test]
    fn quantiles_agree_with_the_library() {
        let outcomes: Vec<f64> = (0..37).map(|i| f64::from(i * i % 41) + 0.25).collect();
        for p in [0.05, 0.1, 0.5, 0.77, 0.9, 0.95] {
            let here = quantile(&outcomes, p).expect("finite outcomes");
            let there = Data::new(outcomes.clone()).quantile(p);
            assert!((here - there).abs() < 1e-12, "{p}: {here}, {there}");
        }
    }

    /// Twelve gauge measurements of the NIST/SEMATECH e-Handbook, 7.2.6.2 "Percentiles", and their 90 %
    /// quantile by definition 8 of Hyndman and Fan, 95.19724 (from memory).
    #[test]
    fn the_quantile_of_a_handbook() {
        let gauge = [
            95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.0610, 95.1591, 95.1195, 95.1065,
            95.0925, 95.1990, 95.1682,
        ];
        let here = quantile(&gauge, 0.9).expect("finite");
        assert!((here - 95.19724).abs() < 5e-6, "{here}");
    }

    #[test]
    fn what_never_came_takes_the_upper_quantiles_with_it() {
        let mut outcomes: Vec<f64> = (1..=80).map(f64::from).collect();
        outcomes.extend([f64::INFINITY; 20]);
        assert!(quantile(&outcomes, 0.5).is_some_and(|q| (50.0..52.0).contains(&q)));
        assert_eq!(quantile(&outcomes, 0.9), None);
        assert_eq!(quantile(&[], 0.5), None);
        assert_eq!(quantile(&[3.0], 0.9), Some(3.0));
        assert!((share_that_came(&outcomes) - 0.8).abs() < 1e-12);
    }
}
