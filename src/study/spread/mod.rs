//! Random draws over what nobody knows exactly: ranges of the answer, and which unknown matters most.

mod influence;
mod ranges;

use self::influence::Answer;
use self::ranges::Ranges;
use super::chance::sensitivity::Indices;
use super::chance::summary::quantile;
use super::chance::unknowns::{Spreads, Uncertain, Whose};
use super::in_order::in_order;
use super::progress::{Onlooker, Progress};
use super::{StudyError, for_sums};
use crate::circuit::Scenario;
use crate::job::error::JobError;
use crate::job::flush;
use crate::job::options::Options;
use crate::job::record::Record;
use serde::Serialize;

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Number of draws, at least [`LEAST_DRAWS`].
    pub draws: usize,
    /// What a bottle of new fluid holds, mL, above 0.
    pub bottle_ml: f64,
    /// Whether to find the shares of variance too, which takes many times as many jobs.
    pub sensitivities: bool,
}

impl Default for Question {
    fn default() -> Self {
        Self { draws: 200, bottle_ml: USUAL_BOTTLE_ML, sensitivities: true }
    }
}

impl Question {
    /// Whether the bottle holds anything.
    pub(super) fn can_bottle(&self) -> Result<(), StudyError> {
        let ml = self.bottle_ml;
        if ml > 0.0 && ml.is_finite() {
            return Ok(());
        }
        Err(StudyError::Asked(format!("a bottle of {ml} mL: give what it holds, above 0 mL")))
    }
}

/// What a bottle of brake fluid usually holds, mL (common practice, no source).
pub const USUAL_BOTTLE_ML: f64 = 500.0;

/// Fewer draws give no 10 % and 90 % worth the name.
pub const LEAST_DRAWS: usize = 20;
/// More draws than this tell nothing new and fill the memory.
pub const MOST_DRAWS: usize = 100_000;
/// Draws times unknowns that are kept in memory, some 100 bytes each.
pub const MOST_DRAWN: usize = 5_000_000;

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Spread {
    /// Number of draws that the ranges rest on.
    pub draws: usize,
    /// Seed.
    pub seed: u64,
    /// Whether the study was ended early. It then rests on the first draws of those asked for (still a random
    /// sample: a hypercube's draws stand in random order), says no range of fewer than [`LEAST_DRAWS`], and
    /// gives only those indices of which every draw was finished.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub partial: bool,
    /// Draws asked for, if they were not all finished.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub draws_wanted: Option<usize>,
    /// One entry a bleeder, in the order in which they are first opened; none of too few draws.
    pub bleeders: Vec<BleederSpread>,
    /// The whole job; `None` of too few draws.
    pub in_all: Option<WholeSpread>,
    /// What must be loaded to have enough in 95 % of the draws, what the dip tube cannot reach included, mL; of
    /// a supply topped up by hand, what is poured. `None` if it cannot be said.
    pub load_ml_p95: Option<f64>,
    /// What a bottle holds, mL.
    pub bottle_ml: f64,
    /// New fluid to have in all for enough in 95 % of the draws, mL: what must be loaded, and what the procedure
    /// pours in by hand besides.
    pub have_ml_p95: Option<f64>,
    /// Bottles that hold `have_ml_p95`.
    pub bottles_p95: Option<u64>,
    /// Share of the draws in which what the scenario loads is not enough; `None` for a supply that is not
    /// loaded.
    pub runs_dry_share: Option<f64>,
    /// Every unknown, that which matters most first (by total index); those without indices
    /// come last, by their rank correlation.
    pub matters: Vec<Matter>,
    /// What the sensitivities are of.
    pub matters_for: &'static str,
    /// Whether any spread is the program's own, since the scenario states none of that quantity.
    pub default_spreads: bool,
    /// What the scenario declares exact, so that it was taken as known.
    pub taken_as_known: Vec<String>,
    /// Whose the spreads are.
    pub spreads: Spreads,
    /// What the scenario loads, mL; `None` for a supply that is not loaded.
    pub loaded_ml: Option<f64>,
    /// Title as written.
    pub title: String,
    /// What was set over the values of the file, as given.
    // Not in the JSON: the program tells it at the end, with what else the answer comes of.
    #[serde(skip)]
    pub set: Vec<String>,
    /// Share of the draws that need more than `bottles_p95` hold.
    pub bottles_short_share: Option<f64>,
    /// Share of the draws in which the supply must be pumped up again once fluid flows; `None` for one that is not
    /// pumped up.
    pub pumped_up_again_share: Option<f64>,
}

/// The whole job over all draws.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WholeSpread {
    /// Drained at all bleeders, mL: one draw in ten takes no more.
    pub drained_ml_p10: Option<f64>,
    /// Every second draw takes no more.
    pub drained_ml_p50: Option<f64>,
    /// Nine draws in ten take no more.
    pub drained_ml_p90: Option<f64>,
    /// Time in the bay, s.
    pub bay_seconds_p10: Option<f64>,
    /// As above.
    pub bay_seconds_p50: Option<f64>,
    /// As above.
    pub bay_seconds_p90: Option<f64>,
    /// Old fluid left in the whole system, mL.
    pub left_old_ml_p10: Option<f64>,
    /// As above.
    pub left_old_ml_p50: Option<f64>,
    /// As above.
    pub left_old_ml_p90: Option<f64>,
}

/// One bleeder over all draws. A draw in which it never ran clean counts as +∞, so that an upper quantile
/// may be `None`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BleederSpread {
    /// Name of the bleeder.
    pub bleeder: String,
    /// Share of the draws in which it ran clean.
    pub clean_share: f64,
    /// Millilitres drained there, all its openings together, until it ran clean: one draw in ten needs no more.
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
    /// First-order and total index, with their intervals; missing where the study ended before.
    #[serde(flatten)]
    pub indices: Option<Indices>,
    /// Whose its spread is.
    pub spread: Whose,
    /// What the answer does as the unknown rises.
    pub direction: Direction,
}

impl Matter {
    /// Its name as people say it.
    pub fn called(&self) -> &str {
        match self.quantity.as_str() {
            "threshold of clear hose" => "what your eye accepts",
            name => name,
        }
    }
}

/// What the answer does as an unknown rises.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Direction {
    /// It rises too.
    Rises,
    /// It falls.
    Falls,
    /// The draws do not tell.
    Untold,
}

impl Direction {
    /// Read from a rank correlation over `n` draws: told where chance alone would give one as far from 0
    /// less than once in twenty, |ρ| √(n − 1) > 1.96 (the usual normal approximation for n above 20 or so; any
    /// text on rank tests, from memory).
    fn of(rank_correlation: f64, n: usize) -> Self {
        let told = rank_correlation.abs() * (n as f64 - 1.0).max(0.0).sqrt() > 1.96;
        match (told, rank_correlation > 0.0) {
            (true, true) => Self::Rises,
            (true, false) => Self::Falls,
            (false, _) => Self::Untold,
        }
    }
}

/// What one draw comes to, as far as the indices need it.
#[derive(Debug, Clone)]
struct Outcome {
    drained_ml: f64,
    left_old_ml: f64,
    /// The rest, of set a only.
    ranges: Option<Box<Ranges>>,
}

/// Draws over every quantity that is uncertain about the scenario ([`Uncertain::new`]).
///
/// Every unknown has its own evenly spread draws, keyed by its name. Jobs are run with a
/// supply that never runs dry, so that no answer is cut off. For the indices each unknown is drawn
/// anew while all others stay as they were: with n draws and d unknowns that makes n (d + 2) jobs.
///
/// First come the n draws of set a, which give the ranges and the rank correlations; then those of set b; then
/// the unknowns' own, that with the strongest rank correlation first. Ended early, the answer rests on
/// the beginning that is done and is marked `partial`.
///
/// # Errors
/// [`StudyError`].
pub fn study(
    scenario: &Scenario,
    question: &Question,
    options: &Options,
    onlooker: &dyn Onlooker,
) -> Result<Spread, StudyError> {
    let n = question.draws;
    if !(LEAST_DRAWS..=MOST_DRAWS).contains(&n) {
        return Err(StudyError::Asked(format!("{n} draws: ask for {LEAST_DRAWS} to {MOST_DRAWS}")));
    }
    question.can_bottle()?;
    let uncertain = Uncertain::new(scenario, options.supply.as_deref());
    let unknowns = &uncertain.unknowns;
    if unknowns.is_empty() {
        return Err(StudyError::NothingUncertain);
    }
    if n * (unknowns.len() + 1) > MOST_DRAWN {
        return Err(StudyError::TooMuch(format!(
            "{} quantities are uncertain: ask for at most {} draws, or leave out spreads that matter little",
            unknowns.len(),
            MOST_DRAWN / (unknowns.len() + 1)
        )));
    }
    let options = for_sums(options);
    let first = flush(scenario, &options)?;
    let mut names: Vec<String> = Vec::new();
    for o in &first.openings {
        if !names.contains(&o.bleeder) {
            names.push(o.bleeder.clone());
        }
    }
    let set = |which: &str| uncertain.columns(which, options.seed, n);
    let (a, b) = (set("one"), set("other"));
    // The i-th draw of set a, with the unknowns that `anew` says taken from set b.
    let draw = |i: usize, anew: &dyn Fn(usize) -> bool| {
        uncertain.draw(|k| if anew(k) { b[k][i] } else { a[k][i] })
    };

    let further = if question.sensitivities { n * (unknowns.len() + 1) } else { 0 };
    let progress = Progress::new(onlooker, (n + further) as u64);
    let first_set = in_order(n, &progress, |i| {
        let drawn = draw(i, &|_| false)?;
        let record = flush(&drawn, &options)?;
        let ranges = Ranges::of(&record, &names, &drawn);
        Ok::<_, JobError>(outcome(&record, Some(Box::new(ranges))))
    })?;
    let mut answer = Answer::new(unknowns, &a, &first_set);
    let order = answer.strongest_first();
    let more = in_order(further, &progress, |job| {
        // Set b as a whole, then one unknown after another.
        let drawn = match job / n {
            0 => draw(job % n, &|_| true)?,
            block => draw(job % n, &|k| k == order[block - 1])?,
        };
        let record = flush(&drawn, &options)?;
        Ok::<_, JobError>(outcome(&record, None))
    })?;
    answer.add_indices(&order, &more, n, options.seed);

    let loaded_ml = first.totals.fluid.map(|f| f.loaded_ml);
    let done: Vec<&Ranges> = first_set.iter().filter_map(|o| o.ranges.as_deref()).collect();
    let enough = done.len() >= LEAST_DRAWS;
    let p95 = |of: fn(&Ranges) -> f64| {
        let all: Vec<f64> = done.iter().map(|r| of(r)).collect();
        if enough { quantile(&all, 0.95) } else { None }
    };
    let share = |of: &dyn Fn(&Ranges) -> bool| {
        let those = done.iter().filter(|r| of(r)).count();
        those as f64 / done.len() as f64
    };
    let have_ml_p95 = p95(|r| r.need_ml + r.by_hand_ml);
    let bottles_p95 = have_ml_p95.map(|ml| bottles(ml, question.bottle_ml));
    Ok(Spread {
        draws: done.len(),
        seed: options.seed,
        // Stopped when all was done is not stopped.
        partial: done.len() < n || more.len() < further,
        draws_wanted: (done.len() < n).then_some(n),
        bleeders: if enough { ranges::bleeders(&names, &done) } else { Vec::new() },
        in_all: enough.then(|| ranges::in_all(&done)),
        load_ml_p95: p95(|r| r.need_ml),
        have_ml_p95,
        bottle_ml: question.bottle_ml,
        bottles_p95,
        runs_dry_share: (loaded_ml.filter(|_| enough))
            .map(|_| share(&|r| r.loaded_ml.is_some_and(|loaded| r.need_ml > loaded))),
        bottles_short_share: bottles_p95
            .map(|n| share(&|r| r.need_ml + r.by_hand_ml > n as f64 * question.bottle_ml)),
        pumped_up_again_share: (loaded_ml.filter(|_| enough))
            .map(|_| share(&|r| r.pumped_up_again)),
        matters_for: answer.of.word(),
        matters: answer.matters(enough),
        default_spreads: uncertain.spreads() != Spreads::Stated,
        spreads: uncertain.spreads(),
        taken_as_known: uncertain.known,
        loaded_ml,
        title: scenario.title.clone(),
        set: scenario.set.clone(),
    })
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a float saturates; none is negative
pub(super) fn bottles(ml: f64, bottle_ml: f64) -> u64 {
    (ml / bottle_ml).ceil() as u64
}

fn outcome(record: &Record, ranges: Option<Box<Ranges>>) -> Outcome {
    Outcome { drained_ml: record.totals.drained_ml, left_old_ml: record.left.old_ml, ranges }
}
