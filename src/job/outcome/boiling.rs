//! Where fluid boils first: the one definition behind every boiling point that is shown, judged or ranked.
//!
//! A part boils where its worst place does. A place is what is taken as mixed: each stage and each pocket of
//! a chamber by itself, the reservoir's common space and each of its compartments. A line or hose counts as a
//! whole, by its mean: no brake heats it. The mean of the whole part is a place too, so that a part never
//! counts as better than its mean.

use crate::job::state::Setting;
use crate::transport::chamber::Stages;
use crate::transport::reservoir::Reservoir;

/// Less than this is no body of fluid but what rounding leaves in an emptied compartment, m³ (a microlitre).
const NOTHING_M3: f64 = 1e-9;

/// One composition, judged.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Judged {
    pub old_fraction: f64,
    pub water_percent: f64,
    pub boiling_c: f64,
}

/// Judges what is in `volume_m3` that holds these amounts (m³ · composition).
pub(crate) fn judge(setting: &Setting, held: &[f64], volume_m3: f64) -> Judged {
    let per = if volume_m3 > 0.0 { volume_m3.recip() } else { 0.0 };
    // Rounding may leave 10⁻¹⁶ below nothing or above all.
    let old_fraction = (setting.species.old(held) * per).clamp(0.0, 1.0);
    let water = (setting.species.water(held, volume_m3) * per).max(0.0);
    let water_percent = setting.blend.water_percent(old_fraction, water);
    let boiling_c = setting.blend.boiling_c(old_fraction, water_percent);
    Judged { old_fraction, water_percent, boiling_c }
}

/// The lowest boiling point of a chamber's places, and that of its pockets if it has any, °C.
pub(crate) fn of_chamber(setting: &Setting, chamber: &Stages, mean_c: f64) -> (f64, Option<f64>) {
    let lowest = |rows: &mut dyn Iterator<Item = &[f64]>| {
        rows.map(|row| judge(setting, row, 1.0).boiling_c).reduce(f64::min)
    };
    let pocket_c = lowest(&mut chamber.pockets());
    // A single stage without a pocket is the mean.
    let stages_c = if chamber.places() > 1 { lowest(&mut chamber.stages()) } else { None };
    let lowest_c = [stages_c, pocket_c].into_iter().flatten().fold(mean_c, f64::min);
    (lowest_c, pocket_c)
}

/// The lowest boiling point in the reservoir, °C.
pub(crate) fn of_reservoir(setting: &Setting, reservoir: &Reservoir, mean_c: f64) -> f64 {
    reservoir
        .bodies()
        .filter(|(volume_m3, _)| *volume_m3 > NOTHING_M3)
        .map(|(volume_m3, held)| judge(setting, held, volume_m3).boiling_c)
        .fold(mean_c, f64::min)
}
