//! Questions that are asked wrongly are told what is wrong; an answer to one of a class's is worth what it should be.

use serde_json::{Value, json};

const CAR: &str = include_str!("../../../scenarios/compact-hatchback.toml");

fn ask(question: Value) -> Value {
    serde_json::from_str(&farwheel_live::ask(&question.to_string())).expect("an answer is JSON")
}

#[test]
fn what_is_asked_wrongly_is_told() {
    let begun = ask(json!({ "ask": "by_hand", "do": "begin", "text": CAR }));
    let job = &begun["ok"]["job"];
    for (question, told) in [
        (json!({}), "`ask`"),
        (json!({ "ask": "weather" }), "`weather`"),
        (json!({ "ask": "sure", "text": CAR }), "`draws`"),
        (json!({ "ask": "sure", "text": CAR, "draws": -1 }), "`draws`"),
        (json!({ "ask": "run", "text": CAR, "colour": 1 }), "`colour`"),
        (json!({ "ask": "decides", "text": CAR, "colour": 1 }), "`colour`"),
        (json!({ "ask": "beside", "text": CAR }), "`other`"),
        (json!({ "ask": "by_hand" }), "`do`"),
        (json!({ "ask": "by_hand", "do": "look" }), "`job`"),
        (json!({ "ask": "by_hand", "do": "fly", "job": job }), "`fly`"),
        (json!({ "ask": "by_hand", "do": "wait", "job": job }), "`seconds`"),
        (json!({ "ask": "grade", "answer": {}, "said": "too_close" }), "`sort`"),
        (json!({ "ask": "grade", "answer": { "sort": "ode" }, "said": "too_close" }), "`ode`"),
    ] {
        let answer = ask(question);
        let words = answer["error"].as_str().unwrap_or_else(|| panic!("{told}: {answer}"));
        assert!(words.contains(told), "{told}: {words}");
    }
}

#[test]
fn an_answer_is_worth_a_point_half_or_nothing() {
    let choice =
        json!({ "sort": "choice", "options": ["LF", "RR"], "right": 1, "too_close": false });
    let amount = json!({
        "sort": "amount", "value": 100, "unit": "mL", "least": 0, "most": 200,
        "whole": [90, 110], "half": [75, 125], "too_close": false,
    });
    for (answer, said, points) in [
        (&choice, json!({ "option": 1 }), 1.0),
        (&choice, json!({ "option": 0 }), 0.0),
        (&choice, json!("too_close"), 0.0),
        (&amount, json!({ "amount": 109 }), 1.0),
        (&amount, json!({ "amount": 111 }), 0.5),
        (&amount, json!({ "amount": 126 }), 0.0),
    ] {
        let worth = ask(json!({ "ask": "grade", "answer": answer, "said": said }));
        assert_eq!(worth["ok"]["points"], json!(points), "{answer} {said}: {worth}");
    }
}
