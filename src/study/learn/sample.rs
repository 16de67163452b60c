//! Draws of what the readings leave open, each with its weight.
//!
//! Readings tell something of as many directions among the unknowns as there are readings; across them everything stays as
//! it was (T. Cui et al., *Inverse Problems* 30, 2014). So only along these directions is a proposal needed; across them the
//! prior itself is drawn.

use super::super::chance::draws::stream;
use super::super::chance::normal;
use super::fit::{Fitted, Observed};
use super::matrix::{Factor, dot};
use super::smoothed::{self, Trust};
use crate::portable;
use ndarray::Array2;
use rand::RngExt;
use rand_chacha::ChaCha8Rng;
use std::f64::consts::PI;

/// Draws of the first round.
pub const DRAWS: usize = 2000;
/// Draws of each further round, and the most rounds.
const MORE: usize = 1000;
const MOST_ROUNDS: usize = 4;
/// Fewer draws than this, as many as independent ones would tell as much, say nothing.
pub const LEAST_EFFECTIVE: f64 = 400.0;
/// Share of the draws that are of the prior.
const OF_THE_PRIOR: f64 = 0.2;
/// Degrees of freedom of the proposal, and by how much it is wider than what it proposes for.
const FREEDOM: usize = 5;
const WIDER: f64 = 1.3;

/// Draws and their weights.
#[derive(Debug, Clone, Default)]
pub struct Sample {
    /// Coordinates, a draw a row.
    pub u: Vec<Vec<f64>>,
    /// What each predicts.
    pub predicted: Vec<Vec<f64>>,
    /// Weights, which sum up to 1.
    pub weights: Vec<f64>,
    /// How far they can be trusted.
    pub trust: Trust,
    /// Logarithm of the evidence: of the mean likelihood over the prior.
    pub ln_evidence: f64,
}

impl Sample {
    /// Whether the draws say anything.
    pub fn resolved(&self) -> bool {
        self.trust.pareto_k <= smoothed::most_k(self.u.len())
            && self.trust.effective_draws >= LEAST_EFFECTIVE
    }
}

/// Draws around what fits best.
///
/// # Errors
/// Those of `model`.
pub fn sample<E>(
    observed: &[Observed],
    fitted: &Fitted,
    seed: u64,
    model: impl Fn(&[Vec<f64>]) -> Result<Vec<Vec<f64>>, E>,
) -> Result<Sample, E> {
    let d = fitted.u.len();
    let along = directions(&fitted.slopes);
    let mut rng = stream(seed, "learn");
    let mut rounds: Vec<Round> = Vec::new();
    let mut next = Some(Component::around(&fitted.u, &along, &fitted.slopes));
    let mut a: Vec<Vec<f64>> = Vec::new();
    let mut all = Sample::default();
    while let Some(component) = next.take() {
        let draws = if rounds.is_empty() { DRAWS } else { MORE };
        let begun = all.u.len();
        for _ in 0..draws {
            let place = match rng.random::<f64>() < OF_THE_PRIOR {
                true => along.iter().map(|_| deviate(&mut rng)).collect(),
                false => component.draw(&mut rng),
            };
            let any: Vec<f64> = (0..d).map(|_| deviate(&mut rng)).collect();
            all.u.push(put(&any, &along, &place));
            a.push(place);
        }
        all.predicted.extend(model(&all.u[begun..])?);
        rounds.push(Round { component, draws });
        let ln_weights: Vec<f64> = (all.predicted.iter().zip(&a))
            .map(|(predicted, a)| {
                let weight = ln_likelihood(observed, predicted) - ln_over_prior(&rounds, a);
                if weight.is_nan() { f64::NEG_INFINITY } else { weight }
            })
            .collect();
        (all.weights, all.trust) = smoothed::smooth(&ln_weights);
        let most = ln_weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let sum: f64 = ln_weights.iter().map(|w| portable::exp(w - most)).sum();
        all.ln_evidence = most + portable::ln(sum / ln_weights.len() as f64);
        if !all.resolved() && rounds.len() <= MOST_ROUNDS {
            next = Component::like(&a, &all.weights);
        }
    }
    // What cannot have been has no weight, and no place among what is summed up.
    let kept = |i: &usize| all.predicted[*i].iter().all(|f| f.is_finite());
    let kept: Vec<usize> = (0..all.u.len()).filter(kept).collect();
    all.u = kept.iter().map(|i| all.u[*i].clone()).collect();
    all.predicted = kept.iter().map(|i| all.predicted[*i].clone()).collect();
    all.weights = kept.iter().map(|i| all.weights[*i]).collect();
    Ok(all)
}

/// Logarithm of how likely the readings are.
pub fn ln_likelihood(observed: &[Observed], predicted: &[f64]) -> f64 {
    let of = |(o, f): (&Observed, &f64)| match o.at_least {
        true if *f >= o.value => 0.0,
        true => portable::ln(normal::share_below((f - o.value) / o.sd).max(1e-300)),
        false => {
            let r = o.residual(*f);
            -0.5 * r * r - portable::ln(o.sd) - 0.5 * portable::ln(2.0 * PI)
        }
    };
    observed.iter().zip(predicted).map(of).sum()
}

/// A normal deviate.
fn deviate(rng: &mut ChaCha8Rng) -> f64 {
    normal::quantile(rng.random::<f64>().clamp(1e-12, 1.0 - 1e-12))
}

/// Orthonormal directions that span the rows, those first that say most; what they leave of a row to rounding is none.
fn directions(rows: &Array2<f64>) -> Vec<Vec<f64>> {
    let mut left: Vec<Vec<f64>> = rows.rows().into_iter().map(|r| r.to_vec()).collect();
    let mut along: Vec<Vec<f64>> = Vec::new();
    while along.len() < rows.ncols() {
        let Some(most) = (0..left.len())
            .max_by(|a, b| dot(&left[*a], &left[*a]).total_cmp(&dot(&left[*b], &left[*b])))
        else {
            break;
        };
        let row = left.swap_remove(most);
        let length = dot(&row, &row).sqrt();
        // A thousandth of a reading's own error over the whole of the prior tells nothing.
        if length <= 1e-3 || length.is_nan() {
            break;
        }
        let unit: Vec<f64> = row.iter().map(|x| x / length).collect();
        for other in &mut left {
            let by = dot(&*other, &unit);
            other.iter_mut().zip(&unit).for_each(|(x, e)| *x -= by * e);
        }
        along.push(unit);
    }
    along
}

/// `any` with its place along the directions at `place`.
fn put(any: &[f64], along: &[Vec<f64>], place: &[f64]) -> Vec<f64> {
    let mut u = any.to_vec();
    for (unit, to) in along.iter().zip(place) {
        let by = to - dot(&u, unit);
        u.iter_mut().zip(unit).for_each(|(x, e)| *x += by * e);
    }
    u
}

struct Round {
    component: Component,
    draws: usize,
}

/// Student's t around a place.
struct Component {
    middle: Vec<f64>,
    factor: Factor,
}

impl Component {
    /// Around the likeliest, as wide as the slopes there leave it.
    fn around(u: &[f64], along: &[Vec<f64>], slopes: &Array2<f64>) -> Self {
        let middle: Vec<f64> = along.iter().map(|e| dot(u, e)).collect();
        let rows: Vec<Vec<f64>> = slopes
            .rows()
            .into_iter()
            .map(|row| along.iter().map(|e| dot(row.iter(), e)).collect())
            .collect();
        let n = along.len();
        let precision = Array2::from_shape_fn((n, n), |(i, j)| {
            let one = if i == j { 1.0 } else { 0.0 };
            one + rows.iter().map(|r| r[i] * r[j]).sum::<f64>()
        });
        let covariance = Factor::of(&precision).map_or_else(|| Array2::eye(n), |f| f.inverse());
        Self::new(middle, &covariance).unwrap_or_else(|| Self::of_the_prior(n))
    }

    /// Like the draws so far.
    fn like(a: &[Vec<f64>], weights: &[f64]) -> Option<Self> {
        let n = a.first()?.len();
        let mean = |of: &dyn Fn(&[f64]) -> f64| -> f64 {
            a.iter().zip(weights).map(|(a, w)| w * of(a)).sum()
        };
        let middle: Vec<f64> = (0..n).map(|i| mean(&|a| a[i])).collect();
        let covariance = Array2::from_shape_fn((n, n), |(i, j)| {
            // Where a few draws have all the weight, it is not to shrink to nothing.
            let least = if i == j { 1e-4 } else { 0.0 };
            least + mean(&|a| (a[i] - middle[i]) * (a[j] - middle[j]))
        });
        Self::new(middle, &covariance)
    }

    fn new(middle: Vec<f64>, covariance: &Array2<f64>) -> Option<Self> {
        Some(Self { middle, factor: Factor::of(&covariance.mapv(|c| WIDER * c))? })
    }

    fn of_the_prior(n: usize) -> Self {
        let eye = Array2::eye(n);
        Self {
            middle: vec![0.0; n],
            factor: Factor::of(&eye).expect("the unit matrix is positive"),
        }
    }

    fn draw(&self, rng: &mut ChaCha8Rng) -> Vec<f64> {
        let z: Vec<f64> = self.middle.iter().map(|_| deviate(rng)).collect();
        let chi2: f64 = (0..FREEDOM).map(|_| deviate(rng)).map(|z| z * z).sum();
        let longer = (FREEDOM as f64 / chi2).sqrt();
        let off = self.factor.colour(&z);
        self.middle.iter().zip(off).map(|(m, o)| m + longer * o).collect()
    }

    /// Logarithm of its density.
    fn ln_density(&self, a: &[f64]) -> f64 {
        let n = a.len() as f64;
        let freedom = FREEDOM as f64;
        let off: Vec<f64> = a.iter().zip(&self.middle).map(|(a, m)| a - m).collect();
        let white = self.factor.whiten(&off);
        ln_gamma_of_half(FREEDOM + a.len())
            - ln_gamma_of_half(FREEDOM)
            - 0.5 * n * portable::ln(freedom * PI)
            - 0.5 * self.factor.ln_det()
            - 0.5 * (freedom + n) * portable::ln_1p(dot(&white, &white) / freedom)
    }
}

/// ln Γ(n/2), by Γ(x + 1) = x Γ(x) from Γ(1) = 1 or Γ(½) = √π.
fn ln_gamma_of_half(n: usize) -> f64 {
    let (mut ln, mut x) =
        if n.is_multiple_of(2) { (0.0, 1.0) } else { (0.5 * portable::ln(PI), 0.5) };
    while 2.0 * x + 0.5 < n as f64 {
        ln += portable::ln(x);
        x += 1.0;
    }
    ln
}

/// Logarithm of the density of all rounds together, over that of the prior.
fn ln_over_prior(rounds: &[Round], a: &[f64]) -> f64 {
    let ln_prior = -0.5 * dot(a, a) - 0.5 * a.len() as f64 * portable::ln(2.0 * PI);
    let all: usize = rounds.iter().map(|r| r.draws).sum();
    let drawn: f64 = rounds
        .iter()
        .map(|r| r.draws as f64 / all as f64 * portable::exp(r.component.ln_density(a) - ln_prior))
        .sum();
    portable::ln(OF_THE_PRIOR + (1.0 - OF_THE_PRIOR) * drawn)
}

#[cfg(test)]
mod tests {
    use super::super::fit::fit;
    use super::*;
    use statrs::function::gamma::ln_gamma;
    use std::convert::Infallible;

    #[test]
    fn the_gamma_function_is_that_of_another_library() {
        for n in 1..60_usize {
            assert!(
                (ln_gamma_of_half(n) - ln_gamma(0.5 * n as f64)).abs() < 1e-12 * n as f64,
                "{n}"
            );
        }
    }

    /// Normal prior 20 ± 6, readings 18, 22, 25 with errors of ± 5: 65/25 + 20/36 over 3/25 + 1/36 = 21.3534, ± 2.6013; the
    /// evidence is the density of the readings under N(20, 25 + 36 where they share the prior): ln −8.94553 by the
    /// determinant 25³ (1 + 3 · 36/25).
    #[test]
    fn of_normal_readings_the_answer_is_known() {
        let observed = [18.0, 22.0, 25.0].map(|value| Observed { value, sd: 5.0, at_least: false });
        let model = |points: &[Vec<f64>]| {
            Ok::<_, Infallible>(
                points.iter().map(|u| vec![20.0 + 6.0 * u[0]; 3]).collect::<Vec<_>>(),
            )
        };
        // A second unknown that nothing tells of stays as it was.
        let fitted = fit(&observed, 2, model).expect("it cannot fail");
        let sample = sample(&observed, &fitted, 1, model).expect("it cannot fail");
        assert!(sample.resolved(), "{:?}", sample.trust);
        let mean = |of: &dyn Fn(&[f64]) -> f64| -> f64 {
            sample.u.iter().zip(&sample.weights).map(|(u, w)| w * of(u)).sum()
        };
        let x = |u: &[f64]| 20.0 + 6.0 * u[0];
        let middle = mean(&x);
        let sd = mean(&|u| (x(u) - middle) * (x(u) - middle)).sqrt();
        let error = 5.0 / sample.trust.effective_draws.sqrt();
        let exact_sd = (3.0_f64 / 25.0 + 1.0 / 36.0).powf(-0.5);
        assert!((exact_sd - 2.6013).abs() < 1e-4);
        assert!((middle - 21.3534).abs() < error * exact_sd, "{middle}");
        assert!((sd - exact_sd).abs() < error * exact_sd, "{sd}");
        let determinant = 25.0_f64.powi(3) * (1.0 + 3.0 * 36.0 / 25.0);
        let off = [-2.0, 2.0, 5.0];
        let squares: f64 = off.iter().map(|x| x * x).sum();
        let sum: f64 = off.iter().sum();
        let m2 = (squares - 36.0 * sum * sum / (25.0 + 3.0 * 36.0)) / 25.0;
        let ln_evidence = -0.5 * (m2 + determinant.ln() + 3.0 * (2.0 * PI).ln());
        assert!((ln_evidence + 8.94553).abs() < 1e-5, "{ln_evidence}");
        assert!((sample.ln_evidence - ln_evidence).abs() < 0.1, "{}", sample.ln_evidence);
        let other = mean(&|u| u[1] * u[1]);
        assert!((other - 1.0).abs() < 0.15, "{other}");
    }

    /// A model whose width hangs on another unknown (R. M. Neal, "Slice sampling", *Annals of Statistics* 31, 2003): without
    /// data, v stays N(0, 3).
    #[test]
    fn without_data_a_funnel_stays_what_it_was() {
        let model = |points: &[Vec<f64>]| {
            let x = |u: &Vec<f64>| vec![(1.5 * u[0]).exp() * u[1]];
            Ok::<_, Infallible>(points.iter().map(x).collect::<Vec<_>>())
        };
        let fitted = fit(&[], 2, model).expect("it cannot fail");
        let sample = sample(&[], &fitted, 1, model).expect("it cannot fail");
        assert!((sample.trust.effective_draws - DRAWS as f64).abs() < 1e-6);
        let square: f64 = sample.u.iter().map(|u| 9.0 * u[0] * u[0]).sum::<f64>() / DRAWS as f64;
        assert!((square - 9.0).abs() < 9.0 * 4.0 * (2.0 / DRAWS as f64).sqrt(), "{square}");
    }
}
