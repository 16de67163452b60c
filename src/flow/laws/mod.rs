//! Loss laws: what a part costs in pressure at a flow, one file a law.
//!
//! [`Law`] is what a part is; [`Prepared`] is the same with its geometry worked out once, for the
//! loop that evaluates it at every step.

mod check;
mod churchill;
mod friction;
mod laminar;
mod minor;
mod orifice;
mod prepared;
mod pump;
mod quadratic;

pub use check::{CHECK_LEAK_M3_PER_PA_S, CRACKING_FLOOR_PA, check_seat_with_slope};
pub use churchill::{churchill_1977, churchill_1977_with_slope};
pub use friction::{CHURCHILL_FROM, LAMINAR_UP_TO, friction_factor, friction_factor_with_slope};
pub use laminar::{laminar_friction_factor, laminar_resistance};
pub use minor::minor_resistance;
pub use orifice::{
    SHARP_EDGED_DISCHARGE, orifice_discharge, orifice_inertial_resistance,
    orifice_viscous_resistance, slit_viscous_resistance,
};
pub use prepared::Prepared;
pub use pump::pump_with_slope;
pub use quadratic::{QUADRATIC_LINEAR_BELOW_M3_S, quadratic_with_slope};

use std::f64::consts::PI;

/// The fluid in an element at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contents {
    /// Density, kg/m³.
    pub density_kg_m3: f64,
    /// Kinematic viscosity, m²/s.
    pub nu_m2_s: f64,
}

/// What an element costs in pressure. Every law rises strictly with the flow and has a continuous
/// derivative above zero.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Law {
    /// A line or hose: friction ([`friction_factor`]), minor losses, rise.
    Tube {
        /// Inner diameter, m.
        bore_m: f64,
        /// Length, m.
        length_m: f64,
        /// Sum of the loss coefficients of bends and fittings, on the velocity in the bore.
        minor_k: f64,
        /// Height of the `to` end above the `from` end, m.
        rise_m: f64,
        /// Roughness of the wall, m.
        roughness_m: f64,
    },
    /// A short hole: viscous part ([`orifice_viscous_resistance`]) plus inertial part
    /// ([`orifice_inertial_resistance`]).
    Orifice {
        /// Diameter of the round hole of the same area, m.
        bore_m: f64,
        /// Thickness of the wall it goes through, m (0 for a thin plate).
        length_m: f64,
        /// Discharge coefficient at high Reynolds number ([`SHARP_EDGED_DISCHARGE`]).
        discharge: f64,
    },
    /// Holes and laminar tubes in a row, their resistances added up: Δp = ρ (ν a + b |Q|) Q.
    Row {
        /// Sum of the viscous resistances a, 1/m³.
        viscous_per_m3: f64,
        /// Sum of the inertial resistances b, 1/m⁴.
        inertial_per_m4: f64,
    },
    /// A check valve that opens from `from` to `to`: its seat ([`check_seat_with_slope`]) and, in
    /// series, a sharp-edged thin orifice of its bore.
    Check {
        /// Pressure at which it opens, Pa.
        cracking_pa: f64,
        /// Bore when open, m.
        bore_m: f64,
    },
    /// Δp = K Q|Q|, whatever the fluid ([`quadratic_with_slope`]).
    Quadratic {
        /// K, Pa·s²/m⁶.
        k_pa_s2_per_m6: f64,
    },
    /// A pump that pushes from `from` to `to`, whatever the fluid ([`pump_with_slope`]).
    Pump {
        /// What it delivers without back pressure, m³/s.
        delivery_m3_s: f64,
        /// Pressure against which it delivers nothing, Pa.
        stall_pa: f64,
    },
}

impl Law {
    /// Pressure drop (Pa, from `from` to `to`) at a flow (m³/s, positive from `from` to `to`) and
    /// its derivative with respect to the flow (Pa·s/m³, above zero).
    ///
    /// The drop of a tube holds its hydrostatic rise: at rest it is ρ g z.
    ///
    /// ```
    /// use farwheel::flow::{Contents, Law};
    /// let line = Law::Tube { bore_m: 3.33e-3, length_m: 5.0, minor_k: 0.0, rise_m: 0.0, roughness_m: 0.0 };
    /// let (drop_pa, _) = line.drop_and_slope(1e-6, Contents { density_kg_m3: 1060.0, nu_m2_s: 15e-6 });
    /// assert!((drop_pa - 26_340.0).abs() < 10.0);
    /// ```
    pub fn drop_and_slope(&self, flow_m3_s: f64, contents: Contents) -> (f64, f64) {
        Prepared::new(self).drop_and_slope(flow_m3_s, contents)
    }

    /// Reynolds number 4|Q|/(π D ν) in the bore at a flow (m³/s); `None` for a law without a bore.
    ///
    /// ```
    /// use farwheel::flow::{Contents, Law};
    /// let valve = Law::Check { cracking_pa: 3000.0, bore_m: 2e-3 };
    /// let water = Contents { density_kg_m3: 1000.0, nu_m2_s: 1e-6 };
    /// let re = valve.reynolds(std::f64::consts::PI * 1e-6, water).expect("a valve has a bore");
    /// assert!((re - 2000.0).abs() < 1e-9);
    /// ```
    pub fn reynolds(&self, flow_m3_s: f64, contents: Contents) -> Option<f64> {
        let bore_m = match *self {
            Law::Tube { bore_m, .. } | Law::Orifice { bore_m, .. } | Law::Check { bore_m, .. } => {
                bore_m
            }
            Law::Row { .. } | Law::Quadratic { .. } | Law::Pump { .. } => return None,
        };
        Some(4.0 * flow_m3_s.abs() / (PI * bore_m * contents.nu_m2_s))
    }

    /// Whether the figures make a law: bores, lengths of tubes, K, delivery and stall pressure above zero, all
    /// finite, the discharge coefficient above 0 and up to 1, relative roughness up to 0.05.
    ///
    /// # Errors
    /// What is wrong, in words that follow the element's name.
    pub fn check(&self) -> Result<(), &'static str> {
        let positive = |x: f64| x.is_finite() && x > 0.0;
        let not_negative = |x: f64| x.is_finite() && x >= 0.0;
        let demand = |ok: bool, what: &'static str| if ok { Ok(()) } else { Err(what) };
        match *self {
            Law::Tube { bore_m, length_m, minor_k, rise_m, roughness_m } => {
                demand(positive(bore_m), "needs a bore above zero")?;
                demand(positive(length_m), "needs a length above zero")?;
                demand(not_negative(minor_k), "needs loss coefficients of zero or more")?;
                demand(rise_m.is_finite(), "needs a finite rise")?;
                demand(not_negative(roughness_m), "needs a roughness of zero or more")?;
                demand(roughness_m <= 0.05 * bore_m, "is rougher than a twentieth of its bore")
            }
            Law::Orifice { bore_m, length_m, discharge } => {
                demand(positive(bore_m), "needs a bore above zero")?;
                demand(not_negative(length_m), "needs a length of zero or more")?;
                demand(
                    positive(discharge) && discharge <= 1.0,
                    "needs a discharge coefficient above 0 and up to 1",
                )
            }
            Law::Row { viscous_per_m3, inertial_per_m4 } => {
                demand(positive(viscous_per_m3), "needs a viscous resistance above zero")?;
                demand(
                    not_negative(inertial_per_m4),
                    "needs an inertial resistance of zero or more",
                )
            }
            Law::Check { cracking_pa, bore_m } => {
                demand(positive(bore_m), "needs a bore above zero")?;
                demand(not_negative(cracking_pa), "needs a cracking pressure of zero or more")
            }
            Law::Quadratic { k_pa_s2_per_m6 } => {
                demand(positive(k_pa_s2_per_m6), "needs a coefficient above zero")
            }
            Law::Pump { delivery_m3_s, stall_pa } => {
                demand(positive(delivery_m3_s), "needs a delivery above zero")?;
                demand(positive(stall_pa), "needs a stall pressure above zero")
            }
        }
    }
}
