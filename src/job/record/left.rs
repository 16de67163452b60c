//! What stays behind, and what a modulator would make of it.

use super::joined::Joined;
use super::region::{self, Belongs, Region};
use serde::Serialize;
use std::sync::Arc;

/// What stays behind in one part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartLeft {
    /// Name of the part.
    pub part: String,
    /// Its kind.
    pub kind: &'static str,
    /// Its volume, mL.
    pub volume_ml: f64,
    /// Old fraction in it.
    pub old_fraction: f64,
    /// Water in it, mass %.
    pub water_percent: f64,
    /// Boiling point of all that is in it, mixed, °C (equilibrium reflux).
    pub boiling_c: f64,
    /// Boiling point at its worst place, °C: each stage and each pocket of a chamber and each compartment of
    /// the reservoir counts by itself, a line or hose as a whole. Never above `boiling_c`.
    pub lowest_boiling_c: f64,
    /// Boiling point in its pocket (the worst of them where it has several stages), °C; `None` without a
    /// pocket. The pocket is what lies at the piston, which is where a brake gets hot.
    pub pocket_boiling_c: Option<f64>,
    /// Whether a bleeder reaches it: whether what flows to some bleeder, with all valves at rest, can pass it.
    pub reached: bool,
    /// Its volume before the job, mL.
    pub volume_before_ml: f64,
    /// Old fraction in it before the job.
    pub old_fraction_before: f64,
    /// Where on the vehicle it belongs.
    #[serde(flatten)]
    pub belongs: Belongs,
}

/// What no bleeder reaches, all of it together. It leaves its place only where a hydraulic modulator works:
/// what that brings to the wheels stands in [`IfModulatorWorks`].
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TrappedLeft {
    /// Its volume, mL.
    pub volume_ml: f64,
    /// Its old fraction.
    pub old_fraction: f64,
    /// Its water, mass %.
    pub water_percent: f64,
    /// Boiling point at its worst place, °C.
    pub lowest_boiling_c: f64,
    /// The part that has it.
    pub lowest_boiling_part: String,
}

/// A part with less, mL, is empty but for rounding: it has no composition and no boiling point.
pub(crate) const NOTHING_ML: f64 = 1e-3;

impl PartLeft {
    /// Whether there is any fluid in it; a reservoir that ran dry holds none.
    pub fn holds_some(&self) -> bool {
        self.volume_ml > NOTHING_ML
    }

    /// Whether there was any fluid in it before the job.
    pub fn held_some(&self) -> bool {
        self.volume_before_ml > NOTHING_ML
    }
}

impl Left {
    /// The parts that hold fluid at the end.
    pub fn holding(&self) -> impl Iterator<Item = &PartLeft> {
        self.parts.iter().filter(|p| p.holds_some())
    }
}

fn those_that_hold_some<S: serde::Serializer>(parts: &[PartLeft], s: S) -> Result<S::Ok, S::Error> {
    s.collect_seq(parts.iter().filter(|p| p.holds_some()))
}

/// What stays behind.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Left {
    /// Old fluid in the whole system, mL.
    pub old_ml: f64,
    /// Old fraction of the whole system.
    pub old_fraction: f64,
    /// Water in the whole system, mass %.
    pub water_percent: f64,
    /// Lowest [`PartLeft::lowest_boiling_c`] of all parts that a bleeder reaches, °C.
    pub lowest_boiling_c: f64,
    /// The part that has it.
    pub lowest_boiling_part: String,
    /// Part by part, reservoir first, then along the circuit. What holds nothing at the end is not told.
    #[serde(serialize_with = "those_that_hold_some")]
    pub parts: Vec<PartLeft>,
    /// What no bleeder reaches; `None` if there is nothing of the kind.
    pub trapped: Option<TrappedLeft>,
    /// The part with the most old fluid for its volume, of those that a bleeder reaches.
    pub oldest_part: String,
    /// Its old fraction.
    pub oldest_fraction: f64,
    /// Parts taken together, corner by corner.
    pub regions: Vec<Region>,
    /// Parts taken together, axle by axle.
    pub axles: Vec<Region>,
    /// How they join: for a drawing of them.
    // Not in the JSON: places in a list that the JSON shortens, as of regions.
    #[serde(skip)]
    pub joined: Arc<Joined>,
}

impl Left {
    /// The part that [`Left::oldest_part`] names.
    pub fn oldest(&self) -> Option<&PartLeft> {
        self.parts.iter().find(|p| p.part == self.oldest_part)
    }

    /// The same with what follows from its parts: the oldest of them, regions, axles.
    pub fn summed_up(self) -> Self {
        let reached = || self.holding().filter(|p| p.reached && p.old_fraction.is_finite());
        let oldest_fraction = reached().map(|p| p.old_fraction).fold(0.0, f64::max);
        // Parts alike but for rounding: the first of them is named.
        let oldest = reached().find(|p| p.old_fraction >= oldest_fraction - 1e-9);
        Self {
            oldest_part: oldest.map_or(String::new(), |p| p.part.clone()),
            oldest_fraction,
            regions: region::regions(&self.parts),
            axles: region::axles(&self.parts),
            ..self
        }
    }

    /// Whether the lowest boiling point lies in a pocket, the part as a whole being better.
    pub fn lowest_in_pocket(&self) -> bool {
        let part = self.parts.iter().find(|p| p.part == self.lowest_boiling_part);
        part.is_some_and(|p| {
            let rounding = 1e-6;
            p.pocket_boiling_c == Some(p.lowest_boiling_c)
                && p.boiling_c > p.lowest_boiling_c + rounding
        })
    }
}

/// What reaches the wheels if the hydraulic modulators work once on the road after the job: all channels
/// for a few seconds, pump on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct IfModulatorWorks {
    /// For how long they work, s.
    pub seconds: f64,
    /// Fluid in accumulators, pumps and dampers after the job, mL. (`left.trapped` counts it too, and dead ends
    /// of lines beside it.)
    pub trapped_ml: f64,
    /// Its old fraction.
    pub trapped_old_fraction: f64,
    /// Its water, mass %.
    pub trapped_water_percent: f64,
    /// Boiling point at its worst place, °C.
    pub trapped_boiling_c: f64,
    /// What each channel then gets.
    pub channels: Vec<ChannelThen>,
}

/// What one channel gets if its modulator works.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ChannelThen {
    /// Name of the modulator.
    pub modulator: String,
    /// Name of the line that starts from it.
    pub channel: String,
    /// Old fraction of the mix with the most water that is sent toward the wheel.
    pub sent_old_fraction: f64,
    /// Its water, mass %.
    pub sent_water_percent: f64,
    /// Its boiling point, °C.
    pub sent_boiling_c: f64,
    /// The wheel brake behind it, the smallest where there are several.
    pub wheel: String,
    /// Boiling point at the worst place in that brake after the job, its pocket included, °C.
    pub wheel_boiling_now_c: f64,
    /// The same if as much of that mix as the channel's passage holds gets all the way into it, °C. A place that
    /// boils lower without the mix counts as if none came there.
    pub wheel_boiling_then_c: f64,
}
