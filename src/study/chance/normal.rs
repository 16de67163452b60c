//! The standard normal distribution.

use crate::portable;

/// Share of the distribution below z, Φ(z) = erfc(−z/√2)/2.
///
/// ```
/// let share = farwheel::study::chance::normal::share_below(1.281_551_565_544_600_5);
/// assert!((share - 0.9).abs() < 1e-15);
/// ```
pub fn share_below(z: f64) -> f64 {
    0.5 * portable::erfc(-z * std::f64::consts::FRAC_1_SQRT_2)
}

/// z below which the share `p` (0 to 1) of the distribution lies; −∞ at 0, ∞ at 1.
///
/// Valid for all p; relative error about 1e-16.
/// Source: M. J. Wichura, algorithm AS 241 (PPND16), *Applied Statistics* 37 (1988), pp. 477–484.
///
/// ```
/// let z = farwheel::study::chance::normal::quantile(0.9);
/// assert!((z - 1.281_551_565_544_600_5).abs() < 1e-15);
/// ```
pub fn quantile(p: f64) -> f64 {
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180_625 - q * q;
        return q * polynomial(&CENTRE.0, r) / polynomial(&CENTRE.1, r);
    }
    let tail = if q < 0.0 { p } else { 1.0 - p };
    if tail <= 0.0 {
        return f64::INFINITY.copysign(q);
    }
    let r = (-portable::ln(tail)).sqrt();
    let z = if r <= 5.0 {
        polynomial(&NEAR.0, r - 1.6) / polynomial(&NEAR.1, r - 1.6)
    } else {
        polynomial(&FAR.0, r - 5.0) / polynomial(&FAR.1, r - 5.0)
    };
    z.copysign(q)
}

/// Σ aₖ xᵏ.
fn polynomial(coefficients: &[f64; 8], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, a| sum * x + a)
}

/// Numerator and denominator of AS 241 for |p − ½| ≤ 0.425.
const CENTRE: ([f64; 8], [f64; 8]) = (
    [
        3.387_132_872_796_366_6,
        133.141_667_891_784_38,
        1_971.590_950_306_551_4,
        13_731.693_765_509_46,
        45_921.953_931_549_87,
        67_265.770_927_008_7,
        33_430.575_583_588_13,
        2_509.080_928_730_122_7,
    ],
    [
        1.0,
        42.313_330_701_600_91,
        687.187_007_492_057_9,
        5_394.196_021_424_751,
        21_213.794_301_586_597,
        39_307.895_800_092_71,
        28_729.085_735_721_943,
        5_226.495_278_852_854,
    ],
);

/// The same for √(−ln of the tail) up to 5.
const NEAR: ([f64; 8], [f64; 8]) = (
    [
        1.423_437_110_749_683_5,
        4.630_337_846_156_546,
        5.769_497_221_460_691,
        3.647_848_324_763_204_5,
        1.270_458_252_452_368_4,
        0.241_780_725_177_450_6,
        0.022_723_844_989_269_184,
        7.745_450_142_783_414e-4,
    ],
    [
        1.0,
        2.053_191_626_637_759,
        1.676_384_830_183_803_8,
        0.689_767_334_985_1,
        0.148_103_976_427_480_08,
        0.015_198_666_563_616_457,
        5.475_938_084_995_345e-4,
        1.050_750_071_644_416_9e-9,
    ],
);

/// The same beyond.
const FAR: ([f64; 8], [f64; 8]) = (
    [
        6.657_904_643_501_103,
        5.463_784_911_164_114,
        1.784_826_539_917_291_3,
        0.296_560_571_828_504_9,
        0.026_532_189_526_576_124,
        0.001_242_660_947_388_078_4,
        2.711_555_568_743_487_6e-5,
        2.010_334_399_292_288_1e-7,
    ],
    [
        1.0,
        0.599_832_206_555_888,
        0.136_929_880_922_735_8,
        0.014_875_361_290_850_615,
        7.868_691_311_456_133e-4,
        1.846_318_317_510_054_8e-5,
        1.421_511_758_316_446e-7,
        2.044_263_103_389_939_8e-15,
    ],
);

#[cfg(test)]
mod tests {
    use super::*;

    /// Quantiles by a multi-precision library (mpmath, 60 digits), some on each of the three branches.
    #[test]
    fn quantiles_to_the_last_digits() {
        for (p, z) in [
            (1e-300, -37.047_096_299_361_2),
            (1e-100, -21.273_453_560_965_324),
            (1e-20, -9.262_340_089_798_408),
            (1e-10, -6.361_340_902_404_056),
            (1e-5, -4.264_890_793_922_825),
            (0.001, -3.090_232_306_167_813_5),
            (0.0249, -1.961_677_869_063_786),
            (0.0751, -1.438_825_392_752_54),
            (0.1, -1.281_551_565_544_600_4),
            (0.25, -0.674_489_750_196_081_7),
            (0.4, -0.253_347_103_135_799_7),
            (0.6, 0.253_347_103_135_799_7),
            (0.9, 1.281_551_565_544_600_6),
            (0.95, 1.644_853_626_951_472_3),
            (0.999, 3.090_232_306_167_813),
            (1.0 - 2.0_f64.powi(-40), 7.047_700_256_664_409),
        ] {
            let here = quantile(p);
            assert!((here / z - 1.0).abs() < 1e-15, "{p}: {here}, {z}");
        }
    }

    /// Shares by the same. Rounding z moves them by up to z² times what it moves z.
    #[test]
    fn shares_to_the_last_digits() {
        for (z, p) in [
            (-38.0, 2.885_428_35e-316),
            (-20.0, 2.753_624_118_606_233_7e-89),
            (-8.0, 6.220_960_574_271_784e-16),
            (-3.0, 0.001_349_898_031_630_094_5),
            (-1.281_551_565_544_600_4, 0.1),
            (-0.5, 0.308_537_538_725_986_9),
            (0.0, 0.5),
            (1.0, 0.841_344_746_068_543),
            (3.0, 0.998_650_101_968_37),
            (6.0, 0.999_999_999_013_412_4),
        ] {
            let here = share_below(z);
            assert!((here / p - 1.0).abs() < 2.3e-16 * (1.0 + z * z), "{z}: {here}, {p}");
        }
    }

    #[test]
    fn ends() {
        assert_eq!(quantile(0.0), f64::NEG_INFINITY);
        assert_eq!(quantile(1.0), f64::INFINITY);
        assert_eq!(quantile(0.5), 0.0);
        assert_eq!((share_below(f64::NEG_INFINITY), share_below(f64::INFINITY)), (0.0, 1.0));
    }
}
