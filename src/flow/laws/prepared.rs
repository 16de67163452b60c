//! A law with its geometry worked out.

use std::f64::consts::PI;

use crate::measures::STANDARD_GRAVITY;

use super::{
    Contents, LAMINAR_UP_TO, Law, SHARP_EDGED_DISCHARGE, check_seat_with_slope,
    friction_factor_with_slope, laminar_resistance, minor_resistance, orifice_inertial_resistance,
    orifice_viscous_resistance, pump_with_slope, quadratic_with_slope,
};

/// A [`Law`] whose geometry is worked out, so that laminar flow costs a few multiplications:
/// Δp = ρ (ν a + b |Q|) Q + ρ g z and what the kind adds to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prepared {
    /// a, 1/m³.
    viscous: f64,
    /// b, 1/m⁴.
    inertial: f64,
    /// g z, m²/s².
    head: f64,
    kind: Kind,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Kind {
    /// Nothing more.
    Plain,
    /// A tube, whose friction leaves the laminar law at some flow.
    Tube {
        /// Re ν / |Q|, 1/m.
        reynolds_scale: f64,
        /// Δp / (ρ f Q²), 1/m⁴.
        friction: f64,
        relative_roughness: f64,
        /// |Q| / ν up to which it holds, m.
        laminar_up_to: f64,
    },
    Check {
        cracking_pa: f64,
    },
    Quadratic {
        k_pa_s2_per_m6: f64,
    },
    Pump {
        delivery_m3_s: f64,
        stall_pa: f64,
    },
}

/// What a law is up to some flow: Δp = (`linear` + `square` |Q|) Q + `rise_pa`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::flow) struct Parabola {
    /// Pa·s/m³.
    pub linear: f64,
    /// Pa·s²/m⁶.
    pub square: f64,
    /// Hydrostatic part, Pa.
    pub rise_pa: f64,
    /// Size of the flow up to which that holds, m³/s.
    pub up_to: f64,
}

impl Prepared {
    /// Works out the geometry of a law.
    pub fn new(law: &Law) -> Self {
        let (viscous, inertial, rise_m, kind) = match *law {
            Law::Tube { bore_m, length_m, minor_k, rise_m, roughness_m } => (
                laminar_resistance(bore_m, length_m),
                minor_resistance(bore_m, minor_k),
                rise_m,
                Kind::Tube {
                    reynolds_scale: 4.0 / (PI * bore_m),
                    friction: minor_resistance(bore_m, length_m / bore_m),
                    relative_roughness: roughness_m / bore_m,
                    laminar_up_to: LAMINAR_UP_TO * PI * bore_m / 4.0,
                },
            ),
            Law::Orifice { bore_m, length_m, discharge } => (
                orifice_viscous_resistance(bore_m, length_m),
                orifice_inertial_resistance(bore_m, discharge),
                0.0,
                Kind::Plain,
            ),
            Law::Row { viscous_per_m3, inertial_per_m4 } => {
                (viscous_per_m3, inertial_per_m4, 0.0, Kind::Plain)
            }
            Law::Check { cracking_pa, bore_m } => (
                orifice_viscous_resistance(bore_m, 0.0),
                orifice_inertial_resistance(bore_m, SHARP_EDGED_DISCHARGE),
                0.0,
                Kind::Check { cracking_pa },
            ),
            Law::Quadratic { k_pa_s2_per_m6 } => {
                (0.0, 0.0, 0.0, Kind::Quadratic { k_pa_s2_per_m6 })
            }
            Law::Pump { delivery_m3_s, stall_pa } => {
                (0.0, 0.0, 0.0, Kind::Pump { delivery_m3_s, stall_pa })
            }
        };
        Self { viscous, inertial, head: STANDARD_GRAVITY * rise_m, kind }
    }

    /// As [`Law::drop_and_slope`].
    #[inline]
    pub fn drop_and_slope(&self, flow_m3_s: f64, contents: Contents) -> (f64, f64) {
        let Contents { density_kg_m3, nu_m2_s } = contents;
        let size = flow_m3_s.abs();
        let viscous = nu_m2_s * self.viscous;
        let inertial = self.inertial * size;
        let drop = density_kg_m3 * ((viscous + inertial) * flow_m3_s + self.head);
        let slope = density_kg_m3 * (viscous + 2.0 * inertial);
        match self.kind {
            Kind::Plain => (drop, slope),
            Kind::Tube { reynolds_scale, .. }
                if reynolds_scale * size <= LAMINAR_UP_TO * nu_m2_s =>
            {
                (drop, slope)
            }
            Kind::Tube { reynolds_scale, friction, relative_roughness, .. } => {
                let reynolds = reynolds_scale * size / nu_m2_s;
                let (factor, factor_slope) =
                    friction_factor_with_slope(reynolds, relative_roughness);
                let whole = friction * factor * size + inertial;
                let whole_slope =
                    friction * size * (2.0 * factor + reynolds * factor_slope) + 2.0 * inertial;
                (density_kg_m3 * (whole * flow_m3_s + self.head), density_kg_m3 * whole_slope)
            }
            Kind::Check { cracking_pa } => {
                let (seat, seat_slope) = check_seat_with_slope(flow_m3_s, cracking_pa);
                (drop + seat, slope + seat_slope)
            }
            Kind::Quadratic { k_pa_s2_per_m6 } => quadratic_with_slope(flow_m3_s, k_pa_s2_per_m6),
            Kind::Pump { delivery_m3_s, stall_pa } => {
                pump_with_slope(flow_m3_s, delivery_m3_s, stall_pa)
            }
        }
    }

    /// The law as long as flow is laminar; `None` for one that is no parabola at any flow.
    #[inline]
    pub(in crate::flow) fn parabola(&self, contents: Contents) -> Option<Parabola> {
        let Contents { density_kg_m3, nu_m2_s } = contents;
        let up_to = match self.kind {
            Kind::Plain => f64::INFINITY,
            Kind::Tube { laminar_up_to, .. } => laminar_up_to * nu_m2_s,
            Kind::Check { .. } | Kind::Quadratic { .. } | Kind::Pump { .. } => return None,
        };
        Some(Parabola {
            linear: density_kg_m3 * nu_m2_s * self.viscous,
            square: density_kg_m3 * self.inertial,
            rise_pa: density_kg_m3 * self.head,
            up_to,
        })
    }

    /// The part of the drop that is there at rest, Pa: hydrostatic, or a pump's.
    #[inline]
    pub fn rise_pa(&self, contents: Contents) -> f64 {
        match self.kind {
            Kind::Pump { stall_pa, .. } => -stall_pa,
            _ => contents.density_kg_m3 * self.head,
        }
    }
}
