//! What a question is.

use super::given::Answers;
use crate::keys::Bound;
use serde::Serialize;
use std::fmt;

/// A question that can be asked.
#[derive(Debug)]
pub struct Question {
    /// Its name, for `--answer` and files.
    pub id: &'static str,
    /// What is asked, in the words of the US.
    pub asked: &'static str,
    /// Where to look.
    pub help: &'static str,
    /// What it decides.
    pub decides: &'static str,
    /// What may be answered.
    pub form: Form,
    /// Whether it is asked only of those who want to say more: it moves little.
    pub more: bool,
    /// Whether it applies after these answers.
    pub applies: fn(&Answers) -> bool,
    /// What is taken where nobody knows, in words.
    pub default: fn(&Answers) -> String,
}

/// What may be answered.
#[derive(Debug, Clone, Copy)]
pub enum Form {
    /// One of these.
    Choice(&'static [Choice]),
    /// A quantity within a bound, and how one is written.
    Quantity(&'static Bound, &'static str),
    /// A quantity within one bound or the other, told apart by its unit, and how they are written.
    Either(&'static Bound, &'static Bound, &'static str),
}

impl Form {
    /// How an answer is written.
    pub fn example(self) -> &'static str {
        match self {
            Self::Choice(choices) => choices.first().map_or("", |c| c.word),
            Self::Quantity(_, example) | Self::Either(_, _, example) => example,
        }
    }
}

/// An answer to choose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Choice {
    /// As written.
    pub word: &'static str,
    /// What it means, where the word does not say it.
    pub means: &'static str,
}

impl fmt::Display for Choice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.means {
            "" => f.write_str(self.word),
            means => write!(f, "{} ({means})", self.word),
        }
    }
}
