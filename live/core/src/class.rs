//! For a class: two orders side by side with what lies where after each opening, ten questions, and what an answer is
//! worth.

use crate::change::{Change, Changed};
use crate::question::{Asked, Failure};
use crate::run::run;
use farwheel::study::class::quiz::{Answer, Said, draw};
use farwheel::study::class::side_by_side;
use serde_json::{Value, json};

/// Far first and near first; an order in the change is passed over.
pub fn class(asked: &Changed) -> Result<Value, Failure> {
    let own = in_order(asked, None);
    let job = own.job()?;
    let class = side_by_side(&job.scenario, &job.options)?;
    let moments = |order: &Vec<String>| -> Result<Value, Failure> {
        Ok(run(&in_order(asked, Some(order.clone())))?["moments"].take())
    };
    let moments: Vec<Value> =
        class.orders.iter().map(|o| moments(&o.order)).collect::<Result<_, _>>()?;
    let mut answer = json!(class);
    answer["moments"] = json!(moments);
    Ok(answer)
}

/// Questions, drawn by a seed.
pub fn quiz(asked: &Changed, seed: u64) -> Result<Value, Failure> {
    let job = in_order(asked, None).job()?;
    Ok(json!(draw(&job.scenario, seed, &job.options)?))
}

/// What is said to a question.
pub fn grade(mut answer: Asked, said: Said) -> Result<Value, Failure> {
    let sort: String = answer.take("sort")?;
    let answer = match sort.as_str() {
        "amount" => Answer::Amount(answer.rest()?),
        "choice" => Answer::Choice(answer.rest()?),
        other => return Err(Failure::Error(format!("there is no sort of answer `{other}`"))),
    };
    Ok(json!({ "points": answer.points(said) }))
}

fn in_order(asked: &Changed, order: Option<Vec<String>>) -> Changed {
    Changed { change: Change { order, ..asked.change.clone() }, ..asked.clone() }
}
