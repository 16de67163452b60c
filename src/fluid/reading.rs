//! What a tester says of old fluid: where it was dipped, what kind it is, its figure, and how far off it may be; and
//! what follows for the fluid elsewhere.

use super::blend::Fluid;
use crate::keys::Quantity;
use crate::keys::worded::worded;
use crate::measures::to_celsius;
use crate::portable;

worded! {
    /// Where a tester was dipped.
    pub enum TestedAt {
        /// In the reservoir.
        Reservoir = "reservoir",
        /// In what came out of a bleeder.
        Bleeder = "bleeder",
    }
}

worded! {
    /// What kind of tester it is.
    pub enum Tester {
        /// A pen that measures how well the fluid conducts.
        Pen = "pen",
        /// A strip that changes colour.
        Strip = "strip",
        /// A refractometer.
        Refractometer = "refractometer",
        /// A tester that boils a sample.
        Boiling = "boiling point",
    }
}

impl Tester {
    /// How far it may be off, as a share of the mass in water, nine in ten within (common practice, no source).
    pub const fn error(self) -> f64 {
        match self {
            Self::Pen => 0.010,
            Self::Strip => 0.012,
            Self::Refractometer => 0.005,
            Self::Boiling => 0.007,
        }
    }
}

/// What it shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Figure {
    /// Water, share of the mass.
    Water(f64),
    /// Boiling point, K.
    Boiling(f64),
}

/// A tester's reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Where it was dipped.
    pub at: TestedAt,
    /// What it shows.
    pub figure: Figure,
    /// How far off that may be, as a share of the mass in water, nine in ten within.
    pub error: f64,
}

/// Water of old fluid by place, share of the mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ByPlace {
    /// In the reservoir.
    pub reservoir: Quantity,
    /// Where neither of the others is.
    pub elsewhere: Quantity,
    /// In calipers and wheel cylinders.
    pub wheel_brakes: Quantity,
}

/// Fluid in lines holds so much more water than the reservoir's, and that in wheel brakes so much more again: as the
/// defaults of `[old_fluid]`, whose table says why.
pub const A_PLACE_FURTHER: f64 = 0.005;
/// How far water that is written without a spread may be off, as a share of it, nine in ten within (estimate).
pub const OFF: f64 = 0.4;
/// How far the difference between two places may be off, nine in ten within (estimate, no source).
pub const DIFFERENCE_OFF: f64 = 0.007;
/// Old fluid holds no less water than this: what new fluid has taken up by the time it is poured.
pub const LEAST: f64 = 0.002;
/// Most that is told of old fluid.
const MOST: f64 = 0.10;

/// Water at which a fluid boils at so many kelvin, share of the mass: that of its own curve, found by halving.
fn water_that_boils_at(kelvin: f64, fluid: &Fluid) -> f64 {
    let (law, wanted) = (fluid.boiling(), to_celsius(kelvin));
    let (mut low, mut high) = (0.0, 100.0 * MOST);
    // Forty halvings of ten percent are below any figure that is shown.
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if law.boiling_c(middle) > wanted { low = middle } else { high = middle }
    }
    0.01 * low
}

impl Figure {
    /// The water that it stands for, share of the mass.
    pub fn water(self, fluid: &Fluid) -> f64 {
        match self {
            Self::Water(share) => share,
            Self::Boiling(kelvin) => water_that_boils_at(kelvin, fluid),
        }
    }

    /// How far off in water it is where it may be off by `half` in its own unit.
    pub fn off(self, half: f64, fluid: &Fluid) -> f64 {
        match self {
            Self::Water(_) => half,
            Self::Boiling(kelvin) => {
                let at = |kelvin| water_that_boils_at(kelvin, fluid);
                0.5 * (at(kelvin - half) - at(kelvin + half))
            }
        }
    }
}

impl Reading {
    /// The water of every place; `apart` is how far the differences between places may be off, as a multiple of what
    /// they usually are.
    pub fn by_place(&self, fluid: &Fluid, apart: f64) -> ByPlace {
        let here = self.figure.water(fluid);
        let reservoir = match self.at {
            TestedAt::Reservoir => here,
            TestedAt::Bleeder => here - 2.0 * A_PLACE_FURTHER,
        };
        let far = portable::hypot(self.error, apart * DIFFERENCE_OFF);
        let (at_reservoir, at_wheels) = match self.at {
            TestedAt::Reservoir => (self.error, far),
            TestedAt::Bleeder => (far, self.error),
        };
        let at = |share: f64, off: f64| Quantity::within(share.clamp(LEAST, MOST), off);
        ByPlace {
            reservoir: at(reservoir, at_reservoir),
            elsewhere: at(reservoir + A_PLACE_FURTHER, far),
            wheel_brakes: at(reservoir + 2.0 * A_PLACE_FURTHER, at_wheels),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::grade::grade;
    use super::*;
    use crate::measures::ZERO_CELSIUS_K;

    fn dot_4() -> Fluid {
        Fluid::typical(grade("DOT 4").expect("known"))
    }

    /// What a tester shows that boils the fluid with so much water.
    fn boils_with(percent: f64) -> Figure {
        Figure::Boiling(dot_4().boiling().boiling_c(percent) + ZERO_CELSIUS_K)
    }

    fn percents(at: TestedAt, percent: f64) -> [f64; 3] {
        let reading = Reading { at, figure: Figure::Water(0.01 * percent), error: 0.01 };
        let water = reading.by_place(&dot_4(), 1.0);
        [water.reservoir, water.elsewhere, water.wheel_brakes].map(|q| 100.0 * q.value)
    }

    fn near(got: [f64; 3], expected: [f64; 3]) {
        assert!(got.iter().zip(expected).all(|(g, e)| (g - e).abs() < 1e-9), "{got:?}");
    }

    #[test]
    fn degrees_are_the_water_that_boils_there() {
        for percent in [0.5, 3.0, 6.0] {
            assert!((100.0 * boils_with(percent).water(&dot_4()) - percent).abs() < 1e-6);
        }
    }

    /// A tester that boils and one that shows percent are off alike where they say the same.
    #[test]
    fn degrees_off_are_the_water_between_them() {
        let (low, high) = (boils_with(3.5), boils_with(2.5));
        let (Figure::Boiling(low), Figure::Boiling(high)) = (low, high) else { unreachable!() };
        let off = Figure::Boiling(0.5 * (low + high)).off(0.5 * (high - low), &dot_4());
        assert!((off - 0.005).abs() < 1e-8, "{off}");
        assert_eq!(Figure::Water(0.03).off(0.005, &dot_4()), 0.005);
    }

    #[test]
    fn a_reading_in_one_place_moves_the_others_with_it() {
        near(percents(TestedAt::Reservoir, 4.5), [4.5, 5.0, 5.5]);
        near(percents(TestedAt::Bleeder, 5.5), [4.5, 5.0, 5.5]);
        near(percents(TestedAt::Bleeder, 0.1), [0.2, 0.2, 0.2]);
    }

    #[test]
    fn where_it_was_dipped_it_is_off_by_the_tester_alone() {
        for (at, here) in [(TestedAt::Reservoir, 0), (TestedAt::Bleeder, 2)] {
            let reading = Reading { at, figure: Figure::Water(0.04), error: 0.012 };
            let water = reading.by_place(&dot_4(), 1.5);
            let off =
                [water.reservoir, water.elsewhere, water.wheel_brakes].map(|q| q.half_width());
            for (place, off) in off.into_iter().enumerate() {
                let more = if place == here { 0.0 } else { 1.5 * DIFFERENCE_OFF };
                assert!((off * off - 0.012 * 0.012 - more * more).abs() < 1e-12, "{place}: {off}");
            }
        }
    }
}
