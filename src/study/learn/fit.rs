//! The likeliest values: damped Gauss–Newton on |(y − f(u))/σ|² + |u|².
//!
//! Every unknown is x = Q(Φ(u)) with u ~ N(0, 1), Q the quantile function of its spread: nothing has bounds, and nothing is
//! of another size.

use super::matrix::{Factor, dot};
use ndarray::Array2;

/// What was read, in the coordinate in which its error is normal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observed {
    /// The value.
    pub value: f64,
    /// Standard deviation of its error.
    pub sd: f64,
    /// Whether the true value is only known not to lie below: a bleeder closed by its cap.
    pub at_least: bool,
}

impl Observed {
    /// (y − f)/σ; of what is only known not to lie below, 0 from there on.
    pub fn residual(&self, predicted: f64) -> f64 {
        match self.at_least && predicted >= self.value {
            true => 0.0,
            false => (self.value - predicted) / self.sd,
        }
    }
}

/// What the likeliest values come to.
#[derive(Debug, Clone)]
pub struct Fitted {
    /// Their coordinates.
    pub u: Vec<f64>,
    /// ∂f/∂u divided by the errors' deviations: a row a reading.
    pub slopes: Array2<f64>,
}

/// Half the width of a central difference, in standard deviations of the prior: a simulator is a little rough.
const STEP: f64 = 0.05;
/// Steps below this share of a posterior deviation end it.
const SMALL: f64 = 1e-3;
/// So many steps without getting better end it too.
const PATIENCE: usize = 3;
/// In any case it ends after so many.
const MOST_STEPS: usize = 20;

/// The likeliest values. `model` runs many points at once: for each u, what it predicts.
///
/// # Errors
/// Those of `model`.
pub fn fit<E>(
    observed: &[Observed],
    unknowns: usize,
    model: impl Fn(&[Vec<f64>]) -> Result<Vec<Vec<f64>>, E>,
) -> Result<Fitted, E> {
    let objective = |u: &[f64], predicted: &[f64]| {
        let off = observed.iter().zip(predicted).map(|(o, f)| o.residual(*f));
        off.map(|r| r * r).sum::<f64>() + dot(u, u)
    };
    let mut u = vec![0.0; unknowns];
    let (mut predicted, mut slopes) = linear(observed, &u, &model)?;
    let mut least = objective(&u, &predicted);
    let mut in_vain = 0;
    for _ in 0..MOST_STEPS {
        let Some(step) = newton(observed, &u, &predicted, &slopes) else { break };
        // Whole, half, a quarter … of it at once.
        let tried: Vec<Vec<f64>> = (0..4)
            .map(|halvings| {
                let share = 1.0 / f64::from(1 << halvings);
                u.iter().zip(&step.by).map(|(u, by)| u + share * by).collect()
            })
            .collect();
        let all = model(&tried)?;
        let best = (0..tried.len()).min_by(|a, b| {
            objective(&tried[*a], &all[*a]).total_cmp(&objective(&tried[*b], &all[*b]))
        });
        let Some(best) = best.filter(|b| objective(&tried[*b], &all[*b]) < least) else { break };
        let now = objective(&tried[best], &all[best]);
        in_vain = if least - now > 1e-6 * least.max(1.0) { 0 } else { in_vain + 1 };
        least = now;
        u.clone_from(&tried[best]);
        (predicted, slopes) = linear(observed, &u, &model)?;
        if step.in_deviations < SMALL || in_vain >= PATIENCE {
            break;
        }
    }
    Ok(Fitted { u, slopes })
}

struct Step {
    by: Vec<f64>,
    /// Its length in posterior deviations.
    in_deviations: f64,
}

/// (JᵀR⁻¹J + 1) δ = JᵀR⁻¹(y − f) − u.
fn newton(
    observed: &[Observed],
    u: &[f64],
    predicted: &[f64],
    slopes: &Array2<f64>,
) -> Option<Step> {
    let residuals: Vec<f64> = observed.iter().zip(predicted).map(|(o, f)| o.residual(*f)).collect();
    // What is fulfilled by more than it asks for pulls nowhere.
    let pulls = |i: usize| !(observed[i].at_least && residuals[i] == 0.0);
    let rows: Vec<usize> = (0..observed.len()).filter(|i| pulls(*i)).collect();
    let d = u.len();
    let precision = Array2::from_shape_fn((d, d), |(a, b)| {
        let one = if a == b { 1.0 } else { 0.0 };
        one + rows.iter().map(|i| slopes[[*i, a]] * slopes[[*i, b]]).sum::<f64>()
    });
    let gradient: Vec<f64> = (0..d)
        .map(|a| rows.iter().map(|i| slopes[[*i, a]] * residuals[*i]).sum::<f64>() - u[a])
        .collect();
    let by = Factor::of(&precision)?.solve(&gradient);
    Some(Step { in_deviations: dot(&by, &gradient).max(0.0).sqrt(), by })
}

/// What a point predicts, and the slopes there by central differences.
fn linear<E>(
    observed: &[Observed],
    u: &[f64],
    model: impl Fn(&[Vec<f64>]) -> Result<Vec<Vec<f64>>, E>,
) -> Result<(Vec<f64>, Array2<f64>), E> {
    let moved = |k: usize, by: f64| {
        let mut there = u.to_vec();
        there[k] += by;
        there
    };
    let mut points = vec![u.to_vec()];
    points.extend((0..u.len()).flat_map(|k| [moved(k, STEP), moved(k, -STEP)]));
    let mut all = model(&points)?;
    let slopes = Array2::from_shape_fn((observed.len(), u.len()), |(i, k)| {
        let (above, below) = (all[2 * k + 1][i], all[2 * k + 2][i]);
        let slope = (above - below) / (2.0 * STEP * observed[i].sd);
        // Beside a car on which the job does not come as far.
        if slope.is_finite() { slope } else { 0.0 }
    });
    Ok((all.swap_remove(0), slopes))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::convert::Infallible;

    /// Normal prior, normal errors: the mean is (Σ y/σ² + m/s²)/(Σ 1/σ² + 1/s²) (any text on Bayesian statistics). Prior
    /// 20 ± 6, readings 18, 22, 25, each ± 5.
    #[test]
    fn of_a_straight_model_the_likeliest_is_the_mean() {
        let observed = [18.0, 22.0, 25.0].map(|value| Observed { value, sd: 5.0, at_least: false });
        let model = |points: &[Vec<f64>]| {
            Ok::<_, Infallible>(points.iter().map(|u| vec![20.0 + 6.0 * u[0]; 3]).collect())
        };
        let fitted = fit(&observed, 1, model).expect("it cannot fail");
        let exact = (65.0 / 25.0 + 20.0 / 36.0) / (3.0 / 25.0 + 1.0 / 36.0);
        assert!((20.0 + 6.0 * fitted.u[0] - exact).abs() < 1e-9);
    }

    /// A reading "at least 30" that the prior foretells anyway moves nothing; of one that it does not foretell, something.
    #[test]
    fn a_cap_pulls_only_upward() {
        let model = |points: &[Vec<f64>]| {
            Ok::<_, Infallible>(points.iter().map(|u| vec![20.0 + 6.0 * u[0]]).collect())
        };
        let at_least = |value| [Observed { value, sd: 2.0, at_least: true }];
        let of = |value| fit(&at_least(value), 1, model).expect("it cannot fail").u[0];
        assert_eq!(of(15.0), 0.0);
        assert!(of(30.0) > 1.0);
    }
}
