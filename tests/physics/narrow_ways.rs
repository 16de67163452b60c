//! The second solution's slit and bore by hand arithmetic, and the program's beside them.
//!
//! *A slit of width h in a thin wall, creeping.* In the half space behind a plane with the normal velocity v₀ cos kx, and
//! none along it, v = v₀ (1 + k y) e^(−k y) cos kx solves Stokes' equations with p = 2 μ k v₀ e^(−k y) cos kx. So the
//! pressure on the plane is 2 μ |D| v, where |D| multiplies the component of wave number k by k, and in the opening it is
//! half of Δp below that far before it. |D| of v = √(c² − x²), c = h/2, is 1 for |x| < c, so v = Δp/(4 μ) √(c² − x²), and
//! Q = w Δp/(4 μ) · π c²/2: Δp = 32 μ Q/(π h² w) (Hasimoto, J. Phys. Soc. Japan 13 (1958) 633).

use crate::common::cars::close;
use crate::reference::losses::Loss;
use farwheel::flow::laws::slit_viscous_resistance;
use std::f64::consts::PI;

/// ρ (kg/m³) and ν (m²/s): μ = 0.0159 Pa·s.
const FLUID: (f64, f64) = (1060.0, 15e-6);
/// So slow that the jet counts as nothing, m³/s.
const CREEPING: f64 = 1e-13;

/// |D| v at x = (1/π) ∫ (v(x) − v(s))/(x − s)² ds over the whole line; at x = 0 with c = 1 that is
/// (1/π) (∫ (1 − √(1 − s²))/s² ds from −1 to 1, and 2 from beyond), where s = sin t leaves ∫ cos t/(1 + cos t) dt.
#[test]
fn the_profile_in_a_slit_has_one_pressure() {
    let steps = 2000;
    let width = PI / f64::from(steps);
    let middle = |i: i32| (f64::from(i) + 0.5) * width - 0.5 * PI;
    let inside: f64 = (0..steps).map(|i| width * middle(i).cos() / (1.0 + middle(i).cos())).sum();
    close(inside, PI - 2.0, 1e-6, "inside");
    close((inside + 2.0) / PI, 1.0, 1e-6, "in the middle of the slit");
}

/// h = 0.35 mm, w = 2 π mm: h² w = 7.6969·10⁻¹⁰ m³, and 32 · 0.0159/(π h² w) = 2.1041·10⁸ Pa·s/m³, 210.4 Pa at 1 mL/s.
#[test]
fn a_slit_by_hand() {
    let loss = Loss::Slit { gap_m: 0.35e-3, round_m: 2e-3 * PI };
    let creeping = loss.drop_pa(CREEPING, FLUID) / CREEPING;
    close(creeping / 2.1041e8, 1.0, 1e-4, "creeping");
    let program = slit_viscous_resistance(0.35e-3, 2e-3 * PI) * FLUID.0 * FLUID.1;
    close(program / creeping, 1.0, 1e-6, "the program's");
    // At 1 mL/s: the jet is 0.6110 of 2.1991 mm², so 0.7442 m/s, 293.6 Pa.
    close(loss.drop_pa(1e-6, FLUID) - 210.41, 293.6, 0.1, "its jet");
}

/// 2 mm through 22 mm: 24 · 0.0159/D³ = 4.770·10⁷ Pa·s/m³ at its ends (Sampson 1891) and 128 · 0.0159 · 0.022/(π D⁴) =
/// 8.9076·10⁸ along it (Hagen, Poiseuille). At 1 mL/s 47.7 and 890.8 Pa, and the jet of 0.6110 of 3.1416 mm²
/// (Kirchhoff), 0.5209 m/s, 143.8 Pa.
#[test]
fn a_bore_by_hand() {
    let bore = |length_m: f64| Loss::Bore { bore_m: 2e-3, length_m };
    let creeping = |length_m: f64| bore(length_m).drop_pa(CREEPING, FLUID) / CREEPING;
    close(creeping(0.0) / 4.770e7, 1.0, 1e-4, "its ends");
    close((creeping(22e-3) - creeping(0.0)) / 8.9076e8, 1.0, 1e-4, "along it");
    close(bore(22e-3).drop_pa(1e-6, FLUID), 47.7 + 890.8 + 143.8, 0.2, "all of it");
    for (loss, what) in [(bore(22e-3), "bore"), (bore(0.0), "hole"), (slit(), "slit")] {
        for flow in [1e-9, 1e-7, 3e-6] {
            let back = loss.flow_m3_s(loss.drop_pa(flow, FLUID), FLUID);
            close(back / flow, 1.0, 1e-9, what);
        }
    }
}

fn slit() -> Loss {
    Loss::Slit { gap_m: 0.1e-3, round_m: 5e-3 }
}

/// 1 mL/s against 200 bar between two holes of 0.7 mm: with nothing against it the holes take 2 · 24 · 0.0159/(0.7 mm)³ =
/// 2.2251·10⁹ Pa·s/m³ and their jets, 0.6110 of 0.38485 mm², 4.2525 m/s, 9.585 kPa each, so 21.4 kPa in all, for which the
/// pump falls short by a thousandth.
#[test]
fn a_pump_between_two_holes_by_hand() {
    let pump = Loss::Pump { bores_m: [0.7e-3; 2], delivery_m3_s: 1e-6, stall_pa: 200e5 };
    let short = 1.0 - pump.flow_m3_s(0.0, FLUID) / 1e-6;
    close(short, 21.4e3 / 200e5, 5e-6, "against its holes");
    close(
        pump.drop_pa(0.5e-6, FLUID),
        -100e5 + 1112.5 + 2.0 * 2396.0,
        10.0,
        "at half its delivery",
    );
    let check = Loss::Valve { opens_at_pa: 0.0, bore_m: 1.2e-3 };
    let both = Loss::Beside(vec![check.clone(), pump.clone()]);
    // Less than the pump sends: the valve is shut. More: it opens, and both stand at one difference.
    close(both.drop_pa(0.9e-6, FLUID), pump.drop_pa(0.9e-6, FLUID), 0.0, "the pump alone");
    let drop = both.drop_pa(2e-6, FLUID);
    let sum = check.flow_m3_s(drop, FLUID) + pump.flow_m3_s(drop, FLUID);
    close(sum / 2e-6, 1.0, 1e-9, "both");
}
