//! Kinematic viscosity over temperature: the Walther equation as in ASTM D341.

use crate::measures::{from_mm2_s, to_mm2_s};
use crate::portable;

/// Smallest kinematic viscosity ASTM D341 covers, m²/s.
pub const NU_MIN_M2_S: f64 = 0.21e-6;

/// Largest kinematic viscosity ASTM D341 covers, m²/s.
pub const NU_MAX_M2_S: f64 = 20.0;

/// The Walther equation through two measured points.
///
/// log₁₀ log₁₀ Z = A − B log₁₀ T,  Z = ν + 0.7 + exp(−1.47 − 1.84 ν − 0.51 ν²),
///
/// ν in mm²/s, T in K. The exponential is the standard's term for low viscosity: it counts below
/// 2 mm²/s (where it is 7e-4 and falling fast) and is kept above too, so that the curve has no step.
/// Z is inverted for ν by Newton's method, so that the curve goes through both points exactly; the
/// standard's own closed inverse is an approximation to the same.
///
/// Validity: 0.21 to 2e7 mm²/s, one liquid phase; made for petroleum products. Between −40 and 100 °C
/// glycol fluids follow it within some percent (practice, no source).
/// Source: ASTM D341, Annex A1; Walther, Erdöl und Teer 7 (1931) 382.
///
/// ```
/// use farwheel::fluid::viscosity::Walther;
///
/// let law = Walther::through((233.15, 1200e-6), (373.15, 2.2e-6)).ok_or("points out of range")?;
/// assert!((law.nu_m2_s(233.15) - 1200e-6).abs() < 1e-12);
/// assert!(law.nu_m2_s(293.15) > 10e-6 && law.nu_m2_s(293.15) < 20e-6);
/// # Ok::<(), &'static str>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Walther {
    a: f64,
    b: f64,
}

impl Walther {
    /// Fits both constants through two points, each (temperature in K, kinematic viscosity in m²/s).
    /// `None` if the temperatures are equal or not positive, or a viscosity lies outside
    /// [`NU_MIN_M2_S`] to [`NU_MAX_M2_S`].
    pub fn through(first: (f64, f64), second: (f64, f64)) -> Option<Self> {
        let covered = |(t, nu): (f64, f64)| {
            t > 0.0 && t.is_finite() && (NU_MIN_M2_S..=NU_MAX_M2_S).contains(&nu)
        };
        if !covered(first) || !covered(second) || first.0 == second.0 {
            return None;
        }
        let w = |nu_m2_s: f64| portable::log10(portable::log10(z(to_mm2_s(nu_m2_s))));
        let (t1, t2) = (portable::log10(first.0), portable::log10(second.0));
        let b = (w(first.1) - w(second.1)) / (t2 - t1);
        Some(Self { a: w(first.1) + b * t1, b })
    }

    /// Kinematic viscosity at a temperature in K, m²/s.
    pub fn nu_m2_s(&self, temperature_k: f64) -> f64 {
        let w = self.a - self.b * portable::log10(temperature_k);
        from_mm2_s(nu_mm2_s(portable::powf(10.0, portable::powf(10.0, w))))
    }
}

/// Z of a kinematic viscosity in mm²/s.
fn z(nu: f64) -> f64 {
    nu + 0.7 + low_term(nu)
}

fn low_term(nu: f64) -> f64 {
    portable::exp(-1.47 - 1.84 * nu - 0.51 * nu * nu)
}

/// Kinematic viscosity in mm²/s at which Z takes this value (Z > 1).
fn nu_mm2_s(z: f64) -> f64 {
    // Z is convex and rising in ν, and this start lies above the root: Newton falls onto it.
    let mut nu = z - 0.7;
    for _ in 0..50 {
        let term = low_term(nu);
        let step = (nu + 0.7 + term - z) / (1.0 - (1.84 + 1.02 * nu) * term);
        nu -= step;
        if step.abs() <= 1e-15 * nu {
            break;
        }
    }
    nu
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_that_no_curve_can_take_are_refused() {
        let good = (373.15, 2e-6);
        for bad in [
            (373.15, 5e-6),
            (0.0, 5e-6),
            (-3.0, 5e-6),
            (300.0, 0.0),
            (300.0, -1e-6),
            (300.0, 0.1e-6),
            (300.0, f64::NAN),
            (f64::NAN, 5e-6),
            (f64::INFINITY, 5e-6),
        ] {
            assert_eq!(Walther::through(good, bad), None, "{bad:?}");
            assert_eq!(Walther::through(bad, good), None, "{bad:?}");
        }
    }

    #[test]
    fn inverse_undoes_z_over_the_whole_range() {
        let mut nu = 0.21;
        while nu < 2e7 {
            assert!((nu_mm2_s(z(nu)) / nu - 1.0).abs() < 1e-12, "{nu}");
            nu *= 1.1;
        }
    }
}
