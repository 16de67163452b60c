//! Random loss laws and fluids.

use farwheel::flow::laws::SHARP_EDGED_DISCHARGE;
use farwheel::flow::{Contents, Law};
use farwheel::parts::passage::Passage;
use proptest::prelude::*;
use std::f64::consts::PI;

/// Viscous (1/m³) and inertial resistance (1/m⁴) of an open bleeder with its clear hose: a slit (Hasimoto 1958), two round
/// holes (Sampson 1891), the length of the one and the hose (Hagen–Poiseuille); free jets (Kirchhoff 1869).
pub fn open_screw(passage: &Passage) -> (f64, f64) {
    let &Passage::Screw { gap_m, cross_bore_m, bore_m, length_m, hose_bore_m, hose_length_m } =
        passage
    else {
        panic!("{passage:?} is no open bleeder");
    };
    let round = PI * bore_m;
    let friction = |bore: f64, length: f64| 128.0 * length / (PI * bore.powi(4));
    let viscous = 32.0 / (PI * gap_m * gap_m * round)
        + 24.0 / cross_bore_m.powi(3)
        + 24.0 / bore_m.powi(3)
        + friction(bore_m, length_m)
        + friction(hose_bore_m, hose_length_m);
    let areas = [gap_m * round, PI / 4.0 * cross_bore_m.powi(2), PI / 4.0 * bore_m.powi(2)];
    let inertial = areas.iter().map(|a| 0.5 / (SHARP_EDGED_DISCHARGE * a).powi(2)).sum();
    (viscous, inertial)
}

pub fn law() -> impl Strategy<Value = Law> {
    let tube = (1e-3..8e-3, 0.02..6.0, 0.0..10.0, -0.8..0.8, 0.0..0.05).prop_map(
        |(bore_m, length_m, minor_k, rise_m, rough)| Law::Tube {
            bore_m,
            length_m,
            minor_k,
            rise_m,
            roughness_m: rough * bore_m,
        },
    );
    let orifice = (0.2e-3..3e-3, 0.0..3e-3, 0.5..0.9)
        .prop_map(|(bore_m, length_m, discharge)| Law::Orifice { bore_m, length_m, discharge });
    let check = (0.0..50e3, 0.7e-3..5e-3)
        .prop_map(|(cracking_pa, bore_m)| Law::Check { cracking_pa, bore_m });
    let row = (9.5..12.5_f64, 9.0..12.5_f64).prop_map(|(viscous, inertial)| Law::Row {
        viscous_per_m3: 10_f64.powf(viscous),
        inertial_per_m4: 10_f64.powf(inertial),
    });
    prop_oneof![5 => tube, 3 => orifice, 2 => check, 1 => row]
}

/// Those and the quadratic law, which stays out of random networks: it has no laminar part, so that
/// in a loop at rest the rounding of the pressures drives flows of its square root.
pub fn any_law() -> impl Strategy<Value = Law> {
    let quadratic =
        (9.0..17.0_f64).prop_map(|power| Law::Quadratic { k_pa_s2_per_m6: 10_f64.powf(power) });
    prop_oneof![9 => law(), 1 => quadratic]
}

pub fn fluid() -> impl Strategy<Value = Contents> {
    // From hot water to brake fluid at −40 °C.
    (850.0..1150.0, -6.3..-2.7_f64)
        .prop_map(|(density_kg_m3, power)| Contents { density_kg_m3, nu_m2_s: 10_f64.powf(power) })
}
