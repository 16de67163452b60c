//! What the order is worth: best and worst at equal old fluid left, and whether the best saves on other such cars too.

use super::{End, Lever, ORDER, Question, lever};
use crate::circuit::Scenario;
use crate::job::options::Options;
use crate::job::resume::Sums;
use crate::study::StudyError;
use crate::study::orders::{self, Orders, Standing};
use crate::study::progress::{Nobody, Part, Progress};
use crate::study::tried_orders::tried;
use serde::Serialize;

/// What the orders come to, each with its stop rules made stricter or laxer until as much old fluid is left as by the
/// scenario's own.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ByOrder {
    /// The scenario's own order.
    pub own: Vec<String>,
    /// The order that takes least.
    pub best: Vec<String>,
    /// What it saves against the own order, mL; 0 if it is the own.
    pub best_saves_ml: f64,
    /// The order that takes most.
    pub worst: Vec<String>,
    /// What it takes more than the own order, mL.
    pub worst_costs_ml: f64,
    /// How far these may be off, mL.
    pub unsure_ml: f64,
    /// Whether every order was tried, not some of them.
    pub every_order: bool,
    /// Orders that were tried, the own one among them.
    pub tried: usize,
    /// Draws of the vehicle on which the best was compared with the own order; 0 if it is the own.
    pub draws: usize,
    /// Seed of the draws.
    pub seed: u64,
    /// Share of the draws in which the best takes less than the own; `None` without draws. So of the next two.
    pub better_share: Option<f64>,
    /// One draw in ten saves no more, mL.
    pub saves_ml_p10: Option<f64>,
    /// Nine in ten save no more, mL.
    pub saves_ml_p90: Option<f64>,
}

/// The lever and what else is to be said of it; neither if there is but one order.
pub(super) fn compared(
    scenario: &Scenario,
    question: &Question,
    options: &Options,
    own: &Sums,
    progress: &Progress<'_>,
) -> Result<(Option<Lever>, Option<ByOrder>), StudyError> {
    let orders = tried(scenario, most_groups(question.most_orders));
    let every_order = orders.is_empty();
    if !progress.goes_on() {
        return Ok((None, None));
    }
    let ask = orders::Question { orders, draws: 0, margin: question.margin };
    let answer = match orders::study(scenario, &ask, options, &Part::of(progress)) {
        Ok(answer) => answer,
        Err(StudyError::TooMuch(_)) => return Ok((None, None)),
        Err(why) => return Err(why),
    };
    let Some((worst, best)) = answer.span(|s| sound(s).then_some(s.equal?.saves_ml)) else {
        return Ok((None, None));
    };
    if answer.orders.len() < 2 {
        return Ok((None, None));
    }
    let saves = |s: &Standing| s.equal.map_or(0.0, |e| e.saves_ml);
    let mut by_order = ByOrder {
        own: answer.own_order.clone(),
        best: best.order.clone(),
        best_saves_ml: saves(best),
        worst: worst.order.clone(),
        worst_costs_ml: -saves(worst),
        unsure_ml: answer.unsure_ml,
        every_order,
        tried: answer.orders.len(),
        draws: 0,
        seed: options.seed,
        better_share: None,
        saves_ml_p10: None,
        saves_ml_p90: None,
    };
    if question.draws > 0 && best.number != 0 && progress.goes_on() {
        draw(&mut by_order, scenario, question, options)?;
    }
    Ok((lever_of(&answer, own), Some(by_order)))
}

/// How many bleeders can be opened in no more orders than this.
fn most_groups(most_orders: usize) -> usize {
    let orders = (1..).scan(1_usize, |orders, n| {
        *orders = orders.checked_mul(n)?;
        Some(*orders)
    });
    orders.take_while(|orders| *orders <= most_orders).count()
}

/// Whether its job is not to be stopped.
fn sound(s: &Standing) -> bool {
    !s.stopped
}

/// By the fluid at equal old fluid left; by the old fluid left by the scenario's own stop rules.
fn lever_of(answer: &Orders, own: &Sums) -> Option<Lever> {
    // What the own procedure leaves in the system more than it found, as in every other end.
    let fuller_ml = own.new_fluid_ml - own.gone_ml();
    let end = |s: &Standing, fluid_ml: f64, old_left_ml: f64| End {
        at: s.order.join(", "),
        fluid_ml,
        old_left_ml,
        bay_seconds: own.bay_seconds + s.flow_seconds - own.flow_seconds,
        gone_ml: fluid_ml - fuller_ml,
        removed_ml: own.removed_ml,
    };
    let all = || answer.orders.iter().filter(|s| sound(s));
    let equal: Vec<End> = all()
        .filter_map(|s| Some(end(s, own.new_fluid_ml - s.equal?.saves_ml, own.left_old_ml)))
        .collect();
    let as_they_are: Vec<End> =
        all().map(|s| end(s, s.drained_ml + own.removed_ml + fuller_ml, s.left_old_ml)).collect();
    lever(ORDER, &equal.iter().collect::<Vec<_>>(), &as_they_are.iter().collect::<Vec<_>>())
}

/// Whether the best saves on other such cars too. A car of which all is declared exact has no others.
fn draw(
    by_order: &mut ByOrder,
    scenario: &Scenario,
    question: &Question,
    options: &Options,
) -> Result<(), StudyError> {
    let orders = vec![by_order.best.clone()];
    let ask = orders::Question { orders, draws: question.draws, margin: question.margin };
    let answer = match orders::study(scenario, &ask, options, &Nobody) {
        Ok(answer) => answer,
        Err(StudyError::NothingUncertain) => return Ok(()),
        Err(why) => return Err(why),
    };
    if let Some(best) = answer.orders.iter().find(|s| s.number != 0) {
        by_order.draws = answer.draws;
        by_order.better_share = best.better_share;
        by_order.saves_ml_p10 = best.saves_ml_p10.flatten();
        by_order.saves_ml_p90 = best.saves_ml_p90.flatten();
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::most_groups;

    #[test]
    fn as_many_bleeders_as_the_orders_allow() {
        for (orders, groups) in [(0, 0), (1, 1), (2, 2), (119, 4), (120, 5), (720, 6), (5039, 6)] {
            assert_eq!(most_groups(orders), groups, "{orders}");
        }
        assert_eq!(most_groups(usize::MAX), 20);
    }
}
