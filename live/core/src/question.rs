//! What can be asked.

use crate::change::Changed;
use crate::{car, class, native, run, studies};
use farwheel::Scenario;
use farwheel::scenario::Mistakes;
use serde::Deserialize;
use serde_json::{Value, json};
use std::cell::RefCell;

/// A question. What it is about is a scenario's text (`Changed`: with what somebody changed in the job).
#[derive(Deserialize)]
#[serde(tag = "ask", rename_all = "snake_case", deny_unknown_fields)]
enum Question {
    /// What a scenario is: bleeders, supplies, what can be changed, the car from above.
    Car(car::Asked),
    /// A job, or the beginning of one, run through.
    Run(Changed),
    /// What decides on this car, the order among it.
    Decides(studies::Decides),
    /// Far wheel first and near wheel first, for a class.
    Class(Changed),
    /// Ten questions for a class.
    Quiz(class::Quiz),
    /// What an answer to one of them is worth.
    Grade(class::Grade),
    /// What the program writes as JSON.
    Native(native::Native),
    /// A job beside another of the same car.
    Beside(studies::Beside),
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
    match serde_json::from_str(text)? {
        Question::Car(asked) => car::car(&asked),
        Question::Run(changed) => run::run(&changed),
        Question::Decides(asked) => studies::decides(&asked),
        Question::Class(changed) => class::class(&changed),
        Question::Quiz(asked) => class::quiz(&asked),
        Question::Grade(asked) => Ok(class::grade(&asked)),
        Question::Native(of) => native::native(&of),
        Question::Beside(asked) => studies::beside(&asked),
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
