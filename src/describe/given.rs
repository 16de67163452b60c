//! What was answered, question by question.

use crate::keys::Quantity;
use std::collections::BTreeMap;

/// Answers by the name of their question; `None` stands for "don't know".
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Answers {
    given: BTreeMap<&'static str, Option<(String, Option<Quantity>)>>,
}

impl Answers {
    /// Keeps an answer that was found right, with the quantity that it is, if it is one.
    pub(super) fn put(&mut self, id: &'static str, answer: Option<(String, Option<Quantity>)>) {
        self.given.insert(id, answer);
    }

    /// Takes an answer back.
    pub fn forget(&mut self, id: &str) {
        self.given.remove(id);
    }

    /// Whether the question was answered at all, be it with "don't know".
    pub fn answered(&self, id: &str) -> bool {
        self.given.contains_key(id)
    }

    /// The answer, where one is known.
    pub fn known(&self, id: &str) -> Option<&str> {
        self.given.get(id)?.as_ref().map(|(text, _)| text.as_str())
    }

    /// Whether the known answer is this word.
    pub fn is(&self, id: &str, word: &str) -> bool {
        self.known(id) == Some(word)
    }

    /// The known answer as a quantity, SI.
    pub fn quantity(&self, id: &str) -> Option<Quantity> {
        self.given.get(id)?.as_ref()?.1
    }
}
