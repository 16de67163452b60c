//! A pressure bleeder: a vessel with an air cushion that pushes new fluid through a feed hose into
//! the reservoir.

use super::{Described, Supply};
use crate::keys::LeftOut::{Required, Rule, Text};
use crate::keys::Quantity;
use crate::keys::bounds::{EXPONENT, GAUGE, LOADED, SMALL_VOLUME, TUBE_BORE, TUBE_LENGTH, VESSEL};
use crate::keys::table::table;
use crate::keys::worded::worded;
use crate::measures::ATMOSPHERE_PA;
use crate::parts::passage::{Passage, hole_area_m2};
use crate::portable;

worded! {
    /// What a feed hose holds.
    pub enum FeedHoseHolds {
        /// Air.
        Air = "air",
        /// New fluid.
        NewFluid = "new fluid",
    }
}

table! {
    /// The table of the kind `pressure bleeder`.
    pub struct Vessel {
        /// New fluid loaded into the vessel.
        pub loaded: Quantity [&LOADED] = Required;
        /// Gauge pressure it is pumped to.
        pub gauge: Quantity [&GAUGE] = Required;
        /// Gauge pressure below which it is pumped up again; left out, it never is.
        pub re_pump_below: Option<Quantity> [&GAUGE] = Rule("never pumped up again");
        /// Volume of the empty vessel; one sold for 3 L of fluid is taken to have 4.5 L.
        pub shell: Quantity [&VESSEL] = Text("4.5 L");
        /// Length of the hose from vessel to adapter cap.
        pub feed_hose_length: Quantity [&TUBE_LENGTH] = Text("1.5 m");
        /// Inside diameter of that hose.
        pub feed_hose_bore: Quantity [&TUBE_BORE] = Text("6 mm");
        /// What the feed hose holds before its valve is first opened.
        pub feed_hose_holds: FeedHoseHolds = Text("air");
        /// Fluid that the dip tube cannot reach: below it, air goes over.
        pub heel: Quantity [&SMALL_VOLUME] = Text("50 mL");
        /// n in P·Vⁿ = constant for the air cushion: 1 slow (isothermal), 1.4 sudden.
        pub exponent: Quantity [&EXPONENT] = Text("1");
    }
}

impl Described for Vessel {
    fn word(&self) -> &'static str {
        "pressure bleeder"
    }

    fn doc(&self) -> &'static str {
        "A vessel with an air cushion that pushes new fluid through a feed hose into the reservoir."
    }

    fn ready(&self) -> Supply {
        Supply::PressureBleeder(PressureBleeder::new(self))
    }
}

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
    /// From its table; pumped up, valve shut.
    pub fn new(table: &Vessel) -> Self {
        let (bore_m, length_m) = (table.feed_hose_bore.value, table.feed_hose_length.value);
        Self {
            shell_m3: table.shell.value,
            fluid_m3: table.loaded.value,
            heel_m3: table.heel.value,
            set_gauge_pa: table.gauge.value,
            low_mark_pa: table.re_pump_below.map(|q| q.value),
            feed_hose: Passage::Tube { bore_m, length_m, minor_k: 1.5 },
            feed_hose_m3: hole_area_m2(bore_m) * length_m,
            feed_hose_empty: table.feed_hose_holds == FeedHoseHolds::Air,
            exponent: table.exponent.value,
            absolute_pa: ATMOSPHERE_PA + table.gauge.value,
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
