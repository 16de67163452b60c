//! When does the order matter? The smallest change of a car or a habit, each by itself, that makes the orders differ by more
//! than the margin, or by less where they do as it is.

mod habits;

use super::decides::dials::{Dial, dials};
use super::order::together;
use super::progress::{Onlooker, Progress};
use super::tried_orders::tried_or_every;
use super::{StudyError, decides, for_draws, for_sums, orders};
use crate::circuit::Scenario;
use crate::job::options::Options;
use habits::habits;
use rayon::prelude::*;
use serde::Serialize;

/// Of so many bleeders every order is tried; of more, some.
pub const MOST_GROUPS: usize = 4;
/// Parts of the usual range at which each thing is tried, either way.
const PARTS: usize = 8;
/// Halvings between the last part that leaves it and the first that turns it: to a hundredth of the range.
const HALVINGS: usize = 4;

/// The answer for one car.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Flips {
    /// Name of its file as given.
    pub file: String,
    /// Title as written.
    pub title: String,
    /// Share of the fluid by which best and worst order must differ, at equal old fluid left, to matter.
    pub margin: f64,
    /// How they differ as it is.
    pub own: Worth,
    /// Whether that is more than the margin.
    pub matters: bool,
    /// Orders compared.
    pub orders: usize,
    /// Whether these are all.
    pub every_order: bool,
    /// What was changed, each by itself, the smallest change that turns it first, then what turns nothing.
    pub flips: Vec<Flip>,
}

/// By how much the worst order takes more than the best, as much old fluid left.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Worth {
    /// Millilitres.
    pub ml: f64,
    /// Share of what the own order takes.
    pub share: f64,
}

/// One thing that was changed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Flip {
    /// What was changed.
    pub what: &'static str,
    /// How it is on this car.
    pub from: String,
    /// What was done instead; `None` of what can be set anywhere.
    pub instead: Option<String>,
    /// Where it turns whether the order matters; `None` if it never does.
    pub at: Option<String>,
    /// How far that is from where it is, as a share of the usual range, 1 for what is done or not done; `None` as above.
    pub share_of_range: Option<f64>,
    /// What the order is worth there; where it never turns, the farthest toward the margin that was met.
    pub worth: Worth,
}

/// A change to be tried.
struct Change {
    share: f64,
    at: String,
    scenario: Scenario,
    supply: Option<String>,
}

/// Looks for the smallest change that turns it. Vehicles are as coarse as in draws: a difference of orders needs no more.
///
/// # Errors
/// [`StudyError`]; [`StudyError::Interrupted`] if it was ended early.
pub fn study(
    scenario: &Scenario,
    margin: f64,
    options: &Options,
    onlooker: &dyn Onlooker,
) -> Result<Flips, StudyError> {
    let options = for_draws(options);
    let own = worth(scenario, &options)?;
    let search = Search { options: &options, margin, own };
    let dials = dials(scenario, &options);
    let habits = habits(scenario, &options)?;
    let progress = Progress::new(onlooker, (dials.len() + habits.len()) as u64);
    let dialled: Result<Vec<Option<Flip>>, StudyError> = dials
        .par_iter()
        .map(|d| {
            let flip = progress.goes_on().then(|| search.dial(d)).transpose();
            progress.finished(1);
            flip
        })
        .collect();
    let done: Result<Vec<Option<Flip>>, StudyError> = habits
        .par_iter()
        .map(|(what, from, change)| {
            let flip = progress.goes_on().then(|| search.habit(what, from, change)).transpose();
            progress.finished(1);
            flip
        })
        .collect();
    let mut flips: Vec<Flip> = dialled?.into_iter().chain(done?).flatten().collect();
    if progress.stopped() {
        return Err(StudyError::Interrupted);
    }
    let far = |f: &Flip| f.share_of_range.unwrap_or(f64::INFINITY);
    let toward = |f: &Flip| if search.matters() { f.worth.share } else { -f.worth.share };
    flips.sort_by(|a, b| far(a).total_cmp(&far(b)).then(toward(a).total_cmp(&toward(b))));
    Ok(Flips {
        file: scenario.file.clone(),
        title: scenario.title.clone(),
        margin,
        own,
        matters: search.matters(),
        orders: tried_or_every(scenario, MOST_GROUPS).len(),
        every_order: together(&scenario.procedure).len() <= MOST_GROUPS,
        flips,
    })
}

/// What the order is worth on a car.
///
/// # Errors
/// [`StudyError`].
pub fn worth(scenario: &Scenario, options: &Options) -> Result<Worth, StudyError> {
    let orders = tried_or_every(scenario, MOST_GROUPS);
    let saves: Vec<f64> =
        orders::savings_ml(scenario, &orders, options)?.into_iter().flatten().collect();
    let (low, high) = saves.iter().fold((0.0_f64, 0.0_f64), |(l, h), x| (l.min(*x), h.max(*x)));
    let taken = decides::run(scenario, &for_sums(options))?.new_fluid_ml;
    let ml = high - low;
    Ok(Worth { ml, share: if taken > 0.0 { ml / taken } else { 0.0 } })
}

struct Search<'a> {
    options: &'a Options,
    margin: f64,
    own: Worth,
}

impl Search<'_> {
    fn matters(&self) -> bool {
        self.own.share > self.margin
    }

    fn turned(&self, worth: &Worth) -> bool {
        (worth.share > self.margin) != self.matters()
    }

    fn worth(&self, change: &Change) -> Result<Worth, StudyError> {
        let supply = change.supply.clone().or_else(|| self.options.supply.clone());
        worth(&change.scenario, &Options { supply, ..self.options.clone() })
    }

    /// The nearest setting of a dial, in either direction, that turns it.
    fn dial(&self, dial: &Dial) -> Result<Flip, StudyError> {
        let (low, high) = dial.ends;
        let range = high - low;
        let change = |share: f64| -> Option<Change> {
            let x = dial.own + share * range;
            let scenario = (dial.set)(x)?;
            Some(Change { share: share.abs(), at: (dial.say)(x), scenario, supply: None })
        };
        let mut shares = Vec::new();
        for (end, sign) in [(low, -1.0), (high, 1.0)] {
            let most = sign * (end - dial.own) / range;
            let steps = (1..=PARTS).map(|k| k as f64 / PARTS as f64).filter(|s| *s < most);
            shares.extend(steps.chain((most > 0.0).then_some(most)).map(|s| sign * s));
        }
        let all: Result<Vec<(f64, Option<Worth>)>, StudyError> = shares
            .par_iter()
            .map(|&s| Ok((s, change(s).map(|c| self.worth(&c)).transpose()?)))
            .collect();
        let all: Vec<(f64, Worth)> =
            all?.into_iter().filter_map(|(s, worth)| Some((s, worth?))).collect();
        let turning = all.iter().filter(|(_, w)| self.turned(w));
        let Some(&(found, mut met)) = turning.min_by(|a, b| a.0.abs().total_cmp(&b.0.abs())) else {
            return Ok(self.none(dial.what, (dial.say)(dial.own), all.into_iter().map(|a| a.1)));
        };
        let before = all.iter().map(|a| a.0).filter(|s| s * found > 0.0 && s.abs() < found.abs());
        let mut stays = before.fold(0.0_f64, |a, b| if b.abs() > a.abs() { b } else { a });
        let mut turns = found;
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(stays, turns);
            match change(middle).map(|c| self.worth(&c)).transpose()? {
                Some(w) if self.turned(&w) => (turns, met) = (middle, w),
                _ => stays = middle,
            }
        }
        Ok(Flip {
            what: dial.what,
            from: (dial.say)(dial.own),
            instead: None,
            at: change(turns).map(|c| c.at),
            share_of_range: Some(turns.abs()),
            worth: met,
        })
    }

    /// Something that is done or not done.
    fn habit(&self, what: &'static str, from: &str, change: &Change) -> Result<Flip, StudyError> {
        let worth = self.worth(change)?;
        let turned = self.turned(&worth);
        Ok(Flip {
            what,
            from: from.to_owned(),
            instead: Some(change.at.clone()),
            at: turned.then(|| change.at.clone()),
            share_of_range: turned.then_some(change.share),
            worth,
        })
    }

    /// What never turns it, with the farthest toward it.
    fn none(&self, what: &'static str, from: String, met: impl Iterator<Item = Worth>) -> Flip {
        let toward = |w: &Worth| if self.matters() { -w.share } else { w.share };
        let worth = met.fold(self.own, |a, b| if toward(&b) > toward(&a) { b } else { a });
        Flip { what, from, instead: None, at: None, share_of_range: None, worth }
    }
}
