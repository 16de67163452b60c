//! One fluid and its figures; old and new fluid mixed in any proportion.
//!
//! Mixing rules (old fraction φ is a share of volume):
//! - viscosity: ln ν = φ ln ν_old + (1 − φ) ln ν_new (Arrhenius, Z. phys. Chem. 1 (1887) 285); good
//!   within some percent for fluids as alike as two brake fluids of one family, more when their
//!   viscosities differ tenfold. Water is left out: a few percent shift ν by less than two
//!   data sheets of one grade differ (practice, no source).
//! - density: volumes add up, ρ = φ ρ_old + (1 − φ) ρ_new. Water is left out (its density is
//!   within 6 % of the fluid's: 3 % of it shift the mixture by under 0.2 %).
//! - water: ideal volumes at 20 °C, see [`super::water`], with the dry fluid's density as above.
//! - boiling point: bubble point of three components, water and both dry fluids each with its own
//!   vapour pressure, ideal among themselves; ln γ_w = φ ln γ_old + (1 − φ) ln γ_new (the volume
//!   average of the logarithms, as for infinite dilution in an ideal mixed solvent). At φ = 0 and
//!   φ = 1 each fluid's own curve comes out. More water never raises the boiling point as long as
//!   both wet points lie within the first 80 % of the way from 100 °C to the dry point (the grades'
//!   limits lie at 38 to 50 %).

use super::boiling::{Boiling, Vapours, bubble_point_c, water_mole_fraction};
use super::density::density_kg_m3;
use super::grade::{Family, Grade};
use super::typical::typical;
use super::viscosity::{NU_MAX_M2_S, NU_MIN_M2_S, Walther};
use super::water;
use crate::measures::{ZERO_CELSIUS_K, from_mm2_s};
use crate::portable;

/// Temperatures at which data sheets state viscosity: −40 °C and 100 °C, in K.
const COLD_K: f64 = ZERO_CELSIUS_K - 40.0;
const HOT_K: f64 = ZERO_CELSIUS_K + 100.0;

/// One fluid.
#[derive(Debug, Clone, PartialEq)]
pub struct Fluid {
    /// What messages call it: the grade's name.
    pub name: String,
    /// Its grade.
    pub grade: &'static Grade,
    /// Kinematic viscosity at −40 °C, mm²/s.
    pub nu_minus40_mm2_s: f64,
    /// Kinematic viscosity at 100 °C, mm²/s.
    pub nu_100_mm2_s: f64,
    /// Density without water at 20 °C, kg/m³.
    pub density_20_kg_m3: f64,
    /// Volumetric thermal expansion coefficient, 1/K.
    pub expansion_per_k: f64,
    /// Dry boiling point, °C.
    pub dry_c: f64,
    /// Wet boiling point, °C (at 3.7 mass % water for a glycol fluid).
    pub wet_c: f64,
    /// Mean molar mass without water, g/mol.
    pub molar_mass_g_mol: f64,
    /// Water in it unless a part states otherwise, mass %.
    pub water_percent: f64,
}

impl Fluid {
    /// The typical fluid of a grade ([`super::typical`]), without water.
    pub fn typical(grade: &'static Grade) -> Self {
        let t = typical(grade);
        Self {
            name: grade.name.to_owned(),
            grade,
            nu_minus40_mm2_s: t.nu_minus40_mm2_s,
            nu_100_mm2_s: t.nu_100_mm2_s,
            density_20_kg_m3: t.density_20_kg_m3,
            expansion_per_k: t.expansion_per_k,
            dry_c: t.dry_c,
            wet_c: t.wet_c,
            molar_mass_g_mol: t.molar_mass_g_mol,
            water_percent: 0.0,
        }
    }

    /// Kinematic viscosity at a temperature in K, m²/s (Walther, see [`super::viscosity`]). Stated
    /// viscosities beyond what the law covers count as its nearest end.
    pub fn nu_m2_s(&self, temperature_k: f64) -> f64 {
        let covered = |mm2_s: f64| from_mm2_s(mm2_s).clamp(NU_MIN_M2_S, NU_MAX_M2_S);
        Walther::through(
            (COLD_K, covered(self.nu_minus40_mm2_s)),
            (HOT_K, covered(self.nu_100_mm2_s)),
        )
        .map_or(f64::NAN, |law| law.nu_m2_s(temperature_k))
    }

    /// Density at a temperature in K, kg/m³.
    pub fn density_kg_m3(&self, temperature_k: f64) -> f64 {
        density_kg_m3(self.density_20_kg_m3, self.expansion_per_k, temperature_k)
    }

    /// Its boiling law. Glycol: through dry and wet point. Silicone and mineral oil hold their wet
    /// test without taking up 3.7 % of water, so their law rests on what they dissolve: about 0.03
    /// and 0.01 mass % (from memory).
    pub fn boiling(&self) -> Boiling {
        match self.grade.family {
            Family::Glycol => Boiling::fitted(self.dry_c, self.wet_c, self.molar_mass_g_mol),
            Family::Silicone => Boiling::sparing(self.dry_c, self.molar_mass_g_mol, 0.03),
            Family::Mineral => Boiling::sparing(self.dry_c, self.molar_mass_g_mol, 0.01),
        }
    }

    /// Grams of water per millilitre (20 °C) at a water content in mass %.
    pub fn water_g_per_ml(&self, water_percent: f64) -> f64 {
        water::water_g_per_ml(water_percent, self.density_20_kg_m3)
    }
}

/// Water in mass % of a mixture of two fluids with that old fraction, each with the water it says it holds:
/// grams of water and millilitres (20 °C) add up.
pub fn mixed_water_percent(old_fraction: f64, old: &Fluid, new: &Fluid) -> f64 {
    let mixed = |of: fn(&Fluid) -> f64| Line::between(of(old), of(new)).at(old_fraction);
    let water_g_per_ml = mixed(|f| f.water_g_per_ml(f.water_percent));
    water::water_percent(water_g_per_ml, mixed(|f| f.density_20_kg_m3))
}

/// Old and new fluid in any proportion at one temperature. Built once a job; what is asked at
/// every step costs one exponential at most.
#[derive(Debug, Clone, PartialEq)]
pub struct Blend {
    old: Fluid,
    new: Fluid,
    temperature_k: f64,
    ln_nu: Line,
    density: Line,
    density_20: Line,
    ln_gamma_w: Line,
    boiling_old: Boiling,
    boiling_new: Boiling,
}

/// A figure that changes in proportion to the old fraction.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Line {
    new: f64,
    old_less_new: f64,
}

impl Line {
    fn between(old: f64, new: f64) -> Self {
        Self { new, old_less_new: old - new }
    }

    fn at(self, old_fraction: f64) -> f64 {
        self.new + self.old_less_new * old_fraction
    }
}

/// A temperature that mixtures are compared with.
#[derive(Debug, Clone, Copy)]
pub struct Mark<'a> {
    blend: &'a Blend,
    vapours: Vapours,
}

impl Mark<'_> {
    /// Whether [`Blend::boiling_c`] of such a mixture lies below it. One exponential: vapour pressures rise with
    /// temperature, so that what boils below it has more than one atmosphere there.
    pub fn is_above_boiling(&self, old_fraction: f64, water_percent: f64) -> bool {
        let (x, gamma_w, y_old) = self.blend.mixed(old_fraction, water_percent);
        self.vapours.over(x, gamma_w, y_old) > 1.0
    }
}

impl Blend {
    /// Both fluids at a temperature in K. Whether they may be mixed at all says
    /// [`super::grade::miscible`]; here they are taken to.
    pub fn new(old: Fluid, new: Fluid, temperature_k: f64) -> Self {
        let (boiling_old, boiling_new) = (old.boiling(), new.boiling());
        Self {
            ln_nu: Line::between(
                portable::ln(old.nu_m2_s(temperature_k)),
                portable::ln(new.nu_m2_s(temperature_k)),
            ),
            density: Line::between(
                old.density_kg_m3(temperature_k),
                new.density_kg_m3(temperature_k),
            ),
            density_20: Line::between(old.density_20_kg_m3, new.density_20_kg_m3),
            ln_gamma_w: Line::between(
                portable::ln(boiling_old.gamma_w),
                portable::ln(boiling_new.gamma_w),
            ),
            boiling_old,
            boiling_new,
            old,
            new,
            temperature_k,
        }
    }

    /// The old fluid.
    pub fn old_fluid(&self) -> &Fluid {
        &self.old
    }

    /// The new fluid.
    pub fn new_fluid(&self) -> &Fluid {
        &self.new
    }

    /// Temperature for which viscosity and density hold, K.
    pub fn temperature_k(&self) -> f64 {
        self.temperature_k
    }

    /// Kinematic viscosity at that old fraction (0 to 1), m²/s.
    pub fn nu_m2_s(&self, old_fraction: f64) -> f64 {
        portable::exp(self.ln_nu.at(old_fraction))
    }

    /// By how much the logarithm of the viscosity rises from new fluid to old; it does so in proportion.
    pub fn ln_nu_rise(&self) -> f64 {
        self.ln_nu.old_less_new
    }

    /// Density at that old fraction (0 to 1), kg/m³.
    pub fn density_kg_m3(&self, old_fraction: f64) -> f64 {
        self.density.at(old_fraction)
    }

    /// Water in mass %, from grams per millilitre (20 °C) of a mixture with that old fraction.
    pub fn water_percent(&self, old_fraction: f64, water_g_per_ml: f64) -> f64 {
        water::water_percent(water_g_per_ml, self.density_20.at(old_fraction))
    }

    /// Grams of water per millilitre (20 °C) of a mixture with that old fraction and that much water
    /// in mass %. Inverse of [`Blend::water_percent`].
    pub fn water_g_per_ml(&self, old_fraction: f64, water_percent: f64) -> f64 {
        water::water_g_per_ml(water_percent, self.density_20.at(old_fraction))
    }

    /// Boiling point of a mixture with that old fraction and that much water in mass %, °C (old
    /// fraction clipped to 0 to 1, water to 0 to 100). Some ten logarithms: for reports, not for
    /// every step.
    pub fn boiling_c(&self, old_fraction: f64, water_percent: f64) -> f64 {
        let (x, gamma_w, y_old) = self.mixed(old_fraction, water_percent);
        let (old, new) = (&self.boiling_old, &self.boiling_new);
        bubble_point_c(x, gamma_w, &[(y_old, old.dry_k), (1.0 - y_old, new.dry_k)])
    }

    /// Mole fraction of water, its activity coefficient, and the share of old fluid among the dry ones.
    fn mixed(&self, old_fraction: f64, water_percent: f64) -> (f64, f64, f64) {
        let phi = old_fraction.clamp(0.0, 1.0);
        let (old, new) = (&self.boiling_old, &self.boiling_new);
        // Mass and amount of each dry fluid in a unit of volume.
        let mass_old = phi * self.old.density_20_kg_m3;
        let mass_new = (1.0 - phi) * self.new.density_20_kg_m3;
        let moles_old = mass_old / old.molar_mass_g_mol;
        let moles = moles_old + mass_new / new.molar_mass_g_mol;
        let x = water_mole_fraction(water_percent, (mass_old + mass_new) / moles);
        (x, portable::exp(self.ln_gamma_w.at(phi)), moles_old / moles)
    }

    /// A temperature in °C, to ask of many mixtures whether they boil below it.
    pub fn mark(&self, celsius: f64) -> Mark<'_> {
        let dry_k = [self.boiling_old.dry_k, self.boiling_new.dry_k];
        Mark { blend: self, vapours: Vapours::at(celsius, dry_k) }
    }
}

#[cfg(test)]
mod tests {
    use super::super::grade::grade;
    use super::*;

    /// Half a millilitre of each, as what flows together mixes: the grams of water add up.
    #[test]
    fn mixed_fluids_share_their_water_by_volume() {
        let fluid = |density_20_kg_m3: f64, water_percent: f64| Fluid {
            density_20_kg_m3,
            water_percent,
            ..Fluid::typical(grade("DOT 4").expect("known"))
        };
        let (old, new) = (fluid(1070.0, 3.0), fluid(1030.0, 0.1));
        for (f, alone) in [(1.0, 3.0), (0.0, 0.1)] {
            assert!((mixed_water_percent(f, &old, &new) - alone).abs() < 1e-12);
        }
        let grams = 0.5 * (old.water_g_per_ml(3.0) + new.water_g_per_ml(0.1));
        let blend = Blend::new(old.clone(), new.clone(), 293.15);
        let mixed = mixed_water_percent(0.5, &old, &new);
        assert!((mixed - blend.water_percent(0.5, grams)).abs() < 1e-12);
        assert!(mixed > 1.55 && mixed < 1.6, "more than the mean of 3 and 0.1: {mixed}");
    }
}
