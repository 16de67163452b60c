//! What pushes and how much new fluid it takes: words that follow the supply.

use super::levels::level;
use super::phrases::ml;
use crate::report::Units;
use crate::report::figures::{pressure, rounded, volume};
use crate::study::job_card::{JobCard, Marks, OtherStep, Push, Task, TopUps};

/// A line of figures: what it is, and what it says.
pub(super) type Line = (&'static str, String);

/// A share that is neither none nor all, in whole hundredths.
fn of_100(share: f64) -> String {
    rounded((100.0 * share).clamp(1.0, 99.0), 0)
}

/// What it is done with, for the title and above the figures.
pub(super) fn with(push: &Push) -> (&'static str, &'static str) {
    match push {
        Push::Pressure { .. } => ("with a pressure bleeder", "Pump to"),
        Push::Gravity(_) => ("by gravity", "Gravity"),
        Push::Vacuum { .. } => ("by vacuum", "Vacuum"),
        Push::Pedal { .. } => ("by two people", "Two people"),
    }
}

/// The gauge pressure that is pumped up to.
pub(super) fn gauge(push: &Push, units: Units) -> Option<String> {
    match push {
        Push::Pressure { gauge_kpa, .. } => Some(pressure(*gauge_kpa, units)),
        _ => None,
    }
}

/// How it is pushed.
pub(super) fn push(card: &JobCard, units: Units) -> Vec<Line> {
    let reservoir = |t: &TopUps| ("Reservoir", top_ups(t, &card.marks));
    match &card.push {
        Push::Pressure { low_kpa, again, again_share, loaded_ml, .. } => vec![
            (
                "Pump up again below",
                match low_kpa {
                    Some(low) => {
                        format!("{} ({})", pressure(*low, units), times(card, *again, *again_share))
                    }
                    None => "the scenario gives no mark".to_owned(),
                },
            ),
            // The gauge falls the less, the less is loaded.
            ("Gauge reckoned with", format!("{} loaded", volume_of(*loaded_ml, units))),
        ],
        Push::Gravity(t) => vec![("By gravity", "cap off".to_owned()), reservoir(t)],
        Push::Vacuum { suction_kpa, top_ups: t } => {
            vec![("Hold a vacuum of", pressure(*suction_kpa, units)), reservoir(t)]
        }
        Push::Pedal { pressure_kpa, strokes, top_ups: t } => vec![
            (
                "Strokes",
                format!(
                    "about {strokes} of the {}, {} by {}",
                    card.spoken.pedal,
                    pressure(*pressure_kpa, units),
                    card.spoken.limb
                ),
            ),
            reservoir(t),
        ],
    }
}

/// How often it is pumped up after the first time, and in how many draws at all.
fn times(card: &JobCard, again: usize, share: Option<f64>) -> String {
    let vehicles = card.spoken.vehicles;
    match (again, share) {
        (0, Some(s)) if s > 0.0 => {
            format!("not needed here; in {} of 100 {vehicles} it is", of_100(s))
        }
        (0, Some(_)) => "not needed in this job, nor in any draw".to_owned(),
        (0, None) => "not needed in this job as described".to_owned(),
        (n, Some(s)) if s < 1.0 => format!("{n}× here; {} of 100 {vehicles} need it", of_100(s)),
        (n, _) => format!("{n}× in this job"),
    }
}

/// How an open reservoir is kept full.
fn top_ups(t: &TopUps, marks: &Marks) -> String {
    let Some((low, high)) = t.between_ml else {
        return "Nobody tops up: watch the level, air must not enter.".to_owned();
    };
    let times = match t.times {
        0 => "not needed in this job".to_owned(),
        1 => "once in this job".to_owned(),
        n => format!("{n} times in this job"),
    };
    let (low, high) = (level(low, marks), level(high, marks));
    format!("Down to {low}: top up to {high}, {times}. Never let it run dry.")
}

/// Bottles to open.
pub(super) fn bottles(card: &JobCard) -> String {
    format!("{} × {}", card.fluid.open, bottle(card.fluid.bottle_ml))
}

/// As bottles are marked: millilitres or litres, whatever the units of the rest.
fn bottle(millilitres: f64) -> String {
    let litres = millilitres / 1000.0;
    if litres >= 1.0 && millilitres % 100.0 < 1e-6 {
        format!("{litres}\u{a0}L")
    } else {
        ml(millilitres)
    }
}

/// What the bottles are for.
pub(super) fn fluid(card: &JobCard, units: Units) -> Vec<Line> {
    let (f, need) = (&card.fluid, &card.fluid.need);
    // What is to be enough is rounded up.
    let least = |ml: f64| volume_of((ml - 1e-6).ceil(), units);
    let mut lines = Vec::new();
    if units == Units::Us {
        lines.push(("Each bottle", volume_of(f.bottle_ml, units)));
    }
    lines.push(match need.sure {
        true => ("Enough for 95 of 100", least(need.have_ml)),
        false => ("This job takes", least(need.have_ml)),
    });
    if let Some(load_ml) = need.load_ml {
        let reloads = card.tasks.iter().any(|t| matches!(t, Task::Step(OtherStep::Load { .. })));
        let later = if reloads { ", later loads counted" } else { "" };
        lines.push(("Load", format!("at least {}{later}", least(load_ml))));
    }
    if need.load_ml.is_none() || need.by_hand_ml >= 0.5 {
        lines.push(("Pour in by hand", format!("about {}", volume_of(need.by_hand_ml, units))));
    }
    lines.push(("Left over", format!("about {}", volume_of(f.left_over_ml, units))));
    if let Some(share) = f.short_share.filter(|share| *share > 0.0) {
        let vehicles = card.spoken.vehicles;
        lines.push(("Sealed at hand", format!("1 more, for {} of 100 {vehicles}", of_100(share))));
    }
    lines
}

/// A sum in whole millilitres.
pub(super) fn volume_of(millilitres: f64, units: Units) -> String {
    match units {
        Units::Metric => ml(millilitres),
        Units::Us => volume(millilitres.round(), units).replace(".0 mL", "\u{a0}mL"),
    }
}
