//! Orders of one procedure ranked: what each takes by the scenario's own stop rules, and when none may
//! leave more old fluid than the scenario's own order does.

mod equally_clean;
mod influences;
mod on_draws;
mod rows;

pub(super) use equally_clean::at;
pub use influences::Decider;
pub(super) use rows::{DIRTIEST, every_order};

use super::chance::unknowns::Spreads;
use super::difference::{Difference, LEAST_ML};
use super::order::Rules;
use super::progress::{Onlooker, Progress};
use super::{StudyError, for_sums, shared};
use crate::circuit::Scenario;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::resume::{Ready, Sums};
use crate::sorting;
use rows::Rows;
use serde::Serialize;
use std::sync::atomic::{AtomicUsize, Ordering};

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Orders to compare with the scenario's own; empty: every order.
    pub orders: Vec<Vec<String>>,
    /// Number of random draws, 0 for none.
    pub draws: usize,
    /// Share of the fluid that the own order takes by which orders must differ to be of different places.
    pub margin: f64,
}

/// Five parts in a hundred: less than what one looks clean to differs between two people (an estimate).
pub const USUAL_MARGIN: f64 = 0.05;

impl Default for Question {
    fn default() -> Self {
        Self { orders: Vec::new(), draws: 0, margin: USUAL_MARGIN }
    }
}

/// As many orders as eight bleeders can be opened in.
pub const MOST_ORDERS: usize = 40_320;
/// Orders times bleeders that are kept in memory.
pub const MOST_NAMED: usize = 1_000_000;
/// Orders times draws that are kept in memory.
pub const MOST_DRAWN: usize = 10_000_000;
/// Orders that are run coarser too, to estimate what the computation misses.
const SAMPLE: usize = 24;
/// In how many ways.
const COARSER: usize = 2;

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Orders {
    /// The scenario's own order.
    pub own_order: Vec<String>,
    /// Number of draws.
    pub draws: usize,
    /// Seed.
    pub seed: u64,
    /// The orders, those that save most first; what cannot be told apart stays in the order in which
    /// it was named or, of all orders, in which the procedure names the bleeders.
    pub orders: Vec<Standing>,
    /// True if the study was ended early: then orders or draws are missing. Left out otherwise.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub partial: bool,
    /// Orders that were to be compared.
    pub asked: usize,
    /// Whether stop rules stay at their places when bleeders change theirs.
    pub by_place: bool,
    /// How far a difference of two orders may be off through the computation, mL, at least half a
    /// millilitre.
    pub unsure_ml: f64,
    /// Where stop rules stay at their places: the wheel brake that is worst off in the order that leaves the
    /// most old fluid.
    pub suffers: Option<WorseOff>,
    /// What else might be done about this vehicle, for comparison.
    pub deciders: Vec<Decider>,
    /// Whose the spreads of the draws are. Left out without draws.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spreads: Option<Spreads>,
    /// Title as written.
    pub title: String,
    /// [`Question::margin`].
    pub margin: f64,
    /// What was set over the values of the file, as given.
    // Not in the JSON: the program tells it at the end, with what else the answer comes of.
    #[serde(skip)]
    pub set: Vec<String>,
}

/// One order.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Standing {
    /// Bleeder by bleeder.
    pub order: Vec<String>,
    /// Drained at all bleeders by the scenario's own stop rules, mL.
    pub drained_ml: f64,
    /// Time with a bleeder open, s.
    pub flow_seconds: f64,
    /// Old fluid left in the whole system, mL.
    pub left_old_ml: f64,
    /// Old fraction of the whole system.
    pub left_old_fraction: f64,
    /// Lowest boiling point at any place that a bleeder reaches, as `left.lowest_boiling_c` of `flush`, °C.
    pub lowest_boiling_c: f64,
    /// With all stop rules made stricter or laxer together until as much old fluid is left as by the own
    /// order; `None` if they cannot be.
    pub equal: Option<Equal>,
    /// Whether the saving is more than the computation may be off and, with draws, of the same sign in
    /// eight draws of ten.
    pub told_apart: bool,
    /// Over the draws: one in ten saves no more than this, mL. This and the next three are left out without
    /// draws; `None` inside if the rules cannot be scaled so far in too many draws.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub saves_ml_p10: Option<Option<f64>>,
    /// Every second saves no more, mL.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub saves_ml_p50: Option<Option<f64>>,
    /// Nine in ten save no more, mL.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub saves_ml_p90: Option<Option<f64>>,
    /// Share of the draws in which it takes less than the own order.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub better_share: Option<f64>,
    /// New fluid that it takes by the scenario's own stop rules, mL.
    pub new_fluid_ml: f64,
    /// Its number among the orders asked for, from 0; the own order is 0.
    // Not in the JSON: a handle into what was asked for; `order` names the order, `own_order` the own.
    #[serde(skip)]
    pub number: usize,
    /// Its place, from 1; the same for orders that save less than the margin less than the first of them, or are not told
    /// apart from one another.
    pub place: usize,
    /// What the supply lacks for it, mL (negative: it has more); `None` for a supply that is not loaded.
    pub short_ml: Option<f64>,
    /// Whether a warning stops the job: a target not reached, for instance.
    pub stopped: bool,
}

/// A wheel brake in another order than the scenario's own.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WorseOff {
    /// Its name.
    pub part: String,
    /// Old fraction left in it by the order that leaves the most in the system.
    pub old_fraction: f64,
    /// Old fraction left in it by the scenario's own order.
    pub own_old_fraction: f64,
}

/// The fair comparison.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Equal {
    /// Drained at all bleeders, mL.
    pub drained_ml: f64,
    /// What it saves in new fluid against the own order, mL.
    pub saves_ml: f64,
    /// New fluid that it takes if the reservoir ends as full as by the own order, mL: where the last topping up or
    /// pumping up happens to fall is no merit of an order.
    pub new_fluid_ml: f64,
}

impl Standing {
    /// Whether what the scenario loads is not enough for it.
    pub fn runs_short(&self) -> bool {
        self.short_ml.is_some_and(|ml| ml > 0.0)
    }
}

impl Orders {
    /// The scenario's own order.
    pub fn own(&self) -> Option<&Standing> {
        self.orders.iter().find(|s| s.number == 0)
    }

    /// The span of `of` over the orders for which it is known, with the orders that have the least and the
    /// most.
    pub fn span(&self, of: impl Fn(&Standing) -> Option<f64>) -> Option<(&Standing, &Standing)> {
        let known = || self.orders.iter().filter_map(|s| Some((s, of(s)?)));
        let least = known().min_by(|a, b| a.1.total_cmp(&b.1))?;
        let most = known().max_by(|a, b| a.1.total_cmp(&b.1))?;
        Some((least.0, most.0))
    }
}

/// Compares the orders in which the bleeders of a scenario's procedure can be opened.
///
/// Each is run by the scenario's own stop rules, which go with their bleeders when they judge by eye and stay
/// at their places when they count ([`Rules::of`]), and again with all of them made stricter or laxer
/// together until it leaves as much old fluid as the scenario's own order. Bleeders opened together stay
/// together, other steps keep their places. Jobs with a common beginning are run once up to where they part,
/// with a supply that never runs dry.
///
/// With draws every order meets the same vehicles ([`super::chance`]); then half as many steps are
/// taken, since only differences of orders in the same draw are asked for.
///
/// # Errors
/// [`StudyError`].
pub fn study(
    scenario: &Scenario,
    question: &Question,
    options: &Options,
    onlooker: &dyn Onlooker,
) -> Result<Orders, StudyError> {
    let rows = rows_of(scenario, question)?;
    let count = rows.orders.len();
    if question.draws > 0 && count.saturating_mul(question.draws) > MOST_DRAWN {
        let most = MOST_DRAWN / count;
        return Err(StudyError::TooMuch(format!(
            "{count} orders: ask for at most {most} draws, or name fewer orders"
        )));
    }
    // Each as it is, at equal old fluid left and on each draw; some coarser too.
    let pieces = count * (2 + question.draws) + COARSER * count.min(SAMPLE);
    let progress = Progress::new(onlooker, pieces as u64);
    let sums = for_sums(options);
    let ready = Ready::new(scenario, &sums)?;
    let table = rows.table(scenario, 1.0);
    let every: Vec<&[u32]> = rows.rows.iter().map(Vec::as_slice).collect();
    let ends = shared::run(&ready, &table, &every, &progress, |_, job| {
        progress.finished(1);
        (job.sums(), job.lowest_boiling_c())
    })?;
    let first: Vec<Option<Sums>> = ends.iter().map(|e| e.map(|e| e.0)).collect();
    // From here on nobody asks for water.
    let ready = ready.sums_only();
    let left = AtomicUsize::new(count);
    let one_less = |n: usize| n.checked_sub(1);
    // Most are run on more than one rung: only the first of these is a piece of work.
    let each = || {
        if left.fetch_update(Ordering::Relaxed, Ordering::Relaxed, one_less).is_ok() {
            progress.finished(1);
        }
    };
    let equal = equally_clean::equal(&ready, scenario, &rows, &first, &progress, &each)?;
    progress.finished(left.into_inner() as u64);
    let unsure_ml = unsure_ml(scenario, &rows, &sums, &equal, &progress)?;
    let mut orders: Vec<Standing> = ends
        .iter()
        .enumerate()
        .filter_map(|(number, end)| {
            let (sums, lowest_boiling_c) = (*end)?;
            let equal = equal[number];
            Some(Standing {
                order: rows.orders[number].clone(),
                drained_ml: sums.drained_ml,
                flow_seconds: sums.flow_seconds,
                left_old_ml: sums.left_old_ml,
                left_old_fraction: sums.left_old_fraction,
                lowest_boiling_c,
                equal,
                told_apart: equal
                    .is_some_and(|e| Difference { ml: e.saves_ml, unsure_ml }.told_apart()),
                saves_ml_p10: None,
                saves_ml_p50: None,
                saves_ml_p90: None,
                better_share: None,
                new_fluid_ml: sums.new_fluid_ml,
                place: 0,
                number,
                short_ml: sums.short_ml,
                stopped: sums.stopped,
            })
        })
        .collect();
    let drawn = on_draws::draw(scenario, &rows, question.draws, options, &progress)?;
    drawn.put_into(&mut orders);
    rank(&mut orders, unsure_ml, question.margin);
    let by_place = Rules::of(&scenario.procedure) == Rules::ByPlace;
    let (mut others, mut suffers) = (Vec::new(), None);
    if !progress.stopped() {
        others = influences::deciders(scenario, &rows, &sums)?;
        let worst = orders.iter().max_by(|a, b| a.left_old_ml.total_cmp(&b.left_old_ml));
        if let (true, Some(worst)) = (by_place, worst) {
            suffers = influences::suffers(scenario, &rows, worst.number, &sums)?;
        }
    }
    Ok(Orders {
        own_order: rows.orders[0].clone(),
        draws: drawn.draws,
        seed: options.seed,
        orders,
        partial: progress.stopped(),
        asked: count,
        by_place,
        unsure_ml,
        suffers,
        deciders: others,
        spreads: drawn.spreads,
        title: scenario.title.clone(),
        margin: question.margin,
        set: scenario.set.clone(),
    })
}

/// What each of some orders saves against the scenario's own on one vehicle, mL, at equal old fluid left, with
/// options of one's choice; `None` where the stop rules cannot be scaled so far.
///
/// # Errors
/// [`StudyError`].
pub fn savings_ml(
    scenario: &Scenario,
    orders: &[Vec<String>],
    options: &Options,
) -> Result<Vec<Option<f64>>, StudyError> {
    let mut all = vec![super::order::together(&scenario.procedure).concat()];
    all.extend_from_slice(orders);
    let rows = Rows::new(scenario, all)?;
    let progress = Progress::new(&super::progress::Nobody, 0);
    let mut saves = on_draws::saves_on(scenario, &rows, options, &progress)?;
    Ok(saves.split_off(1))
}

/// What each of some orders comes to by the scenario's own stop rules, with options of one's choice; `None` where the study
/// was ended before.
///
/// # Errors
/// [`StudyError`].
pub(super) fn sums_of_orders(
    scenario: &Scenario,
    orders: &[Vec<String>],
    options: &Options,
    progress: &Progress<'_>,
) -> Result<Vec<Option<Sums>>, StudyError> {
    let rows = Rows::new(scenario, orders.to_vec())?;
    let ready = Ready::new(scenario, options)?.sums_only();
    let every: Vec<&[u32]> = rows.rows.iter().map(Vec::as_slice).collect();
    Ok(shared::run(&ready, &rows.table(scenario, 1.0), &every, progress, |_, job| job.sums())?)
}

/// The orders to compare, the own one first, each once.
fn rows_of(scenario: &Scenario, question: &Question) -> Result<Rows, StudyError> {
    let groups = super::order::together(&scenario.procedure);
    if groups.is_empty() {
        return Err(StudyError::Asked("the procedure opens no bleeder".to_owned()));
    }
    let bleeders = groups.iter().map(Vec::len).sum::<usize>();
    let too_many = || {
        let most = MOST_NAMED / bleeders;
        Err(StudyError::TooMuch(format!(
            "{bleeders} bleeders are opened in each order: name those to compare, {most} at most"
        )))
    };
    let orders = if question.orders.is_empty() {
        let Some(count) = rows::count_orders(groups.len()).filter(|n| *n <= MOST_ORDERS) else {
            let groups = groups.len();
            return Err(StudyError::TooMuch(format!(
                "{groups} bleeders can be opened in more than {MOST_ORDERS} orders: name those to compare"
            )));
        };
        if count * bleeders > MOST_NAMED {
            return too_many();
        }
        rows::every_order(scenario)
    } else if question.orders.len() * bleeders > MOST_NAMED {
        return too_many();
    } else {
        let mut orders = vec![groups.concat()];
        for named in &question.orders {
            if !orders.contains(named) {
                orders.push(named.clone());
            }
        }
        orders
    };
    Ok(Rows::new(scenario, orders)?)
}

/// How far differences may be off, mL: a sample of the orders is compared again with steps twice as long and
/// with half the lanes, and the largest changes that makes to a saving are added.
fn unsure_ml(
    scenario: &Scenario,
    rows: &Rows,
    options: &Options,
    equal: &[Option<Equal>],
    progress: &Progress<'_>,
) -> Result<f64, JobError> {
    let count = rows.orders.len();
    let chosen: Vec<usize> = match count {
        0..=SAMPLE => (0..count).collect(),
        _ => (0..SAMPLE).map(|k| k * (count - 1) / (SAMPLE - 1)).collect(),
    };
    let sample = rows.some(&chosen);
    let lanes = Ready::new(scenario, options)?.lanes();
    let coarser: [Options; COARSER] = [
        Options { steps_per_path: 0.5 * options.steps_per_path, ..options.clone() },
        Options { lanes: Some((lanes / 2).max(4)), ..options.clone() },
    ];
    let mut unsure = 0.0;
    for options in coarser {
        let changes =
            on_draws::saves_on(scenario, &sample, &options, progress)?.into_iter().zip(&chosen);
        let largest = changes
            .filter_map(|(coarse, &i)| Some((coarse? - equal[i]?.saves_ml).abs()))
            .fold(0.0, f64::max);
        unsure += largest;
        progress.finished(chosen.len() as u64);
    }
    Ok(f64::max(unsure, LEAST_ML))
}

/// Puts those that save most first, among those whose savings lie within what the computation may be off of the best of
/// them in the order in which they were asked for, and gives places: orders share one with the first of it within the margin.
fn rank(orders: &mut [Standing], unsure_ml: f64, margin: f64) {
    let saves = |s: &Standing| s.equal.map_or(f64::NEG_INFINITY, |e| e.saves_ml);
    let own = orders.iter().find(|s| s.number == 0);
    let margin_ml = own.map_or(0.0, |own| margin * own.new_fluid_ml);
    sorting::by(orders, |a, b| saves(b).total_cmp(&saves(a)).then(a.number.cmp(&b.number)));
    // The first of this place, and what it saves.
    let (mut place, mut first) = (1, f64::INFINITY);
    let mut begin = 0;
    while begin < orders.len() {
        let best = saves(&orders[begin]);
        let alike = |s: &Standing| saves(s) == best || best - saves(s) <= unsure_ml;
        let end = begin + orders[begin..].iter().take_while(|s| alike(s)).count();
        sorting::by_key(&mut orders[begin..end], |s| s.number);
        if begin == 0 || first - best > margin_ml {
            (place, first) = (begin + 1, best);
        }
        for standing in &mut orders[begin..end] {
            standing.place = place;
        }
        begin = end;
    }
}
