//! Answers taken in the words of their questions, and written out again.

use super::given::Answers;
use super::question::{Choice, Form, Question};
use super::questions::{question, questions};
use crate::fluid::grade::Grade;
use crate::keys::worded::Word as _;
use crate::keys::{Bound, Quantity};
use crate::scenario::mistake::Wrong;
use crate::scenario::quantity_text;
use crate::scenario::suggest;
use crate::scenario::tables::Side;
use crate::scenario::vehicle_kind::VehicleKind;

impl Answers {
    /// Takes an answer, in the words of its form, or "don't know".
    ///
    /// # Errors
    /// What is wrong with it, and what would be right.
    pub fn give(&mut self, id: &str, text: &str) -> Result<(), Wrong> {
        let Some(asked) = question(id) else {
            let known = questions().map(|q| q.id);
            return Err(Wrong::new(
                format!("there is no question `{}`", crate::scenario::short(id)),
                suggest::remedy(id, known, "questions"),
            ));
        };
        let text = text.trim();
        let answer = match is_dont_know(text) {
            true => None,
            false => Some(taken(asked, text)?),
        };
        self.put(asked.id, answer);
        Ok(())
    }

    /// Takes back what was answered to questions that do not apply after the other answers.
    pub fn forget_what_does_not_apply(&mut self) {
        while let Some(stray) = questions().find(|q| self.answered(q.id) && !(q.applies)(self)) {
            self.forget(stray.id);
        }
    }

    /// Each known answer as `id = answer`, in the order of the questions.
    pub fn written(&self) -> Vec<String> {
        let known = |q: &&Question| Some((q.id, self.known(q.id)?));
        questions().filter_map(|q| known(&q)).map(|(id, text)| format!("{id} = {text}")).collect()
    }

    /// Answers as [`Self::written`] gives them.
    ///
    /// # Errors
    /// The first that is wrong.
    pub fn read(written: &[String]) -> Result<Self, Wrong> {
        let mut answers = Self::default();
        for text in written {
            let (id, answer) = halves(text)?;
            answers.give(id, answer)?;
        }
        Ok(answers)
    }
}

/// The two sides of `id = answer`.
///
/// # Errors
/// If there is no `=`.
pub fn halves(text: &str) -> Result<(&str, &str), Wrong> {
    let halves = text.split_once('=').map(|(id, answer)| (id.trim(), answer.trim()));
    halves.ok_or_else(|| {
        Wrong::new(
            format!("`{}` is no answer", crate::scenario::short(text)),
            "write the question's name, `=` and the answer, for instance `kind=hatchback`",
        )
    })
}

fn is_dont_know(text: &str) -> bool {
    let bare: String = text.chars().filter(|c| c.is_alphanumeric() || *c == '?').collect();
    matches!(bare.to_lowercase().as_str(), "dontknow" | "unknown" | "?")
}

/// Other words for answers, by question (common practice, no source): those that a scenario takes for them, and some.
fn also(id: &str) -> &'static [(&'static str, &'static str)] {
    match id {
        "kind" => VehicleKind::default().also(),
        "grade" | "new_grade" => <&Grade>::default().also(),
        "steering" => Side::default().also(),
        "split" => &[("II", "front/rear"), ("X", "diagonal"), ("axle", "front/rear")],
        "supply" => &[("lever", "pedal"), ("brake pedal", "pedal"), ("hand lever", "pedal")],
        "tested_at" => &[("nipple", "bleeder"), ("bleed nipple", "bleeder")],
        "rear" => &[
            ("discs with a handbrake piston", "discs with a parking-brake piston"),
            ("drum", "drums"),
            ("disc", "discs"),
        ],
        "replaced" => &[
            ("left front caliper", "left front brake"),
            ("right front caliper", "right front brake"),
            ("left rear caliper", "left rear brake"),
            ("right rear caliper", "right rear brake"),
            ("left rear wheel cylinder", "left rear brake"),
            ("right rear wheel cylinder", "right rear brake"),
            ("LF", "left front brake"),
            ("RF", "right front brake"),
            ("LR", "left rear brake"),
            ("RR", "right rear brake"),
        ],
        _ => &[],
    }
}

/// The answer in the words of the list, or as it was given.
fn taken(asked: &Question, text: &str) -> Result<(String, Option<Quantity>), Wrong> {
    let quantity =
        |bound: &Bound| quantity_text::parse(text, bound).map(|q| (text.to_owned(), Some(q)));
    match asked.form {
        Form::Choice(choices) => {
            let bare = |t: &str| t.to_lowercase().replace(['-', ' '], "");
            let same = |a: &str| bare(a) == bare(text);
            let words = || choices.iter().map(|c| c.word);
            let meant = |c: &&Choice| same(c.word) || !c.means.is_empty() && same(c.means);
            let word = choices.iter().find(meant).map(|c| c.word);
            let other =
                || also(asked.id).iter().find(|(other, _)| same(other)).map(|(_, word)| *word);
            match word.or_else(other) {
                Some(word) => Ok((word.to_owned(), None)),
                None => Err(Wrong::new(
                    format!("`{}` can't be \"{}\"", asked.id, crate::scenario::short(text)),
                    suggest::remedy(text, words(), "it may be"),
                )),
            }
        }
        Form::Quantity(bound, _) => quantity(bound),
        // Of a bare number nobody knows which of the two it is.
        Form::Either(one, other, example) => match (quantity(one), quantity(other)) {
            (Ok(answer), _) | (_, Ok(answer)) => Ok(answer),
            (Err(_), Err(_)) if text.parse::<f64>().is_ok() => Err(Wrong::new(
                format!("`{text}` has no unit"),
                format!("write for instance {example}"),
            )),
            (Err(wrong), Err(_)) if text.contains('°') => Err(wrong),
            (Err(_), Err(wrong)) => Err(wrong),
        },
    }
}
