//! Typical figures of each grade, for a fluid of which the scenario states no more than the grade.
//!
//! All of them: typical data-sheet values of passenger-car fluids, from memory, rounded; no single
//! maker's product. They lie on the good side of the grade's limits, as real fluids must.
//! Exceptions are named beside the row.
//!
//! - Boiling points and viscosities: mid-range of data sheets.
//! - Density at 20 °C: mid-range of data sheets (typically 1.02 to 1.08 g/mL for glycol fluids).
//! - Expansion: 8e-4 per kelvin, as of glycol ethers near room temperature; from memory.
//! - Mean molar mass of the volatile solvents, g/mol: monomethyl to monobutyl ethers of
//!   triethylene glycol are 164 to 206 (from their formulas), borate esters and polyglycols of
//!   the higher grades push the mean up; the grade's mean is an estimate between 160 and 270. Over
//!   that whole range the fitted boiling curve moves by under a kelvin from 3 to 4.5 % water and by
//!   two to three at 1 and at 6 %.

use super::grade::Grade;

/// Typical figures of a grade.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Typical {
    /// Dry boiling point, °C.
    pub dry_c: f64,
    /// Wet boiling point, °C (at the water of the standard's wet test).
    pub wet_c: f64,
    /// Kinematic viscosity at −40 °C, mm²/s.
    pub nu_minus40_mm2_s: f64,
    /// Kinematic viscosity at 100 °C, mm²/s.
    pub nu_100_mm2_s: f64,
    /// Density at 20 °C, kg/m³.
    pub density_20_kg_m3: f64,
    /// Volumetric thermal expansion coefficient, 1/K.
    pub expansion_per_k: f64,
    /// Mean molar mass, g/mol.
    pub molar_mass_g_mol: f64,
}

/// Where the figures of [`typical`] come from, in one line for reports.
pub const SOURCE: &str = "typical data-sheet values, from memory";

const fn row(
    [dry_c, wet_c]: [f64; 2],
    [nu_minus40_mm2_s, nu_100_mm2_s]: [f64; 2],
    density_20_kg_m3: f64,
    expansion_per_k: f64,
    molar_mass_g_mol: f64,
) -> Typical {
    Typical {
        dry_c,
        wet_c,
        nu_minus40_mm2_s,
        nu_100_mm2_s,
        density_20_kg_m3,
        expansion_per_k,
        molar_mass_g_mol,
    }
}

//                      dry, wet °C     ν(−40), ν(100) mm²/s  kg/m³   1/K     g/mol
const DOT_3: Typical = row([240.0, 145.0], [1300.0, 2.0], 1035.0, 8e-4, 175.0);
const DOT_4: Typical = row([260.0, 165.0], [1200.0, 2.2], 1060.0, 8e-4, 220.0);
const DOT_5_1: Typical = row([268.0, 185.0], [850.0, 2.1], 1065.0, 8e-4, 240.0);
const CLASS_6: Typical = row([263.0, 172.0], [680.0, 2.0], 1060.0, 8e-4, 230.0);
const CLASS_7: Typical = row([268.0, 184.0], [700.0, 2.0], 1065.0, 8e-4, 240.0);
// As of a 50 mm²/s polydimethylsiloxane: expansion 1.04e-3 per kelvin, molar mass 3780 g/mol.
const DOT_5: Typical = row([280.0, 190.0], [300.0, 16.0], 955.0, 1.04e-3, 3780.0);
// A thin, high-index brake oil. There is no wet test for it: `wet_c` repeats what free water does.
const MINERAL: Typical = row([250.0, 100.0], [1100.0, 6.0], 845.0, 7.5e-4, 300.0);

/// The typical figures of a grade.
pub fn typical(grade: &Grade) -> Typical {
    match grade.name {
        "DOT 3" | "ISO 4925 class 3" => DOT_3,
        "DOT 5.1" | "ISO 4925 class 5-1" => DOT_5_1,
        "ISO 4925 class 6" => CLASS_6,
        "ISO 4925 class 7" => CLASS_7,
        "DOT 5" => DOT_5,
        "mineral oil" => MINERAL,
        // DOT 4 and ISO 4925 class 4.
        _ => DOT_4,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fluid::blend::Fluid;
    use crate::fluid::grade::grades;
    use crate::fluid::judge::{faults, shortfalls};

    #[test]
    fn a_typical_fluid_meets_its_own_grade_and_does_not_contradict_itself() {
        for g in grades() {
            let fluid = Fluid::typical(g);
            assert_eq!(shortfalls(&fluid), vec![], "{}", g.name);
            assert_eq!(faults(&fluid), vec![], "{}", g.name);
        }
    }

    #[test]
    fn only_dot_4_and_its_class_rest_on_the_last_row() {
        for g in grades() {
            let is_dot_4 = matches!(g.name, "DOT 4" | "ISO 4925 class 4");
            assert_eq!(typical(g) == DOT_4, is_dot_4, "{}", g.name);
        }
    }
}
