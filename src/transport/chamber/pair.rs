//! A stage and its pocket over a step.

use crate::portable;

/// What a pair of linear equations y' = M y, M = [[a, b], [c, d]] with real eigenvalues that are not positive, comes to
/// after one unit of time.
#[derive(Debug, Clone, Copy)]
pub(in crate::transport) struct Pair {
    /// exp M, row by row.
    pub moved: [f64; 4],
    /// The first row of its mean, ∫₀¹ exp(M t) dt.
    pub mean: [f64; 2],
    /// Where a push on the first that rises by 1 about a mean of 0 brings the two: the first column of
    /// ∫₀¹ exp(M (1 − t)) (t − ½) dt.
    pub risen: [f64; 2],
}

impl Pair {
    /// f(M) = f(λ₂) + f[λ₁, λ₂] (M − λ₂), f[λ₁, λ₂] being the divided difference, with f(λ) = e^λ, (e^λ − 1)/λ and
    /// [`risen`] (any handbook of matrix functions).
    pub fn of(a: f64, b: f64, c: f64, d: f64) -> Self {
        let mean = 0.5 * (a + d);
        let half = (0.25 * (a - d) * (a - d) + b * c).max(0.0).sqrt();
        let (low, high) = (mean - half, (mean + half).min(0.0));
        let (fast, slow) = (portable::exp_m1(low), portable::exp_m1(high));
        let over = |grown: f64, by: f64| if by < 0.0 { grown / by } else { 1.0 };
        let (fast_mean, slow_mean) = (over(fast, low), over(slow, high));
        let (fast_risen, slow_risen) = (risen(low, fast_mean), risen(high, slow_mean));
        // Where the eigenvalues meet, b, c and a − λ₂ are as small as their distance, and so is what is lost here.
        let divided =
            |fast: f64, slow: f64| if half > 0.0 { 0.5 * (slow - fast) / half } else { 0.0 };
        let (steep, steep_mean) = (divided(fast, slow), divided(fast_mean, slow_mean));
        let steep_risen = divided(fast_risen, slow_risen);
        Self {
            moved: [
                1.0 + slow + steep * (a - high),
                steep * b,
                steep * c,
                1.0 + slow + steep * (d - high),
            ],
            mean: [slow_mean + steep_mean * (a - high), steep_mean * b],
            risen: [slow_risen + steep_risen * (a - high), steep_risen * c],
        }
    }
}

/// ∫₀¹ e^(λ (1 − t)) (t − ½) dt = (e^λ − 1 − λ)/λ² − (e^λ − 1)/(2 λ), given `mean` = (e^λ − 1)/λ; by its series where
/// the two are nearly alike.
fn risen(lambda: f64, mean: f64) -> f64 {
    if lambda > -0.05 {
        // −Σ k λᵏ/(2 (k + 2)!) from k = 1 on.
        let mut term = lambda / 6.0;
        let mut sum = 0.0;
        for k in 1..8 {
            let k = f64::from(k);
            sum -= 0.5 * k * term;
            term *= lambda / (k + 3.0);
        }
        sum
    } else {
        (mean - 1.0) / lambda - 0.5 * mean
    }
}
