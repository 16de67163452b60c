//! A fluid's figures against its grade, and against each other.

use super::blend::Fluid;
use super::grade::{Family, Grade};
use super::viscosity::{NU_MAX_M2_S, NU_MIN_M2_S};
use crate::measures::from_mm2_s;
use std::fmt;

/// A figure on the wrong side of its grade's limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shortfall {
    /// Which figure, in words.
    pub what: &'static str,
    /// Its value.
    pub value: f64,
    /// The limit it misses.
    pub limit: f64,
    /// Unit of both.
    pub unit: &'static str,
    /// True if the limit is a largest value, false if it is a least one.
    pub limit_is_max: bool,
}

impl fmt::Display for Shortfall {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (what, value, unit, limit) = (self.what, self.value, self.unit, self.limit);
        let side = if self.limit_is_max { "at most" } else { "at least" };
        write!(f, "{what} {value} {unit}, where the grade asks for {side} {limit} {unit}")
    }
}

/// The figures of a fluid that miss the limits of its grade; empty if none does.
///
/// ```
/// use farwheel::fluid::{blend::Fluid, grade::grade, judge::shortfalls};
///
/// let mut fluid = Fluid::typical(grade("DOT 4").ok_or("no such grade")?);
/// assert!(shortfalls(&fluid).is_empty());
/// fluid.dry_c = 225.0;
/// assert_eq!(
///     shortfalls(&fluid)[0].to_string(),
///     "dry boiling point 225 °C, where the grade asks for at least 230 °C"
/// );
/// # Ok::<(), &'static str>(())
/// ```
pub fn shortfalls(fluid: &Fluid) -> Vec<Shortfall> {
    let g = fluid.grade;
    [
        ("dry boiling point", fluid.dry_c, g.dry_min_c, "°C", false),
        ("wet boiling point", fluid.wet_c, g.wet_min_c, "°C", false),
        ("viscosity at −40 °C", fluid.nu_minus40_mm2_s, g.nu_minus40_max_mm2_s, "mm²/s", true),
        ("viscosity at 100 °C", fluid.nu_100_mm2_s, g.nu_100_min_mm2_s, "mm²/s", false),
    ]
    .into_iter()
    .filter_map(|(what, value, limit, unit, limit_is_max)| {
        let limit = limit?;
        let missed = if limit_is_max { value > limit } else { value < limit };
        missed.then_some(Shortfall { what, value, limit, unit, limit_is_max })
    })
    .collect()
}

/// By how many kelvin a boiling point in °C lies below the grade's wet minimum; `None` if it does
/// not, or if the grade has none.
pub fn below_wet_minimum_k(grade: &Grade, boiling_c: f64) -> Option<f64> {
    let short = grade.wet_min_c? - boiling_c;
    (short > 0.0).then_some(short)
}

/// Figures of one fluid that contradict each other or the laws they feed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// The viscosity at −40 °C is not above that at 100 °C.
    ViscosityDoesNotFall,
    /// A viscosity lies outside what the Walther equation covers.
    ViscosityNotCovered,
    /// The wet boiling point is not below the dry one.
    WetNotBelowDry,
    /// The wet boiling point is below that of water.
    WetBelowWater,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::ViscosityDoesNotFall => {
                "the viscosity at −40 °C must be larger than that at 100 °C"
            }
            Self::ViscosityNotCovered => "viscosities must lie between 0.21 and 20 000 000 mm²/s",
            Self::WetNotBelowDry => "the wet boiling point must be below the dry one",
            Self::WetBelowWater => "the wet boiling point cannot be below 100 °C, that of water",
        })
    }
}

/// What in a fluid's figures contradicts itself; empty if nothing does. Laws fed with such figures
/// give numbers, but not meaningful ones: whoever reads a scenario must refuse it.
pub fn faults(fluid: &Fluid) -> Vec<Fault> {
    let mut found = Vec::new();
    let covered = |mm2_s: f64| (NU_MIN_M2_S..=NU_MAX_M2_S).contains(&from_mm2_s(mm2_s));
    // Asked as "not below", so that NaN counts as a fault.
    let below = |a: f64, b: f64| a < b;
    if !below(fluid.nu_100_mm2_s, fluid.nu_minus40_mm2_s) {
        found.push(Fault::ViscosityDoesNotFall);
    }
    if !covered(fluid.nu_minus40_mm2_s) || !covered(fluid.nu_100_mm2_s) {
        found.push(Fault::ViscosityNotCovered);
    }
    // The other families do not use a wet point.
    if fluid.grade.family == Family::Glycol {
        if !below(fluid.wet_c, fluid.dry_c) {
            found.push(Fault::WetNotBelowDry);
        }
        if below(fluid.wet_c, 100.0) {
            found.push(Fault::WetBelowWater);
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fluid::grade::grade;

    fn dot_4() -> Fluid {
        Fluid::typical(grade("DOT 4").expect("known"))
    }

    #[test]
    fn each_limit_is_judged_on_its_own_side() {
        let spoilt = Fluid {
            dry_c: 229.0,
            wet_c: 154.0,
            nu_minus40_mm2_s: 1801.0,
            nu_100_mm2_s: 1.4,
            ..dot_4()
        };
        let limits: Vec<f64> = shortfalls(&spoilt).iter().map(|s| s.limit).collect();
        assert_eq!(limits, [230.0, 155.0, 1800.0, 1.5]);
        let exactly_at = Fluid {
            dry_c: 230.0,
            wet_c: 155.0,
            nu_minus40_mm2_s: 1800.0,
            nu_100_mm2_s: 1.5,
            ..dot_4()
        };
        assert_eq!(shortfalls(&exactly_at), vec![]);
    }

    #[test]
    fn wet_minimum_speaks_only_below_it() {
        let dot_4 = grade("DOT 4").expect("known");
        assert_eq!(below_wet_minimum_k(dot_4, 150.0), Some(5.0));
        assert_eq!(below_wet_minimum_k(dot_4, 155.0), None);
        assert_eq!(below_wet_minimum_k(grade("mineral oil").expect("known"), 90.0), None);
    }

    #[test]
    fn contradictions_are_named() {
        for (spoilt, fault) in [
            (Fluid { nu_minus40_mm2_s: 2.0, ..dot_4() }, Fault::ViscosityDoesNotFall),
            (Fluid { nu_100_mm2_s: 0.1, ..dot_4() }, Fault::ViscosityNotCovered),
            (Fluid { wet_c: 260.0, ..dot_4() }, Fault::WetNotBelowDry),
            (Fluid { wet_c: 99.0, ..dot_4() }, Fault::WetBelowWater),
            (Fluid { dry_c: f64::NAN, ..dot_4() }, Fault::WetNotBelowDry),
        ] {
            assert_eq!(faults(&spoilt), [fault], "{fault}");
        }
    }
}
