//! What pushes: an air cushion behind the fluid, or the open reservoir's head and a vacuum.

/// The standard atmosphere, Pa.
const ATMOSPHERE_PA: f64 = 101_325.0;

/// What pushes.
#[derive(Debug, Clone, PartialEq)]
pub enum Push {
    /// A vessel with an air cushion that feeds the reservoir.
    Vessel(Vessel),
    /// The reservoir is open, and filled up by hand whenever it is down to one volume (mL) to another.
    Open {
        /// Pressure at the bleeders' clear hoses, Pa: below 0 where something draws.
        at_bleeder_pa: f64,
        /// Volumes of the whole reservoir, mL.
        refill: (f64, f64),
    },
}

/// A vessel of fluid under air, joined by a hose to a reservoir that has air under its cap: P Vⁿ stays the
/// same in the vessel, P V under the cap (Boyle), and both stand at one pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vessel {
    /// Air, mL.
    pub air_ml: f64,
    /// Pressure, Pa absolute.
    pub absolute_pa: f64,
    /// n.
    pub exponent: f64,
    /// Gauge pressure it is pumped up to, Pa.
    pub pumped_to_pa: f64,
    /// Gauge pressure below which it is pumped up again.
    pub low_mark_pa: Option<f64>,
    /// What the feed hose still takes before fluid comes out of it, mL.
    pub hose_ml: f64,
    /// Pressure times volume under the cap, Pa·mL; `None` while nothing is joined.
    pub cap: Option<f64>,
}

impl Vessel {
    /// Pumped up to a gauge pressure (Pa), its valve shut.
    pub fn new(air_ml: f64, gauge_pa: f64, exponent: f64, hose_ml: f64) -> Self {
        Self {
            air_ml,
            absolute_pa: ATMOSPHERE_PA + gauge_pa,
            exponent,
            pumped_to_pa: gauge_pa,
            low_mark_pa: None,
            hose_ml,
            cap: None,
        }
    }

    /// Gauge pressure, Pa.
    pub fn gauge_pa(&self) -> f64 {
        self.absolute_pa - ATMOSPHERE_PA
    }

    fn after_pa(&self, sent_ml: f64) -> f64 {
        self.absolute_pa * (self.air_ml / (self.air_ml + sent_ml)).powf(self.exponent)
    }

    fn send(&mut self, ml: f64) {
        self.absolute_pa = self.after_pa(ml);
        self.air_ml += ml;
    }

    fn joined(&mut self, space_ml: f64) -> f64 {
        *self.cap.get_or_insert(ATMOSPHERE_PA * (space_ml + self.hose_ml))
    }

    /// Opens the valve while all bleeders are shut; gives by how much the reservoir rises into the space
    /// (mL) under its cap.
    pub fn settle(&mut self, space_ml: f64) -> f64 {
        let cap = self.joined(space_ml);
        let excess = |rise: f64| self.after_pa(self.hose_ml + rise) - cap / (space_ml - rise);
        let (mut low, mut high) = (0.0, space_ml);
        if excess(0.0) > 0.0 {
            for _ in 0..200 {
                let mid: f64 = 0.5 * (low + high);
                if excess(mid) > 0.0 { low = mid } else { high = mid }
            }
        }
        self.send(self.hose_ml + low);
        self.hose_ml = 0.0;
        low
    }

    /// Pumps until the gauge reads this with the valve open; gives by how much the reservoir rises.
    pub fn pump(&mut self, gauge_pa: f64, space_ml: f64) -> f64 {
        let cap = self.joined(space_ml);
        let absolute_pa = ATMOSPHERE_PA + gauge_pa;
        let rise = (space_ml - cap / absolute_pa).max(0.0);
        self.air_ml += self.hose_ml + rise;
        self.hose_ml = 0.0;
        self.absolute_pa = absolute_pa;
        rise
    }

    /// Drains so much (mL) with the valve open; gives what went into the reservoir meanwhile.
    pub fn drain(&mut self, ml: f64, space_ml: f64) -> f64 {
        let cap = self.joined(space_ml);
        let excess = |fed: f64| self.after_pa(fed) - cap / (space_ml + ml - fed);
        let (mut low, mut high) = (0.0, ml);
        for _ in 0..100 {
            let mid = 0.5 * (low + high);
            if excess(mid) > 0.0 { low = mid } else { high = mid }
        }
        self.send(low);
        low
    }

    /// What can be drained before the gauge is down at its low mark, mL.
    pub fn until_low_mark_ml(&self, space_ml: f64) -> f64 {
        let (Some(mark), Some(cap)) = (self.low_mark_pa, self.cap) else { return f64::INFINITY };
        let absolute_pa = ATMOSPHERE_PA + mark;
        let fed = self.air_ml * ((self.absolute_pa / absolute_pa).powf(1.0 / self.exponent) - 1.0);
        cap / absolute_pa - space_ml + fed
    }
}
