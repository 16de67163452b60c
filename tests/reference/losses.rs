//! What it costs to push fluid through things, one formula of the handbooks each.

use std::f64::consts::PI;

/// Something that fluid is pushed through.
#[derive(Debug, Clone, PartialEq)]
pub enum Loss {
    /// A round tube, its fittings and bends together K velocity heads.
    Tube {
        /// Bore, m.
        bore_m: f64,
        /// Length, m.
        length_m: f64,
        /// Sum of the loss coefficients.
        k: f64,
    },
    /// A hole in a thin wall.
    Hole {
        /// Bore, m.
        bore_m: f64,
    },
    /// A hole through a wall of some thickness.
    Bore {
        /// Bore, m.
        bore_m: f64,
        /// Thickness of the wall, m.
        length_m: f64,
    },
    /// A slit in a thin wall.
    Slit {
        /// Its width, m.
        gap_m: f64,
        /// Its length along the wall, m.
        round_m: f64,
    },
    /// An ideal one-way valve in front of such a hole.
    Valve {
        /// Difference in pressure at which it opens, Pa.
        opens_at_pa: f64,
        /// Bore, m.
        bore_m: f64,
    },
    /// Several side by side.
    Beside(Vec<Loss>),
}

/// Height of the roughness of drawn tube, m (handbooks).
const ROUGHNESS_M: f64 = 1.5e-6;

/// Churchill's one equation for all Reynolds numbers (1977), as he wrote it; laminar it is 64/Re.
pub fn darcy_factor(reynolds: f64, relative_roughness: f64) -> f64 {
    let inner = (7.0 / reynolds).powf(0.9) + 0.27 * relative_roughness;
    let a = (2.457 * (1.0 / inner).ln()).powi(16);
    let b = (37_530.0 / reynolds).powi(16);
    8.0 * ((8.0 / reynolds).powi(12) + (a + b).powf(-1.5)).powf(1.0 / 12.0)
}

/// Creeping flow through a hole, Δp = 3 μ Q/r³ (Sampson 1891), and a free jet, Q = π/(π + 2) A √(2 Δp/ρ)
/// (Kirchhoff 1869), added up: that both are added between their ends is the program's choice and taken over.
/// Gives both factors of Δp = a Q + b Q².
fn hole(bore_m: f64, (density, nu): (f64, f64)) -> (f64, f64) {
    let radius = 0.5 * bore_m;
    let jet_m2 = PI / (PI + 2.0) * PI * radius * radius;
    (3.0 * density * nu / radius.powi(3), 0.5 * density / (jet_m2 * jet_m2))
}

/// The same of a hole through a wall, along which friction adds 8 μ L/(π r⁴) (Hagen and Poiseuille).
fn bore(bore_m: f64, length_m: f64, fluid: (f64, f64)) -> (f64, f64) {
    let (a, b) = hole(bore_m, fluid);
    (a + 8.0 * fluid.0 * fluid.1 * length_m / (PI * (0.5 * bore_m).powi(4)), b)
}

/// The same of a slit of half the width c: creeping, Q = π c² Δp/(8 μ) per length of it (Hasimoto 1958), else a free jet.
fn slit(gap_m: f64, round_m: f64, (density, nu): (f64, f64)) -> (f64, f64) {
    let half = 0.5 * gap_m;
    let jet_m2 = PI / (PI + 2.0) * gap_m * round_m;
    (8.0 * density * nu / (PI * half * half * round_m), 0.5 * density / (jet_m2 * jet_m2))
}

/// Where a rising function, below zero near 0, meets zero; sought around `guess`. Bracketed by factors of two,
/// then false position, an end that stays halved (Illinois).
pub fn rising_root(f: impl Fn(f64) -> f64, guess: f64) -> f64 {
    let (mut low, mut high) = (0.5 * guess, guess);
    let (mut below, mut above) = (f(low), f(high));
    while above < 0.0 {
        (low, below, high) = (high, above, 2.0 * high);
        above = f(high);
    }
    while below > 0.0 {
        (high, above, low) = (low, below, 0.5 * low);
        below = f(low);
    }
    let (mut last, mut moved_low) = (low, None);
    for _ in 0..200 {
        let x = ((low * above - high * below) / (above - below)).clamp(low, high);
        let y = f(x);
        if y == 0.0 || (x - last).abs() <= 1e-14 * x {
            return x;
        }
        last = x;
        // An end that was kept twice counts half.
        let again = moved_low == Some(y < 0.0);
        if y < 0.0 {
            (low, below) = (x, y);
            above *= if again { 0.5 } else { 1.0 };
        } else {
            (high, above) = (x, y);
            below *= if again { 0.5 } else { 1.0 };
        }
        moved_low = Some(y < 0.0);
    }
    last
}

impl Loss {
    /// Pressure lost at a flow (m³/s, above 0) of a fluid of this density (kg/m³) and viscosity (m²/s), Pa.
    pub fn drop_pa(&self, flow: f64, fluid: (f64, f64)) -> f64 {
        match self {
            Self::Tube { bore_m, length_m, k } => {
                let speed = flow / (0.25 * PI * bore_m * bore_m);
                let factor = darcy_factor(speed * bore_m / fluid.1, ROUGHNESS_M / bore_m);
                (factor * length_m / bore_m + k) * 0.5 * fluid.0 * speed * speed
            }
            Self::Hole { bore_m } => {
                let (a, b) = hole(*bore_m, fluid);
                (a + b * flow) * flow
            }
            Self::Bore { bore_m, length_m } => {
                let (a, b) = bore(*bore_m, *length_m, fluid);
                (a + b * flow) * flow
            }
            Self::Slit { gap_m, round_m } => {
                let (a, b) = slit(*gap_m, *round_m, fluid);
                (a + b * flow) * flow
            }
            Self::Valve { opens_at_pa, bore_m } => {
                let (a, b) = hole(*bore_m, fluid);
                opens_at_pa + (a + b * flow) * flow
            }
            Self::Beside(ways) => {
                let through = |pa: f64| ways.iter().map(|w| w.flow_m3_s(pa, fluid)).sum::<f64>();
                rising_root(|pa| through(pa) - flow, 1e3)
            }
        }
    }

    /// Flow that a difference in pressure (Pa, above 0) drives, m³/s.
    pub fn flow_m3_s(&self, pa: f64, fluid: (f64, f64)) -> f64 {
        let at_pa = |(a, b): (f64, f64), pa: f64| 2.0 * pa / (a + (a * a + 4.0 * b * pa).sqrt());
        let through_hole = |bore_m: f64, pa: f64| at_pa(hole(bore_m, fluid), pa);
        match self {
            Self::Hole { bore_m } => through_hole(*bore_m, pa),
            Self::Bore { bore_m, length_m } => at_pa(bore(*bore_m, *length_m, fluid), pa),
            Self::Slit { gap_m, round_m } => at_pa(slit(*gap_m, *round_m, fluid), pa),
            Self::Valve { opens_at_pa, bore_m } if pa > *opens_at_pa => {
                through_hole(*bore_m, pa - opens_at_pa)
            }
            Self::Valve { .. } => 0.0,
            Self::Beside(ways) => ways.iter().map(|w| w.flow_m3_s(pa, fluid)).sum(),
            Self::Tube { .. } => rising_root(|q| self.drop_pa(q, fluid) - pa, 1e-6),
        }
    }
}
