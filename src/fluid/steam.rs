//! Vapour pressure of water: IAPWS-IF97, region 4.

use crate::measures::ZERO_CELSIUS_K;
use crate::portable;

/// Triple point of water, K: below it the equation describes no stable liquid.
pub const TRIPLE_K: f64 = 273.16;

/// Critical point of water, K (IAPWS-IF97).
pub const CRITICAL_K: f64 = 647.096;

/// Lower end of the equation, K.
const LOWEST_K: f64 = ZERO_CELSIUS_K;

// Table 34 of IAPWS R7-97(2012): coefficients n1 to n10.
const N: [f64; 10] = [
    0.116_705_214_527_67e4,
    -0.724_213_167_032_06e6,
    -0.170_738_469_400_92e2,
    0.120_208_247_024_70e5,
    -0.323_255_503_223_33e7,
    0.149_151_086_135_30e2,
    -0.482_326_573_615_91e4,
    0.405_113_405_420_57e6,
    -0.238_555_575_678_49,
    0.650_175_348_447_98e3,
];

/// Saturation pressure of water, Pa, or `None` outside 273.15 to 647.096 K.
///
/// With ϑ = T + n₉/(T − n₁₀):  A = ϑ² + n₁ϑ + n₂, B = n₃ϑ² + n₄ϑ + n₅, C = n₆ϑ² + n₇ϑ + n₈,
/// p = (2C / (−B + √(B² − 4AC)))⁴ MPa.
///
/// - `temperature_k`: temperature, K
///
/// Source: IAPWS R7-97(2012), Revised Release on the IAPWS Industrial Formulation 1997,
/// section 8.1, equation 30.
///
/// ```
/// use farwheel::fluid::steam::saturation_pressure_pa;
///
/// // Water boils at 1 atm at 99.97 °C.
/// let p = saturation_pressure_pa(373.124).expect("between triple and critical point");
/// assert!((p - 101_325.0).abs() < 10.0);
/// assert!(saturation_pressure_pa(700.0).is_none());
/// ```
pub fn saturation_pressure_pa(temperature_k: f64) -> Option<f64> {
    if !(LOWEST_K..=CRITICAL_K).contains(&temperature_k) {
        return None;
    }
    let theta = temperature_k + N[8] / (temperature_k - N[9]);
    let a = (theta + N[0]) * theta + N[1];
    let b = (N[2] * theta + N[3]) * theta + N[4];
    let c = (N[5] * theta + N[6]) * theta + N[7];
    let root_mpa = 2.0 * c / (-b + (b * b - 4.0 * a * c).sqrt());
    Some(portable::powi(root_mpa, 4) * 1e6)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_outside_its_range() {
        for t in [0.0, -5.0, 273.0, 647.1, f64::NAN, f64::INFINITY] {
            assert_eq!(saturation_pressure_pa(t), None, "{t}");
        }
        assert!(saturation_pressure_pa(LOWEST_K).is_some());
        assert!(saturation_pressure_pa(CRITICAL_K).is_some());
    }

    #[test]
    fn rises_all_the_way() {
        let mut last = 0.0;
        for i in 0..=3739 {
            let p = saturation_pressure_pa(273.15 + f64::from(i) * 0.1).expect("in range");
            assert!(p > last);
            last = p;
        }
    }
}
