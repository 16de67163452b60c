//! The long steps of a sketch, and for how many steps of the job itself each stands at the least.
//!
//! A job drains what its stop rules ask for in steps of known length. The sketch goes there in steps that grow. Where an
//! eye or a clock closes a bleeder it may come to that later than the job would: what lies beyond the volume that is
//! certain counts by a share.

use super::bleeder::{Open, early};
use crate::job::state::Job;
use crate::parts::passage::Passage;

/// Growth of what has been drained in a step of a sketch.
const GROWTH: f64 = 0.5;
/// The share of what is not certain to be drained that is counted (tried on random cars and on large ones: the job itself
/// drained no less).
const CERTAINLY: f64 = 0.75;
/// Share of a sketch's usual step that it goes on by at the least on coming to a close.
const LEAST: f64 = 0.25;

/// What a step drains where nothing asks for less, m³.
pub(super) fn step(o: &Open, usual: f64) -> f64 {
    usual.max(GROWTH * o.drained)
}

/// How much to drain at least before it is closed as clean, m³.
pub(super) fn least_step(usual: f64) -> f64 {
    LEAST * usual
}

/// What a bleeder drains whatever is seen and however fast it flows, if air or want of pressure does not end it, m³.
fn certain_m3(o: &Open) -> f64 {
    let r = &o.rule;
    let clean =
        if r.clean { r.hold.unwrap_or(0.0).max(o.watcher.watched_m3()) } else { f64::INFINITY };
    let time = if r.time.is_some() { 0.0 } else { f64::INFINITY };
    let volume = r.volume.unwrap_or(f64::INFINITY);
    clean.min(time).min(volume).max(r.at_least).min(r.at_most)
}

/// Steps of the job itself in which each of these bleeders drains so much more, m³, at the least.
pub(super) fn steps<'a>(job: &Job, drained: impl Iterator<Item = (&'a Open, f64)> + Clone) -> f64 {
    let Some(sketched) = &job.setting.sketched else { return 1.0 };
    if drained.clone().any(|(o, _)| may_stop(job, o)) {
        return 0.0;
    }
    drained.map(|(o, dv)| steps_of(o, dv, sketched.steps_per_path)).fold(0.0, f64::max)
}

/// Of one bleeder, at this many steps to a path.
fn steps_of(o: &Open, dv: f64, steps_per_path: f64) -> f64 {
    let usual = o.path.pace_m3 / steps_per_path;
    let until = |drained: f64| steps_until(drained / usual);
    let (from, to) = (o.drained, o.drained + dv);
    let certain = certain_m3(o).clamp(from, to);
    until(certain) - until(from) + CERTAINLY * (until(to) - until(certain))
}

/// Whether nothing but the reservoir's head pushes through a valve: as lighter fluid comes, or thicker, what flows may
/// stop, in the job itself sooner or later than in a sketch.
fn may_stop(job: &Job, o: &Open) -> bool {
    let c = &job.setting.circuit;
    let valve = |link: &usize| matches!(c.links[*link].passage, Passage::Check { cracking_pa, .. } if cracking_pa > 0.0);
    let pushed = job.supply.push_pa() > 0.0 || job.supply.at_bleeder_pa() < 0.0;
    !pushed && c.bleeders[o.bleeder].path.iter().any(valve)
}

/// Steps in which this many usual ones are drained, the short ones at first included, and parts of the last.
fn steps_until(usual_ones: f64) -> f64 {
    let (mut steps, mut drained) = (0.0, 0.0);
    loop {
        let next = early(drained, 1.0);
        if next >= 1.0 || drained + next >= usual_ones {
            return steps + (usual_ones - drained) / next;
        }
        drained += next;
        steps += 1.0;
    }
}

#[cfg(test)]
mod tests {
    use super::steps_until;

    /// Steps of 1/18, then of half of what has been drained, then of 1.
    #[test]
    fn the_short_steps_at_first_are_counted() {
        assert_eq!(steps_until(0.0), 0.0);
        assert!((steps_until(1.0 / 36.0) - 0.5).abs() < 1e-12);
        assert!((steps_until(1.0 / 9.0) - 2.0).abs() < 1e-9);
        assert!((steps_until(0.25) - 4.0).abs() < 1e-9);
        assert!((steps_until(30.0) - steps_until(20.0) - 10.0).abs() < 1e-9);
        assert!(steps_until(8.0) > 14.0);
    }
}
