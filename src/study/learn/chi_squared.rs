//! How often chance alone gives a sum of squares as large.

use super::super::chance::normal;
use crate::portable;

/// P(χ²ₙ > x): by the recurrence Q(a + 1, y) = Q(a, y) + yᵃ e⁻ʸ/Γ(a + 1) of the incomplete gamma function (DLMF 8.8.6)
/// from Q(½, y) = erfc √y or Q(1, y) = e⁻ʸ on, with a = n/2, y = x/2.
pub(super) fn share_above(x: f64, n: usize) -> f64 {
    if n == 0 {
        return 1.0;
    }
    let y = 0.5 * x.max(0.0);
    // yᵃ e⁻ʸ/Γ(a + 1), and a.
    let (mut share, mut term, mut a) = match n % 2 {
        0 => (portable::exp(-y), portable::exp(-y) * y, 1.0),
        // Γ(3/2) = √π/2; erfc √y = 2 (1 − Φ(√(2 y))).
        _ => (
            2.0 * normal::share_below(-(2.0 * y).sqrt()),
            portable::exp(-y) * y.sqrt() * 2.0 / std::f64::consts::PI.sqrt(),
            0.5,
        ),
    };
    while 2.0 * a + 0.5 < n as f64 {
        share += term;
        a += 1.0;
        term *= y / a;
    }
    share.min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::distribution::{ChiSquared, ContinuousCDF};

    #[test]
    fn the_tail_is_that_of_another_library() {
        for n in 1..40_usize {
            let theirs = ChiSquared::new(n as f64).expect("a distribution");
            for x in [0.0, 0.1, 1.0, 3.3, 9.0, 25.0, 80.0] {
                let (ours, theirs) = (share_above(x, n), theirs.sf(x));
                assert!((ours - theirs).abs() < 1e-10, "{n}, {x}: {ours}, {theirs}");
            }
        }
    }
}
