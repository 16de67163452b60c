//! What can be looked at in a job under way.

use crate::job::record::Origins;
use crate::job::run::bleeder::Open;
use crate::job::state::Job;
use crate::job::state::parts::{Holder, Part, parts};
use crate::measures::to_ml;
use serde::Serialize;

/// An open bleeder: its clear hose, and what has run into the bottle.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hose {
    /// Name of the bleeder.
    pub bleeder: String,
    /// Time at which it was opened, s from the start of the job.
    pub opened_s: f64,
    /// Time for which fluid has flowed since, s.
    pub flow_seconds: f64,
    /// Drained since, mL.
    pub drained_ml: f64,
    /// Where that came from.
    pub origins_ml: Origins,
    /// Flow rate when fluid flowed last, mL/s; 0 if none has yet.
    pub flow_ml_per_s: f64,
    /// Old fraction in the watched length of the clear hose: what is seen.
    pub seen_old_fraction: f64,
    /// Old fraction of what leaves the bleeder.
    pub leaving_old_fraction: f64,
    /// Old fraction over the whole path from the reservoir to this bleeder: what cannot be seen.
    pub path_old_fraction: f64,
    /// Whether what is seen counts as clean: below the threshold for as long as it must be, and no longer rising.
    pub counts_as_clean: bool,
}

pub(crate) fn hose(job: &Job, open: &Open) -> Hose {
    let c = &job.setting.circuit.bleeders[open.bleeder];
    let (drained_ml, origins_ml) = open.drawn(&job.setting, job.rounding_m3());
    let leaves = job.setting.species.old(job.system.leaves(c.node));
    Hose {
        bleeder: c.name.clone(),
        opened_s: open.opened_s,
        flow_seconds: open.flowed_s(job),
        drained_ml,
        origins_ml,
        flow_ml_per_s: to_ml(open.flow_m3_s),
        seen_old_fraction: open.watcher.seen(),
        // Behind a shut valve that leaks, rounding may leave a little more than the whole.
        leaving_old_fraction: leaves.clamp(0.0, 1.0),
        path_old_fraction: open.path.old_fraction(job.fluid()),
        counts_as_clean: open.watcher.counts(),
    }
}

/// Old fractions in each part that holds fluid.
pub(crate) fn profiles(job: &Job, cells: usize) -> Vec<Vec<f64>> {
    let (setting, mut held) = (&job.setting, vec![0.0; job.setting.species.len()]);
    let of = |part: Part<'_>| match part.holder {
        Holder::Tube(tube) => tube.profile(cells, |row| setting.species.old(row)),
        other => {
            let volume = other.held(&mut held);
            vec![if volume > 0.0 { setting.species.old(&held) / volume } else { 0.0 }]
        }
    };
    let profiles = parts(&setting.parts, &job.system).map(of);
    // Rounding may leave a little more than the whole, or less than nothing.
    profiles.map(|p| p.into_iter().map(|x| x.clamp(0.0, 1.0)).collect()).collect()
}
