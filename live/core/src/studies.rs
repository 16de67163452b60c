//! Many jobs at once.

use crate::change::Changed;
use crate::question::Failure;
use farwheel::study::decides::{self, Question};
use farwheel::study::progress::Nobody;
use serde::Deserialize;
use serde_json::{Value, json};

/// What decides on this car, the order among it.
#[derive(Debug, Deserialize)]
pub struct Decides {
    #[serde(flatten)]
    changed: Changed,
    #[serde(default)]
    draws: usize,
}

pub fn decides(asked: &Decides) -> Result<Value, Failure> {
    let job = asked.changed.job()?;
    let question = Question { draws: asked.draws, ..Question::default() };
    Ok(json!(decides::study(&job.scenario, &question, &job.options, &Nobody)?))
}
