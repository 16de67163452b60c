//! What can be asked.

use crate::{by_hand, car, class, describe, native, run, studies, sure};
use farwheel::Scenario;
use farwheel::scenario::Mistakes;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value, json};
use std::cell::RefCell;

/// What a question holds beside its name: most of them a scenario's text (`Changed`: with what somebody changed in the
/// job). Its members are read out of a value, and not by serde's tagged enums and flattened structs: what these are
/// compiled to is several times as much, which the page would carry.
pub(crate) struct Asked(Map<String, Value>);

impl Asked {
    /// One member; `null` if it is left out.
    pub fn take<T: DeserializeOwned>(&mut self, name: &str) -> Result<T, Failure> {
        let value = self.0.shift_remove(name).unwrap_or_default();
        serde_json::from_value(value).map_err(|why| Failure::Error(format!("`{name}`: {why}")))
    }

    /// All that is left.
    pub fn rest<T: DeserializeOwned>(self) -> Result<T, Failure> {
        Ok(serde_json::from_value(Value::Object(self.0))?)
    }
}

/// Why there is no answer.
pub(crate) enum Failure {
    Mistakes(Box<Mistakes>),
    Error(String),
}

/// Of a scenario that cannot be read its mistakes, of other errors their words.
impl<E: std::error::Error + 'static> From<E> for Failure {
    fn from(error: E) -> Self {
        match (&error as &dyn std::any::Any).downcast_ref::<Mistakes>() {
            Some(mistakes) => Self::Mistakes(Box::new(mistakes.clone())),
            None => Self::Error(error.to_string()),
        }
    }
}

/// Answers a question: JSON text both.
pub fn ask(text: &str) -> String {
    match question(text) {
        Ok(answer) => json!({ "ok": answer }),
        Err(Failure::Mistakes(m)) => json!({ "mistakes": mistakes(&m) }),
        Err(Failure::Error(what)) => json!({ "error": what }),
    }
    .to_string()
}

fn question(text: &str) -> Result<Value, Failure> {
    let mut asked = Asked(serde_json::from_str(text)?);
    let ask: String = asked.take("ask")?;
    match ask.as_str() {
        // What a scenario is: bleeders, supplies, what can be changed, the car from above.
        "car" => car::car(&asked.rest()?),
        // A job, or the beginning of one, run through.
        "run" => run::run(&asked.rest()?),
        // What decides on this car, the order among it.
        "decides" => {
            let draws: Option<usize> = asked.take("draws")?;
            studies::decides(&asked.rest()?, draws.unwrap_or_default())
        }
        // Far wheel first and near wheel first, for a class.
        "class" => class::class(&asked.rest()?),
        // Ten questions for a class.
        "quiz" => {
            let seed = asked.take("seed")?;
            class::quiz(&asked.rest()?, seed)
        }
        // What an answer to one of them is worth.
        "grade" => {
            let said = asked.take("said")?;
            class::grade(Asked(asked.take("answer")?), said)
        }
        // What the program writes as JSON.
        "native" => native::native(&asked.rest()?),
        // A job beside another of the same car.
        "beside" => {
            let other = asked.take("other")?;
            studies::beside(&asked.rest()?, other)
        }
        // The questions that describe a car, the text that their answers make.
        "describe" => describe::questions(&asked.rest()?),
        // A file's bytes as text.
        "opened" => describe::opened(&asked.rest()?),
        // Scenarios to begin with.
        "examples" => describe::examples(),
        // How sure the figures are.
        "sure" => {
            let draws = asked.take("draws")?;
            sure::sure(&asked.rest()?, draws)
        }
        // A job driven by hand.
        "by_hand" => by_hand::by_hand(asked),
        other => Err(Failure::Error(format!("there is no question `{other}`"))),
    }
}

/// Each mistake with its place, as the program words it.
fn mistakes(mistakes: &Mistakes) -> Value {
    let one = |m: &farwheel::scenario::Mistake| {
        let m = m.shown();
        json!({ "line": m.line, "column": m.column, "what": m.what, "remedy": m.remedy })
    };
    json!({ "list": mistakes.list.iter().map(one).collect::<Vec<_>>(), "left_out": mistakes.left_out })
}

thread_local! {
    /// The scenario that was read last: questions about one text come in rows.
    static READ: RefCell<Option<(String, String, Scenario)>> = const { RefCell::new(None) };
}

/// The scenario of a text.
pub(crate) fn read(text: &str, file: &str) -> Result<Scenario, Failure> {
    READ.with_borrow_mut(|read| match read {
        Some((t, f, scenario)) if t == text && f == file => Ok(scenario.clone()),
        _ => {
            let scenario = farwheel::read(text, file)?;
            *read = Some((text.to_owned(), file.to_owned(), scenario.clone()));
            Ok(scenario)
        }
    })
}
