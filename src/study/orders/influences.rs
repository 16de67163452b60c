//! What else might be done, to see whether it decides more than the order.

use super::WorseOff;
use super::rows::Rows;
use crate::circuit::Scenario;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::record::{Left, PartLeft};
use crate::job::resume::{Ready, Sums};
use crate::keys::{Place, Quantity};
use crate::scenario::procedure::{Action, Step};
use crate::study::shared::Placed;
use crate::study::syringe::syringe;
use serde::Serialize;

/// Something that may be done beside choosing an order, in the scenario's own order.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Decider {
    /// What is done, to be read after "it".
    pub what: &'static str,
    /// How much more new fluid it takes (negative: less), the reservoir ending as full, mL.
    pub new_fluid_ml: f64,
    /// How much more old fluid is left, mL.
    pub left_old_ml: f64,
}

/// A stricter eye, and a laxer one: thresholds, or counts the other way, times this.
const STRICTER: f64 = 0.5;
const LAXER: f64 = 2.0;
/// Counts a fifth larger or smaller.
const MORE: f64 = 1.0 / 1.2;
const LESS: f64 = 1.25;

/// The wheel brake that keeps the most old fluid beyond what it keeps in the own order.
pub(super) fn suffers(
    scenario: &Scenario,
    rows: &Rows,
    other: usize,
    options: &Options,
) -> Result<Option<WorseOff>, JobError> {
    let ready = Ready::new(scenario, options)?;
    let table = rows.table(scenario, 1.0);
    let left = |order: usize| -> Result<Left, JobError> {
        let mut job = ready.begin()?;
        for &i in &rows.rows[order] {
            let s = &table[i as usize];
            job.act(&s.step, s.pass, s.number)?;
        }
        Ok(job.left())
    };
    let (own, other) = (left(0)?, left(other)?);
    let brakes = own.parts.iter().zip(&other.parts).filter(|(p, _)| {
        scenario.parts.iter().any(|s| s.word() == p.kind && !s.bleeders.is_empty())
    });
    let more = |(own, other): &(&PartLeft, &PartLeft)| other.old_fraction - own.old_fraction;
    let most = brakes.max_by(|a, b| more(a).total_cmp(&more(b))).filter(|pair| more(pair) > 0.0);
    Ok(most.map(|(own, other)| WorseOff {
        part: own.part.clone(),
        old_fraction: other.old_fraction,
        own_old_fraction: own.old_fraction,
    }))
}

/// The own order with other stop rules, and with the reservoir emptied and refilled first.
pub(super) fn deciders(
    scenario: &Scenario,
    rows: &Rows,
    options: &Options,
) -> Result<Vec<Decider>, JobError> {
    let ready = Ready::new(scenario, options)?;
    let run = |steps: &[Placed]| -> Result<Sums, JobError> {
        let mut job = ready.begin()?;
        for s in steps {
            job.act(&s.step, s.pass, s.number)?;
        }
        Ok(job.sums())
    };
    let own = |share: f64| -> Vec<Placed> {
        let table = rows.table(scenario, share);
        rows.rows[0].iter().map(|&i| table[i as usize].clone()).collect()
    };
    let plain = own(1.0);
    let base = run(&plain)?;
    let by_eye =
        plain.iter().any(|p| matches!(&p.step.action, Action::Open { until, .. } if until.clean));
    let mut found = Vec::new();
    let mut note = |what: &'static str, sums: Sums| {
        found.push(Decider {
            what,
            new_fluid_ml: sums.gone_ml() - base.gone_ml(),
            left_old_ml: sums.left_old_ml - base.left_old_ml,
        });
    };
    if by_eye {
        note("an eye twice as strict", run(&own(STRICTER))?);
        note("an eye half as strict", run(&own(LAXER))?);
    } else {
        note("a fifth more at every bleeder", run(&own(MORE))?);
        note("a fifth less at every bleeder", run(&own(LESS))?);
    }
    if let Some(steps) = emptied_first(scenario, &plain) {
        note("emptying the reservoir with a syringe first", run(&steps)?);
    }
    Ok(found)
}

/// The steps with the reservoir emptied down to its compartments and refilled to where it stood before
/// anything else; `None` if a step does that already, or nothing lies above them.
fn emptied_first(scenario: &Scenario, steps: &[Placed]) -> Option<Vec<Placed>> {
    if steps.iter().any(|s| matches!(s.step.action, Action::Syringe { .. })) {
        return None;
    }
    let (leave, level) = syringe(scenario)?;
    let quantity = Quantity::known;
    let first = [Action::Syringe { leave: quantity(leave) }, Action::TopUp { to: quantity(level) }];
    let mut out: Vec<Placed> = first
        .into_iter()
        .map(|action| Placed { step: Step { line: Place::Nowhere, action }, pass: 1, number: 0 })
        .collect();
    out.extend_from_slice(steps);
    Some(out)
}
