//! A job under way, to be continued in several ways.

use super::left;
use crate::circuit::Scenario;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::record::{Left, Opening};
use crate::job::run::procedure;
use crate::job::state::{Job, Position, Setting};
use crate::keys::Role;
use crate::measures::to_ml;
use crate::scenario::procedure::Step;
use std::sync::Arc;

/// A circuit and its supply made ready: jobs can be begun on it again and again.
#[derive(Debug, Clone)]
pub struct Ready {
    setting: Arc<Setting>,
}

/// A job under way. A copy shares what neither has moved since, so that it costs little beside running
/// an opening.
#[derive(Debug, Clone)]
pub struct Underway {
    job: Job,
}

/// What a job comes to, in sums.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sums {
    /// Drained at all bleeders, mL.
    pub drained_ml: f64,
    /// Taken out of the reservoir with a syringe or when setting the level, mL.
    pub removed_ml: f64,
    /// New fluid brought in, mL.
    pub new_fluid_ml: f64,
    /// Time with a bleeder open, s.
    pub flow_seconds: f64,
    /// Time in the bay, the closing steps included, s.
    pub bay_seconds: f64,
    /// Old fluid in the whole system, mL.
    pub left_old_ml: f64,
    /// Old fraction of the whole system.
    pub left_old_fraction: f64,
    /// What the supply lacks of the load that this job takes, what the dip tube cannot reach included, mL:
    /// negative if there is enough; `None` for a supply that is not loaded.
    pub short_ml: Option<f64>,
    /// Whether a warning stops the job.
    pub stopped: bool,
}

impl Sums {
    /// What has left the system, at the bleeders and by syringe, mL: as much new fluid as the job takes if the
    /// reservoir ends where it began. Unlike [`Sums::new_fluid_ml`] it does not depend on how long ago the
    /// last topping up or pumping up was, so that jobs that end alike are compared by it.
    pub fn gone_ml(&self) -> f64 {
        self.drained_ml + self.removed_ml
    }
}

impl Ready {
    /// The scenario made ready, its supply one that never runs dry. Of its procedure only the times of
    /// setting up, moving and finishing count, and the strictest threshold.
    ///
    /// # Errors
    /// [`JobError`] if the scenario cannot be simulated.
    pub fn new(scenario: &Scenario, options: &Options) -> Result<Self, JobError> {
        let options = Options { endless: true, ..options.clone() };
        Ok(Self { setting: Arc::new(Setting::new(scenario, &options)?) })
    }

    /// The same vehicle with new fluid in every part but those that `keeps` names (the reservoir is called
    /// `reservoir`): what is then left of old fluid in these is the least that any history of the rest leaves.
    pub fn new_but(mut self, keeps: impl Fn(&str) -> bool) -> Self {
        self.setting = Arc::new(Setting::clone(&self.setting).filled_with_new_but(keeps));
        self
    }

    /// The same for [`Underway::sums`] alone: water is not followed, so that [`Underway::left`] knows no boiling points.
    pub fn sums_only(mut self) -> Self {
        self.setting = Arc::new(Setting::clone(&self.setting).without_water());
        self
    }

    /// Lanes of a laminar profile in use.
    pub fn lanes(&self) -> usize {
        self.setting.lanes.n()
    }

    /// A job before its first step.
    ///
    /// # Errors
    /// [`JobError`] if there is no such supply.
    pub fn begin(&self) -> Result<Underway, JobError> {
        Ok(Underway { job: procedure::begin(Arc::clone(&self.setting))? })
    }
}

impl Underway {
    /// Does one step of a procedure, the `number`-th (from 1) of a pass (from 1). Does nothing once air
    /// has reached an outlet of the reservoir.
    ///
    /// # Errors
    /// [`JobError`] if it cannot be simulated.
    pub fn act(&mut self, step: &Step, pass: u32, number: usize) -> Result<(), JobError> {
        if self.job.dry {
            return Ok(());
        }
        let place = Position { pass, step: number };
        procedure::one_step(&mut self.job, step, place)
    }

    /// Openings so far, in the order in which they were closed.
    pub fn openings(&self) -> &[Opening] {
        &self.job.openings
    }

    /// What it comes to if it ends here.
    pub fn sums(&self) -> Sums {
        let (setting, job) = (&self.job.setting, &self.job);
        let (old, volume) = left::old_and_volume(job);
        let finish = if job.dry { 0.0 } else { setting.tasks().finish.value };
        Sums {
            drained_ml: to_ml(job.books.drained),
            removed_ml: to_ml(job.books.removed),
            new_fluid_ml: to_ml(job.books.come_volume),
            flow_seconds: job.flow_s,
            bay_seconds: job.clock_s + finish,
            left_old_ml: to_ml(old),
            left_old_fraction: old / volume,
            short_ml: (job.supply.loaded())
                .map(|l| to_ml(setting.extra_m3() + l.heel_m3 - l.fluid_m3)),
            stopped: job.dry || job.warnings.iter().any(|w| w.stops_the_job()),
        }
    }

    /// By how much the reservoir may stand lower than now at the end of some later opening, mL, each bleeder opened once
    /// and nothing else done; negative where it stands higher. Topped up by hand it may be down to the mark at which that
    /// is done, less what a pedal stroke takes; under pressure as low as the air under the cap lets it at the least gauge.
    pub fn may_fall_ml(&self) -> f64 {
        let (setting, job) = (&self.job.setting, &self.job);
        let level = job.system.reservoir.volume();
        let low = if job.supply.feed_hose().is_some() {
            let mut pressed = job.clone();
            pressed.settle();
            let air = pressed.cap_air.unwrap_or(0.0);
            // The gauge is looked at after each step that closes no bleeder, and pumped up if it is below the mark. It can
            // fall unseen for as many steps as there are bleeders to close, of which none drains more than a usual step of
            // each of them together; the vessel's air is never less than now.
            let bleeders = setting.circuit.bleeders.len();
            let steps = (0..bleeders).map(|bleeder| setting.usual_step(bleeder));
            let unseen_m3 = bleeders as f64 * steps.sum::<f64>();
            setting.circuit.reservoir.brim_m3 - air / pressed.supply.least_pa(unseen_m3)
        } else {
            let masters = setting.circuit.nodes.iter().filter(|n| n.role == Role::MasterCylinder);
            let chambers = masters.filter_map(|n| n.chamber.as_ref());
            let stroke = (job.supply.strokes())
                .map_or(0.0, |pedal| chambers.map(|c| pedal.sweep_m3(c)).sum());
            job.refill().map_or(0.0, |(low, _)| low.min(level) - stroke)
        };
        to_ml(level - low)
    }

    /// What stays behind if it ends here; water and boiling points are no numbers after [`Ready::sums_only`].
    pub fn left(&self) -> Left {
        left::left(&self.job)
    }

    /// [`Left::lowest_boiling_c`] of that by itself.
    pub fn lowest_boiling_c(&self) -> f64 {
        left::lowest_boiling_c(&self.job)
    }
}

#[cfg(test)]
#[path = "resume_tests.rs"]
mod tests;
