//! What each part holds over time: a job stepped through and looked at. Looks follow what is drained, not the clock, so
//! that an opening has about as many whatever its length: where they would become too many every second one is dropped
//! and the distance doubled.

use super::stepping::{LEAST_ADVANCE, Stepping};
use crate::circuit::Scenario;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::record::over_time::{Held, HeldAt, PartOverTime};
use crate::job::record::{Left, Opening, PartLeft};
use crate::scenario::procedure::Action;

/// Looks of one opening, where there are few of them.
const LOOKS: usize = 20;
/// Looks of all openings together, where there are many of them.
const LOOKS_OF_ALL: usize = 160;
/// Looks of one opening, however many there are.
const LEAST_LOOKS: usize = 6;
/// The first looks of an opening are taken this share of the system's fluid apart.
const FIRST_STRIDE: f64 = 1.0 / 4000.0;

/// Figures that may be kept: parts times looks.
pub const MOST_HELD: usize = 1_000_000;

/// A look: when, and what each part holds.
type Look = (f64, Vec<Held>);

/// What each part holds over the scenario's procedure, in the order of [`Left::parts`]: before and after each step, about
/// twenty times in an opening. Moments between which nothing happened are one.
///
/// # Errors
/// [`JobError`] if the scenario cannot be simulated.
pub fn parts_over_time(
    scenario: &Scenario,
    options: &Options,
) -> Result<Vec<PartOverTime>, JobError> {
    let mut job = Stepping::begin(scenario, options)?;
    let Left { parts, .. } = job.left();
    let holds_ml: f64 = parts.iter().map(|p| p.volume_ml).sum();
    let first_ml = (FIRST_STRIDE * holds_ml).max(LEAST_ADVANCE);
    let each = of_one_opening(scenario);
    let mut looks = vec![look(&job)];
    while let Some((_, _, step)) = job.upcoming().filter(|_| !job.ran_dry()) {
        let by_itself = matches!(step.action, Action::WorkModulator { .. });
        let before = job.openings().len();
        job.next_step()?;
        if !job.hoses().is_empty() {
            opening(&mut job, (first_ml, each), &mut looks)?;
        }
        let (at_s, held) = look(&job);
        // What follows closing takes time, in which nothing flows; a modulator that was worked comes to rest meanwhile.
        let closed = job.openings()[before..].iter().map(|o: &Opening| o.closed_s);
        if let Some(closed_s) = closed.reduce(f64::max).filter(|_| !by_itself) {
            looks.push((closed_s, held.clone()));
        }
        looks.push((at_s, held));
        if looks.len() * parts.len() > MOST_HELD {
            let what = "what the parts hold over time are more than a million figures; ask without it, or describe fewer parts";
            return Err(JobError::TooLarge { what: what.to_owned() });
        }
    }
    looks.dedup();
    let of = |(i, p): (usize, &PartLeft)| PartOverTime {
        part: p.part.clone(),
        kind: p.kind,
        held: looks.iter().map(|(at_s, held)| HeldAt { at_s: *at_s, held: held[i] }).collect(),
    };
    Ok(parts.iter().enumerate().map(of).collect())
}

fn look(job: &Stepping) -> Look {
    (job.clock_s(), job.amounts())
}

/// Runs an opening to its end.
fn opening(
    job: &mut Stepping,
    (mut stride_ml, each): (f64, usize),
    looks: &mut Vec<Look>,
) -> Result<(), JobError> {
    let since = looks.len();
    while job.advance_ml(stride_ml)? {
        looks.push(look(job));
        if looks.len() - since >= 2 * each {
            let mut index = 0;
            looks.retain(|_| {
                index += 1;
                index <= since || (index - since).is_multiple_of(2)
            });
            stride_ml *= 2.0;
        }
    }
    Ok(())
}

/// Looks of one opening: no fewer than this if it drains enough, and less than twice as many.
fn of_one_opening(scenario: &Scenario) -> usize {
    let opened = scenario.procedure.in_turn().filter(|(_, step)| {
        matches!(step.action, Action::Open { .. } | Action::WorkModulator { .. })
    });
    (LOOKS_OF_ALL / opened.count().max(1)).clamp(LEAST_LOOKS, LOOKS)
}
