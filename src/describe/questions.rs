//! The questions, in the order of what they are worth: those asked of everybody first, each worth millilitres, then
//! those for who wants to say more.

use super::given::Answers;
use super::question::Question;
use super::{of_closer, of_job, of_vehicle};

/// Every question.
pub fn questions() -> impl Iterator<Item = &'static Question> {
    [of_vehicle::QUESTIONS, of_job::QUESTIONS, of_closer::QUESTIONS].into_iter().flatten()
}

/// The question of this name.
pub fn question(id: &str) -> Option<&'static Question> {
    questions().find(|q| q.id == id)
}

/// What is still to be asked after these answers, in turn; with `more`, all of it.
pub fn to_ask(answers: &Answers, more: bool) -> impl Iterator<Item = &'static Question> {
    let open =
        move |q: &&Question| (more || !q.more) && (q.applies)(answers) && !answers.answered(q.id);
    questions().filter(open)
}

#[cfg(test)]
mod tests {
    use super::super::question::Form;
    use super::*;
    use crate::fluid::grade::grade;
    use crate::fluid::reading::{TestedAt, Tester};
    use crate::keys::worded::Word;
    use crate::scenario::tables::Side;
    use crate::scenario::vehicle_kind::{RearBrakes, VehicleKind};
    use std::collections::BTreeSet;

    fn words(id: &str) -> BTreeSet<&'static str> {
        match question(id).expect("a question").form {
            Form::Choice(choices) => choices.iter().map(|c| c.word).collect(),
            _ => BTreeSet::new(),
        }
    }

    fn all<W: Word + Default>() -> BTreeSet<&'static str> {
        W::default().all().iter().copied().collect()
    }

    #[test]
    fn choices_are_the_words_that_a_scenario_takes() {
        assert_eq!(words("kind"), all::<VehicleKind>());
        assert_eq!(words("rear"), all::<RearBrakes>());
        assert_eq!(words("steering"), all::<Side>());
        assert_eq!(words("tested_at"), all::<TestedAt>());
        let testers = &words("tester") - &BTreeSet::from(["none"]);
        assert_eq!(testers, all::<Tester>());
        for id in ["grade", "new_grade"] {
            assert!(words(id).into_iter().all(|name| grade(name).is_some()));
        }
    }

    #[test]
    fn names_are_unique_and_every_default_can_be_said() {
        let ids: BTreeSet<_> = questions().map(|q| q.id).collect();
        assert_eq!(ids.len(), questions().count());
        for q in questions() {
            assert!(!(q.default)(&Answers::default()).is_empty() || q.id == "rear", "{}", q.id);
        }
    }
}
