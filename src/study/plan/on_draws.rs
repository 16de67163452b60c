//! Plans on random draws of the vehicle.

use super::Question;
use super::car::{Candidate, Car, Least, Tried, worst};
use crate::circuit::Scenario;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::study::StudyError;
use crate::study::chance::unknowns::{Spreads, Uncertain};
use rayon::prelude::*;

/// Whether the study goes on.
type GoesOn<'a> = &'a (dyn Fn() -> bool + Sync);

/// The vehicle drawn again and again; every plan meets the same draws.
pub(super) struct Drawn {
    cars: Vec<Car>,
    /// Whose the spreads are.
    pub spreads: Spreads,
}

impl Drawn {
    /// Draws. A plan is a written procedure: what a syringe leaves and where the reservoir is refilled to are
    /// those of the vehicle as it is written.
    pub fn new(
        scenario: &Scenario,
        question: &Question,
        options: &Options,
        nominal: &Car,
    ) -> Result<Self, StudyError> {
        let uncertain = Uncertain::new(scenario, options.supply.as_deref());
        if uncertain.unknowns.is_empty() {
            return Err(StudyError::NothingUncertain);
        }
        let columns = uncertain.columns("one", options.seed, question.draws);
        let car = |draw: usize| -> Result<Car, JobError> {
            let drawn = uncertain.draw(|k| columns[k][draw])?;
            let car = Car::new(&drawn, options, question.targets, nominal.grid_ml, Least::Fluid)?;
            Ok(Car { syringe: nominal.syringe, ..car })
        };
        let cars: Result<Vec<Car>, JobError> =
            (0..question.draws).into_par_iter().map(car).collect();
        Ok(Self { cars: cars?, spreads: uncertain.spreads() })
    }

    /// In how many draws a plan meets the targets; none are added once it does not go on.
    pub fn met(&self, plan: &Candidate, goes_on: GoesOn<'_>) -> Result<usize, JobError> {
        let fits = |car: &Car| Ok(goes_on() && car.fits(&car.run(plan)?));
        let met: Result<Vec<bool>, JobError> = self.cars.par_iter().map(fits).collect();
        Ok(met?.into_iter().filter(|m| *m).count())
    }

    /// A plan on the vehicle as written that is to cost less than `below`; it misses by what, in this share of the draws,
    /// it misses by no more than.
    pub fn attempt(
        &self,
        nominal: &Car,
        (plan, like): (&Candidate, Option<&Tried>),
        (below, share): (f64, f64),
        goes_on: GoesOn<'_>,
    ) -> Result<Option<Tried>, JobError> {
        let mut tried = nominal.attempt(plan, like)?;
        if tried.cost >= below {
            return Ok(None);
        }
        let of = |car: &Car| -> Result<Option<f64>, JobError> {
            if !goes_on() {
                return Ok(None);
            }
            Ok(Some(worst(&car.judge.excess(&car.run(plan)?.left()))))
        };
        let worst: Result<Option<Vec<f64>>, JobError> = self.cars.par_iter().map(of).collect();
        let Some(mut worst) = worst? else { return Ok(None) };
        worst.sort_by(f64::total_cmp);
        let enough = (share * worst.len() as f64 - 1e-9).ceil().max(1.0) as usize;
        tried.excess = vec![worst[enough - 1]];
        Ok(Some(tried))
    }
}
