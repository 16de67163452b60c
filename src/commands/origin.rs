//! What an answer comes of, at the end of its JSON: hashes of the scenario and of what it was asked.

use super::source::Source;
use serde::Serialize;
use serde_json::{Value, json};
use sha2::{Digest as _, Sha256};

/// Which scenario and which options an answer comes of. Not the program's commit: the same question to another build
/// is still the same question.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(super) struct Origin {
    /// Of the bytes as read.
    scenario_sha256: OfScenario,
    /// Of the options that change the answer, as docs/verbs.md writes them.
    options_sha256: String,
    /// What was set over the scenario's values, as given.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    set: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(untagged)]
enum OfScenario {
    One(String),
    /// Of each, in the order given.
    Several(Vec<OfFile>),
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
struct OfFile {
    file: String,
    sha256: String,
}

/// An answer with its origin behind it.
#[derive(Serialize)]
struct Marked<'a, A: Serialize> {
    #[serde(flatten)]
    answer: &'a A,
    #[serde(flatten)]
    origin: &'a Origin,
}

impl Origin {
    /// Of one scenario. `options` hold the verb and each option of it that changes the answer, in a fixed order.
    pub(super) fn of(source: &Source, options: &Value) -> Self {
        let scenario_sha256 = OfScenario::One(sha256(&source.bytes));
        Self::new(scenario_sha256, options, &source.scenario.set)
    }

    /// Of several.
    pub(super) fn of_several(sources: &[Source], options: &Value) -> Self {
        let of = |source: &Source| OfFile {
            file: source.scenario.file.clone(),
            sha256: sha256(&source.bytes),
        };
        let scenario_sha256 = OfScenario::Several(sources.iter().map(of).collect());
        // The same over each of them.
        Self::new(scenario_sha256, options, sources.first().map_or(&[], |s| &s.scenario.set))
    }

    fn new(scenario_sha256: OfScenario, options: &Value, set: &[String]) -> Self {
        let mut options = options.clone();
        if !set.is_empty() {
            options["set"] = json!(set);
        }
        let options_sha256 = sha256(options.to_string().as_bytes());
        Self { scenario_sha256, options_sha256, set: set.to_vec() }
    }

    /// The answer as JSON is to have it.
    pub(super) fn behind<'a, A: Serialize>(&'a self, answer: &'a A) -> impl Serialize + 'a {
        Marked { answer, origin: self }
    }
}

fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Examples of the standard (FIPS 180-4), from memory, as `sha256sum` gives them too.
    #[test]
    fn the_hash_is_that_of_the_standard() {
        let known = [
            ("", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
            ("abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
        ];
        for (text, hash) in known {
            assert_eq!(sha256(text.as_bytes()), hash);
        }
    }
}
