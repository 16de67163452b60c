//! What the program writes as JSON, byte for byte.

use crate::question::{Failure, read};
use farwheel::Scenario;
use farwheel::job::{self, options::Options};
use farwheel::json::{Flushed, Origin, asked, render};
use farwheel::study::orders::{self, Question};
use farwheel::study::{guesses, progress::Nobody};
use serde::{Deserialize, Serialize};
use serde_json::Value;

/// A verb with the options of it that this page has a use for.
#[derive(Debug, Deserialize)]
pub struct Native {
    verb: Verb,
    text: String,
    /// The file as the program is given it.
    file: String,
    #[serde(default)]
    supply: Option<String>,
    /// Of `flush`: whether curves are told too.
    #[serde(default)]
    curves: bool,
    /// Of `orders`.
    #[serde(default)]
    draws: usize,
}

#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Verb {
    Check,
    Flush,
    Orders,
}

/// The text of `farwheel VERB FILE --json -`.
pub fn native(of: &Native) -> Result<Value, Failure> {
    let scenario = read(&of.text, &of.file)?;
    let options = Options { supply: of.supply.clone(), ..Options::default() };
    match of.verb {
        Verb::Check => {
            let answer = guesses::look_over(&scenario, &options)?;
            text(of, &scenario, &answer, &asked::check(&options))
        }
        Verb::Flush => {
            let also: &[&str] = if of.curves { &["curves"] } else { &[] };
            let record = job::flush(&scenario, &options)?;
            let answer = Flushed::new(&record, of.curves);
            text(of, &scenario, &answer, &asked::flush(&options, also))
        }
        Verb::Orders => {
            let question = Question { draws: of.draws, ..Question::default() };
            let answer = orders::study(&scenario, &question, &options, &Nobody)?;
            text(of, &scenario, &answer, &asked::orders(&question, &options))
        }
    }
}

fn text(
    of: &Native,
    scenario: &Scenario,
    answer: &impl Serialize,
    asked: &Value,
) -> Result<Value, Failure> {
    let origin = Origin::of(scenario, of.text.as_bytes(), asked);
    // By way of a value, whose serializers are there anyway: the page is smaller.
    Ok(Value::String(render(&serde_json::to_value(origin.behind(answer))?)?))
}
