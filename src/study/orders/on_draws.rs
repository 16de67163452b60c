//! Every order on the same random draws of the vehicle.

use super::rows::Rows;
use super::{Standing, equally_clean};
use crate::circuit::Scenario;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::resume::Ready;
use crate::study::chance::summary::quantile;
use crate::study::chance::unknowns::{Spreads, Uncertain};
use crate::study::progress::Progress;
use crate::study::{StudyError, for_draws, shared};
use rayon::prelude::*;

/// What every order saves in each draw.
#[derive(Debug, Clone, Default)]
pub(super) struct Drawn {
    /// Draws that are complete.
    pub draws: usize,
    /// Whose the spreads are; `None` without draws.
    pub spreads: Option<Spreads>,
    /// Savings, mL, [draw][order]; −∞ where the stop rules cannot be scaled so far.
    saves: Vec<Vec<f64>>,
}

/// Draws in which savings must have one sign for an order to be told apart, as a share.
const AGREE: f64 = 0.8;

/// Compares all orders on every draw. If the study is ended early, the draws up to the first that is not
/// complete are kept.
pub(super) fn draw(
    scenario: &Scenario,
    rows: &Rows,
    draws: usize,
    options: &Options,
    progress: &Progress<'_>,
) -> Result<Drawn, StudyError> {
    if draws == 0 {
        return Ok(Drawn::default());
    }
    let uncertain = Uncertain::new(scenario, options.supply.as_deref());
    if uncertain.unknowns.is_empty() {
        return Err(StudyError::NothingUncertain);
    }
    let columns = uncertain.columns("one", options.seed, draws);
    let options = for_draws(options);
    let one = |draw: usize| -> Result<Option<Vec<f64>>, JobError> {
        if !progress.goes_on() {
            return Ok(None);
        }
        let drawn = uncertain.draw(|k| columns[k][draw])?;
        let saves = saves_on(&drawn, rows, &options, progress)?;
        let saves = saves.into_iter().map(|s| s.unwrap_or(f64::NEG_INFINITY)).collect();
        progress.finished(rows.rows.len() as u64);
        Ok(if progress.stopped() { None } else { Some(saves) })
    };
    let all: Result<Vec<Option<Vec<f64>>>, JobError> =
        (0..draws).into_par_iter().map(one).collect();
    let saves: Vec<Vec<f64>> = all?.into_iter().map_while(|s| s).collect();
    Ok(Drawn { draws: saves.len(), spreads: Some(uncertain.spreads()), saves })
}

/// What every order saves on one vehicle, mL.
pub(super) fn saves_on(
    scenario: &Scenario,
    rows: &Rows,
    options: &Options,
    progress: &Progress<'_>,
) -> Result<Vec<Option<f64>>, JobError> {
    let ready = Ready::new(scenario, options)?.sums_only();
    let table = rows.table(scenario, 1.0);
    let every: Vec<&[u32]> = rows.rows.iter().map(Vec::as_slice).collect();
    let first = shared::run(&ready, &table, &every, progress, |_, job| job.sums())?;
    let equal = equally_clean::equal(&ready, scenario, rows, &first, progress, &|| ())?;
    Ok(equal.into_iter().map(|e| Some(e?.saves_ml)).collect())
}

impl Drawn {
    /// Writes quantiles and shares into the orders; one whose savings change sign in more than two draws
    /// of ten is not told apart.
    pub fn put_into(&self, orders: &mut [Standing]) {
        if self.draws == 0 {
            return;
        }
        for standing in orders {
            // Quantiles are of what is lost, so that what never came lies at +∞.
            let lost: Vec<f64> = self.saves.iter().map(|s| -s[standing.number]).collect();
            let share = |better: fn(f64) -> bool| {
                lost.iter().filter(|x| better(**x)).count() as f64 / self.draws as f64
            };
            // No saving is no −0.
            let saved = |p: f64| Some(quantile(&lost, 1.0 - p).map(|x| 0.0 - x));
            (standing.saves_ml_p10, standing.saves_ml_p50, standing.saves_ml_p90) =
                (saved(0.1), saved(0.5), saved(0.9));
            let better = share(|x| x < 0.0);
            standing.better_share = Some(better);
            standing.told_apart &= better >= AGREE || share(|x| x > 0.0) >= AGREE;
        }
    }
}
