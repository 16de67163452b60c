//! From a draw between 0 and 1 to a value of a quantity.

use super::normal;
use crate::keys::quantity::{Quantity, Spread};
use crate::portable;

/// The value below which the share `u` of a quantity's distribution lies, cut off at `bounds` (SI,
/// lowest and highest value allowed): with F the distribution's own share below,
/// F⁻¹(F(low) + u (F(high) − F(low))).
///
/// A quantity without a spread, declared exact or with a spread of no width, is what it is.
pub fn value_at(quantity: &Quantity, bounds: (f64, f64), u: f64) -> f64 {
    let value = quantity.value;
    let drawn = match quantity.spread {
        Some(Spread::Normal { sd }) if sd > 0.0 => cut(
            |x| normal::share_below((x - value) / sd),
            |share| value + sd * normal::quantile(share),
            bounds,
            u,
        ),
        Some(Spread::LogNormal { sd_log }) if value > 0.0 && sd_log > 0.0 => cut(
            |x| match x > 0.0 {
                true => normal::share_below(portable::ln(x / value) / sd_log),
                false => 0.0,
            },
            |share| value * portable::exp(sd_log * normal::quantile(share)),
            bounds,
            u,
        ),
        Some(Spread::Uniform { low, high }) if low < high => cut(
            |x| ((x - low) / (high - low)).clamp(0.0, 1.0),
            |share| low + share * (high - low),
            bounds,
            u,
        ),
        Some(Spread::Triangular { low, high }) if low < high && low <= value && value <= high => {
            let peak = Peak { low, high, top: value };
            cut(|x| peak.share_below(x), |share| peak.quantile(share), bounds, u)
        }
        _ => value,
    };
    drawn.clamp(bounds.0, bounds.1)
}

fn cut(
    share_below: impl Fn(f64) -> f64,
    quantile: impl Fn(f64) -> f64,
    (low, high): (f64, f64),
    u: f64,
) -> f64 {
    let (from, to) = (share_below(low), share_below(high));
    quantile(from + u * (to - from))
}

/// A triangular distribution.
struct Peak {
    low: f64,
    high: f64,
    top: f64,
}

impl Peak {
    /// (x − low)²/(width · rise) up to the top, 1 − (high − x)²/(width · fall) beyond.
    fn share_below(&self, x: f64) -> f64 {
        let (width, x) = (self.high - self.low, x.clamp(self.low, self.high));
        match x <= self.top && self.top > self.low {
            true => (x - self.low) * (x - self.low) / (width * (self.top - self.low)),
            false if self.high > self.top => {
                1.0 - (self.high - x) * (self.high - x) / (width * (self.high - self.top))
            }
            false => 1.0,
        }
    }

    fn quantile(&self, share: f64) -> f64 {
        let (width, rise) = (self.high - self.low, self.top - self.low);
        match share * width <= rise {
            true => self.low + (share * width * rise).sqrt(),
            false => self.high - ((1.0 - share) * width * (self.high - self.top)).sqrt(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::draws::column;
    use super::*;
    use statrs::distribution::{ContinuousCDF, LogNormal, Normal, Triangular};

    const FREE: (f64, f64) = (-1e9, 1e9);

    /// Quantiles of the standard normal distribution: 1.2816 at 90 %, 1.6449 at 95 % (any table).
    #[test]
    fn quantiles_are_those_of_the_tables() {
        let normal = Quantity { value: 5.0, spread: Some(Spread::Normal { sd: 2.0 }) };
        for (u, z) in [(0.5, 0.0), (0.9, 1.281_551_6), (0.95, 1.644_853_6), (0.1, -1.281_551_6)] {
            assert!((value_at(&normal, FREE, u) - (5.0 + 2.0 * z)).abs() < 1e-6, "{u}");
        }
        let log = Quantity { value: 5.0, spread: Some(Spread::LogNormal { sd_log: 0.3 }) };
        assert!((value_at(&log, FREE, 0.9) - 5.0 * (0.3_f64 * 1.281_551_6).exp()).abs() < 1e-5);
        let even = Quantity { value: 5.0, spread: Some(Spread::Uniform { low: 4.0, high: 8.0 }) };
        assert!((value_at(&even, FREE, 0.25) - 5.0).abs() < 1e-12);
        // Triangle from 0 to 4 with its peak at 1: F(1) = 1/4, and above it 1 − (4 − x)²/12.
        let peak =
            Quantity { value: 1.0, spread: Some(Spread::Triangular { low: 0.0, high: 4.0 }) };
        assert!((value_at(&peak, FREE, 0.25) - 1.0).abs() < 1e-9);
        assert!((value_at(&peak, FREE, 0.75) - (4.0 - 3.0_f64.sqrt())).abs() < 1e-9);
    }

    #[test]
    fn bounds_cut_off_and_a_known_value_stays() {
        let normal = Quantity { value: 0.1, spread: Some(Spread::Normal { sd: 1.0 }) };
        for u in [1e-12, 0.01, 0.5, 0.99, 1.0 - 1e-12] {
            let x = value_at(&normal, (0.0, 0.2), u);
            assert!((0.0..=0.2).contains(&x), "{x}");
        }
        assert_eq!(value_at(&Quantity::known(3.0), FREE, 0.9), 3.0);
        let exact = Quantity { value: 3.0, spread: Some(Spread::Exact) };
        assert_eq!(value_at(&exact, FREE, 0.9), 3.0);
        let none = Quantity { value: 3.0, spread: Some(Spread::Normal { sd: 0.0 }) };
        assert_eq!(value_at(&none, FREE, 0.9), 3.0);
    }

    /// Kolmogorov and Smirnov: the largest distance between the share of draws below x and F(x) stays
    /// under 1.63/√n in 99 of 100 sets of independent draws (any table); a hypercube column does better.
    #[test]
    fn draws_fit_their_distribution() {
        for (key, spread) in [
            ("normal", Spread::Normal { sd: 2.0 }),
            ("log", Spread::LogNormal { sd_log: 0.5 }),
            ("even", Spread::Uniform { low: 1.0, high: 9.0 }),
            ("peak", Spread::Triangular { low: 1.0, high: 9.0 }),
        ] {
            let q = Quantity { value: 5.0, spread: Some(spread) };
            let n = 500;
            let mut x: Vec<f64> =
                column(1, key, n).into_iter().map(|u| value_at(&q, FREE, u)).collect();
            x.sort_by(f64::total_cmp);
            let below = |x: f64| match spread {
                Spread::Normal { sd } => Normal::new(5.0, sd).expect("a distribution").cdf(x),
                Spread::LogNormal { sd_log } => {
                    LogNormal::new(5.0_f64.ln(), sd_log).expect("a distribution").cdf(x)
                }
                Spread::Uniform { low, high } => (x - low) / (high - low),
                Spread::Triangular { low, high } => {
                    Triangular::new(low, high, 5.0).expect("a distribution").cdf(x)
                }
                Spread::Exact => unreachable!("no distribution"),
            };
            let distance = (0..n)
                .map(|i| (below(x[i]) - (i as f64 + 0.5) / n as f64).abs())
                .fold(0.0, f64::max);
            assert!(distance < 1.63 / (n as f64).sqrt(), "{key}: {distance}");
            // One draw in each n-th: never further off than one of them.
            assert!(distance <= 1.0 / n as f64, "{key}: {distance}");
        }
    }

    /// Anderson and Darling against a distribution fully known: A² above 3.857 in one of a hundred sets of
    /// independent draws (M. A. Stephens 1974, from memory). Each shape cut off at bounds on both sides, and
    /// only the first 80 of 500 draws, as an interrupted study has them: these are a random sample, which
    /// a hypercube's columns in sorted order would not give.
    #[test]
    fn the_first_draws_of_a_column_fit_each_shape_cut_off() {
        let bounds = (3.0, 8.0);
        for (key, spread) in [
            ("normal", Spread::Normal { sd: 2.0 }),
            ("log", Spread::LogNormal { sd_log: 0.5 }),
            ("even", Spread::Uniform { low: 1.0, high: 9.0 }),
            ("peak", Spread::Triangular { low: 1.0, high: 9.0 }),
        ] {
            let q = Quantity { value: 5.0, spread: Some(spread) };
            let below = |x: f64| match spread {
                Spread::Normal { sd } => Normal::new(5.0, sd).expect("a distribution").cdf(x),
                Spread::LogNormal { sd_log } => {
                    LogNormal::new(5.0_f64.ln(), sd_log).expect("a distribution").cdf(x)
                }
                Spread::Uniform { low, high } => (x - low) / (high - low),
                Spread::Triangular { low, high } => {
                    Triangular::new(low, high, 5.0).expect("a distribution").cdf(x)
                }
                Spread::Exact => unreachable!("no distribution"),
            };
            let cut = |x: f64| (below(x) - below(bounds.0)) / (below(bounds.1) - below(bounds.0));
            for seed in 0..3 {
                let all = column(seed, key, 500);
                let mut f: Vec<f64> =
                    all[..80].iter().map(|u| cut(value_at(&q, bounds, *u))).collect();
                f.sort_by(f64::total_cmp);
                let n = f.len() as f64;
                let sum: f64 = (0..f.len())
                    .map(|i| (2.0 * i as f64 + 1.0) * (f[i].ln() + (1.0 - f[f.len() - 1 - i]).ln()))
                    .sum();
                let a2 = -n - sum / n;
                assert!(a2 < 3.857, "{key}, seed {seed}: {a2}");
            }
        }
    }
}
