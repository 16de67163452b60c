//! Adaptive Gauss–Legendre quadrature.

use std::f64::consts::PI;

/// Nodes and weights of the Gauss–Legendre rule of `n` points on `[−1, 1]`: the zeros of the
/// Legendre polynomial by Newton's method, from its three-term recurrence.
fn gauss_legendre(n: usize) -> Vec<(f64, f64)> {
    (0..n)
        .map(|i| {
            let mut x = (PI * (i as f64 + 0.75) / (n as f64 + 0.5)).cos();
            let mut slope = 1.0;
            for _ in 0..100 {
                let (mut previous, mut p) = (1.0, x);
                for k in 2..=n {
                    let k = k as f64;
                    (previous, p) = (p, ((2.0 * k - 1.0) * x * p - (k - 1.0) * previous) / k);
                }
                slope = n as f64 * (x * p - previous) / (x * x - 1.0);
                let step = p / slope;
                x -= step;
                if step.abs() < 1e-15 {
                    break;
                }
            }
            (x, 2.0 / ((1.0 - x * x) * slope * slope))
        })
        .collect()
}

/// A rule that halves its panels until two estimates agree.
#[derive(Debug, Clone)]
pub struct Quadrature {
    rule: Vec<(f64, f64)>,
    tolerance: f64,
}

impl Quadrature {
    /// With this absolute tolerance for each panel.
    pub fn new(tolerance: f64) -> Self {
        Self { rule: gauss_legendre(12), tolerance }
    }

    fn panel(&self, f: &dyn Fn(f64) -> f64, a: f64, b: f64) -> f64 {
        let (mid, half) = (0.5 * (a + b), 0.5 * (b - a));
        let points = self.rule.iter();
        half * points.map(|(x, w)| w * f(mid + half * x)).sum::<f64>()
    }

    fn halve(&self, f: &dyn Fn(f64) -> f64, a: f64, b: f64, whole: f64, depth: u32) -> f64 {
        let mid = 0.5 * (a + b);
        let (left, right) = (self.panel(f, a, mid), self.panel(f, mid, b));
        if depth == 0 || (left + right - whole).abs() < self.tolerance {
            return left + right;
        }
        self.halve(f, a, mid, left, depth - 1) + self.halve(f, mid, b, right, depth - 1)
    }

    /// ∫ f over `[a, b]` (0 if b ≤ a), split at those of `breaks` that lie inside, where f or a
    /// derivative jumps.
    pub fn integrate(&self, f: &dyn Fn(f64) -> f64, a: f64, b: f64, breaks: &[f64]) -> f64 {
        let mut cuts: Vec<f64> = breaks.iter().copied().filter(|x| *x > a && *x < b).collect();
        cuts.sort_by(f64::total_cmp);
        cuts.push(b);
        let (mut sum, mut from) = (0.0, a);
        for to in cuts {
            if to > from {
                sum += self.halve(f, from, to, self.panel(f, from, to), 30);
                from = to;
            }
        }
        sum
    }
}
