//! Boiling point of fluid with water: the bubble point at one atmosphere.
//!
//! x_w γ_w p_w(T) + Σ xᵢ pᵢ(T) = 1 atm,
//!
//! - x_w: mole fraction of water; xᵢ: of the dry fluid i (one, or old and new mixed)
//! - p_w: vapour pressure of water, IAPWS-IF97 region 4 ([`super::steam`])
//! - pᵢ: vapour pressure of the dry fluid, Clausius–Clapeyron through its dry boiling point T_d:
//!   pᵢ = 1 atm · exp(−(ΔS/R)(T_d/T − 1)) with ΔS = 110 J/(mol K), the entropy of vaporisation of
//!   hydrogen-bonded liquids (water 109, ethanol 110; general chemistry tables, from memory)
//! - γ_w: activity coefficient of water, one constant a fluid, fitted so that the wet boiling
//!   point comes out at the water of the standard's humidified referee fluid, 3.7 mass %
//!
//! Water beyond what the fluid can dissolve is free water of activity 1, so γ_w x_w never exceeds 1:
//! silicone and mineral oil boil near 100 °C as soon as they carry free water.
//!
//! Validity: 0 to about 10 mass % water in glycol fluids, 1 atm, equilibrium reflux (ERBP). Sources:
//! modified Raoult's law (any thermodynamics text, for instance Smith, Van Ness & Abbott); referee
//! water 3.70 ± 0.05 mass %: 49 CFR 571.116 S6.2, from memory.

use super::steam::{CRITICAL_K, TRIPLE_K, saturation_pressure_pa};
use crate::measures::{ATMOSPHERE_PA, ZERO_CELSIUS_K};
use crate::portable;

/// Molar mass of water, g/mol. Source: IAPWS: 18.015268.
pub const WATER_MOLAR_MASS_G_MOL: f64 = 18.015_268;

/// Water of the humidified referee fluid at which a wet boiling point counts, mass %.
pub const WET_WATER_PERCENT: f64 = 3.7;

/// Entropy of vaporisation over the gas constant: 110 / 8.314462618.
const ENTROPY_OVER_R: f64 = 110.0 / 8.314_462_618;

/// The boiling law of one fluid.
///
/// ```
/// use farwheel::fluid::boiling::Boiling;
///
/// // A fluid at the limits of DOT 4: 230 °C dry, 155 °C at 3.7 % water.
/// let law = Boiling::fitted(230.0, 155.0, 220.0);
/// assert!((law.boiling_c(0.0) - 230.0).abs() < 1e-6);
/// assert!((law.boiling_c(3.7) - 155.0).abs() < 1e-6);
/// assert!(law.boiling_c(6.0) < 155.0);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Boiling {
    /// Dry boiling point, K.
    pub dry_k: f64,
    /// Mean molar mass of the dry fluid, g/mol.
    pub molar_mass_g_mol: f64,
    /// Activity coefficient of water in it.
    pub gamma_w: f64,
}

impl Boiling {
    /// A law from its constants: dry boiling point in °C, molar mass in g/mol, γ_w.
    pub fn new(dry_c: f64, molar_mass_g_mol: f64, gamma_w: f64) -> Self {
        Self { dry_k: dry_c + ZERO_CELSIUS_K, molar_mass_g_mol, gamma_w }
    }

    /// A law with γ_w fitted so that `wet_c` comes out at [`WET_WATER_PERCENT`].
    ///
    /// The fit is exact for a wet point between 100 °C and the dry point; figures outside
    /// contradict the model (see [`super::judge::faults`]) and give the nearest curve it has.
    ///
    /// - `dry_c`, `wet_c`: dry and wet boiling point, °C
    /// - `molar_mass_g_mol`: mean molar mass of the dry fluid, g/mol
    pub fn fitted(dry_c: f64, wet_c: f64, molar_mass_g_mol: f64) -> Self {
        let law = Self::new(dry_c, molar_mass_g_mol, 1.0);
        let wet_k = (wet_c.min(dry_c) + ZERO_CELSIUS_K).max(TRIPLE_K);
        let x = water_mole_fraction(WET_WATER_PERCENT, molar_mass_g_mol);
        let dry_part = (1.0 - x) * law.vapour_pressure_pa(wet_k);
        Self {
            // Positive whatever is put in: a dry point below freezing would turn the sign.
            gamma_w: (ATMOSPHERE_PA - dry_part).max(1.0) / (x * water_pressure_pa(wet_k)),
            ..law
        }
    }

    /// A law for a fluid that dissolves no more than `saturation_percent` (mass %) of water: γ_w is
    /// the inverse of the mole fraction at saturation, beyond which water is free.
    pub fn sparing(dry_c: f64, molar_mass_g_mol: f64, saturation_percent: f64) -> Self {
        let x = water_mole_fraction(saturation_percent, molar_mass_g_mol);
        Self::new(dry_c, molar_mass_g_mol, 1.0 / x)
    }

    /// Vapour pressure of the dry fluid at a temperature in K, Pa (Clausius–Clapeyron, see the module).
    pub fn vapour_pressure_pa(&self, temperature_k: f64) -> f64 {
        ATMOSPHERE_PA * dry_atmospheres(self.dry_k, temperature_k)
    }

    /// Boiling point with that much water (mass %, clipped to 0 to 100), °C.
    pub fn boiling_c(&self, water_percent: f64) -> f64 {
        let x = water_mole_fraction(water_percent, self.molar_mass_g_mol);
        bubble_point_c(x, self.gamma_w, &[(1.0, self.dry_k)])
    }
}

/// Mole fraction of water in a mixture with `water_percent` (mass %, clipped to 0 to 100), the rest
/// of mean molar mass `dry_molar_mass_g_mol`.
pub fn water_mole_fraction(water_percent: f64, dry_molar_mass_g_mol: f64) -> f64 {
    let share = water_percent.clamp(0.0, 100.0) / 100.0;
    let water = share / WATER_MOLAR_MASS_G_MOL;
    water / (water + (1.0 - share) / dry_molar_mass_g_mol)
}

/// Vapour pressures at one temperature, atmospheres: whether a mixture boils below it can be told from them at once,
/// without finding where it boils.
#[derive(Debug, Clone, Copy)]
pub(super) struct Vapours {
    water: f64,
    dry: [f64; 2],
}

impl Vapours {
    /// At a temperature in °C, of water and of two dry fluids with these dry boiling points in K.
    pub(super) fn at(celsius: f64, dry_k: [f64; 2]) -> Self {
        let t = celsius + ZERO_CELSIUS_K;
        let water = water_pressure_pa(t) / ATMOSPHERE_PA;
        Self { water, dry: dry_k.map(|dry_k| dry_atmospheres(dry_k, t)) }
    }

    /// Over a mixture as in [`bubble_point_c`], given the share of the first among the dry fluids, atmospheres.
    pub(super) fn over(&self, water_mole_fraction: f64, gamma_w: f64, first: f64) -> f64 {
        let x = water_mole_fraction.min(1.0 / gamma_w);
        let [one, other] = self.dry;
        x * gamma_w * self.water + (1.0 - x) * (first * one + (1.0 - first) * other)
    }
}

/// Bubble point at one atmosphere of water with any number of dry fluids, °C (see the module).
///
/// - `water_mole_fraction`: x_w
/// - `gamma_w`: activity coefficient of water in this mixture
/// - `dry`: of each dry fluid its mole fraction *among the dry fluids* (they sum to one) and its dry
///   boiling point in K
///
/// Solved within 1e-9 K between the triple point of water and the highest dry boiling point; a root
/// outside (only contradictory figures give one) comes out as the nearer end.
pub fn bubble_point_c(water_mole_fraction: f64, gamma_w: f64, dry: &[(f64, f64)]) -> f64 {
    // Free water beyond saturation takes no part in the liquid that holds the fluid.
    let x = water_mole_fraction.min(1.0 / gamma_w);
    // Logarithm of the vapour pressure in atmospheres: nearly a straight line in 1/T.
    let excess = |inverse_k: f64| {
        let t = 1.0 / inverse_k;
        let fluids: f64 = dry.iter().map(|&(y, dry_k)| y * dry_atmospheres(dry_k, t)).sum();
        portable::ln(x * gamma_w * water_pressure_pa(t) / ATMOSPHERE_PA + (1.0 - x) * fluids)
    };
    let hottest_k = dry.iter().fold(TRIPLE_K, |hot, &(_, dry_k)| hot.max(dry_k));
    1.0 / falling_root(1.0 / hottest_k, 1.0 / TRIPLE_K, excess) - ZERO_CELSIUS_K
}

fn dry_atmospheres(dry_k: f64, temperature_k: f64) -> f64 {
    portable::exp(-ENTROPY_OVER_R * (dry_k / temperature_k - 1.0))
}

/// Vapour pressure of water, held at its ends outside the range of the equation.
fn water_pressure_pa(temperature_k: f64) -> f64 {
    // NaN in, NaN out; within the clamp the equation always has a value.
    saturation_pressure_pa(temperature_k.clamp(TRIPLE_K, CRITICAL_K)).unwrap_or(f64::NAN)
}

/// Root of a falling function between two ends (regula falsi, Illinois variant); the nearer end if
/// there is none between them.
fn falling_root(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut f_low, mut f_high) = (f(low), f(high));
    if f_low <= 0.0 {
        return low;
    }
    if f_high >= 0.0 {
        return high;
    }
    let mut x = low;
    let mut kept = 0_i8;
    // About eight steps are needed here; the bound only keeps NaN from running on.
    for _ in 0..200 {
        let last = x;
        x = (low * f_high - high * f_low) / (f_high - f_low);
        let value = f(x);
        if value == 0.0 || (x - last).abs() <= 1e-14 * x {
            break;
        }
        // An end kept twice running is halved in value, or the other one would creep.
        if value > 0.0 {
            (low, f_low) = (x, value);
            f_high *= if kept == 1 { 0.5 } else { 1.0 };
            kept = 1;
        } else {
            (high, f_high) = (x, value);
            f_low *= if kept == -1 { 0.5 } else { 1.0 };
            kept = -1;
        }
    }
    x
}
