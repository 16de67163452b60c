//! A pressure bleeder: a vessel with an air cushion that pushes new fluid through a feed hose into
//! the reservoir.

use super::{Cap, Described, ENDLESS_M3, Fed, Loaded, Misfit, SetGauge, Supply};
use crate::keys::LeftOut::{Required, Rule, Text};
use crate::keys::Quantity;
use crate::keys::bounds::{
    EXPONENT, FEED_HOSE_LENGTH, GAUGE, LOADED, SHOP_HOSE_BORE, SMALL_VOLUME, VESSEL,
};
use crate::keys::table::table;
use crate::keys::worded::worded;
use crate::measures::{ATMOSPHERE_PA, to_ml};
use crate::parts::chamber::Chamber;
use crate::parts::passage::{Passage, hole_area_m2};
use crate::portable;
use crate::roots::crossing;

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
        pub feed_hose_length: Quantity [&FEED_HOSE_LENGTH] = Text("1.5 m");
        /// Inside diameter of that hose.
        pub feed_hose_bore: Quantity [&SHOP_HOSE_BORE] = Text("6 mm");
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

    fn also(&self) -> &'static [&'static str] {
        &["power bleeder"]
    }

    fn ready(&self) -> Box<dyn Supply> {
        Box::new(PressureBleeder::new(self))
    }

    fn vessel(&self) -> Option<&Vessel> {
        Some(self)
    }

    fn vessel_mut(&mut self) -> Option<&mut Vessel> {
        Some(self)
    }
}

/// The share of its shell that must stay air, or there is nothing to push with (an estimate).
const LEAST_CUSHION: f64 = 0.1;

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
    /// Air that is still in the feed hose, m³.
    pub feed_hose_air_m3: f64,
    /// n of the air cushion.
    pub exponent: f64,
    absolute_pa: f64,
    /// Air in it when the gauge will have fallen to the mark, m³; infinite if it never will.
    air_at_mark_m3: f64,
    /// What of shell and fluid makes it endless, m³.
    endless_m3: f64,
}

impl PressureBleeder {
    /// From its table; pumped up, valve shut.
    pub fn new(table: &Vessel) -> Self {
        let (bore_m, length_m) = (table.feed_hose_bore.value, table.feed_hose_length.value);
        let feed_hose_m3 = hole_area_m2(bore_m) * length_m;
        let feed_hose_air_m3 = match table.feed_hose_holds {
            FeedHoseHolds::Air => feed_hose_m3,
            FeedHoseHolds::NewFluid => 0.0,
        };
        let mut vessel = Self {
            shell_m3: table.shell.value,
            fluid_m3: table.loaded.value,
            heel_m3: table.heel.value,
            set_gauge_pa: table.gauge.value,
            low_mark_pa: table.re_pump_below.map(|q| q.value),
            feed_hose: Passage::Tube { bore_m, length_m, minor_k: 1.5 },
            feed_hose_m3,
            feed_hose_air_m3,
            exponent: table.exponent.value,
            absolute_pa: ATMOSPHERE_PA,
            air_at_mark_m3: f64::INFINITY,
            endless_m3: 0.0,
        };
        vessel.pump_to(table.gauge.value);
        vessel
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
    fn send(&mut self, volume: f64) {
        self.absolute_pa = self.absolute_after_pa(volume);
        self.fluid_m3 -= volume;
    }

    /// Air cushion that must stay in it, m³.
    fn least_cushion_m3(&self) -> f64 {
        LEAST_CUSHION * (self.shell_m3 - self.endless_m3)
    }

    /// What fills the feed hose, and then what rises in the reservoir, when the valve is opened onto closed bleeders
    /// until the pressures are equal, m³.
    ///
    /// `air_space_m3` is the air under the reservoir's cap, `air_pa_m3` its pressure times volume (with
    /// that of the air in the feed hose added). Boyle on both sides; solved by [`crossing`]. The hose's air is taken to go
    /// over under the cap as fluid fills the hose, but only while something pushes: a vessel whose pressure was let off
    /// has none for that, nor draws it anything else, so air stays in the hose.
    fn settles_by(&self, hose_m3: f64, air_space_m3: f64, air_pa_m3: f64) -> (f64, f64) {
        // What vessel and air under the cap would differ by, times the volume that is left of that air, so that it is
        // finite everywhere: above 0 while the vessel still pushes harder.
        let excess =
            |sent: f64, air_m3: f64| self.absolute_after_pa(sent) * (air_m3 - sent) - air_pa_m3;
        // To rounding.
        let close = 4.0 * f64::EPSILON * air_pa_m3;
        if self.absolute_after_pa(hose_m3) < ATMOSPHERE_PA && hose_m3 > 0.0 {
            let all = hose_m3 + air_space_m3;
            return (settled(0.0, hose_m3, close, |sent| excess(sent, all)), 0.0);
        }
        let rise = if air_space_m3 <= 0.0 {
            0.0
        } else {
            let all = hose_m3 + air_space_m3;
            settled(-0.5 * air_space_m3, air_space_m3, close, |rise| excess(hose_m3 + rise, all))
        };
        (hose_m3, rise)
    }
}

/// Where `excess` falls through zero between `low` and `high`; to `close`; 0 if it does not begin above, `high` if it
/// ends there.
fn settled(low: f64, high: f64, close: f64, excess: impl Fn(f64) -> f64) -> f64 {
    let (first, last) = (excess(low), excess(high));
    if first <= 0.0 {
        0.0
    } else if last > 0.0 {
        high
    } else {
        crossing((high, last), (low, first), close, excess)
    }
}

impl Supply for PressureBleeder {
    fn gauge_pa(&self) -> f64 {
        self.absolute_pa - ATMOSPHERE_PA
    }

    fn push_pa(&self) -> f64 {
        self.gauge_pa()
    }

    fn push_after_pa(&self, sent_m3: f64) -> f64 {
        self.absolute_after_pa(sent_m3) - ATMOSPHERE_PA
    }

    fn feed_hose(&self) -> Option<Passage> {
        Some(self.feed_hose)
    }

    fn set_gauge(&self) -> Option<SetGauge> {
        Some(SetGauge { pa: self.set_gauge_pa, low_mark_pa: self.low_mark_pa })
    }

    fn until_low_m3(&self) -> f64 {
        let more = self.air_at_mark_m3 - self.air_m3();
        if more > 0.0 { more } else { f64::INFINITY }
    }

    fn loaded(&self) -> Option<Loaded> {
        let room_m3 = self.air_m3() - self.least_cushion_m3();
        Some(Loaded { fluid_m3: self.fluid_m3, heel_m3: self.heel_m3, room_m3 })
    }

    fn misfit(&self, name: &str, _chambers: &[&Chamber]) -> Option<Misfit> {
        let (key, what, remedy) = if self.air_m3() < self.least_cushion_m3() {
            (
                "loaded",
                format!(
                    "{:.0} mL loaded into `{name}` leave no air cushion in its shell of {:.0} mL",
                    to_ml(self.fluid_m3),
                    to_ml(self.shell_m3)
                ),
                "load less, or state the vessel's own `shell`; a tenth of it at least must stay air",
            )
        } else if self.usable_m3() < self.feed_hose_air_m3 {
            (
                "loaded",
                format!(
                    "{:.0} mL loaded into `{name}`, of which {:.0} mL stay out of the dip tube's reach, do not fill its feed hose ({:.0} mL)",
                    to_ml(self.fluid_m3),
                    to_ml(self.heel_m3),
                    to_ml(self.feed_hose_m3)
                ),
                "load more, or check length and bore of the feed hose",
            )
        } else if self.low_mark_pa.is_some_and(|m| m >= self.set_gauge_pa) {
            (
                "re_pump_below",
                format!("`{name}` would be pumped up again at or above the gauge it is pumped to"),
                "let `re_pump_below` be less than `gauge`",
            )
        } else {
            return None;
        };
        Some(Misfit { key, what, remedy: remedy.to_owned() })
    }

    /// More fluid behind the same air cushion.
    fn never_dry(&mut self, more_m3: f64) {
        self.fluid_m3 += ENDLESS_M3 + more_m3;
        self.shell_m3 += ENDLESS_M3;
        self.endless_m3 = ENDLESS_M3;
    }

    fn settle(&mut self, cap: &mut Cap) -> Option<(f64, f64)> {
        let air_in_hose = self.feed_hose_air_m3;
        let air = *cap.air_pa_m3.get_or_insert(ATMOSPHERE_PA * (cap.space_m3 + air_in_hose));
        let (hose, rise) = self.settles_by(air_in_hose, cap.space_m3, air);
        // Fluid does not come back: the hose opens above the level.
        let rise = rise.clamp(0.0, (self.usable_m3() - hose).max(0.0));
        self.feed_hose_air_m3 -= hose;
        self.send(hose + rise);
        Some((hose, rise))
    }

    /// As much as leaves the reservoir, less (or more) what the air under the cap gives as the pressure changes.
    /// It first fills what of the feed hose is still air.
    fn feed(&mut self, drained: f64, lasts: f64, cap: Cap) -> Fed {
        let mut fed = drained;
        if let Some(air) = cap.air_pa_m3 {
            // By Newton's method: the gauge changes little in a step, so that two or three rounds do.
            for _ in 0..8 {
                let left_m3 = air / self.absolute_after_pa(fed);
                let lacks = drained + cap.space_m3 + self.feed_hose_air_m3 - left_m3 - fed;
                let per_fed = 1.0 + self.exponent * left_m3 / (self.air_m3() + fed);
                fed = (fed + lacks / per_fed).clamp(0.0, 2.0 * drained);
                if lacks.abs() <= 2.0 * f64::EPSILON * left_m3 {
                    break;
                }
            }
        }
        let hose_m3 = fed.min(self.feed_hose_air_m3);
        let fed = fed - hose_m3;
        // As the gauge falls, and as what was in the feed hose comes over, the air under the cap grows. Where it would
        // reach an outlet, go on as if it did not, but say so.
        let least = drained - 0.5 * lasts;
        let reached = fed < least;
        let fed = fed.max(least);
        self.feed_hose_air_m3 -= hose_m3;
        self.send(hose_m3 + fed);
        Fed { reservoir_m3: fed, hose_m3, air_reaches_an_outlet: reached }
    }

    /// Down to its heel: what it can still send, and what the air under the cap gives as the pressure falls meanwhile.
    fn until_dry_m3(&self, cap: Cap) -> f64 {
        let usable = self.usable_m3();
        match cap.air_pa_m3 {
            Some(air) => {
                let air_m3 = cap.space_m3 + self.feed_hose_air_m3;
                usable - air_m3 + air / self.absolute_after_pa(usable)
            }
            None => usable,
        }
    }

    fn least_pa(&self, unseen_m3: f64) -> f64 {
        let Some(mark) = self.low_mark_pa else { return ATMOSPHERE_PA };
        let mut from = self.clone();
        from.pump_to(mark.min(self.gauge_pa()));
        from.absolute_after_pa(unseen_m3).max(ATMOSPHERE_PA)
    }

    fn pump_to(&mut self, gauge_pa: f64) -> bool {
        self.absolute_pa = ATMOSPHERE_PA + gauge_pa;
        // p Vⁿ stays what it is until the next time.
        let over_mark = |mark_pa| self.absolute_pa / (ATMOSPHERE_PA + mark_pa);
        self.air_at_mark_m3 = match self.low_mark_pa.map(over_mark) {
            Some(ratio) if ratio > 1.0 => {
                self.air_m3() * portable::powf(ratio, self.exponent.recip())
            }
            _ => f64::INFINITY,
        };
        true
    }

    /// Relieves it, loads and pumps it up again.
    fn load(&mut self, volume_m3: f64) {
        self.fluid_m3 += volume_m3;
        self.pump_to(self.set_gauge_pa);
    }
}
