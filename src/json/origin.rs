//! What an answer comes of, at the end of its JSON: hashes of the scenario and of what it was asked.

use crate::circuit::Scenario;
use serde::Serialize;
use serde_json::{Value, json};
use sha2::{Digest as _, Sha256};

/// Which scenario and which options an answer comes of. Not the program's commit: the same question to another build
/// is still the same question.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Origin {
    /// Of the bytes as read.
    scenario_sha256: OfScenario,
    /// Of the options that change the answer, as docs/json.md writes them.
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
    /// Of a scenario and the bytes that say it. `options` hold the verb and each option of it that changes the answer, in
    /// a fixed order ([`asked`](super::asked)).
    pub fn of(scenario: &Scenario, bytes: &[u8], options: &Value) -> Self {
        Self::new(OfScenario::One(sha256(bytes)), options, &scenario.set)
    }

    /// Of several, over which the same was set.
    pub fn of_several(scenarios: &[(&Scenario, &[u8])], options: &Value) -> Self {
        let of = |(scenario, bytes): &(&Scenario, &[u8])| OfFile {
            file: scenario.file.clone(),
            sha256: sha256(bytes),
        };
        let scenario_sha256 = OfScenario::Several(scenarios.iter().map(of).collect());
        Self::new(scenario_sha256, options, scenarios.first().map_or(&[], |s| &s.0.set))
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
    pub fn behind<'a, A: Serialize>(&'a self, answer: &'a A) -> impl Serialize + 'a {
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
