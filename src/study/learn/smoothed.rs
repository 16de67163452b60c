//! Importance weights, the largest smoothed by a Pareto tail, and how far they can be trusted.
//!
//! Source: A. Vehtari, D. Simpson, A. Gelman, Y. Yao, J. Gabry, "Pareto smoothed importance sampling", J. Machine
//! Learning Research 25 (2024); the tail's fit is that of J. Zhang and M. A. Stephens, Technometrics 51 (2009), with the
//! weak prior of the former on its shape. Both from memory.

use crate::portable;

/// What became of the weights.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Trust {
    /// k̂, the shape of the tail: the larger, the less a few draws stand for the rest. NaN of too few draws.
    pub pareto_k: f64,
    /// So many independent draws would tell as much, (Σw)²/Σw².
    pub effective_draws: f64,
}

/// From which k̂ on `draws` weights say nothing: min(1 − 1/log₁₀ S, 0.7).
pub fn most_k(draws: usize) -> f64 {
    f64::min(1.0 - 1.0 / portable::log10(draws as f64), 0.7)
}

/// Turns logarithms of weights into weights that sum up to 1, the largest min(S/5, 3 √S) of them smoothed.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // counts, far below what a float tells apart
pub fn smooth(ln_weights: &[f64]) -> (Vec<f64>, Trust) {
    let count = ln_weights.len();
    let most = ln_weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let mut weights: Vec<f64> = ln_weights.iter().map(|w| portable::exp(w - most)).collect();
    let tail = f64::min(count as f64 / 5.0, 3.0 * (count as f64).sqrt()).ceil() as usize;
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by(|a, b| weights[*a].total_cmp(&weights[*b]));
    let mut pareto_k = f64::NAN;
    if tail >= 5 && tail < count {
        let (below, above) = order.split_at(count - tail);
        let cutoff = below.last().map_or(0.0, |i| weights[*i]);
        let beyond: Vec<f64> = above.iter().map(|i| weights[*i] - cutoff).collect();
        // Weights that are all the same have no tail.
        pareto_k = 0.0;
        if let Some((k, scale)) = fit(&beyond) {
            pareto_k = k;
            for (place, i) in above.iter().enumerate() {
                let share = (place as f64 + 0.5) / tail as f64;
                weights[*i] = f64::min(cutoff + quantile(k, scale, share), 1.0);
            }
        }
    }
    let sum: f64 = weights.iter().sum();
    for w in &mut weights {
        *w /= sum;
    }
    let effective_draws = 1.0 / weights.iter().map(|w| w * w).sum::<f64>();
    (weights, Trust { pareto_k, effective_draws })
}

/// Shape and scale of a generalised Pareto distribution from what lies beyond its beginning, in rising order; `None` where
/// nothing does.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // as above
fn fit(x: &[f64]) -> Option<(f64, f64)> {
    let n = x.len() as f64;
    let (quartile, largest) = (x[(n / 4.0 + 0.5) as usize - 1], *x.last()?);
    if !(quartile > 0.0 && largest.is_finite()) {
        return None;
    }
    let grid = 30 + n.sqrt().floor() as usize;
    let shape = |theta: f64| x.iter().map(|x| portable::ln_1p(-theta * x)).sum::<f64>() / n;
    let thetas: Vec<f64> = (1..=grid)
        .map(|j| {
            let root = (grid as f64 / (j as f64 - 0.5)).sqrt();
            1.0 / largest + (1.0 - root) / (3.0 * quartile)
        })
        .collect();
    let ln_likelihood = |theta: &f64| {
        let k = shape(*theta);
        n * (portable::ln(-theta / k) - k - 1.0)
    };
    let ln_likelihoods: Vec<f64> = thetas.iter().map(ln_likelihood).collect();
    let weight = |l: f64| 1.0 / ln_likelihoods.iter().map(|m| portable::exp(m - l)).sum::<f64>();
    let theta: f64 = thetas.iter().zip(&ln_likelihoods).map(|(t, l)| t * weight(*l)).sum();
    let k = shape(theta);
    // Ten observations' worth of a shape of a half.
    Some(((k * n + 5.0) / (n + 10.0), -k / theta))
}

/// What lies beyond the beginning of the tail for `share` of it.
fn quantile(k: f64, scale: f64, share: f64) -> f64 {
    match k.abs() < 1e-12 {
        true => -scale * portable::ln_1p(-share),
        false => scale * portable::exp_m1(-k * portable::ln_1p(-share)) / k,
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::chance::draws::stream;
    use super::super::super::chance::normal;
    use super::*;
    use rand::RngExt;

    /// A published threshold: 0.5 of a hundred draws, 0.667 of a thousand, 0.7 from 2,200 on.
    #[test]
    fn the_threshold_is_the_published_one() {
        for (draws, k) in [(100, 0.5), (1000, 2.0 / 3.0), (2200, 0.7), (100_000, 0.7)] {
            assert!((most_k(draws) - k).abs() < 1e-3, "{draws}");
        }
    }

    /// Draws from N(0, s²) for N(0, 1): the weights' tail has the shape 1 − s² (the ratio is exp(c x²), c = (1/s² − 1)/2,
    /// and P(exp(c x²) > w) falls as w^(−1/(2 c s²))).
    #[test]
    fn the_shape_is_that_of_a_known_tail() {
        for s2 in [0.5_f64, 0.3, 0.7] {
            let mut mean = 0.0;
            let sets = 40;
            for set in 0..sets {
                let mut rng = stream(set, "normal");
                let ln_weights: Vec<f64> = (0..4000)
                    .map(|_| {
                        let x = s2.sqrt() * normal::quantile(rng.random::<f64>().max(1e-12));
                        0.5 * x * x * (1.0 / s2 - 1.0)
                    })
                    .collect();
                mean += smooth(&ln_weights).1.pareto_k / f64::from(sets as u32);
            }
            assert!((mean - (1.0 - s2)).abs() < 0.06, "{s2}: {mean}");
        }
    }

    /// Of equal weights each draw counts; the weights sum up to 1, and keep their order.
    #[test]
    fn weights_stay_weights() {
        let (even, trust) = smooth(&[3.0; 500]);
        assert!(even.iter().all(|w| (w - 0.002).abs() < 1e-15));
        assert!((trust.effective_draws - 500.0).abs() < 1e-9);
        let rising: Vec<f64> = (0..500).map(|i| 0.01 * f64::from(i)).collect();
        let (weights, _) = smooth(&rising);
        assert!((weights.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        assert!(weights.windows(2).all(|w| w[0] <= w[1]));
    }
}
