//! A pressure bleeder: a vessel with an air cushion that pushes new fluid through a feed hose into
//! the reservoir.

use crate::circuit::passage::{Passage, hole_area_m2};
use crate::measures::ATMOSPHERE_PA;
use crate::portable;
use crate::scenario::section::Section;
use crate::scenario::{
    bounds,
    spec::{Default, Ends, Form, Key, KindSpec, Role},
};

/// The kind `pressure bleeder`.
pub const SPEC: KindSpec = KindSpec {
    name: "pressure bleeder",
    doc: "A vessel with an air cushion that pushes new fluid through a feed hose into the reservoir.",
    ends: Ends::Node,
    role: Role::Supply,
    bleeds: false,
    holds: false,
    keys: &[
        Key {
            name: "loaded",
            doc: "New fluid loaded into the vessel.",
            form: Form::Quantity(&bounds::LOADED),
            default: Default::Required,
        },
        Key {
            name: "gauge",
            doc: "Gauge pressure it is pumped to.",
            form: Form::Quantity(&bounds::GAUGE),
            default: Default::Required,
        },
        Key {
            name: "re_pump_below",
            doc: "Gauge pressure below which it is pumped up again; left out, it never is.",
            form: Form::Quantity(&bounds::GAUGE),
            default: Default::Rule("never pumped up again"),
        },
        Key {
            name: "shell",
            doc: "Volume of the empty vessel; one sold for 3 L of fluid is taken to have 4.5 L.",
            form: Form::Quantity(&bounds::VESSEL),
            default: Default::Text("4.5 L"),
        },
        Key {
            name: "feed_hose_length",
            doc: "Length of the hose from vessel to adapter cap.",
            form: Form::Quantity(&bounds::TUBE_LENGTH),
            default: Default::Text("1.5 m"),
        },
        Key {
            name: "feed_hose_bore",
            doc: "Inside diameter of that hose.",
            form: Form::Quantity(&bounds::TUBE_BORE),
            default: Default::Text("6 mm"),
        },
        Key {
            name: "feed_hose_holds",
            doc: "What the feed hose holds before its valve is first opened.",
            form: Form::Word(&["air", "new fluid"]),
            default: Default::Text("air"),
        },
        Key {
            name: "heel",
            doc: "Fluid that the dip tube cannot reach: below it, air goes over.",
            form: Form::Quantity(&bounds::SMALL_VOLUME),
            default: Default::Text("50 mL"),
        },
        Key {
            name: "exponent",
            doc: "n in P·Vⁿ = constant for the air cushion: 1 slow (isothermal), 1.4 sudden.",
            form: Form::Quantity(&bounds::EXPONENT),
            default: Default::Text("1"),
        },
    ],
};

/// The share of its shell that must stay air, or there is nothing to push with (an estimate).
pub const LEAST_CUSHION: f64 = 0.1;

/// A pressure bleeder in use.
///
/// P_abs · V_airⁿ stays constant while fluid leaves (Boyle for n = 1; polytropic otherwise); pumping
/// adds air at constant volume.
#[derive(Debug, Clone, PartialEq)]
pub struct PressureBleeder {
    /// Volume of the empty vessel, m³.
    pub shell_m3: f64,
    /// Fluid in it, m³.
    pub fluid_m3: f64,
    /// Fluid that cannot be reached, m³.
    pub heel_m3: f64,
    /// Gauge pressure it is pumped to, Pa.
    pub set_gauge_pa: f64,
    /// Mark below which it is pumped up again, Pa.
    pub low_mark_pa: Option<f64>,
    /// Way to the reservoir.
    pub feed_hose: Passage,
    /// Volume of the feed hose, m³.
    pub feed_hose_m3: f64,
    /// Whether the feed hose is still full of air.
    pub feed_hose_empty: bool,
    /// n of the air cushion.
    pub exponent: f64,
    absolute_pa: f64,
}

impl PressureBleeder {
    /// From its checked table; pumped up, valve shut.
    pub fn new(s: &Section) -> Self {
        let (bore_m, length_m) = (s.si("feed_hose_bore"), s.si("feed_hose_length"));
        Self {
            shell_m3: s.si("shell"),
            fluid_m3: s.si("loaded"),
            heel_m3: s.si("heel"),
            set_gauge_pa: s.si("gauge"),
            low_mark_pa: s.find_si("re_pump_below"),
            feed_hose: Passage::Tube { bore_m, length_m, minor_k: 1.5 },
            feed_hose_m3: hole_area_m2(bore_m) * length_m,
            feed_hose_empty: s.text("feed_hose_holds") != Some("new fluid"),
            exponent: s.si("exponent"),
            absolute_pa: ATMOSPHERE_PA + s.si("gauge"),
        }
    }

    /// Gauge pressure, Pa.
    pub fn gauge_pa(&self) -> f64 {
        self.absolute_pa - ATMOSPHERE_PA
    }

    /// Air in the vessel, m³.
    pub fn air_m3(&self) -> f64 {
        self.shell_m3 - self.fluid_m3
    }

    /// Fluid that can still be pushed out, m³.
    pub fn usable_m3(&self) -> f64 {
        (self.fluid_m3 - self.heel_m3).max(0.0)
    }

    /// Absolute pressure after `volume` m³ more have left, Pa.
    pub fn absolute_after_pa(&self, volume: f64) -> f64 {
        let air = self.air_m3();
        let ratio = air / (air + volume);
        // The usual case, without a power at every step.
        self.absolute_pa
            * if self.exponent == 1.0 { ratio } else { portable::powf(ratio, self.exponent) }
    }

    /// Lets `volume` m³ out.
    pub fn send(&mut self, volume: f64) {
        self.absolute_pa = self.absolute_after_pa(volume);
        self.fluid_m3 -= volume;
    }

    /// Pumps air in up to a gauge pressure, or lets it off (0 relieves).
    pub fn pump_to(&mut self, gauge_pa: f64) {
        self.absolute_pa = ATMOSPHERE_PA + gauge_pa;
    }

    /// Relieves it, loads `volume` m³ more and pumps it up again.
    pub fn load(&mut self, volume: f64) {
        self.fluid_m3 += volume;
        self.pump_to(self.set_gauge_pa);
    }

    /// Volume that leaves when the valve is opened onto closed bleeders until the pressures are
    /// equal, m³, split into what fills the feed hose and what rises in the reservoir.
    ///
    /// `air_space_m3` is the air under the reservoir's cap, `air_pa_m3` its pressure times volume (with
    /// that of an empty feed hose added). Boyle on both sides; solved by bisection.
    pub fn settles_by(&self, air_space_m3: f64, air_pa_m3: f64) -> (f64, f64) {
        let hose = if self.feed_hose_empty { self.feed_hose_m3 } else { 0.0 };
        // Positive while the vessel still pushes harder than the air under the cap.
        let excess =
            |rise: f64| self.absolute_after_pa(hose + rise) - air_pa_m3 / (air_space_m3 - rise);
        let least = -0.5 * air_space_m3;
        let (mut low, mut high) = (least, air_space_m3 * (1.0 - 1e-9));
        if air_space_m3 <= 0.0 || excess(least) <= 0.0 {
            return (hose, 0.0);
        }
        for _ in 0..80 {
            let mid = 0.5 * (low + high);
            if excess(mid) > 0.0 { low = mid } else { high = mid }
        }
        (hose, 0.5 * (low + high))
    }
}
