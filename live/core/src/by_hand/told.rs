//! What is told of a job driven by hand: how it stands, and what an opening comes to.

use super::{Kept, next, opens};
use crate::question::Failure;
use farwheel::job::record::Left;
use farwheel::job::stepping::{LEAST_ADVANCE, Stepping};
use farwheel::measures::{to_kpa, to_ml};
use farwheel::scenario::procedure::Action;
use serde_json::{Value, json};

/// Points of a curve up to where the bleeder was closed.
const POINTS: f64 = 160.0;
/// Points no closer than this, mL.
const CLOSEST_ML: f64 = 0.25;
/// Behind the close: this share of what was drained between two points, within these bounds, mL; each time a little more.
const ON: (f64, (f64, f64)) = (1.0 / 40.0, (1.0, 8.0));
const MORE: f64 = 1.03;
/// So many points there at most.
const MOST_ON: u32 = 150;
/// How far the curve goes on at least, as a share of what was drained.
const LEAST_ON: f64 = 0.25;
/// Beside the threshold: from where on no more than this is old.
const NEARLY_NEW: f64 = 0.1;
/// Where something falls to a fraction is looked for in so many steps between two points.
const FINER: u32 = 16;

/// How things stand. `hose` only while a bleeder is open.
pub fn now(kept: &Kept) -> Value {
    let job = &kept.job;
    let limit = kept.scenario.vehicle.gauge_limit.map(|q| to_kpa(q.value));
    let hose = job.hoses().into_iter().next();
    let last = job.openings().last().map(|o| (o.opened_s, o.closed_s));
    let (since, until) =
        hose.as_ref().map(|h| (h.opened_s, f64::INFINITY)).or(last).unwrap_or_default();
    let done = job.steps().iter().filter(|s| s.at_s > since && s.at_s <= until).count();
    json!({
        "job": kept.number,
        "bottle_old_fraction": hose.as_ref().and_then(|h| bottle(kept, h.drained_ml)),
        "hose": hose,
        "supply": job.supply(),
        "gauge_limit_kpa": limit,
        "clock_s": job.clock_s(),
        "drained_ml": job.drained_ml(),
        "ran_dry": job.ran_dry(),
        // What the supply or whoever minds it did meanwhile: pumped up, topped up.
        "done_meanwhile": done,
        "upcoming": next(job).filter(|a| !opens(a)).map(words),
        "openings": job.openings().len(),
    })
}

/// Old fraction of what is in the bottle: what the vehicle has lost of old fluid since the bleeder was opened.
fn bottle(kept: &Kept, drained_ml: f64) -> Option<f64> {
    let before = kept.opened.as_ref()?.left().old_ml;
    (drained_ml > LEAST_ADVANCE)
        .then(|| ((before - kept.job.left().old_ml) / drained_ml).clamp(0.0, 1.0))
}

/// What the opening that has just ended comes to: what was seen, what is, and what was to be seen while it was open and
/// would have been, had it stayed open.
pub fn closed(kept: &Kept) -> Result<Value, Failure> {
    let (Some(opening), Some(opened)) = (kept.job.openings().last(), &kept.opened) else {
        return Err(Failure::Error("nothing was opened".to_owned()));
    };
    let left = kept.job.left();
    let hose = &kept.scenario.clear_hose;
    let watched =
        std::f64::consts::FRAC_PI_4 * hose.bore.value * hose.bore.value * hose.watched.value;
    let (curve, end) = up_to_close(opened, opening.drained_ml)?;
    let (on, falls) = afterwards(&end, opening.threshold)?;
    Ok(json!({
        "opening": opening,
        "bottle_old_fraction": bottle(kept, opening.drained_ml),
        "watched_ml": to_ml(watched),
        "path": path(kept, &left, &opening.bleeder),
        "curve": curve,
        "on": on,
        "falls": falls,
        "left": { "old_ml": left.old_ml, "old_fraction": left.old_fraction },
    }))
}

/// The reservoir, and the parts on the way from there to a bleeder that hold fluid.
fn path(kept: &Kept, left: &Left, bleeder: &str) -> Vec<Value> {
    let path = kept.paths.iter().find(|p| p.bleeder == bleeder);
    let names = path.iter().flat_map(|p| &p.parts);
    let reservoir = left.parts.first();
    let parts = names.filter_map(|name| left.parts.iter().find(|p| p.part == *name));
    let held = reservoir.into_iter().chain(parts).filter(|p| p.holds_some());
    let told = held.map(|p| {
        json!({
            "part": p.part,
            "sort": p.belongs.sort,
            "volume_ml": p.volume_ml,
            "old_ml": p.volume_ml * p.old_fraction,
            "old_fraction": p.old_fraction,
        })
    });
    told.collect()
}

type Points = Vec<[f64; 3]>;

/// While so many mL run: drained since the opening, old fraction seen, old fraction of the path. With the job at the end.
fn up_to_close(from: &Stepping, ml: f64) -> Result<(Points, Stepping), Failure> {
    let mut job = from.clone();
    let (end_ml, each) = (job.drained_ml() + ml, (ml / POINTS).max(CLOSEST_ML));
    let mut told: Points = point(&job).into_iter().collect();
    loop {
        let by = each.min(end_ml - job.drained_ml());
        if job.hoses().is_empty() || by < LEAST_ADVANCE || !job.advance_ml(by)? {
            return Ok((told, job));
        }
        told.extend(point(&job));
    }
}

/// What would have been seen, had it stayed open; and from how many mL on no more than the threshold would be old, and
/// no more than a tenth: of those that what is seen stood above at the close.
fn afterwards(end: &Stepping, threshold: f64) -> Result<(Points, Vec<[f64; 2]>), Failure> {
    let mut job = end.clone();
    let (mut told, mut falls): (Points, Vec<[f64; 2]>) =
        (point(&job).into_iter().collect(), vec![]);
    let Some(&[closed_ml, seen, _]) = told.first() else { return Ok((told, falls)) };
    let mut marks = vec![threshold, NEARLY_NEW];
    marks.retain(|mark| seen > *mark);
    let mut each = (ON.0 * closed_ml).clamp(ON.1.0, ON.1.1);
    for _ in 0..MOST_ON {
        let before = job.clone();
        if !job.advance_ml(each)? {
            break;
        }
        let Some(now @ [ml, seen, _]) = point(&job) else { break };
        told.push(now);
        for mark in marks.extract_if(.., |mark| seen <= *mark) {
            falls.push([mark, falls_at(&before, mark, each)?.unwrap_or(ml)]);
        }
        each *= MORE;
        if marks.is_empty() && ml >= (1.0 + LEAST_ON) * closed_ml {
            break;
        }
    }
    Ok((told, falls))
}

/// Drained since the opening when what is seen falls to a fraction within the next mL.
fn falls_at(from: &Stepping, mark: f64, within_ml: f64) -> Result<Option<f64>, Failure> {
    let mut job = from.clone();
    for _ in 0..FINER {
        job.advance_ml(within_ml / f64::from(FINER))?;
        match point(&job) {
            Some([ml, seen, _]) if seen <= mark => return Ok(Some(ml)),
            _ => {}
        }
    }
    Ok(None)
}

fn point(job: &Stepping) -> Option<[f64; 3]> {
    let hoses = job.hoses();
    hoses.first().map(|h| [h.drained_ml, h.seen_old_fraction, h.path_old_fraction])
}

/// What a step does, as something to be done.
fn words(action: &Action) -> String {
    let ml = |q: farwheel::keys::Quantity| format!("{:.0} mL", to_ml(q.value));
    let time = |q: farwheel::keys::Quantity| match q.value {
        s if s < 120.0 => format!("{s:.0} s"),
        s => format!("{:.0} min", s / 60.0),
    };
    match action {
        Action::Open { bleeders, .. } => format!("Open {}", bleeders.join(" and ")),
        Action::Syringe { leave } => format!("Draw the reservoir down to {}", ml(*leave)),
        Action::TopUp { to } => format!("Top the reservoir up to {}", ml(*to)),
        Action::Load { volume } => format!("Load {} more", ml(*volume)),
        Action::RePump { gauge } => format!("Pump up to {:.0} kPa", to_kpa(gauge.value)),
        Action::Wait { time: t, .. } => format!("Wait {}", time(*t)),
        Action::WorkModulator { modulator, time: t, .. } => {
            format!("Work {modulator} for {}", time(*t))
        }
        Action::Relieve => "Let the pressure off".to_owned(),
        Action::SetLevel { to } => format!("Bring the reservoir to {}", ml(*to)),
    }
}
