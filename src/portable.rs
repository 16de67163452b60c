//! Elementary functions that give the same bits on every machine and in every build.
//!
//! The standard library hands `exp`, `ln`, `powf` and their kind to the C library of the system, whose last
//! digits differ from one system and one version to the next, and leaves open how `powi` multiplies. Here they
//! are those of the `libm` crate, in plain arithmetic; addition, multiplication, division and the square root
//! are exact to the last bit anywhere (IEEE 754). Any room may import this file, it imports none, and
//! `clippy.toml` keeps the others from going round it.

/// eˣ.
#[inline]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// eˣ − 1, exact for small x too.
#[inline]
pub fn exp_m1(x: f64) -> f64 {
    libm::expm1(x)
}

/// Natural logarithm.
#[inline]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// ln(1 + x), exact for small x too.
#[inline]
pub fn ln_1p(x: f64) -> f64 {
    libm::log1p(x)
}

/// Logarithm to base 10.
#[inline]
pub fn log10(x: f64) -> f64 {
    libm::log10(x)
}

/// x to any power.
#[inline]
pub fn powf(x: f64, power: f64) -> f64 {
    libm::pow(x, power)
}

/// x to a whole power, by repeated squaring; a negative power is the reciprocal of the positive one.
///
/// ```
/// assert_eq!(farwheel::portable::powi(-2.0, 5), -32.0);
/// assert_eq!(farwheel::portable::powi(2.0, -2), 0.25);
/// assert_eq!(farwheel::portable::powi(7.0, 0), 1.0);
/// ```
#[inline]
pub fn powi(x: f64, power: i32) -> f64 {
    let (mut result, mut square, mut left) = (1.0, x, power.unsigned_abs());
    while left > 0 {
        if left % 2 == 1 {
            result *= square;
        }
        square *= square;
        left /= 2;
    }
    if power < 0 { 1.0 / result } else { result }
}

/// √(x² + y²).
#[inline]
pub fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}

/// Complementary error function.
#[inline]
pub fn erfc(x: f64) -> f64 {
    libm::erfc(x)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ulps(a: f64, b: f64) -> u64 {
        a.to_bits().abs_diff(b.to_bits())
    }

    /// Within a unit of the last place of the true values, by a multi-precision library (mpmath, 50 digits).
    #[test]
    fn as_good_as_any_library() {
        for (what, here, bits) in [
            ("e^1", exp(1.0), 0x4005_bf0a_8b14_5769),
            ("e^-0.1", exp(-0.1), 0x3fec_f46d_99d5_2b3a),
            ("e^-3.7", exp(-3.7), 0x3f99_511f_c687_1044),
            ("e^12.5", exp(12.5), 0x4110_60c5_2565_ba66),
            ("e^-700.25", exp(-700.25), 0x00ca_f5fe_9a48_5c8e),
            ("e^-1e-9 - 1", exp_m1(-1e-9), 0xbe11_2e0b_e801_f1d9),
            ("e^-0.3 - 1", exp_m1(-0.3), 0xbfd0_966f_2c79_07f6),
            ("e^-40 - 1", exp_m1(-40.0), 0xbff0_0000_0000_0000),
            ("ln 0.2", ln(0.2), 0xbff9_c041_f7ed_8d33),
            ("ln 1.0000001", ln(1.000_000_1), 0x3e7a_d7f2_847b_6492),
            ("ln 15.7", ln(15.7), 0x4006_077f_447e_bba3),
            ("ln 1e-12", ln(1e-12), 0xc03b_a18a_998f_ffa0),
            ("ln(1 + 1e-9)", ln_1p(1e-9), 0x3e11_2e0b_e801_f1d9),
            ("ln(1 - 0.3)", ln_1p(-0.3), 0xbfd6_d3c3_24e1_3f4e),
            ("ln(1 + 0.04)", ln_1p(0.04), 0x3fa4_14bc_c0a3_6658),
            ("lg 293.15", log10(293.15), 0x4003_bc99_a0f3_82cb),
            ("lg 7.3", log10(7.3), 0x3feb_a057_4343_68c8),
            ("lg 1e-5", log10(1e-5), 0xc014_0000_0000_0000),
            ("0.9^8", powf(0.9, 8.0), 0x3fdb_8cc6_573c_d2c6),
            ("10^0.37", powf(10.0, 0.37), 0x4002_c0fb_0981_1e7e),
            ("(7/1800)^0.9", powf(7.0 / 1800.0, 0.9), 0x3f7b_bf04_85a3_5106),
            ("3e-13^(1/12)", powf(3e-13, 1.0 / 12.0), 0x3fb7_27fa_c855_5c7e),
            ("|1.7, -0.3|", hypot(1.7, -0.3), 0x3ffb_9eca_d3d9_7ff8),
            ("erfc 0.9", erfc(0.9), 0x3fc9_fee9_64dd_7469),
            ("erfc -0.2", erfc(-0.2), 0x3ff3_9030_9716_4be3),
            ("erfc 5", erfc(5.0), 0x3d7b_0c1a_759f_7739),
        ] {
            assert!(ulps(here, f64::from_bits(bits)) <= 1, "{what}: {here}");
        }
        // A product of many factors gathers their roundings.
        assert!(ulps(powi(1.3, 15), f64::from_bits(0x4049_97cb_57a0_0992)) <= 8);
        assert!(ulps(powi(0.0033, 4), f64::from_bits(0x3de0_4c96_acbb_a402)) <= 2);
    }

    /// The bits of many answers, folded up. A regression value: on another machine or in another build it must be the same.
    #[test]
    fn the_same_bits_everywhere() {
        let mut folded = 0_u64;
        let mut take = |x: f64| folded = folded.rotate_left(7) ^ x.to_bits();
        for k in 1..20_000_i32 {
            let x = f64::from(k) / 997.0;
            let answers = [exp(-x), ln(x), ln_1p(x), log10(x), powf(x, 0.9), powi(x, k % 20 - 9)];
            answers.into_iter().for_each(&mut take);
            take(hypot(x, 1.3));
            take(erfc(0.3 * x - 2.0));
        }
        assert_eq!(folded, 0x0499_1323_47a9_6494, "{folded:#018x}");
    }
}
