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
    /// A pump between two holes, which sends Q = Q₀ (1 − Δp/p₀) against Δp.
    Pump {
        /// Bores of the holes, m.
        bores_m: [f64; 2],
        /// Q₀, m³/s.
        delivery_m3_s: f64,
        /// p₀, Pa.
        stall_pa: f64,
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

/// The same of a bore: its two ends are those of a hole, and between them a laminar stream loses 128 μ L Q/(π D⁴) (Hagen
/// and Poiseuille).
fn bore(bore_m: f64, length_m: f64, fluid: (f64, f64)) -> (f64, f64) {
    let (ends, jet) = hole(bore_m, fluid);
    let viscosity = fluid.0 * fluid.1;
    (ends + 128.0 * viscosity * length_m / (PI * bore_m.powi(4)), jet)
}

/// The same of a slit of width h that is w long: 32 μ Q/(π h² w), since the flow in it is elliptic across it, Δp/(4 μ)
/// √(h²/4 − x²) (Hasimoto 1958; derived in `tests/physics/narrow_ways.rs`), and the free jet, whose contraction Kirchhoff
/// found for such a slit.
fn slit(gap_m: f64, round_m: f64, (density, nu): (f64, f64)) -> (f64, f64) {
    let creeping = 32.0 * density * nu / (PI * gap_m * gap_m * round_m);
    let jet_m2 = PI / (PI + 2.0) * gap_m * round_m;
    (creeping, 0.5 * density / (jet_m2 * jet_m2))
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
    /// Both factors of Δp + p₀ = a Q + b Q² for a pump and its holes: p₀ Q/Q₀ beside what the holes cost.
    fn pumped(&self, fluid: (f64, f64)) -> (f64, f64) {
        let Self::Pump { bores_m, delivery_m3_s, stall_pa } = self else {
            panic!("{self:?} is no pump")
        };
        let holes = bores_m.map(|bore_m| hole(bore_m, fluid));
        let sum = |of: fn(&(f64, f64)) -> f64| holes.iter().map(of).sum::<f64>();
        (sum(|h| h.0) + stall_pa / delivery_m3_s, sum(|h| h.1))
    }

    /// Pressure lost (below 0: gained) at a flow (m³/s, above 0) of a fluid of this density (kg/m³) and viscosity (m²/s), Pa.
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
            Self::Pump { stall_pa, .. } => {
                let (a, b) = self.pumped(fluid);
                (a + b * flow) * flow - stall_pa
            }
            Self::Beside(ways) => {
                let pump = ways.iter().find(|w| matches!(w, Self::Pump { .. }));
                if let Some(pump) = pump {
                    // A valve beside the pump is shut as long as the pump alone sends it all.
                    let alone = pump.drop_pa(flow, fluid);
                    if alone <= 0.0 {
                        return alone;
                    }
                }
                let through = |pa: f64| ways.iter().map(|w| w.flow_m3_s(pa, fluid)).sum::<f64>();
                rising_root(|pa| through(pa) - flow, 1e3)
            }
        }
    }

    /// Flow that a difference in pressure (Pa, above 0, or above −p₀ of a pump) drives, m³/s.
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
            Self::Pump { stall_pa, .. } => at_pa(self.pumped(fluid), pa + stall_pa),
            Self::Beside(ways) => ways.iter().map(|w| w.flow_m3_s(pa, fluid)).sum(),
            Self::Tube { .. } => rising_root(|q| self.drop_pa(q, fluid) - pa, 1e-6),
        }
    }
}
