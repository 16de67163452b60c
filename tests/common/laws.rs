//! Random loss laws and fluids.

use farwheel::flow::{Contents, Law};
use proptest::prelude::*;

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
    prop_oneof![5 => tube, 3 => orifice, 2 => check]
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
