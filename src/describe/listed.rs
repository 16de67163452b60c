//! The questions as data, for whoever asks them: a program, a page, a list.

use super::given::Answers;
use super::question::{Choice, Form, Question};
use super::questions::questions;
use super::said::Said;
use crate::keys::bounds::Bound;
use crate::scenario::quantity_text::range;
use serde::Serialize;

/// A question, ready to be asked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Listed {
    /// Its name, for `--answer` and files.
    pub id: &'static str,
    /// As said in the US.
    pub us: Said,
    /// As said in the UK.
    pub uk: Said,
    /// Whether it is asked only of those who want to say more.
    pub more: bool,
    /// Whether it applies after the answers so far.
    pub applies: bool,
    /// The answer so far, if one is known.
    pub answer: Option<String>,
    /// What is taken where nobody knows, in words.
    pub otherwise: String,
    /// Answers to choose from; none where a quantity or a name is asked for.
    pub choices: Vec<Choice>,
    /// How an answer is written.
    pub example: &'static str,
    /// Quantities that may be answered; none where there are choices.
    pub quantities: Vec<Asked>,
}

/// A quantity that may be answered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Asked {
    /// What it is, for instance a length.
    pub dimension: &'static str,
    /// Between what it must lie.
    pub range: String,
    /// Units that are understood.
    pub units: Vec<&'static str>,
}

/// Every question in the order in which they are asked, as things stand after these answers.
pub fn listed(answers: &Answers) -> Vec<Listed> {
    questions().map(|q| list(q, answers)).collect()
}

fn list(q: &Question, answers: &Answers) -> Listed {
    let (choices, bounds): (&[Choice], Vec<&Bound>) = match q.form {
        Form::Choice(choices) => (choices, Vec::new()),
        Form::Quantity(bound, _) => (&[], vec![bound]),
        Form::Either(one, other, _) => (&[], vec![one, other]),
    };
    Listed {
        id: q.id,
        us: Said::us(q),
        uk: Said::uk(q),
        more: q.more,
        applies: (q.applies)(answers),
        answer: answers.known(q.id).map(str::to_owned),
        otherwise: (q.default)(answers),
        choices: choices.to_vec(),
        example: q.form.example(),
        quantities: bounds.into_iter().map(|b| asked(b, q.form.example())).collect(),
    }
}

fn asked(bound: &Bound, example: &str) -> Asked {
    let units = || bound.dimension.units();
    let named = units().filter(|unit| example.ends_with(unit.name));
    let unit = named.max_by_key(|unit| unit.name.len()).or_else(|| units().next());
    Asked {
        dimension: bound.dimension.word(),
        range: unit.map_or_else(String::new, |unit| range(bound, unit)),
        units: units().map(|unit| unit.name).collect(),
    }
}
