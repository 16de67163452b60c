//! Jobs driven by hand, asked as the page asks: what comes of them is what a job that runs through gives.

use farwheel::job::options::Options;
use serde_json::{Value, json};

const CAR: &str = include_str!("../../../scenarios/compact-hatchback.toml");

fn ask(question: Value) -> Value {
    serde_json::from_str(&farwheel_live::ask(&question.to_string())).expect("an answer is JSON")
}

fn ok(question: Value) -> Value {
    let answer = ask(question);
    assert!(answer["ok"].is_object(), "{answer}");
    answer["ok"].clone()
}

fn error(question: Value) -> String {
    ask(question)["error"].as_str().expect("an error in words").to_owned()
}

fn begin(text: &str) -> u64 {
    ok(json!({ "ask": "by_hand", "do": "begin", "text": text }))["job"].as_u64().expect("a number")
}

fn close_to(a: &Value, b: f64) {
    let a = a.as_f64().expect("a number");
    assert!((a - b).abs() <= 1e-9 * (1.0 + b.abs()), "{a} and {b}");
}

/// Millilitres of each bleeder, held open in slices: of time for some, of volume for others.
#[test]
fn closed_by_hand_is_closed_by_that_volume() {
    let volumes = [("LF", 83.0), ("RR", 250.5), ("RF", 97.25), ("LR", 60.0)];
    let job = begin(CAR);
    for (i, (bleeder, ml)) in volumes.into_iter().enumerate() {
        ok(json!({ "ask": "by_hand", "do": "open", "job": job, "bleeder": bleeder }));
        let mut still = ml;
        if i % 2 == 0 {
            let now =
                ok(json!({ "ask": "by_hand", "do": "advance_s", "job": job, "seconds": 7.7 }));
            still -= now["hose"]["drained_ml"].as_f64().expect("drained");
        }
        while still > 1e-6 {
            let by = still.min(0.7 + i as f64);
            ok(json!({ "ask": "by_hand", "do": "advance_ml", "job": job, "ml": by }));
            still -= by;
        }
        let closed = ok(json!({ "ask": "by_hand", "do": "close", "job": job }))["closed"].clone();
        close_to(&closed["opening"]["drained_ml"], ml);
        let last = closed["curve"].as_array().and_then(|c| c.last()).expect("a curve").clone();
        close_to(&last[0], ml);
        close_to(&last[1], closed["opening"]["seen_old_fraction"].as_f64().expect("seen"));
    }
    let record = ok(json!({ "ask": "by_hand", "do": "record", "job": job }))["record"].clone();

    let at = CAR.find("open = [\"RR\"").expect("its openings");
    let steps =
        volumes.map(|(b, ml)| format!("{{ open = \"{b}\", until = \"{ml} mL\" }}")).join(", ");
    let text = format!("{}steps = [{{ re_pump = \"15 psi\" }}, {steps}]\n", &CAR[..at])
        .replace("before = [{ re_pump = \"15 psi\" }]", "# before");
    let scenario = farwheel::read(&text, "").unwrap_or_else(|e| panic!("{e}\n{text}"));
    let through =
        farwheel::job::flush(&scenario, &Options { estimate_error: false, ..Options::default() })
            .expect("it runs");
    close_to(&record["totals"]["drained_ml"], through.totals.drained_ml);
    close_to(&record["totals"]["new_fluid_ml"], through.totals.new_fluid_ml);
    close_to(&record["totals"]["bay_seconds"], through.totals.bay_seconds);
    close_to(&record["left"]["old_ml"], through.left.old_ml);
    for (by_hand, own) in
        record["openings"].as_array().expect("openings").iter().zip(&through.openings)
    {
        assert_eq!(by_hand["bleeder"], own.bleeder.as_str());
        close_to(&by_hand["path_old_fraction"], own.path_old_fraction);
        close_to(&by_hand["seen_old_fraction"], own.seen_old_fraction);
    }
}

#[test]
fn its_own_stop_rule_does_not_close() {
    let job = begin(CAR);
    ok(json!({ "ask": "by_hand", "do": "open", "job": job, "bleeder": "LF" }));
    let now = ok(json!({ "ask": "by_hand", "do": "advance_ml", "job": job, "ml": 700 }));
    assert_eq!(now["hose"]["counts_as_clean"], true, "{now}");
}

#[test]
fn what_would_have_been_seen_is_what_is_seen() {
    let job = begin(CAR);
    ok(json!({ "ask": "by_hand", "do": "open", "job": job, "bleeder": "LF" }));
    ok(json!({ "ask": "by_hand", "do": "advance_ml", "job": job, "ml": 40 }));
    let closed = ok(json!({ "ask": "by_hand", "do": "close", "job": job }))["closed"].clone();
    let falls = closed["falls"].as_array().expect("falls");
    assert_eq!(falls.len(), 2, "{}", closed["falls"]);
    for fall in falls {
        let (mark, ml) = (fall[0].as_f64().expect("mark"), fall[1].as_f64().expect("mL"));
        let other = begin(CAR);
        ok(json!({ "ask": "by_hand", "do": "open", "job": other, "bleeder": "LF" }));
        let now = ok(json!({ "ask": "by_hand", "do": "advance_ml", "job": other, "ml": ml }));
        let seen = now["hose"]["seen_old_fraction"].as_f64().expect("seen");
        assert!(seen <= mark && seen > 0.95 * mark, "{seen} at {mark}");
    }
}

#[test]
fn the_oldest_job_makes_room() {
    let first = begin(CAR);
    let second = begin(CAR);
    begin(CAR);
    begin(CAR);
    let begun = ok(json!({ "ask": "by_hand", "do": "begin", "text": CAR }));
    assert_eq!(begun["dropped"], first);
    let words = error(json!({ "ask": "by_hand", "do": "look", "job": first }));
    assert!(words.contains("dropped for a later one"), "{words}");
    ok(json!({ "ask": "by_hand", "do": "look", "job": second }));
    ok(json!({ "ask": "by_hand", "do": "drop", "job": second }));
    error(json!({ "ask": "by_hand", "do": "look", "job": second }));
}

#[test]
fn what_cannot_be_done_is_said() {
    let job = begin(CAR);
    let by = |what: Value| {
        let mut question = json!({ "ask": "by_hand", "job": job });
        for (key, value) in what.as_object().expect("an object") {
            question[key] = value.clone();
        }
        question
    };
    assert!(error(by(json!({ "do": "close" }))).contains("no bleeder is open"));
    assert!(error(by(json!({ "do": "open", "bleeder": "XX" }))).contains("there is no bleeder"));
    // What could not be opened left nothing half done.
    let now = ok(by(json!({ "do": "look" })));
    assert!(now["upcoming"].as_str().is_some_and(|w| w.starts_with("Pump up")), "{now}");
    ok(by(json!({ "do": "open", "bleeder": "RR" })));
    assert!(error(by(json!({ "do": "advance_s", "seconds": -1 }))).contains("cannot be advanced"));
    assert!(error(by(json!({ "do": "open", "bleeder": "LR" }))).contains("close it first"));
    assert!(error(by(json!({ "do": "record" }))).contains("close it first"));
    ok(by(json!({ "do": "close" })));
    assert!(error(by(json!({ "do": "top_up", "to_ml": 1e4 }))).contains("out of bounds"));
    ok(by(json!({ "do": "syringe", "leave_ml": 100 })));
    ok(by(json!({ "do": "wait", "seconds": 60 })));
    ok(by(json!({ "do": "go_on" })));
}

#[test]
fn running_dry_closes_and_ends_the_job() {
    let text = CAR.replace("loaded = \"1 L\"", "loaded = \"500 mL\"");
    let job = begin(&text);
    ok(json!({ "ask": "by_hand", "do": "open", "job": job, "bleeder": "RR" }));
    let now = ok(json!({ "ask": "by_hand", "do": "advance_ml", "job": job, "ml": 900 }));
    assert_eq!(now["ran_dry"], true);
    assert_eq!(now["closed"]["opening"]["closed_by"], "supply");
    let words = error(json!({ "ask": "by_hand", "do": "open", "job": job, "bleeder": "LR" }));
    assert!(words.contains("ran dry"), "{words}");
    let record = ok(json!({ "ask": "by_hand", "do": "record", "job": job }));
    assert!(record.to_string().contains("supply ran dry"));
}

/// What the procedure does between openings is offered, its openings are passed over.
#[test]
fn steps_between_openings_are_offered() {
    let text = include_str!("../../../scenarios/saloon-esc-with-routine.toml");
    let job = begin(text);
    let car = ok(json!({ "ask": "car", "text": text, "wide": 420 }));
    let first = &car["opened_together"][0][0];
    ok(json!({ "ask": "by_hand", "do": "open", "job": job, "bleeder": first }));
    ok(json!({ "ask": "by_hand", "do": "advance_ml", "job": job, "ml": 50 }));
    let now = ok(json!({ "ask": "by_hand", "do": "close", "job": job }));
    assert!(now["upcoming"].as_str().is_some_and(|w| w.starts_with("Work")), "{now}");
    let mut steps = 0;
    let mut upcoming = now["upcoming"].clone();
    while upcoming.is_string() {
        upcoming = ok(json!({ "ask": "by_hand", "do": "step", "job": job }))["upcoming"].clone();
        steps += 1;
    }
    assert!(steps > 0);
    assert!(
        error(json!({ "ask": "by_hand", "do": "step", "job": job })).contains("no further step")
    );
}
