//! Answers taken in the words of their questions, and written out again.

use super::given::Answers;
use super::question::{Choice, Form, Question};
use super::questions::{QUESTIONS, question};
use crate::keys::{Bound, Quantity};
use crate::scenario::mistake::Wrong;
use crate::scenario::quantity_text;
use crate::scenario::suggest;

impl Answers {
    /// Takes an answer, in the words of its form, or "don't know".
    ///
    /// # Errors
    /// What is wrong with it, and what would be right.
    pub fn give(&mut self, id: &str, text: &str) -> Result<(), Wrong> {
        let Some(asked) = question(id) else {
            let known = QUESTIONS.iter().map(|q| q.id);
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

    /// Each known answer as `id = answer`, in the order of the questions.
    pub fn written(&self) -> Vec<String> {
        let known = |q: &&Question| Some((q.id, self.known(q.id)?));
        QUESTIONS
            .iter()
            .filter_map(|q| known(&q))
            .map(|(id, text)| format!("{id} = {text}"))
            .collect()
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

/// The answer in the words of the list, or as it was given with the quantity that it is.
fn taken(asked: &Question, text: &str) -> Result<(String, Option<Quantity>), Wrong> {
    let quantity =
        |bound: &Bound| quantity_text::parse(text, bound).map(|q| (text.to_owned(), Some(q)));
    match asked.form {
        Form::Choice(choices) => {
            let same = |a: &str| {
                let bare = |t: &str| t.to_lowercase().replace(['-', ' '], "");
                bare(a) == bare(text)
            };
            let words = || choices.iter().map(|c| c.word);
            let meant = |c: &&Choice| same(c.word) || !c.means.is_empty() && same(c.means);
            match choices.iter().find(meant) {
                Some(choice) => Ok((choice.word.to_owned(), None)),
                None => Err(Wrong::new(
                    format!("`{}` can't be \"{}\"", asked.id, crate::scenario::short(text)),
                    suggest::remedy(text, words(), "it may be"),
                )),
            }
        }
        Form::Quantity(bound, _) => quantity(bound),
        Form::Either(one, other, _) => {
            quantity(one).or_else(|wrong| quantity(other).map_err(|_| wrong))
        }
    }
}
