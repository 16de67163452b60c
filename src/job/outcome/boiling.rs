//! Where fluid boils first: the one definition behind every boiling point that is shown, judged or ranked.
//!
//! A part boils where its worst place does. A place is what is taken as mixed: each stage and each pocket of
//! a chamber and of the reservoir's common space by itself, and each of its compartments. A line or hose counts as a
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
    let (old_fraction, water_percent) = mixture(setting, held, volume_m3);
    let boiling_c = setting.blend.boiling_c(old_fraction, water_percent);
    Judged { old_fraction, water_percent, boiling_c }
}

/// Old fraction and water in mass %.
fn mixture(setting: &Setting, held: &[f64], volume_m3: f64) -> (f64, f64) {
    let per = if volume_m3 > 0.0 { volume_m3.recip() } else { 0.0 };
    // Rounding may leave 10⁻¹⁶ below nothing or above all.
    let old_fraction = (setting.species.old(held) * per).clamp(0.0, 1.0);
    let water = (setting.species.water(held, volume_m3) * per).max(0.0);
    (old_fraction, setting.blend.water_percent(old_fraction, water))
}

/// Places of which it is asked where the first of them boils.
pub(crate) struct Places<'a> {
    setting: &'a Setting,
    /// Old fraction, and water in mass %.
    mixtures: Vec<(f64, f64)>,
}

impl<'a> Places<'a> {
    /// None yet.
    pub(crate) fn new(setting: &'a Setting) -> Self {
        Self { setting, mixtures: Vec::new() }
    }

    /// What is in `volume_m3` that holds these amounts (m³ · composition).
    pub(crate) fn add(&mut self, held: &[f64], volume_m3: f64) {
        self.mixtures.push(mixture(self.setting, held, volume_m3));
    }

    /// The places of a chamber other than its pockets.
    pub(crate) fn stages_of(&mut self, chamber: &Stages) {
        // A single stage without a pocket is the mean.
        if chamber.places() > 1 {
            chamber.stages().for_each(|row| self.add(row, 1.0));
        }
    }

    /// The pockets of a chamber.
    pub(crate) fn pockets_of(&mut self, chamber: &Stages) {
        chamber.pockets().for_each(|row| self.add(row, 1.0));
    }

    /// The places of the reservoir.
    pub(crate) fn of_reservoir(&mut self, reservoir: &Reservoir) {
        let bodies = reservoir.bodies().filter(|(volume_m3, _)| *volume_m3 > NOTHING_M3);
        bodies.for_each(|(volume_m3, held)| self.add(held, volume_m3));
        reservoir.places(NOTHING_M3).for_each(|row| self.add(row, 1.0));
    }

    /// The lowest of their boiling points and of one that is known, °C. Where the others boil that do not boil below it
    /// is not found out, so it is best to begin with what is likely to be the first: the one with the most water.
    pub(crate) fn lowest_c(&self, known_c: Option<f64>) -> f64 {
        let blend = &self.setting.blend;
        let wettest = self.mixtures.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        let first_c = wettest.map(|&(old, water)| blend.boiling_c(old, water));
        let Some(mut lowest_c) = [known_c, first_c].into_iter().flatten().reduce(f64::min) else {
            return f64::INFINITY;
        };
        let mut mark = blend.mark(lowest_c);
        for &(old_fraction, water_percent) in &self.mixtures {
            if mark.is_above_boiling(old_fraction, water_percent) {
                lowest_c = lowest_c.min(blend.boiling_c(old_fraction, water_percent));
                mark = blend.mark(lowest_c);
            }
        }
        lowest_c
    }
}

/// The lowest boiling point of a chamber's places, and that of its pockets if it has any, °C.
pub(crate) fn of_chamber(setting: &Setting, chamber: &Stages, mean_c: f64) -> (f64, Option<f64>) {
    let (mut stages, mut pockets) = (Places::new(setting), Places::new(setting));
    stages.stages_of(chamber);
    pockets.pockets_of(chamber);
    let pocket_c = chamber.pockets().next().map(|_| pockets.lowest_c(None));
    (stages.lowest_c(Some(pocket_c.map_or(mean_c, |c| mean_c.min(c)))), pocket_c)
}

/// The lowest boiling point in the reservoir, °C.
pub(crate) fn of_reservoir(setting: &Setting, reservoir: &Reservoir, mean_c: f64) -> f64 {
    let mut places = Places::new(setting);
    places.of_reservoir(reservoir);
    places.lowest_c(Some(mean_c))
}
