//! The least fluid, or the least time, that leaves no more than stated targets allow.

mod answer;
mod as_scenario;
mod bounds;
mod branch_and_bound;
mod car;
mod curve;
mod local_search;
mod on_draws;
mod orders;
mod proof;
mod starts;
mod targets;

pub use answer::{FirstToBoil, Plan, Point};
pub use car::Least;
pub use targets::Targets;

use super::progress::{Onlooker, Progress};
use super::{StudyError, for_sums, ranking};
use crate::circuit::Scenario;
use crate::job;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::keys::bounds::{GRID, SURE};
use crate::measures::to_ml;
use crate::scenario;
use crate::scenario::quantity_text::plain;
use bounds::{Bounds, gets_only_cleaner};
use branch_and_bound::Search;
use car::{Candidate, Car, Tried};
use local_search::{Attempt, descend, scaled_up};
use on_draws::Drawn;
use rayon::prelude::*;

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// What is to be reached; without a target, no more old fluid overall than the scenario's own procedure leaves.
    pub targets: Targets,
    /// What is to be least.
    pub least: Least,
    /// Grid of the millilitres at each bleeder, mL.
    pub grid_ml: f64,
    /// Share of the draws in which the targets are to be met; `None` asks for the vehicle as written alone.
    pub sure: Option<f64>,
    /// Number of draws.
    pub draws: usize,
}

impl Default for Question {
    fn default() -> Self {
        Self {
            targets: Targets::default(),
            least: Least::Fluid,
            grid_ml: 10.0,
            sure: None,
            draws: 100,
        }
    }
}

/// Draws that a plan may meet.
pub const DRAWS: (usize, usize) = (10, 10_000);
/// Bleeders, or groups of bleeders opened together, that a plan is sought for.
pub const MOST_GROUPS: usize = 16;
/// Draws times parts that a plan may meet: each draw is a vehicle kept in memory.
pub const MOST_DRAWN: usize = 250_000;
/// The most that a plan drains at a bleeder, as a multiple of all the fluid in the system.
const MOST_CAPACITIES: f64 = 3.0;
/// Orders searched side by side with the same budget, whatever the number of threads.
const SIDE_BY_SIDE: usize = 8;
/// Orders from which second passes and plans for draws are sought.
const FINALISTS: usize = 4;

/// Plans a flush.
///
/// `text` is the scenario's text, into which the plan is written. Every order of the bleeders (above four a
/// stated few) is tried with the reservoir syringed first and not (one order alone where that costs far more); in each,
/// volumes are scaled until the targets are met and then taken away step by step. With up to four bleeders opened once each, everything
/// that would take less is then excluded or found. Second passes are sought from the best plans.
///
/// # Errors
/// [`StudyError`].
pub fn study(
    scenario: &Scenario,
    text: &str,
    question: &Question,
    options: &Options,
    onlooker: &dyn Onlooker,
) -> Result<Plan, StudyError> {
    look_over(question)?;
    let parts = scenario.parts.len().max(1);
    if question.sure.is_some() && question.draws > MOST_DRAWN / parts {
        return Err(StudyError::TooMuch(format!(
            "{} draws of a vehicle with {parts} parts: ask for at most {}",
            question.draws,
            MOST_DRAWN / parts
        )));
    }
    let sums = for_sums(options);
    let question = &aimed(scenario, question, &sums)?;
    let car = Car::new(scenario, &sums, question.targets, question.grid_ml, question.least)?;
    if car.groups.is_empty() {
        return Err(StudyError::Asked(
            "the procedure has no step `open`, and a plan says how much each of them drains"
                .to_owned(),
        ));
    }
    if car.groups.len() > MOST_GROUPS {
        return Err(StudyError::TooMuch(format!(
            "the procedure opens {} bleeders or groups of them: a plan is sought for {MOST_GROUPS} at most",
            car.groups.len()
        )));
    }
    if question.targets.boiling_c.is_some() && !car.judge.has_wheels() {
        return Err(StudyError::Asked(
            "there is no wheel brake to boil: leave that target out".to_owned(),
        ));
    }
    let mut circuit = scenario.circuit().clone();
    let start = car.ready.begin()?.left();
    let volume_ml: f64 = start.parts.iter().map(|p| p.volume_ml).sum();
    let most = (MOST_CAPACITIES * volume_ml / question.grid_ml).ceil() as u32;
    circuit.bleeders.retain(|b| car.groups.iter().flatten().any(|g| *g == b.name));
    let cleaner = gets_only_cleaner(&circuit, &car);
    let bounds = Bounds::new(scenario, &car, &start, most, cleaner)?;
    let units = units(scenario, &car);
    let progress = Progress::new(onlooker, 2 * units.len() as u64 + 20);

    let nominal = |plan: &Candidate, like: Option<&Tried>, _: f64| match progress.goes_on() {
        true => car.attempt(plan, like).map(Some),
        false => Ok(None),
    };
    let (found, starts) = starts::good_plans(&car, &bounds, &start, &units, &nominal, &progress)?;
    let mut found = match found {
        found if found.is_empty() && progress.stopped() => return Err(StudyError::Interrupted),
        found if found.is_empty() => return Err(unreachable_by(&car, &units, most)?),
        found => found,
    };
    let mut told = proof::Evidence::new(&car, &bounds, (&units, starts), cleaner)?;
    if question.sure.is_none() && told.may_be_exhaustive() {
        exhaust(&car, &bounds, &units, &mut found, &mut told, &progress)?;
    }
    let mut drawn = None;
    if let Some(share) = question.sure {
        let cars = Drawn::new(scenario, question, &sums, &car)?;
        let attempt = |plan: &Candidate, like: Option<&Tried>, below: f64| {
            cars.attempt(&car, (plan, like), (below, share), &|| progress.goes_on())
        };
        found = again(&car, &found, &attempt, most, &progress)?;
        if found.is_empty() {
            if progress.stopped() {
                return Err(StudyError::Interrupted);
            }
            return Err(StudyError::Unreachable {
                tried: format!(
                    "in {} % of the draws, up to {} mL at each bleeder, targets are missed in the orders that are best on the vehicle as written",
                    100.0 * share,
                    car.volume_ml(most)
                ),
                misses: Vec::new(),
            });
        }
        told.drawn(share, question.draws, found.len(), cars.spreads);
        drawn = Some(cars);
    } else if !car.has_between() {
        second_pass(&car, &mut found, &mut told, &nominal, most)?;
    }
    let best = found[0].0.clone();
    let curve = curve::curve(&car, &found, &progress)?;
    let met_share = match &drawn {
        Some(d) => Some(d.met(&best, &|| true)? as f64 / question.draws as f64),
        None => None,
    };
    // What was set is written down with the plan, which would be another car's without.
    let text = scenario::set_in_text(text, &scenario.set).ok_or_else(as_scenario::misplaced)?;
    let text = as_scenario::text(&text, scenario, &car, &best, options.supply.as_deref())?;
    let planned = crate::read(&text, &scenario.file).map_err(|_| {
        StudyError::Asked(
            "the plan as written is no scenario: a mistake in this program".to_owned(),
        )
    })?;
    let mut record = job::flush_whole(&planned, &Options { supply: None, ..options.clone() })?;
    record.scenario.set.clone_from(&scenario.set);
    let own = curve::own(scenario, &sums)?;
    Ok(Plan {
        targets: question.targets,
        proof: told.proof(&best, progress.stopped()),
        proved: told.proved(&best, progress.stopped()),
        openings: record.openings.clone(),
        totals: record.totals.clone(),
        left: record.left.clone(),
        curve,
        seed: options.seed,
        met_share,
        partial: progress.stopped(),
        first_to_boil: question.targets.boiling_c.and_then(|_| {
            car.judge
                .first_to_boil(&record.left)
                .map(|p| FirstToBoil { part: p.part.clone(), lowest_boiling_c: p.lowest_boiling_c })
        }),
        syringed: best.syringed,
        own: Point::of(&own),
        own_removed_ml: own.removed_ml,
        own_bay_seconds: own.bay_seconds,
        unreached: car.judge.unreached(&start),
        record,
        text,
    })
}

fn look_over(question: &Question) -> Result<(), StudyError> {
    let wrong = |why: String| Err(StudyError::Asked(why));
    let grids = to_ml(GRID.min)..=to_ml(GRID.max);
    if !grids.contains(&question.grid_ml) {
        let (from, to) = (plain(*grids.start()), plain(*grids.end()));
        return wrong(format!("a grid of {} mL: ask for {from} to {to}", question.grid_ml));
    }
    if let Some(share) = question.sure
        && !(SURE.min..=SURE.max).contains(&share)
    {
        return wrong(format!(
            "a share of {share} of the draws: ask for {} to {}",
            SURE.min, SURE.max
        ));
    }
    if question.sure.is_some() && !(DRAWS.0..=DRAWS.1).contains(&question.draws) {
        return wrong(format!("{} draws: ask for {} to {}", question.draws, DRAWS.0, DRAWS.1));
    }
    Ok(())
}

/// The question with a target.
fn aimed(scenario: &Scenario, question: &Question, sums: &Options) -> Result<Question, JobError> {
    let mut aimed = question.clone();
    if aimed.targets.none() {
        let left = curve::own(scenario, sums)?.left_old_fraction;
        aimed.targets.old_overall = Some(left);
    }
    Ok(aimed)
}

/// Syringed or not, and an order.
type Unit = (bool, Vec<usize>);

fn units(scenario: &Scenario, car: &Car) -> Vec<Unit> {
    let mut far: Vec<usize> = Vec::new();
    for r in ranking::far_first(scenario) {
        if let Some(g) = car.groups.iter().position(|g| g.contains(&r.bleeder))
            && !far.contains(&g)
        {
            far.push(g);
        }
    }
    let orders = orders::sequences(car.groups.len(), &far);
    let syringed: &[bool] = if car.syringe.is_some() { &[false, true] } else { &[false] };
    syringed.iter().flat_map(|s| orders.iter().map(|o| (*s, o.clone()))).collect()
}

/// What the best of all plans with the most at every bleeder misses.
fn unreachable_by(car: &Car, units: &[Unit], most: u32) -> Result<StudyError, JobError> {
    let ends: Result<Vec<_>, JobError> = units
        .par_iter()
        .map(|(syringed, order)| {
            let openings = order.iter().map(|&g| (g, most)).collect();
            let left = car.run(&Candidate { syringed: *syringed, openings })?.left();
            Ok((car.judge.misses(&left), left.old_fraction))
        })
        .collect();
    let best = ends?.into_iter().min_by(|a, b| a.0.len().cmp(&b.0.len()).then(a.1.total_cmp(&b.1)));
    Ok(StudyError::Unreachable {
        tried: format!(
            "even {} mL at every bleeder, in each of {} orders, miss",
            car.volume_ml(most),
            units.len()
        ),
        misses: best.map(|b| b.0).unwrap_or_default(),
    })
}

/// Excludes, or finds, everything on the grid that takes less than the best plan. New fluid only comes in, so on
/// the same vehicle, syringed or not, a plan that drains less takes no more of it: there the least that leaves the
/// system is sought, as far as it could take less than the best plan of all.
fn exhaust(
    car: &Car,
    bounds: &Bounds,
    units: &[Unit],
    found: &mut Vec<(Candidate, f64)>,
    told: &mut proof::Evidence,
    progress: &Progress<'_>,
) -> Result<(), JobError> {
    // The least that leaves the system among the plans found, not syringed and syringed, and what the reservoir gives.
    let mut least_ml = [f64::INFINITY; 2];
    for (plan, _) in found.iter() {
        let least = &mut least_ml[usize::from(plan.syringed)];
        *least = least.min(car.gone_ml(plan));
    }
    let given_ml = [false, true].map(|s| car.saved_by_reservoir_ml(s));
    let [plain, syringed] = given_ml;
    let given_ml = [plain?, syringed?];
    for batch in units.chunks(SIDE_BY_SIDE) {
        let below = found[0].1;
        let searches: Result<Vec<Search<'_>>, JobError> = batch
            .par_iter()
            .map(|(syringed, order)| {
                let s = usize::from(*syringed);
                let below = match car.least {
                    Least::Fluid => least_ml[s].min(below + given_ml[s]),
                    Least::Time => below,
                };
                let search = Search::run((car, bounds), progress, *syringed, order, below)?;
                progress.finished(1);
                Ok(search)
            })
            .collect();
        for search in searches? {
            told.searched(search.openings, search.given_up);
            if let Some((plan, _)) = search.best {
                let least = &mut least_ml[usize::from(plan.syringed)];
                *least = least.min(car.gone_ml(&plan));
                let cost = car.cost(&car.run(&plan)?);
                let place = found.partition_point(|f| f.1 <= cost);
                found.insert(place, (plan, cost));
            }
        }
    }
    Ok(())
}

/// The best plans scaled and gone down from again under another judgement.
fn again(
    car: &Car,
    found: &[(Candidate, f64)],
    attempt: Attempt<'_>,
    most: u32,
    progress: &Progress<'_>,
) -> Result<Vec<(Candidate, f64)>, JobError> {
    let mut plans = Vec::new();
    for (base, _) in found.iter().take(FINALISTS) {
        if !progress.goes_on() {
            break;
        }
        let least: Vec<u32> =
            (0..base.openings.len()).map(|i| u32::from(i < car.groups.len())).collect();
        if let Some(begun) = scaled_up(base, most, attempt)? {
            let gone = descend(begun, &least, attempt)?;
            plans.push((gone.plan, gone.cost));
        }
    }
    plans.sort_by(|a, b| a.1.total_cmp(&b.1));
    Ok(plans)
}

/// Tries to save by opening bleeders twice.
fn second_pass(
    car: &Car,
    found: &mut Vec<(Candidate, f64)>,
    told: &mut proof::Evidence,
    attempt: Attempt<'_>,
    most: u32,
) -> Result<(), JobError> {
    let n = car.groups.len();
    let least: Vec<u32> = (0..2 * n).map(|i| u32::from(i < n)).collect();
    let tried: Result<Vec<(Candidate, f64)>, JobError> = found[..found.len().min(FINALISTS)]
        .par_iter()
        .flat_map(|(plan, _)| {
            // From the plan as it is, and from its volumes drained half in each pass.
            let mut once = plan.clone();
            once.openings.extend(plan.openings.iter().map(|&(g, _)| (g, 0)));
            let mut halves = plan.clone();
            halves.openings.extend(plan.openings.iter().map(|&(g, v)| (g, v / 2)));
            for (first, second) in (0..n).map(|i| (i, n + i)) {
                halves.openings[first].1 -= halves.openings[second].1;
            }
            [(once, true), (halves, false)]
        })
        .map(|(plan, fits)| {
            let begun = match fits {
                true => attempt(&plan, None, f64::INFINITY)?,
                false => scaled_up(&plan, most, attempt)?,
            };
            let gone = begun.map(|b| descend(b, &least, attempt)).transpose()?;
            Ok(gone.map(|g| (g.plan, g.cost)))
        })
        .filter_map(Result::transpose)
        .collect();
    let mut tried = tried?;
    tried.sort_by(|a, b| a.1.total_cmp(&b.1));
    let Some((best, cost)) = tried.first() else { return Ok(()) };
    let pays = *cost < found[0].1;
    told.second_pass(tried.len(), pays && best.second_pass(n));
    if pays {
        found.insert(0, tried.swap_remove(0));
    }
    Ok(())
}
