//! Random draws over what nobody knows exactly: ranges of the answer, and which unknown matters most.

use super::chance::defaults::with_default_spreads;
use super::chance::draws::column;
use super::chance::sensitivity::{Indices, indices, rank_correlation};
use super::chance::summary::{quantile, share_that_came};
use super::chance::unknowns::{Unknown, unknowns};
use crate::job::error::JobError;
use crate::job::flush;
use crate::job::options::Options;
use crate::job::record::Record;
use crate::scenario::model::Scenario;
use rayon::prelude::*;
use serde::Serialize;
use std::fmt;

/// What is asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wishes {
    /// Number of draws, at least [`LEAST_DRAWS`].
    pub draws: usize,
    /// Seed: the same one gives the same answer on any number of threads.
    pub seed: u64,
    /// Supply to push with; `None` takes the one that the procedure names.
    pub supply: Option<String>,
}

/// Fewer draws give no 10 % and 90 % worth the name.
pub const LEAST_DRAWS: usize = 20;
/// More draws than this tell nothing new and fill the memory.
pub const MOST_DRAWS: usize = 100_000;

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Spread {
    /// Number of draws.
    pub draws: usize,
    /// Seed.
    pub seed: u64,
    /// One entry a bleeder, in the order in which they are first opened.
    pub bleeders: Vec<BleederSpread>,
    /// What must be loaded to have enough in 95 % of the draws, what the dip tube cannot reach included, mL; of
    /// a supply topped up by hand, what is poured. `None` if it cannot be said.
    pub load_ml_p95: Option<f64>,
    /// Share of the draws in which what the scenario loads is not enough; `None` for a supply that is not
    /// loaded.
    pub runs_dry_share: Option<f64>,
    /// Every unknown, that which matters most first (by total index).
    pub matters: Vec<Matter>,
    /// What the sensitivities are of.
    pub matters_for: &'static str,
    /// Whether the spreads are the program's own, since the scenario states none.
    pub default_spreads: bool,
    /// What the scenario loads, mL; `None` for a supply that is not loaded.
    #[serde(skip)]
    pub loaded_ml: Option<f64>,
    /// Title as written.
    #[serde(skip)]
    pub title: String,
}

/// One bleeder over all draws. A draw in which it never ran clean counts as +∞, so that an upper quantile
/// may be `None`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BleederSpread {
    /// Name of the bleeder.
    pub bleeder: String,
    /// Share of the draws in which it ran clean.
    pub clean_share: f64,
    /// Millilitres to clean in its first opening: one draw in ten needs no more.
    pub clean_at_ml_p10: Option<f64>,
    /// Every second draw needs no more.
    pub clean_at_ml_p50: Option<f64>,
    /// Nine draws in ten need no more.
    pub clean_at_ml_p90: Option<f64>,
    /// Time in which fluid flowed there, all its openings together, s.
    pub seconds_p10: Option<f64>,
    /// As above.
    pub seconds_p50: Option<f64>,
    /// As above.
    pub seconds_p90: Option<f64>,
}

/// What one unknown does.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Matter {
    /// Its name.
    pub quantity: String,
    /// Spearman's rank correlation with the answer.
    pub rank_correlation: f64,
    /// First-order and total index, with their intervals.
    #[serde(flatten)]
    pub indices: Indices,
}

/// A study that cannot be made.
#[derive(Debug, Clone, PartialEq)]
pub enum SpreadError {
    /// Too few or too many draws.
    Draws(usize),
    /// Nothing is uncertain.
    NothingUncertain,
    /// A draw cannot be run.
    Job(JobError),
}

impl fmt::Display for SpreadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Draws(n) => {
                write!(f, "{n} draws: ask for {LEAST_DRAWS} to {MOST_DRAWS}")
            }
            Self::NothingUncertain => {
                f.write_str("nothing in the scenario can be uncertain: give a quantity a spread, as in \"5 m ± 5 %\"")
            }
            Self::Job(why) => why.fmt(f),
        }
    }
}

impl std::error::Error for SpreadError {}

/// What one draw comes to.
#[derive(Debug, Clone)]
struct Outcome {
    clean_at_ml: Vec<f64>,
    seconds: Vec<f64>,
    need_ml: f64,
    /// `None` for a supply that is not loaded.
    loaded_ml: Option<f64>,
    drained_ml: f64,
    left_old_ml: f64,
}

/// Draws over every quantity of the scenario that carries a spread; if none does, over those that the
/// program gives a spread of its own ([`with_default_spreads`]).
///
/// Every quantity has its own evenly spread draws ([`column()`]), keyed by its name. Jobs are run with a
/// supply that never runs dry, so that no answer is cut off. For the indices each unknown is drawn
/// anew while all others stay as they were: with n draws and d unknowns that makes n (d + 2) jobs.
///
/// # Errors
/// [`SpreadError`].
pub fn study(scenario: &Scenario, wishes: &Wishes) -> Result<Spread, SpreadError> {
    if !(LEAST_DRAWS..=MOST_DRAWS).contains(&wishes.draws) {
        return Err(SpreadError::Draws(wishes.draws));
    }
    let named = scenario.procedure.section.text("supply").map(str::to_owned);
    let supply = wishes.supply.clone().or(named);
    let (scenario, default_spreads) = with_default_spreads(scenario, supply.as_deref());
    let unknowns = unknowns(&scenario, supply.as_deref());
    if unknowns.is_empty() {
        return Err(SpreadError::NothingUncertain);
    }
    let options = Options {
        supply: wishes.supply.clone(),
        origins: false,
        estimate_error: false,
        endless: true,
        seed: wishes.seed,
        ..Options::default()
    };
    let first = flush(&scenario, &options).map_err(SpreadError::Job)?;
    let mut names: Vec<String> = Vec::new();
    for o in &first.openings {
        if !names.contains(&o.bleeder) {
            names.push(o.bleeder.clone());
        }
    }
    let set = |which: &str| -> Vec<Vec<f64>> {
        let key = |u: &Unknown| format!("{which} {}", u.name);
        unknowns.iter().map(|u| column(wishes.seed, &key(u), wishes.draws)).collect()
    };
    let (a, b) = (set("one"), set("other"));
    // Set a, set b, then a with one unknown after another taken from b.
    let run = |job: usize| -> Result<Outcome, JobError> {
        let (block, draw) = (job / wishes.draws, job % wishes.draws);
        let mut drawn = scenario.clone();
        for (k, unknown) in unknowns.iter().enumerate() {
            let from = if block == 1 || block == k + 2 { &b } else { &a };
            unknown.set(&mut drawn, unknown.value_at(from[k][draw]));
        }
        Ok(outcome(&flush(&drawn, &options)?, &names))
    };
    let jobs = wishes.draws * (unknowns.len() + 2);
    let outcomes: Result<Vec<Outcome>, JobError> = (0..jobs).into_par_iter().map(run).collect();
    let outcomes = outcomes.map_err(SpreadError::Job)?;
    let blocks: Vec<&[Outcome]> = outcomes.chunks(wishes.draws).collect();
    let loaded_ml = first.totals.fluid.map(|f| f.loaded_ml);
    let needs: Vec<f64> = blocks[0].iter().map(|o| o.need_ml).collect();
    let (matters_for, matters) = matters(&unknowns, &a, &blocks, wishes.seed);
    Ok(Spread {
        draws: wishes.draws,
        seed: wishes.seed,
        bleeders: bleeders(&names, blocks[0]),
        load_ml_p95: quantile(&needs, 0.95),
        runs_dry_share: loaded_ml.map(|_| {
            let dry = blocks[0].iter().filter(|o| o.loaded_ml.is_some_and(|l| o.need_ml > l));
            dry.count() as f64 / wishes.draws as f64
        }),
        matters,
        matters_for,
        default_spreads,
        loaded_ml,
        title: scenario.title.clone(),
    })
}

fn outcome(record: &Record, names: &[String]) -> Outcome {
    let of = |name: &String| {
        let openings = record.openings.iter().filter(|o| o.bleeder == *name);
        openings.collect::<Vec<_>>()
    };
    Outcome {
        clean_at_ml: names
            .iter()
            .map(|n| of(n).first().and_then(|o| o.clean_at_ml).unwrap_or(f64::INFINITY))
            .collect(),
        seconds: names.iter().map(|n| of(n).iter().map(|o| o.flow_seconds).sum()).collect(),
        need_ml: record
            .totals
            .fluid
            .map_or(Some(record.totals.new_fluid_ml), |f| f.least_load_ml)
            .unwrap_or(f64::INFINITY),
        loaded_ml: record.totals.fluid.map(|f| f.loaded_ml),
        drained_ml: record.totals.drained_ml,
        left_old_ml: record.left.old_ml,
    }
}

fn bleeders(names: &[String], outcomes: &[Outcome]) -> Vec<BleederSpread> {
    let entry = |(i, name): (usize, &String)| {
        let clean: Vec<f64> = outcomes.iter().map(|o| o.clean_at_ml[i]).collect();
        let seconds: Vec<f64> = outcomes.iter().map(|o| o.seconds[i]).collect();
        BleederSpread {
            bleeder: name.clone(),
            clean_share: share_that_came(&clean),
            clean_at_ml_p10: quantile(&clean, 0.1),
            clean_at_ml_p50: quantile(&clean, 0.5),
            clean_at_ml_p90: quantile(&clean, 0.9),
            seconds_p10: quantile(&seconds, 0.1),
            seconds_p50: quantile(&seconds, 0.5),
            seconds_p90: quantile(&seconds, 0.9),
        }
    };
    names.iter().enumerate().map(entry).collect()
}

/// Sensitivities of what is drained, or of the old fluid left where counted millilitres leave nothing to
/// vary in that.
fn matters(
    unknowns: &[Unknown],
    a: &[Vec<f64>],
    blocks: &[&[Outcome]],
    seed: u64,
) -> (&'static str, Vec<Matter>) {
    let varies = |of: fn(&Outcome) -> f64| {
        let first = of(&blocks[0][0]);
        blocks[0].iter().any(|o| (of(o) - first).abs() > 1e-6)
    };
    let (name, of): (&'static str, fn(&Outcome) -> f64) = if varies(|o| o.drained_ml) {
        ("drained_ml", |o| o.drained_ml)
    } else {
        ("left_old_ml", |o| o.left_old_ml)
    };
    let values = |block: usize| -> Vec<f64> { blocks[block].iter().map(of).collect() };
    let (fa, fb) = (values(0), values(1));
    let mut matters: Vec<Matter> = unknowns
        .iter()
        .enumerate()
        .map(|(k, u)| Matter {
            quantity: u.name.clone(),
            rank_correlation: rank_correlation(&a[k], &fa),
            indices: indices(&fa, &fb, &values(k + 2), seed, &u.name),
        })
        .collect();
    matters.sort_by(|x, y| y.indices.total.value.total_cmp(&x.indices.total.value));
    (name, matters)
}
