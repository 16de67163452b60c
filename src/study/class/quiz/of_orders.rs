//! Questions about the order of the bleeders.

use super::words::{list, ml, order, question};
use super::{Answer, Asking, Choice, Known, Question};
use crate::job::record::Record;
use crate::sorting;
use crate::study::StudyError;
use crate::study::class::{ComparedBy, far_and_near, in_order};
use crate::study::difference::Difference;
use crate::study::lesson::next::at_place;
use crate::study::order::{Rules, together};
use crate::study::ranking::far_first;
use rand::RngExt;
use rand_chacha::ChaCha8Rng;

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
        match self.by {
            ComparedBy::Drained => record.totals.drained_ml,
            ComparedBy::OldLeft => record.left.old_ml,
        }
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
    let ranked = far_first(k.scenario);
    let Some(next) = at_place(k.scenario, &ranked, k.options, &k.own, place)? else {
        return Ok(None);
    };
    let by = ComparedBy::of(Rules::of(&k.scenario.procedure));
    let of = |c: &crate::study::lesson::Candidate| match by {
        ComparedBy::Drained => c.total_ml,
        ComparedBy::OldLeft => c.old_left_ml,
    };
    let mut sorted: Vec<_> = next.candidates.iter().collect();
    sorting::by(&mut sorted, |a, b| of(a).total_cmp(&of(b)));
    let (Some(best), Some(second), Some(worst)) = (sorted.first(), sorted.get(1), sorted.last())
    else {
        return Ok(None);
    };
    // The candidates' errors are known beside the own choice.
    let unsure = next.candidates.iter().filter_map(|c| {
        let against = c.against_own?;
        Some(match by {
            ComparedBy::Drained => against.drained.unsure_ml,
            ComparedBy::OldLeft => against.old_left.unsure_ml,
        })
    });
    let apart = Difference { ml: of(second) - of(best), unsure_ml: unsure.fold(0.0, f64::max) };
    let done = match next.done.as_slice() {
        [] => "Nothing has been opened yet.".to_owned(),
        [one] => format!("{} is done.", list(std::slice::from_ref(one))),
        done => format!("{} are done.", list(done)),
    };
    let (asks, does) = match by {
        ComparedBy::Drained => ("the whole job drains least", "drains"),
        ComparedBy::OldLeft => ("the whole job leaves least old fluid", "leaves old"),
    };
    let right = next.candidates.iter().position(|c| c.bleeders == best.bleeders).unwrap_or(0);
    let choice = Choice {
        options: next.candidates.iter().map(|c| list(&c.bleeders)).collect(),
        right,
        too_close: !apart.told_apart(),
    };
    Ok(question(
        "next wheel",
        format!("{done} Which comes next so that {asks}, the others following in their order?"),
        Some(Answer::Choice(choice)),
        format!(
            "With {} next the job {does} {}, with {} next {}.",
            list(&best.bleeders),
            ml(of(best)),
            list(&worst.bleeders),
            ml(of(worst)),
        ),
    ))
}
