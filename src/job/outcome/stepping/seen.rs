//! What is seen of a job driven by hand, at any time, without changing it.

use super::{Hose, MOST_CELLS, Stepping};
use crate::job::outcome::{left, look};
use crate::job::record::over_time::Held;
use crate::job::record::{Left, Opening, StepDone, SupplyPoint, Warning};
use crate::job::state::parts;
use crate::measures::to_ml;

impl Stepping {
    /// Each open bleeder with what is seen in its clear hose, in the order in which they were named.
    pub fn hoses(&self) -> Vec<Hose> {
        self.held().map(|open| look::hose(&self.now().job, open)).collect()
    }

    /// Clock, gauge, what the supply holds, and the reservoir's level and old fraction.
    pub fn supply(&self) -> SupplyPoint {
        self.now().job.supply_point()
    }

    /// Time since the job was begun, s.
    pub fn clock_s(&self) -> f64 {
        self.now().job.clock_s
    }

    /// Time for which fluid has flowed, s.
    pub fn flow_seconds(&self) -> f64 {
        self.now().job.flow_s
    }

    /// Drained at all bleeders so far, mL. Where it came from stands in [`hoses`](Self::hoses) and
    /// [`openings`](Self::openings).
    pub fn drained_ml(&self) -> f64 {
        to_ml(self.now().job.books.drained)
    }

    /// Every part that holds fluid, as it would stay behind: volume, old fraction, water, boiling point.
    pub fn left(&self) -> Left {
        left::left(&self.now().job)
    }

    /// What each part of [`left`](Self::left) holds, in their order.
    pub(crate) fn amounts(&self) -> Vec<Held> {
        let job = &self.now().job;
        parts::held(&job.setting.parts, job.fluid())
    }

    /// Old fractions in the parts of [`left`](Self::left), in their order: of a line or hose in so many cells of equal
    /// volume from its `from` on, each the mean over the cross-section; of others one, the mean. No more than
    /// [`MOST_CELLS`], no fewer than one.
    pub fn profiles(&self, cells: usize) -> Vec<Vec<f64>> {
        look::profiles(&self.now().job, cells.clamp(1, MOST_CELLS))
    }

    /// Openings so far, in the order in which they were closed; those opened together once all of them are.
    pub fn openings(&self) -> &[Opening] {
        &self.now().job.openings
    }

    /// What was done so far beside openings.
    pub fn steps(&self) -> &[StepDone] {
        &self.now().job.steps
    }

    /// Warnings so far; those of the job as a whole come with its record.
    pub fn warnings(&self) -> &[Warning] {
        &self.now().job.warnings
    }

    /// Whether the supply has run dry, so that air would enter the circuit: nothing can be opened any more.
    pub fn ran_dry(&self) -> bool {
        self.now().job.dry
    }
}
