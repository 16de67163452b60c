//! The tables `[old_fluid]` and `[new_fluid]`.

use super::blend::Fluid;
use super::grade::{Grade, grades};
use super::reading::{TestedAt, Tester};
use crate::keys::LeftOut::{Absent, Required, Source, Text};
use crate::keys::Quantity;
use crate::keys::bounds::{AGE, BOILING_POINT, DENSITY, VISCOSITY_COLD, VISCOSITY_HOT, WATER};
use crate::keys::table::table;
use crate::keys::worded::Word;
use crate::measures::{to_celsius, to_mm2_s};
use std::sync::LazyLock;

table! {
    /// A fluid's own figures, where its maker states them.
    pub struct Figures {
        /// Boiling point without water; absent, typical of the grade.
        pub dry_boiling_point: Option<Quantity> [&BOILING_POINT] = Absent;
        /// Boiling point at the 3.7 % water of the standard's humidified fluid; absent, typical of the grade.
        pub wet_boiling_point: Option<Quantity> [&BOILING_POINT] = Absent;
        /// Kinematic viscosity at -40 °C; absent, typical of the grade.
        pub viscosity_minus_40: Option<Quantity> [&VISCOSITY_COLD] = Absent;
        /// Kinematic viscosity at 100 °C; absent, typical of the grade.
        pub viscosity_100: Option<Quantity> [&VISCOSITY_HOT] = Absent;
        /// Density at 20 °C; absent, typical of the grade.
        pub density: Option<Quantity> [&DENSITY] = Absent;
    }
}

table! {
    /// `[old_fluid]`. Water: over half of a national sample of 1000 cars had 3 % or more, fluid of one age
    /// scattered widely, and no firm link to age was found (J. Keen, *Vapour lock in car braking systems*,
    /// Transport and Road Research Laboratory, LR 903, 1979; read in its published abstract). So 3 %
    /// stands for the middle and the spread, an estimate, is wide. At the wheels fluid almost invariably
    /// boils lower than at the master cylinder (*Test your brake fluid*, Commercial Motor, 6 May 1977,
    /// reporting a tester's maker); by how much is from memory tens of kelvin, of which half a percent of
    /// water to either side is a cautious estimate.
    pub struct OldFluid {
        /// Grade of the fluid, for instance DOT 4.
        pub grade: &'static Grade = Required;
        /// Water in the old fluid, percent of the mass, where no part says otherwise.
        pub water: Quantity [&WATER] = Text("3 % ± 2 %");
        /// Figures.
        pub figures: Figures;
        /// Water in the reservoir's fluid; the default holds only where `water` is left out too, else that counts.
        pub water_reservoir: Option<Quantity> [&WATER] = Text("2.5 % ± 1.5 %");
        /// Water in calipers, wheel cylinders and the clutch's slave cylinder; the default holds only where `water` is left out too, else that counts.
        pub water_wheel_brakes: Option<Quantity> [&WATER] = Text("3.5 % ± 2 %");
        /// Where a tester was dipped; with `tester` and one of its figures this takes the place of the keys for water.
        pub tested_at: Option<TestedAt> = Source;
        /// What kind of tester it is, which tells how far its figure may be off.
        pub tester: Option<Tester> = Source;
        /// Water that the tester shows; a spread takes the place of what such testers are off.
        pub tested_water: Option<Quantity> [&WATER] = Source;
        /// Boiling point that the tester shows; a spread as with `tested_water`.
        pub tested_boiling: Option<Quantity> [&BOILING_POINT] = Source;
        /// Time since the fluid was last changed; it tells nothing of the water, but how far that may lie off. Of a spread the upper end counts.
        pub age: Option<Quantity> [&AGE] = Source;
    }
}

/// Keys of `[old_fluid]` for the water of single places.
pub(crate) const WATER_BY_PLACE: [&str; 2] = ["water_reservoir", "water_wheel_brakes"];

table! {
    /// `[new_fluid]`. Water: fluid from a sealed can holds a trace, 0.1 to 0.2 % (common practice, no source).
    pub struct NewFluid {
        /// Grade of the fluid, for instance DOT 4.
        pub grade: &'static Grade = Required;
        /// Water in the new fluid, percent of the mass.
        pub water: Quantity [&WATER] = Text("0.1 %");
        /// Figures.
        pub figures: Figures;
    }
}

impl OldFluid {
    /// The fluid, with its own figures as far as they are stated.
    pub fn fluid(&self) -> Fluid {
        self.figures.fluid(self.grade, self.water)
    }
}

impl NewFluid {
    /// The fluid, with its own figures as far as they are stated.
    pub fn fluid(&self) -> Fluid {
        self.figures.fluid(self.grade, self.water)
    }
}

impl Figures {
    fn fluid(&self, grade: &'static Grade, water: Quantity) -> Fluid {
        let mut fluid = Fluid::typical(grade);
        let stated = |q: Option<Quantity>, figure: &mut f64, from_si: fn(f64) -> f64| {
            if let Some(q) = q {
                *figure = from_si(q.value);
            }
        };
        stated(self.dry_boiling_point, &mut fluid.dry_c, to_celsius);
        stated(self.wet_boiling_point, &mut fluid.wet_c, to_celsius);
        stated(self.viscosity_minus_40, &mut fluid.nu_minus40_mm2_s, to_mm2_s);
        stated(self.viscosity_100, &mut fluid.nu_100_mm2_s, to_mm2_s);
        stated(self.density, &mut fluid.density_20_kg_m3, |si| si);
        fluid.water_percent = water.value * 100.0;
        fluid
    }
}

/// The first, which stands there before anything is read.
impl Default for &'static Grade {
    fn default() -> Self {
        &grades()[0]
    }
}

impl Word for &'static Grade {
    fn all(&self) -> &'static [&'static str] {
        static NAMES: LazyLock<Vec<&'static str>> =
            LazyLock::new(|| grades().iter().map(|g| g.name).collect());
        &NAMES
    }

    fn also(&self) -> &'static [(&'static str, &'static str)] {
        static ALSO: LazyLock<Vec<(&'static str, &'static str)>> = LazyLock::new(|| {
            grades().iter().flat_map(|g| g.also.iter().map(|also| (*also, g.name))).collect()
        });
        &ALSO
    }

    fn choose(&mut self, index: usize) {
        *self = &grades()[index];
    }
}

#[cfg(test)]
mod tests {
    use super::super::grade::grade;
    use super::*;

    #[test]
    fn a_grade_alone_gives_its_typical_fluid() {
        let dot_4 = grade("DOT 4").expect("known");
        let fluid = NewFluid { grade: dot_4, ..NewFluid::default() }.fluid();
        assert_eq!(fluid, Fluid::typical(dot_4));
    }

    #[test]
    fn every_figure_written_counts_in_the_unit_of_its_field() {
        let si = |value: f64| Some(Quantity::known(value));
        let fluid = OldFluid {
            grade: grade("DOT 3").expect("known"),
            water: Quantity::known(0.025),
            figures: Figures {
                dry_boiling_point: si(483.15),
                wet_boiling_point: si(415.15),
                viscosity_minus_40: si(1.1e-3),
                viscosity_100: si(1.75e-6),
                density: si(1040.0),
            },
            ..OldFluid::default()
        }
        .fluid();
        for (got, expected) in [
            (fluid.dry_c, 210.0),
            (fluid.wet_c, 142.0),
            (fluid.nu_minus40_mm2_s, 1100.0),
            (fluid.nu_100_mm2_s, 1.75),
            (fluid.density_20_kg_m3, 1040.0),
            (fluid.water_percent, 2.5),
        ] {
            assert!((got - expected).abs() < 1e-9 * expected, "{got} {expected}");
        }
    }
}
