//! Questions about the order of the bleeders.

use super::words::{list, ml, order, question};
use super::{Answer, Asking, Choice, Known, Question};
use crate::job::flush_whole;
use crate::job::record::Record;
use crate::sorting;
use crate::study::StudyError;
use crate::study::class::{ComparedBy, far_and_near, in_order};
use crate::study::difference::Difference;
use crate::study::order::{Rules, reordered, together};
use rand::RngExt;
use rand_chacha::ChaCha8Rng;
use rayon::prelude::*;

pub(super) const ALL: &[(&str, Asking)] =
    &[("which order", which_order), ("orders apart", orders_apart), ("next wheel", next_wheel)];

/// Far first and near first: their orders, what each comes to, the second less the first.
struct Both {
    by: ComparedBy,
    far: (Vec<String>, Record),
    near: (Vec<String>, Record),
    apart: Difference,
}

fn both(k: &Known<'_>) -> Result<Option<Both>, StudyError> {
    let rules = Rules::of(&k.scenario.procedure);
    let by = ComparedBy::of(rules);
    let mut run = Vec::new();
    for (named, order) in far_and_near(k.scenario)? {
        match k.run(&in_order(k.scenario, &named, &order, rules)?)? {
            Some(record) => run.push((order, record)),
            None => return Ok(None),
        }
    }
    let Ok([far, near]) = <[(Vec<String>, Record); 2]>::try_from(run) else { return Ok(None) };
    let apart = by.difference(&far.1, &near.1);
    Ok(Some(Both { by, far, near, apart }))
}

impl Both {
    fn of(&self, record: &Record) -> f64 {
        self.by.figure(record)
    }

    fn reason(&self) -> String {
        let (far, near) = (ml(self.of(&self.far.1)), ml(self.of(&self.near.1)));
        let does = match self.by {
            ComparedBy::Drained => "drains",
            ComparedBy::OldLeft => "leaves old",
        };
        let apart = match self.apart.told_apart() {
            true => format!("{} apart", ml(self.apart.ml.abs())),
            false => "no further apart than the sums may be off".to_owned(),
        };
        format!(
            "Far first {does} {far}, near first {near}: {apart}; whoever goes first washes out the reservoir."
        )
    }
}

fn which_order(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Result<Option<Question>, StudyError> {
    let Some(b) = both(k)? else { return Ok(None) };
    let far_last = rng.random::<bool>();
    let far = format!("far wheel first: {}", order(&b.far.0));
    let near = format!("near wheel first: {}", order(&b.near.0));
    let right_is_far = b.apart.ml < 0.0;
    let asks = match b.by {
        ComparedBy::Drained => {
            "Every bleeder is closed once it looks clean. Which order drains more fluid?"
        }
        ComparedBy::OldLeft => {
            "The same millilitres are counted out by position. Which order leaves more old fluid?"
        }
    };
    let choice = Choice {
        options: if far_last { vec![near, far] } else { vec![far, near] },
        right: usize::from(right_is_far == far_last),
        too_close: !b.apart.told_apart(),
    };
    Ok(question("which order", asks.to_owned(), Some(Answer::Choice(choice)), b.reason()))
}

fn orders_apart(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Result<Option<Question>, StudyError> {
    let Some(b) = both(k)? else { return Ok(None) };
    let asks = match b.by {
        ComparedBy::Drained => {
            "Far wheel first or near wheel first: by how much does what they drain differ?"
        }
        ComparedBy::OldLeft => {
            "Far wheel first or near wheel first: by how much does the old fluid differ that they leave?"
        }
    };
    Ok(question("orders apart", asks.to_owned(), Some(Answer::apart(b.apart, rng)), b.reason()))
}

fn next_wheel(k: &Known<'_>, rng: &mut ChaCha8Rng) -> Result<Option<Question>, StudyError> {
    let groups = together(&k.scenario.procedure);
    // Asked where at least two are left, but not more than four.
    let last = groups.len().saturating_sub(1);
    let first = groups.len().saturating_sub(4);
    if first >= last {
        return Ok(None);
    }
    let place = rng.random_range(first..last);
    let rules = Rules::of(&k.scenario.procedure);
    let by = ComparedBy::of(rules);
    // Each that is left comes next, the others follow in their order: what the job comes to, beside the own one.
    let comes_to = (place..groups.len())
        .into_par_iter()
        .map(|next| {
            if next == place {
                return Ok((by.figure(&k.own), None));
            }
            let mut turns = groups.clone();
            let pulled = turns.remove(next);
            turns.insert(place, pulled);
            let job = reordered(k.scenario, &turns.concat(), rules)?;
            let record = flush_whole(&job, k.options)?;
            Ok((by.figure(&record), Some(by.difference(&k.own, &record))))
        })
        .collect::<Result<Vec<(f64, Option<Difference>)>, StudyError>>()?;
    let left = &groups[place..];
    let of = |i: &usize| comes_to[*i].0;
    let mut sorted: Vec<usize> = (0..left.len()).collect();
    sorting::by(&mut sorted, |a, b| of(a).total_cmp(&of(b)));
    let (Some(best), Some(second), Some(worst)) = (sorted.first(), sorted.get(1), sorted.last())
    else {
        return Ok(None);
    };
    // Errors are known beside the own choice.
    let unsure = comes_to.iter().filter_map(|(_, against)| Some((*against)?.unsure_ml));
    let apart = Difference { ml: of(second) - of(best), unsure_ml: unsure.fold(0.0, f64::max) };
    let done = match &groups[..place] {
        [] => "Nothing has been opened yet.".to_owned(),
        done => match done.concat().as_slice() {
            [one] => format!("{} is done.", list(std::slice::from_ref(one))),
            several => format!("{} are done.", list(several)),
        },
    };
    let (asks, does) = match by {
        ComparedBy::Drained => ("the whole job drains least", "drains"),
        ComparedBy::OldLeft => ("the whole job leaves least old fluid", "leaves old"),
    };
    let choice = Choice {
        options: left.iter().map(|bleeders| list(bleeders)).collect(),
        right: *best,
        too_close: !apart.told_apart(),
    };
    Ok(question(
        "next wheel",
        format!("{done} Which comes next so that {asks}, the others following in their order?"),
        Some(Answer::Choice(choice)),
        format!(
            "With {} next the job {does} {}, with {} next {}.",
            list(&left[*best]),
            ml(of(best)),
            list(&left[*worst]),
            ml(of(worst)),
        ),
    ))
}
