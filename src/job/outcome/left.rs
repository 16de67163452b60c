//! What stays behind, part by part.

use super::boiling::{self, Places, judge};
use crate::job::record::film::Held;
use crate::job::record::region::Belongs;
use crate::job::record::{Left, NOTHING_ML, PartLeft, TrappedLeft};
use crate::job::state::parts::{Holder, Part, parts};
use crate::job::state::{Job, Setting};
use crate::measures::to_ml;

/// Parts whose boiling points differ by no more boil alike but for rounding: the first of them is named.
const ALIKE_C: f64 = 1e-9;

/// Amounts of several parts together, m³ (water: m³ · g/mL).
#[derive(Default)]
struct Sum {
    volume: f64,
    old: f64,
    water: f64,
}

impl Sum {
    fn add(&mut self, volume: f64, old: f64, water: f64) {
        self.volume += volume;
        self.old += old;
        self.water += water;
    }

    fn old_fraction(&self) -> f64 {
        self.old / self.volume
    }

    fn water_percent(&self, setting: &Setting) -> f64 {
        setting.blend.water_percent(self.old_fraction(), self.water / self.volume)
    }
}

/// Old fluid, water and boiling point of every part with a volume, the reservoir first.
pub(crate) fn left(job: &Job) -> Left {
    let setting = &job.setting;
    let species = &setting.species;
    let (mut all, mut trapped) = (Sum::default(), Sum::default());
    let mut held = vec![0.0; species.len()];
    let mut told = |(p, first): (Part<'_>, &Held)| {
        let volume = p.holder.held(&mut held);
        let (old, water) = (species.old(&held), species.water(&held, volume));
        all.add(volume, old, water);
        if !p.reached {
            trapped.add(volume, old, water);
        }
        let mean = judge(setting, &held, volume);
        let (lowest_boiling_c, pocket_boiling_c) = match &p.holder {
            Holder::Reservoir(r) => (boiling::of_reservoir(setting, r, mean.boiling_c), None),
            Holder::Tube(_) => (mean.boiling_c, None),
            Holder::Chamber(c) => boiling::of_chamber(setting, c, mean.boiling_c),
        };
        PartLeft {
            part: p.name.to_owned(),
            kind: p.kind,
            volume_ml: to_ml(volume),
            old_fraction: mean.old_fraction,
            water_percent: mean.water_percent,
            boiling_c: mean.boiling_c,
            lowest_boiling_c,
            pocket_boiling_c,
            reached: p.reached,
            volume_before_ml: first.volume_ml,
            old_fraction_before: if first.volume_ml > 0.0 {
                first.old_ml / first.volume_ml
            } else {
                0.0
            },
            belongs: Belongs::new(p.role, p.serves, p.name),
        }
    };
    let parts = parts(&setting.parts, &job.system);
    let parts: Vec<PartLeft> = parts.zip(job.at_first.iter()).map(&mut told).collect();
    let boils_first = |reached: bool| {
        let some = || parts.iter().filter(|p| p.reached == reached && p.holds_some());
        let lowest_c = some().map(|p| p.lowest_boiling_c).reduce(f64::min)?;
        some().find(|p| p.lowest_boiling_c <= lowest_c + ALIKE_C).map(|p| (lowest_c, p))
    };
    let (lowest_boiling_c, lowest_boiling_part) = boils_first(true)
        .map_or((f64::INFINITY, String::new()), |(lowest_c, p)| (lowest_c, p.part.clone()));
    let trapped = boils_first(false).map(|(lowest_boiling_c, p)| TrappedLeft {
        volume_ml: to_ml(trapped.volume),
        old_fraction: trapped.old_fraction(),
        water_percent: trapped.water_percent(setting),
        lowest_boiling_c,
        lowest_boiling_part: p.part.clone(),
    });
    Left {
        old_ml: to_ml(all.old),
        old_fraction: all.old_fraction(),
        water_percent: all.water_percent(setting),
        lowest_boiling_c,
        lowest_boiling_part,
        parts,
        trapped,
        oldest_part: String::new(),
        oldest_fraction: 0.0,
        regions: Vec::new(),
        axles: Vec::new(),
        joined: setting.joined.clone(),
    }
    .summed_up()
}

/// [`Left::lowest_boiling_c`] by itself, lines and hoses as book-keeping has them.
pub(crate) fn lowest_boiling_c(job: &Job) -> f64 {
    let setting = &job.setting;
    let mut held = vec![0.0; setting.species.len()];
    let mut places = Places::new(setting);
    for p in parts(&setting.parts, &job.system).filter(|p| p.reached) {
        let volume = p.holder.tallied(&mut held);
        if to_ml(volume) <= NOTHING_ML {
            continue;
        }
        places.add(&held, volume);
        match &p.holder {
            Holder::Reservoir(r) => places.of_reservoir(r),
            Holder::Tube(_) => {}
            Holder::Chamber(c) => {
                places.pockets_of(c);
                places.stages_of(c);
            }
        }
    }
    places.lowest_c(None)
}

/// Old fluid and volume of the whole system, m³: the sums of [`left`] but for rounding, lines and hoses being as
/// book-keeping has them.
pub(crate) fn old_and_volume(job: &Job) -> (f64, f64) {
    let mut held = vec![0.0; job.setting.species.len()];
    job.system.tallied(&mut held);
    (job.setting.species.old(&held), job.system.volume())
}
