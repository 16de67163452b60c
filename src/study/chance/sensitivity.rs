//! Which unknown matters most: rank correlation, and the shares of the variance.

use super::draws::stream;
use crate::portable;
use crate::sorting;
use crate::study::difference::less;
use rand::RngExt;
use serde::Serialize;

/// Spearman's rank correlation, −1 to 1; 0 where one of the two does not vary. Ties share their mean rank.
pub fn rank_correlation(x: &[f64], y: &[f64]) -> f64 {
    let (a, b) = (ranks(x), ranks(y));
    let mean = 0.5 * (a.len() as f64 + 1.0);
    let (mut ab, mut aa, mut bb) = (0.0_f64, 0.0_f64, 0.0_f64);
    for (p, q) in a.iter().zip(&b) {
        ab += (p - mean) * (q - mean);
        aa += (p - mean) * (p - mean);
        bb += (q - mean) * (q - mean);
    }
    if aa * bb > 0.0 { ab / (aa * bb).sqrt() } else { 0.0 }
}

/// The rank of each entry, from 1; entries that are equal share their mean rank.
fn ranks(x: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..x.len()).collect();
    sorting::by(&mut order, |&i, &j| x[i].total_cmp(&x[j]));
    let mut ranks = vec![0.0; x.len()];
    let mut below = 0;
    for tied in order.chunk_by(|&i, &j| x[i] == x[j]) {
        for &i in tied {
            ranks[i] = below as f64 + 0.5 * (tied.len() as f64 + 1.0);
        }
        below += tied.len();
    }
    ranks
}

/// A share of the variance with the interval in which nineteen of twenty resamplings put it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Index {
    /// The estimate.
    pub value: f64,
    /// Lower end of the 95 % interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Index {
    /// The same within what a share can be: few draws estimate shares below nothing or above all.
    pub fn within_a_whole(self) -> Self {
        let clamped = |x: f64| x.clamp(0.0, 1.0);
        Self { value: clamped(self.value), low: clamped(self.low), high: clamped(self.high) }
    }
}

/// First-order and total index of one quantity, both estimated; the first never above the total.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Indices {
    /// The share of the variance that goes if the quantity becomes known (alone).
    pub first_order: Index,
    /// The share that stays if all others become known (its part in joint effects included).
    pub total: Index,
}

impl Indices {
    /// Both as [`Index::within_a_whole`].
    pub fn within_a_whole(self) -> Self {
        Self { first_order: self.first_order.within_a_whole(), total: self.total.within_a_whole() }
    }
}

/// Resamplings behind the interval of an index.
const RESAMPLINGS: usize = 200;

/// Sobol indices of one quantity from outcomes `a` and `b` of two independent sets of n draws each, and
/// `ab`, those of set a with this quantity's draws taken from set b.
///
/// With V the variance over both sets:
/// first order Σ b (ab − a)/(n V) (A. Saltelli et al. 2010, table 2 b, b taken from its mean),
/// total Σ (a − ab)²/(2 n V) (M. J. W. Jansen 1999).
/// Both are estimates, and the first scatters more: where it comes out above the total, which no share alone can
/// exceed, it is taken as the total, in the estimate and in each resampling alike.
/// Intervals by the bootstrap over draws, 2.5 % to 97.5 %. `key` and `seed` choose the resamplings.
/// Where nothing varies all indices are 0.
pub fn indices(a: &[f64], b: &[f64], ab: &[f64], seed: u64, key: &str) -> Indices {
    let n = a.len().min(b.len()).min(ab.len());
    let all: Vec<usize> = (0..n).collect();
    let (first, total) = estimate(a, b, ab, &all);
    let mut rng = stream(seed, &format!("resampling {key}"));
    let (mut firsts, mut totals) = (Vec::new(), Vec::new());
    let mut chosen = all;
    for _ in 0..RESAMPLINGS {
        for c in &mut chosen {
            *c = rng.random_range(0..n);
        }
        let (f, t) = estimate(a, b, ab, &chosen);
        firsts.push(f);
        totals.push(t);
    }
    let index = |value: f64, of: &[f64]| Index {
        value,
        low: super::summary::quantile(of, 0.025).unwrap_or(value),
        high: super::summary::quantile(of, 0.975).unwrap_or(value),
    };
    Indices { first_order: index(first, &firsts), total: index(total, &totals) }
}

fn estimate(a: &[f64], b: &[f64], ab: &[f64], chosen: &[usize]) -> (f64, f64) {
    let n = chosen.len() as f64;
    let mean = chosen.iter().map(|&i| a[i] + b[i]).sum::<f64>() / (2.0 * n);
    let (mut variance, mut first, mut total) = (0.0, 0.0, 0.0);
    for &i in chosen {
        variance += portable::powi(a[i] - mean, 2) + portable::powi(b[i] - mean, 2);
        let change = less(a[i], ab[i]);
        first += (b[i] - mean) * change;
        total += portable::powi(change, 2);
    }
    variance /= 2.0 * n;
    // Rounding alone is no variance.
    if variance <= 1e-24 * mean * mean || !variance.is_finite() {
        return (0.0, 0.0);
    }
    let total = total / (2.0 * n * variance);
    ((first / (n * variance)).min(total), total)
}

#[cfg(test)]
mod tests {
    use super::super::draws::column;
    use super::*;
    use std::f64::consts::PI;

    /// Ishigami and Homma 1990 with a = 7, b = 0.1: S 0.3139, 0.4424, 0; S_T 0.5576, 0.4424, 0.2437
    /// (closed form; Saltelli et al. 2008).
    #[test]
    fn indices_of_the_ishigami_function() {
        let f =
            |x: [f64; 3]| x[0].sin() + 7.0 * x[1].sin().powi(2) + 0.1 * x[2].powi(4) * x[0].sin();
        let n = 4000;
        let keys = ["x1", "x2", "x3"];
        let set = |set: &str| -> Vec<[f64; 3]> {
            let columns = keys.map(|k| column(11, &format!("{set} {k}"), n));
            (0..n).map(|i| [0, 1, 2].map(|k| PI * (2.0 * columns[k][i] - 1.0))).collect()
        };
        let (a, b) = (set("A"), set("B"));
        let fa: Vec<f64> = a.iter().map(|x| f(*x)).collect();
        let fb: Vec<f64> = b.iter().map(|x| f(*x)).collect();
        for (k, (first, total)) in
            [(0.3139, 0.5576), (0.4424, 0.4424), (0.0, 0.2437)].iter().enumerate()
        {
            let mixed = |i: usize| {
                let mut x = a[i];
                x[k] = b[i][k];
                f(x)
            };
            let fab: Vec<f64> = (0..n).map(mixed).collect();
            let s = indices(&fa, &fb, &fab, 11, keys[k]);
            println!("{}: {s:?}", keys[k]);
            assert!(s.first_order.low <= *first && *first <= s.first_order.high, "{s:?}");
            assert!(s.total.low <= *total && *total <= s.total.high, "{s:?}");
            assert!(s.first_order.high - s.first_order.low < 0.15, "{s:?}");
            assert!((s.total.value - total).abs() < 0.05, "{s:?}");
        }
    }

    /// A share alone is at most the share with others (I. M. Sobol 2001): whatever few draws make of it. Twenty draws of
    /// a sum, in which both are the same, put about half of the first-order estimates above the total if left alone.
    #[test]
    fn a_share_alone_is_never_above_its_total() {
        let weights = [1.0, 0.6, 0.3, 0.1];
        let mut equal = 0;
        for seed in 0..25 {
            let set = |set: &str| -> Vec<[f64; 4]> {
                let of = |k: usize| column(seed, &format!("{set} {k}"), 20);
                let columns = [of(0), of(1), of(2), of(3)];
                (0..20).map(|i| [0, 1, 2, 3].map(|k| columns[k][i])).collect()
            };
            let (a, b) = (set("A"), set("B"));
            let f = |x: &[f64; 4]| (0..4).map(|k| weights[k] * x[k]).sum::<f64>();
            let (fa, fb): (Vec<f64>, Vec<f64>) =
                (a.iter().map(f).collect(), b.iter().map(f).collect());
            for k in 0..4 {
                let mixed = |i: usize| {
                    let mut x = a[i];
                    x[k] = b[i][k];
                    f(&x)
                };
                let fab: Vec<f64> = (0..20).map(mixed).collect();
                let s = indices(&fa, &fb, &fab, seed, "k");
                assert!(s.first_order.value <= s.total.value, "{s:?}");
                assert!(
                    s.first_order.high <= s.total.high && s.first_order.low <= s.total.low,
                    "{s:?}"
                );
                equal += i32::from(s.first_order.value == s.total.value);
            }
        }
        assert!((10..=90).contains(&equal), "{equal} of 100 were taken as the total");
    }

    /// Spearman's own way for ranks without ties: 1 − 6 Σ d²/(n (n² − 1)). Ranks 1 2 3 4 5 against
    /// 2 1 4 3 5: Σ d² = 4, ρ = 0.8.
    #[test]
    fn rank_correlation_of_a_worked_example() {
        let x = [10.0, 20.0, 30.0, 40.0, 50.0];
        let y = [2.0, 1.0, 400.0, 30.0, 5e6];
        assert!((rank_correlation(&x, &y) - 0.8).abs() < 1e-12);
        let down: Vec<f64> = x.iter().map(|x| (-x).exp()).collect();
        assert!((rank_correlation(&x, &down) + 1.0).abs() < 1e-12);
        assert_eq!(rank_correlation(&x, &[3.0; 5]), 0.0);
    }

    /// IQ against hours of television of ten people, the worked example of the encyclopaedia article
    /// "Spearman's rank correlation coefficient" (Wikipedia, from memory): Σ d² = 194, ρ = −29/165. With ties:
    /// the example of `scipy.stats.spearmanr`'s documentation (from memory), 0.8207826816681233.
    #[test]
    fn rank_correlation_of_published_examples() {
        let iq = [106.0, 100.0, 86.0, 101.0, 99.0, 103.0, 97.0, 113.0, 112.0, 110.0];
        let tv = [7.0, 27.0, 2.0, 50.0, 28.0, 29.0, 20.0, 12.0, 6.0, 17.0];
        assert!((rank_correlation(&iq, &tv) + 29.0 / 165.0).abs() < 1e-12);
        let tied = rank_correlation(&[1.0, 2.0, 3.0, 4.0, 5.0], &[5.0, 6.0, 7.0, 8.0, 7.0]);
        assert!((tied - 0.820_782_681_668_123_3).abs() < 1e-12, "{tied}");
    }

    /// Ties share their mean rank: 1, 2.5, 2.5, 4.
    #[test]
    fn ties_share_a_rank() {
        assert_eq!(ranks(&[7.0, 8.0, 8.0, 9.0]), [1.0, 2.5, 2.5, 4.0]);
    }

    #[test]
    fn nothing_that_varies_has_no_indices() {
        let s = indices(&[2.0; 50], &[2.0; 50], &[2.0; 50], 1, "none");
        assert_eq!((s.first_order.value, s.total.value), (0.0, 0.0));
    }

    /// What a quantity without effect leaves is the rounding of two jobs alike, and that is no share of anything.
    #[test]
    fn rounding_is_no_influence() {
        let jobs = |set: &str| -> Vec<f64> {
            column(3, set, 50).iter().map(|x| 500.0 + 100.0 * x).collect()
        };
        let (a, b) = (jobs("A"), jobs("B"));
        let ab: Vec<f64> = a.iter().map(|x| x * (1.0 + f64::EPSILON)).collect();
        assert!(a != ab);
        let found = indices(&a, &b, &ab, 1, "nothing");
        for index in [found.first_order, found.total] {
            assert_eq!((index.value, index.low, index.high), (0.0, 0.0, 0.0));
        }
        let ab: Vec<f64> = a.iter().map(|x| x * (1.0 + 1e-6)).collect();
        assert!(indices(&a, &b, &ab, 1, "something").total.value > 0.0);
    }
}
