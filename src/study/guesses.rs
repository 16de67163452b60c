//! Which guess of a described car is worth measuring: the share that each has in what is uncertain.

use super::chance::unknowns::{Uncertain, Unknown};
use super::in_order::in_order;
use super::progress::{Nobody, Progress};
use super::{StudyError, for_draws};
use crate::circuit::Scenario;
use crate::describe;
use crate::job::check::CheckReport;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::{self, flush};
use crate::sorting;
use serde::Serialize;

/// A guess.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Worth {
    /// What was guessed.
    pub quantity: String,
    /// Why it was guessed so.
    pub why: String,
    /// Its share in the variance of the millilitres drained, 0 to 1: what would go if it were known.
    pub share_of_drained: f64,
    /// Its share in the variance of the old fluid left.
    pub share_of_old_left: f64,
}

impl Worth {
    /// The larger of its shares.
    pub fn most(&self) -> f64 {
        self.share_of_drained.max(self.share_of_old_left)
    }
}

/// What `check` found, and what is guessed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LookedOver {
    /// What was found.
    #[serde(flatten)]
    pub check: CheckReport,
    /// Every guess of a described car ([`study`]).
    pub guesses: Vec<Worth>,
}

/// Looks a scenario over, its guesses included.
///
/// # Errors
/// As [`job::check()`] and [`study`].
pub fn look_over(scenario: &Scenario, options: &Options) -> Result<LookedOver, StudyError> {
    let check = job::check(scenario, options)?;
    Ok(LookedOver { check, guesses: study(scenario, options)? })
}

/// Draws behind the shares: enough to tell a tenth from nothing.
const DRAWS: usize = 200;

/// Every guess that `describe` left in the scenario and nobody has replaced since, that with the largest share first;
/// none where it was not described.
///
/// All that is uncertain is drawn at once, each quantity independently of the rest, so that the square of its linear
/// correlation with an answer is its share in that answer's variance as far as the answer is linear in it (any text on
/// regression, from memory). Of n draws chance alone gives 1/(n − 1), which is taken off.
///
/// # Errors
/// If a job of a draw cannot be simulated, or `[described]` holds what is no answer.
pub fn study(scenario: &Scenario, options: &Options) -> Result<Vec<Worth>, StudyError> {
    let guesses = describe::guesses(scenario).map_err(|wrong| {
        let answers = "`answers` of [described]";
        StudyError::Asked(format!("{answers}: {}; {}", wrong.what, wrong.remedy))
    })?;
    if guesses.is_empty() {
        return Ok(Vec::new());
    }
    let uncertain = Uncertain::new(scenario, options.supply.as_deref());
    let columns = uncertain.columns("guesses", options.seed, DRAWS);
    let options = Options { endless: true, ..for_draws(options) };
    let progress = Progress::new(&Nobody, DRAWS as u64);
    let answers = in_order(DRAWS, &progress, |i| {
        let record = flush(&uncertain.draw(|k| columns[k][i])?, &options)?;
        Ok::<_, JobError>((record.totals.drained_ml, record.left.old_ml))
    })?;
    let (drained, left): (Vec<f64>, Vec<f64>) = answers.into_iter().unzip();
    let worth = |(unknown, column): (&Unknown, &Vec<f64>)| {
        let guess = guesses.iter().find(|g| unknown.stands_at(g.at))?;
        let values: Vec<f64> = column.iter().map(|u| unknown.value_at(*u)).collect();
        Some(Worth {
            quantity: unknown.name.clone(),
            why: guess.why.clone(),
            share_of_drained: share(&values, &drained),
            share_of_old_left: share(&values, &left),
        })
    };
    let mut all: Vec<Worth> = uncertain.unknowns.iter().zip(&columns).filter_map(worth).collect();
    sorting::by(&mut all, |a, b| b.most().total_cmp(&a.most()));
    Ok(all)
}

/// How many guesses [`study`] would tell.
pub(super) fn count(scenario: &Scenario, options: &Options) -> usize {
    // Answers that cannot be read tell of no guess.
    let guesses = describe::guesses(scenario).unwrap_or_default();
    if guesses.is_empty() {
        return 0;
    }
    let uncertain = Uncertain::new(scenario, options.supply.as_deref());
    let guessed = |unknown: &&Unknown| guesses.iter().any(|g| unknown.stands_at(g.at));
    uncertain.unknowns.iter().filter(guessed).count()
}

/// Square of the linear correlation, less what chance alone gives; 0 where one of the two does not vary.
fn share(x: &[f64], y: &[f64]) -> f64 {
    let n = x.len() as f64;
    let mean = |v: &[f64]| v.iter().sum::<f64>() / n;
    let (mx, my) = (mean(x), mean(y));
    let (mut xy, mut xx, mut yy) = (0.0_f64, 0.0_f64, 0.0_f64);
    for (a, b) in x.iter().zip(y) {
        xy += (a - mx) * (b - my);
        xx += (a - mx) * (a - mx);
        yy += (b - my) * (b - my);
    }
    if xx * yy <= 0.0 {
        return 0.0;
    }
    (xy * xy / (xx * yy) - 1.0 / (n - 1.0)).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::chance::draws::column;

    /// Of a sum of independent terms each has the share of its own variance: 9, 4 and 1 of 14.
    #[test]
    fn shares_of_a_sum_are_those_of_its_terms() {
        let terms = ["a", "b", "c"].map(|name| column(3, name, 4000));
        let y: Vec<f64> =
            (0..4000).map(|i| 3.0 * terms[0][i] - 2.0 * terms[1][i] + terms[2][i]).collect();
        for (term, expected) in terms.iter().zip([9.0, 4.0, 1.0]) {
            assert!((share(term, &y) - expected / 14.0).abs() < 0.03);
        }
        assert_eq!(share(&column(4, "d", 4000), &vec![1.0; 4000]), 0.0);
        assert!(share(&column(4, "d", 4000), &y) < 0.003);
    }
}
