//! Parts taken together: the brakes of a corner, the lines and hoses to it, the reservoir.

use super::PartLeft;
use crate::circuit::place::{End, Place, Serves};
use crate::keys::Role;
use crate::sorting;
use serde::Serialize;

/// What sort of part something is, to those who ask where old fluid stayed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Sort {
    /// The reservoir.
    Reservoir,
    /// Chambers of the master cylinder.
    MasterCylinder,
    /// What a hydraulic modulator holds.
    Modulator,
    /// Calipers.
    Caliper,
    /// Wheel cylinders.
    WheelCylinder,
    /// Rigid lines, and what else lies between them.
    Line,
    /// Hoses.
    Hose,
    /// Both cylinders of a clutch.
    Clutch,
}

impl Sort {
    fn of(role: Role) -> Self {
        match role {
            Role::Reservoir => Self::Reservoir,
            Role::MasterCylinder => Self::MasterCylinder,
            Role::Modulator => Self::Modulator,
            Role::Caliper | Role::HalvedCaliper => Self::Caliper,
            Role::WheelCylinder => Self::WheelCylinder,
            Role::ClutchMaster | Role::ClutchSlave => Self::Clutch,
            Role::Hose => Self::Hose,
            Role::Line | Role::Valve | Role::Tee | Role::Joint => Self::Line,
        }
    }

    /// Whether fluid moves along it, and not about in it.
    pub fn is_pipe(self) -> bool {
        matches!(self, Self::Line | Self::Hose)
    }

    /// Whether it brakes a wheel.
    pub fn is_brake(self) -> bool {
        matches!(self, Self::Caliper | Self::WheelCylinder)
    }

    /// The word for one of them.
    fn word(self) -> &'static str {
        match self {
            Self::Reservoir => "reservoir",
            Self::MasterCylinder => "master cylinder",
            Self::Modulator => "modulator",
            Self::Caliper => "caliper",
            Self::WheelCylinder => "wheel cylinder",
            Self::Line => "line",
            Self::Hose => "hose",
            Self::Clutch => "clutch",
        }
    }

    /// The word for several of them.
    fn words(self) -> &'static str {
        match self {
            Self::Caliper => "calipers",
            Self::WheelCylinder => "wheel cylinders",
            Self::Line => "lines",
            Self::Hose => "hoses",
            one => one.word(),
        }
    }
}

/// What a part belongs to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Belongs {
    /// What sort of part it is.
    pub sort: Sort,
    /// Where on the vehicle the brakes lie that it leads to, or it itself: `left front` and so on, an axle or a side if
    /// that is all they have in common, none if they have nothing in common or their names do not say.
    pub place: Place,
    /// The brake that it leads to, if that is one alone; of a brake itself its name.
    pub to: Option<String>,
    /// Whether it leads to a clutch alone.
    pub clutch: bool,
}

impl Belongs {
    /// Of a part of this role that leads there. What leads nowhere lies where its own name says.
    pub(crate) fn new(role: Role, serves: &Serves, name: &str) -> Self {
        let sort = Sort::of(role);
        let middle =
            matches!(sort, Sort::Reservoir | Sort::MasterCylinder | Sort::Modulator | Sort::Clutch);
        let place = match serves {
            _ if middle => Place::default(),
            serves if *serves == Serves::default() => Place::of_name(name),
            serves => serves.place,
        };
        let to = serves.only.clone().filter(|_| !middle);
        Self { sort, place, to, clutch: serves.clutch || sort == Sort::Clutch }
    }

    /// Whether both lie in one region: lines with hoses, and all that leads to a clutch.
    fn with(&self, other: &Self) -> bool {
        if self.clutch || other.clutch {
            return self.clutch && other.clutch;
        }
        let alike = self.sort == other.sort || (self.sort.is_pipe() && other.sort.is_pipe());
        // Where names do not say where brakes lie, each stands for itself.
        let one = self.place != Place::default() || self.to == other.to;
        alike && self.place == other.place && one
    }
}

/// Several parts taken together.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Region {
    /// What it is called: `caliper RR`, `front lines, hoses`.
    pub name: String,
    /// What its parts have in common.
    pub belongs: Belongs,
    /// Places of its parts in [`Left::parts`](super::Left::parts) as it stands here, those that hold nothing included.
    // Not in the JSON: places in a list that the JSON shortens by what holds nothing; `sort`, `place` and `to` say it.
    #[serde(skip)]
    pub parts: Vec<usize>,
    /// Fluid in it, mL.
    pub volume_ml: f64,
    /// Old fluid in it, mL.
    pub old_ml: f64,
    /// Its old fraction.
    pub old_fraction: f64,
    /// Fluid in it before the job, mL.
    pub volume_before_ml: f64,
    /// Old fluid in it before the job, mL.
    pub old_before_ml: f64,
    /// Its old fraction before the job.
    pub old_fraction_before: f64,
    /// Boiling point at its worst place, °C; `None` where nothing is left.
    pub lowest_boiling_c: Option<f64>,
}

impl Region {
    /// Whether it lies at one wheel, by which its name ends.
    pub fn is_corner(&self) -> bool {
        !self.belongs.clutch && wheel(self.belongs.place).is_some()
    }
}

/// Sorts in the order in which regions are told, and whether they come before what follows.
fn rank(belongs: &Belongs) -> (u8, u8, u8, u8) {
    let middle = match belongs.sort {
        _ if belongs.clutch => 9,
        Sort::Reservoir => 0,
        Sort::MasterCylinder => 1,
        Sort::Modulator => 2,
        _ => 3,
    };
    let end = match belongs.place.end {
        Some(End::Front) => 0,
        Some(End::Rear) => 1,
        None => 2,
    };
    let side = belongs.place.words().map_or(0, |w| u8::from(w.starts_with("right")));
    (middle, end, side, u8::from(belongs.sort.is_pipe()))
}

/// The parts by region, corner by corner.
pub fn regions(parts: &[PartLeft]) -> Vec<Region> {
    gathered(parts, Belongs::clone, |b, words| match (b.clutch, b.place.words(), &b.to) {
        (true, ..) | (_, None, None) => words,
        (_, None, Some(to)) if *to == words || to.contains(&words) => to.clone(),
        (_, None, Some(to)) => format!("{words} {to}"),
        (_, Some(place), _) => match wheel(b.place) {
            Some(wheel) => format!("{words} {wheel}"),
            None => format!("{place} {words}"),
        },
    })
}

/// The parts by region, axle by axle: the brakes of both sides together, and the lines and hoses to them.
pub fn axles(parts: &[PartLeft]) -> Vec<Region> {
    let by_axle =
        |b: &Belongs| Belongs { place: Place { side: None, ..b.place }, to: None, ..b.clone() };
    gathered(parts, by_axle, |b, words| match b.place.words() {
        Some(end) if !b.clutch => format!("{end} {words}"),
        _ => words,
    })
}

/// How a corner is written.
fn wheel(place: Place) -> Option<&'static str> {
    Some(match place.words()? {
        "left front" => "LF",
        "right front" => "RF",
        "left rear" => "LR",
        "right rear" => "RR",
        _ => return None,
    })
}

fn gathered(
    parts: &[PartLeft],
    belongs: impl Fn(&Belongs) -> Belongs,
    named: impl Fn(&Belongs, String) -> String,
) -> Vec<Region> {
    let mut found: Vec<Region> = Vec::new();
    for (i, p) in parts.iter().enumerate().filter(|(_, p)| p.holds_some() || p.held_some()) {
        let belongs = belongs(&p.belongs);
        let at = found.iter().position(|r| r.belongs.with(&belongs)).unwrap_or_else(|| {
            found.push(Region {
                name: String::new(),
                belongs,
                parts: Vec::new(),
                volume_ml: 0.0,
                old_ml: 0.0,
                old_fraction: 0.0,
                volume_before_ml: 0.0,
                old_before_ml: 0.0,
                old_fraction_before: 0.0,
                lowest_boiling_c: None,
            });
            found.len() - 1
        });
        let region = &mut found[at];
        region.parts.push(i);
        region.volume_ml += p.volume_ml;
        region.old_ml += p.volume_ml * p.old_fraction;
        region.volume_before_ml += p.volume_before_ml;
        region.old_before_ml += p.volume_before_ml * p.old_fraction_before;
        if p.holds_some() {
            let lowest = region.lowest_boiling_c.unwrap_or(f64::INFINITY);
            region.lowest_boiling_c = Some(lowest.min(p.lowest_boiling_c));
        }
    }
    for region in &mut found {
        let share = |old: f64, of: f64| if of > 0.0 { old / of } else { 0.0 };
        region.old_fraction = share(region.old_ml, region.volume_ml);
        region.old_fraction_before = share(region.old_before_ml, region.volume_before_ml);
        region.name = named(&region.belongs, words(region, parts));
    }
    // What leads to several brakes that have no place in common, beside what leads to fewer.
    let pipes = found.iter().filter(|r| r.belongs.sort.is_pipe() && !r.belongs.clutch).count();
    let several = |b: &Belongs| b.to.is_none() && b.place == Place::default();
    for region in found.iter_mut().filter(|r| pipes > 1 && several(&r.belongs)) {
        if region.belongs.sort.is_pipe() && !region.belongs.clutch {
            region.name = format!("shared {}", region.name);
        }
    }
    sorting::by_key(&mut found, |r| rank(&r.belongs));
    found
}

/// What the parts of a region are, in words: `caliper`, `line, hose`, `lines, hoses`.
fn words(region: &Region, parts: &[PartLeft]) -> String {
    if region.belongs.clutch {
        return Sort::Clutch.word().to_owned();
    }
    let count =
        |sort: Sort| region.parts.iter().filter(|p| parts[**p].belongs.sort == sort).count();
    let word = |sort: Sort| match count(sort) {
        0 => None,
        1 => Some(sort.word()),
        _ => Some(sort.words()),
    };
    match region.belongs.sort.is_pipe() {
        true => {
            let both: Vec<&str> = [Sort::Line, Sort::Hose].into_iter().filter_map(word).collect();
            both.join(", ")
        }
        false => word(region.belongs.sort).unwrap_or_default().to_owned(),
    }
}
