//! How sure the figures of a car are, and what would be worth finding out.

use crate::change::Changed;
use crate::question::Failure;
use farwheel::study::progress::Nobody;
use farwheel::study::{guesses, spread};
use serde_json::{Value, json};

/// Ranges over so many draws of what nobody knows exactly; the guesses of a described car by their shares in them.
pub fn sure(changed: &Changed, draws: usize) -> Result<Value, Failure> {
    let job = changed.job()?;
    let question = spread::Question { draws, sensitivities: false, ..Default::default() };
    let ranges = spread::study(&job.scenario, &question, &job.options, &Nobody)?;
    let mut worth = guesses::study(&job.scenario, &job.options)?;
    for guess in &mut worth {
        if guess.quantity == "threshold of clear hose" {
            // As `spread` calls it.
            "what your eye accepts".clone_into(&mut guess.quantity);
        }
    }
    Ok(json!({
        "draws": ranges.draws,
        "in_all": ranges.in_all,
        "default_spreads": ranges.default_spreads,
        "runs_dry_share": ranges.runs_dry_share,
        "load_ml_p95": ranges.load_ml_p95,
        "worth": worth,
    }))
}
