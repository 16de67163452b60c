//! Whether readings and scenario go together: M² = (y − μ)ᵀ(Σ + R)⁻¹(y − μ) over draws of the scenario as it stands, in the
//! coordinates in which errors are normal, against χ²ₙ (P. C. Mahalanobis 1936). What is only known not to lie below is
//! left out.

use super::chi_squared::share_above;
use super::fit::Observed;
use super::matrix::{Factor, dot};
use super::reading::{Reading, What, When};
use ndarray::Array2;
use serde::Serialize;

/// Below this, readings contradict the scenario.
pub const LEAST_P: f64 = 0.01;

/// Whether the readings go together with the scenario.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Contradiction {
    /// How often chance alone would put readings as far off; `None` if there is none to compare.
    pub p: Option<f64>,
    /// Whether that is so seldom that reading or scenario must be wrong.
    pub contradicts: bool,
    /// The reading that the others foretell worst, if they contradict.
    pub blames: Option<Blamed>,
    /// Readings that were compared.
    pub compared: usize,
}

/// A reading that does not go together with the others.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Blamed {
    /// Where.
    pub at: String,
    /// When.
    pub when: When,
    /// What.
    pub what: What,
    /// By how many standard deviations it lies off what the scenario and the other readings say; negative below.
    pub off: f64,
}

/// Of readings and what draws of the scenario predict of them, a draw a row.
pub(super) fn contradiction(
    observed: &[Observed],
    readings: &[Reading],
    predicted: &[Vec<f64>],
) -> Contradiction {
    let used: Vec<usize> = (0..observed.len()).filter(|i| !observed[*i].at_least).collect();
    let nothing = Contradiction { p: None, contradicts: false, blames: None, compared: used.len() };
    let draws = predicted.len() as f64;
    let mean: Vec<f64> =
        used.iter().map(|i| predicted.iter().map(|f| f[*i]).sum::<f64>() / draws).collect();
    let n = used.len();
    let covariance = Array2::from_shape_fn((n, n), |(a, b)| {
        let (i, j) = (used[a], used[b]);
        let sum: f64 = predicted.iter().map(|f| (f[i] - mean[a]) * (f[j] - mean[b])).sum();
        let own = if a == b { observed[i].sd * observed[i].sd } else { 0.0 };
        own + sum / (draws - 1.0)
    });
    let Some(factor) = Factor::of(&covariance).filter(|_| n > 0) else { return nothing };
    let off: Vec<f64> = used.iter().zip(&mean).map(|(i, m)| observed[*i].value - m).collect();
    let white = factor.whiten(&off);
    let p = share_above(dot(&white, &white), n);
    let contradicts = p < LEAST_P;
    // Each left out in turn: (K⁻¹ d)ᵢ/√(K⁻¹)ᵢᵢ.
    let (inverse, pulled) = (factor.inverse(), factor.solve(&off));
    let left_out = |a: usize| pulled[a] / inverse[[a, a]].sqrt();
    let worst = (0..n).max_by(|a, b| left_out(*a).abs().total_cmp(&left_out(*b).abs()));
    let blames = worst.filter(|_| contradicts).map(|a| {
        let r = &readings[used[a]];
        Blamed { at: r.at.clone(), when: r.when, what: r.what, off: left_out(a) }
    });
    Contradiction { p: Some(p), contradicts, blames, compared: n }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Prior 20 ± 6, three readings ± 5 that share it: M² = 1.04932 by (Σd² − 36 (Σd)²/(25 + 3 · 36))/25.
    #[test]
    fn of_normal_readings_the_distance_is_known() {
        let observed = [18.0, 22.0, 25.0].map(|value| Observed { value, sd: 5.0, at_least: false });
        let reading = Reading {
            at: "RR".into(),
            when: When::Close,
            what: What::Gauge,
            value: 0.0,
            at_least: false,
            error: 5.0,
        };
        // Two draws whose mean and deviation are those of the prior.
        let s = 6.0 / std::f64::consts::SQRT_2;
        let predicted = vec![vec![20.0 - s; 3], vec![20.0 + s; 3]];
        let told = contradiction(&observed, &vec![reading; 3], &predicted);
        let p = told.p.expect("three readings");
        assert!((p - share_above(1.049_32, 3)).abs() < 1e-5, "{p}");
        assert!(!told.contradicts && told.blames.is_none());
    }
}
