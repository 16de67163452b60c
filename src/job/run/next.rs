//! How long the next small step is while bleeders are open, and what ends it.

use super::bleeder::{Open, early};
use super::clear_hose::{CLOSE, FINEST};
use super::sketch;
use crate::job::record::ClosedBy;
use crate::job::state::{Hydraulics, Job};

/// Fluid is not foretold further than this many of the last steps.
const LONGEST: f64 = 4.0;

/// Why the present step is no longer than it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Limit {
    Resolution,
    Close(usize, ClosedBy),
    Dry,
    TopUp,
    /// A piston is at its stop.
    PedalStop,
}

/// The next step: its duration in s, and what ends it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Next {
    pub dt: f64,
    pub limit: Limit,
}

impl Next {
    /// Makes the step shorter if `dt` is no longer than it.
    fn shorten(&mut self, dt: f64, limit: Limit) {
        if dt <= self.dt * (1.0 + CLOSE) {
            *self = Self { dt: dt.max(0.0), limit };
        }
    }
}

/// How many times as long as the last step the next one is to be, by the bleeder that lets it be shortest; 0 before the
/// first.
pub(super) fn longer(job: &Job, open: &[Open]) -> f64 {
    let each = open.iter().filter(|o| o.step_m3 > 0.0).map(|o| next_m3(job, o) / o.step_m3);
    each.reduce(f64::min).map_or(0.0, |longer| longer.min(LONGEST))
}

/// How much leaves the supply in the next step if nothing but its low mark ends it before, m³.
pub(super) fn upcoming_m3(job: &Job, open: &[Open]) -> f64 {
    let drained: f64 = open.iter().map(|o| next_m3(job, o)).sum();
    drained.min(job.supply.until_low_m3())
}

/// How much a bleeder drains in the next step if nothing ends it before, m³.
fn next_m3(job: &Job, o: &Open) -> f64 {
    let usual = o.usual_step(&job.setting);
    if job.setting.sketched.is_some() {
        let most = if job.supply.feed_hose().is_some() { o.path.pace_m3 } else { f64::INFINITY };
        sketch::step(o, usual).min(most)
    } else {
        let usual = o.straight_step(&job.setting);
        o.watcher.step(usual, job.setting.options.steps_per_path).min(early(o.drained, usual))
    }
}

/// How long the next step is, and what ends it.
pub(super) fn next_step(job: &Job, open: &[Open], h: &Hydraulics) -> Next {
    let mut next = Next { dt: f64::INFINITY, limit: Limit::Resolution };
    for (o, q) in open.iter().zip(&h.exit_flow) {
        next.dt = next.dt.min(next_m3(job, o) / q);
    }
    if let Some(work) = &job.working {
        next.dt = next.dt.min(work.cycle_s(&job.setting));
    }
    let total: f64 = h.exit_flow.iter().sum();
    let reservoir = &job.system.reservoir;
    next.shorten(job.supply.until_dry_m3(job.cap()) / total, Limit::Dry);
    if job.supply.strokes().is_some() {
        next.shorten(job.stroke.seconds_to_stop(&h.chamber_flow), Limit::PedalStop);
    } else if job.supply.feed_hose().is_none() {
        next.shorten(reservoir.seconds_until_air(&h.outlet_flow), Limit::Dry);
        // Last, so that an empty reservoir is topped up before anything flows.
        if let Some((low, _)) = job.refill() {
            next.shorten((reservoir.volume() - low) / total, Limit::TopUp);
        }
    }
    for (i, (o, q)) in open.iter().zip(&h.exit_flow).enumerate() {
        for (volume, by) in o.closings() {
            let mut dt = (volume - o.drained) / q;
            if by == ClosedBy::Clean {
                let usual = o.usual_step(&job.setting);
                let least = match job.setting.sketched {
                    Some(_) => sketch::least_step(usual),
                    None => o.watcher.least_step(usual),
                } / q;
                dt = dt.max(least).max(o.watcher.still_to_look_s());
            }
            next.shorten(dt, Limit::Close(i, by));
        }
        if let Some(time) = o.rule.time
            && o.drained >= o.rule.at_least
        {
            next.shorten(time - o.flowed_s(job), Limit::Close(i, ClosedBy::Time));
        }
    }
    // A little beyond the mark, since he pumps once it has fallen below; where it ends anyway but for a trickle, then.
    let low_s =
        job.supply.until_low_m3().max(open[0].least_step(&job.setting)) * (1.0 + CLOSE) / total;
    if low_s < next.dt * (1.0 - FINEST.1) {
        next = Next { dt: low_s, limit: Limit::Resolution };
    }
    next
}
