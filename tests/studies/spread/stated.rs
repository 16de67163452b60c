//! What a stated spread does: it is drawn wherever it stands, within the reader's own bound, and takes nothing
//! away from the others; `± 0` declares exact.

use super::cars::{HATCHBACK, edited, read};
use super::program::{farwheel, words};
use super::{car, known_but, study};
use farwheel::Scenario;
use farwheel::keys::quantity::{Quantity, Spread as Width};
use farwheel::scenario::step_quantity::StepQuantity as Q;
use farwheel::study::chance::unknowns::{Spreads, Uncertain, Unknown, Whose};
use farwheel::study::progress::Nobody;
use farwheel::study::spread::{self, Question};

const RULE: &str = "open = [\"R\", \"F\"]\nuntil = \"clean\"";

/// The car in which only a procedure like this may be uncertain.
fn doing(procedure: &str) -> Scenario {
    known_but(&[(RULE, procedure)])
}

fn unknowns(scenario: &Scenario) -> Vec<Unknown> {
    Uncertain::new(scenario, None).unknowns
}

fn named(scenario: &Scenario, name: &str) -> Unknown {
    let mut all = unknowns(scenario);
    all.retain(|u| u.name == name);
    assert_eq!(all.len(), 1, "{name}");
    all.remove(0)
}

/// A step's quantity, how it is written, the procedure around it (`@` is the quantity) and what is drawn.
type Row = (Q, &'static str, &'static str, &'static str);

const CLOSED: &str = "open = [\"R\", \"F\"]\nuntil = \"@\"";
const BEFORE: &str = "open = [\"R\", \"F\"]\nuntil = \"100 mL\"\nbefore = [{ @ }]";

/// Every quantity that a step may hold. The saloon has the modulator.
const STEPS: [Row; 14] = [
    (Q::Threshold, "clean below 15 % ± 5 %", CLOSED, "threshold of steps 1, 2"),
    (Q::Hold, "clean, hold 20 mL ± 10 mL", CLOSED, "hold of step 1"),
    (Q::Volume, "200 mL ± 50 mL", CLOSED, "volume of step 1"),
    (Q::Time, "60 s ± 20 s", CLOSED, "time of step 1"),
    (Q::AtLeast, "clean, at least 300 mL ± 50 mL", CLOSED, "at least of step 1"),
    (Q::AtMost, "clean, at most 100 mL ± 50 mL", CLOSED, "at most of step 1"),
    (Q::Syringe, "syringe = \"60 mL ± 20 mL\"", BEFORE, "syringe of step 1"),
    (Q::TopUp, "top_up = \"220 mL ± 20 mL\"", BEFORE, "top up of step 1"),
    (Q::Load, "load = \"50 mL ± 20 mL\"", BEFORE, "load of step 1"),
    (Q::RePump, "re_pump = \"10 psi ± 2 psi\"", BEFORE, "re-pump of step 1"),
    (Q::Wait, "wait = \"2 h ± 1 h\"", BEFORE, "wait of step 1"),
    (Q::Remix, "wait = \"2 h\", remix = \"50 % ± 20 %\"", BEFORE, "remix of step 1"),
    (Q::Work, "work_modulator = \"unit\", time = \"2 s ± 1 s\"", "", "working time of step 5"),
    (Q::SetLevel, "set_level = \"150 mL ± 20 mL\"", BEFORE, "set level of step 1"),
];

fn of_row((what, text, around, _): Row) -> Scenario {
    if what != Q::Work {
        return doing(&around.replace('@', text));
    }
    let saloon = include_str!("../../../scenarios/saloon-esc-with-routine.toml");
    read(&edited(saloon, "work_modulator = \"unit\", time = \"20 s\"", text))
}

/// A spread on it alone is all that is uncertain, and the answer says that it is stated; the answer's old
/// fluid left, drained millilitres, time or load varies with it.
#[test]
fn a_spread_on_any_quantity_of_a_step_is_drawn() {
    for (i, row) in STEPS.into_iter().enumerate() {
        let (what, text, _, name) = row;
        assert!(STEPS[..i].iter().all(|r| r.0 != what), "{what:?} twice");
        let scenario = of_row(row);
        let mut found = unknowns(&scenario);
        if what == Q::Work {
            // The saloon states others too.
            found.retain(|u| u.name == name);
        } else {
            found.retain(|u| u.name.contains(" of step"));
            assert!(Uncertain::new(&scenario, None).spreads() != Spreads::Default, "{text}");
        }
        let first = found.first().unwrap_or_else(|| panic!("{text} is drawn"));
        assert_eq!((first.name.as_str(), first.whose), (name, Whose::Stated), "{text}");
        let all = Uncertain::new(&scenario, None);
        let at = |u: f64| {
            let drawn = all.draw(|_| u).expect("a circuit");
            let mut steps = drawn.procedure.steps.clone().into_iter();
            let mut held = steps.find_map(|mut s| {
                let all = s.action.quantities_mut();
                all.into_iter().find(|(w, _)| *w == what).map(|(_, q)| *q)
            });
            held.take().unwrap_or_else(|| panic!("{text}")).value
        };
        assert!(at(0.05) < at(0.5) && at(0.5) < at(0.95), "{text}");
    }
}

/// The whole study says so too: nothing else is uncertain, and what is drawn makes the answer range.
#[test]
fn a_wait_alone_ranges_and_is_stated() {
    // Once new fluid has come: mixing old fluid with old changes nothing.
    let between =
        "steps = [{ open = \"R\", until = \"60 mL\" }, { @ }, { open = \"R\", until = \"40 mL\" }]";
    for (procedure, name) in [
        // Far enough that the reservoir rises by more than is lost in a figure.
        ("re_pump = \"20 psi ± 4 psi\"", "re-pump of step 2"),
        ("wait = \"2 min ± 1 min\"", "wait of step 2"),
        ("wait = \"2 h\", remix = \"50 % ± 20 %\"", "remix of step 2"),
    ] {
        let answer = study(&doing(&between.replace('@', procedure)), 24);
        let [only] = answer.matters.as_slice() else { panic!("{name}: {:?}", answer.matters) };
        assert_eq!((only.quantity.as_str(), only.spread), (name, Whose::Stated));
        assert!(!answer.default_spreads);
        let all = answer.in_all.expect("enough draws");
        let [early, late] = [all.bay_seconds_p10, all.bay_seconds_p90].map(|s| s.expect("it ends"));
        if name.starts_with("wait") {
            // Fluids alike in density do not turn over: only time passes. Of a normal distribution eight in ten
            // lie in 2 × 1.2816 deviations, nine in ten in 2 × 1.6449 (any table).
            let exact = 120.0 * 1.2816 / 1.6449;
            assert!((late - early - exact).abs() < 0.1 * exact, "{early} {late}");
        } else {
            assert!(only.rank_correlation.abs() > 0.9, "{only:?}");
        }
    }
}

/// However wide the spread, no draw lies beyond what the reader takes: a stop time of at most 4 hours.
#[test]
fn draws_keep_to_the_readers_bound() {
    let time = named(&doing(&CLOSED.replace('@', "3.9 h ± 3 h")), "time of step 1");
    let hour = 3600.0;
    assert!(time.value_at(1.0 - 1e-12) <= 4.0 * hour, "{}", time.value_at(1.0 - 1e-12));
    assert!(time.value_at(0.99) > 3.9 * hour && time.value_at(0.99) < time.value_at(0.999));
    for row in STEPS {
        let what = row.0;
        let scenario = of_row(row);
        let mut procedure = scenario.procedure.clone();
        for step in &mut procedure.steps {
            for (_, q) in step.action.quantities_mut().into_iter().filter(|(w, _)| *w == what) {
                let wide = Width::Normal { sd: 10.0 * (what.bound().max - what.bound().min) };
                *q = Quantity { spread: Some(wide), ..*q };
            }
        }
        let wide = scenario.with_procedure(procedure);
        let unknown = unknowns(&wide).into_iter().find(|u| u.name == row.3).expect("as before");
        let brim = if [Q::Syringe, Q::TopUp, Q::SetLevel].contains(&what) {
            270e-6
        } else {
            f64::INFINITY
        };
        let (least, most) = (unknown.value_at(1e-9), unknown.value_at(1.0 - 1e-9));
        let bound = what.bound();
        assert!(least >= bound.min && most <= bound.max.min(brim), "{what:?}: {least} to {most}");
        assert!(most > 0.99 * bound.max.min(brim), "{what:?}: {most}");
    }
    // The same bounds that the reader goes by.
    let read = |until: &str| {
        let text = include_str!("../../../scenarios/motorcycle-rear.toml");
        let text = edited(text, "until = \"clean\"", &format!("until = \"{until}\""));
        farwheel::read(&text, "-").is_ok()
    };
    assert!(read("4 h") && !read("4.1 h"));
}

/// Water in the reservoir decides nothing of the millilitres: stated alone it leaves all else as uncertain as
/// it is in a car that states nothing.
#[test]
fn one_stated_spread_leaves_the_others() {
    let water = ("water = \"3 %\"", "water_reservoir = \"2.5 % ± 0.5 %\"");
    let nothing = ("water = \"3 %\"", "water_reservoir = \"2.5 %\"");
    let (with, without) = (study(&car(&[water]), 60), study(&car(&[nothing]), 60));
    let [low, middle, high] = {
        let b = &with.bleeders[0];
        [b.clean_at_ml_p10, b.clean_at_ml_p50, b.clean_at_ml_p90].map(|x| x.expect("it ran clean"))
    };
    assert!(middle - low > 40.0 && high - middle > 40.0, "{low} {middle} {high}");
    assert_eq!(with.bleeders, without.bleeders);
    let whose = |name: &str, answer: &spread::Spread| {
        answer.matters.iter().find(|m| m.quantity == name).map(|m| m.spread)
    };
    let name = "water reservoir of old fluid";
    assert_eq!(whose(name, &with), Some(Whose::Stated));
    assert_eq!(whose(name, &without), Some(Whose::Default));
    assert_eq!(whose("threshold of clear hose", &with), Some(Whose::Default));
    assert_eq!((with.spreads, without.spreads), (Spreads::Both, Spreads::Default));
    assert!(with.default_spreads && with.taken_as_known.is_empty());
}

/// Written without a spread, a value stays the middle: nine in ten within the default's width around it.
/// Left out, it may lie anywhere in the default's range.
#[test]
fn a_value_without_a_spread_stays_the_middle() {
    let edit = |vehicle: &str, threshold: &str| {
        car(&[
            ("[old_fluid]", &format!("{vehicle}[old_fluid]")),
            ("threshold = \"20 %\"", threshold),
            ("until = \"clean\"", "until = [\"clean\", \"clean below 6 %\"]"),
        ])
    };
    let stated = edit("[vehicle]\npad_wear = \"50 %\"\n", "threshold = \"8 %\"");
    for (name, [low, middle, high]) in [
        ("pad wear of vehicle", [0.35, 0.50, 0.65]),
        ("threshold of clear hose", [0.04, 0.08, 0.12]),
        ("threshold of step 2", [0.03, 0.06, 0.09]),
    ] {
        let unknown = named(&stated, name);
        let at = |u: f64| unknown.value_at(u);
        // Cut off at the bounds beyond three deviations: a thousandth at most.
        for (u, value) in [(0.05, low), (0.5, middle), (0.95, high)] {
            assert!((at(u) / value - 1.0).abs() < 0.01, "{name}: {} for {value}", at(u));
        }
        assert_eq!(unknown.whose, Whose::Default);
    }
    let unwritten = edit("", "");
    let wear = named(&unwritten, "pad wear of vehicle");
    assert!((wear.value_at(0.5) - 0.45).abs() < 1e-9 && (wear.value_at(1e-9)).abs() < 1e-6);
    let eye = named(&unwritten, "threshold of clear hose");
    assert!((eye.value_at(1e-12) - 0.1).abs() < 1e-4);
    assert!((eye.value_at(1.0 / 3.0) - 0.2).abs() < 1e-9, "the peak of the triangle is its third");
    // Above 90 % there is no threshold, and below nothing no wear.
    let edge = edit("[vehicle]\npad_wear = \"5 %\"\n", "threshold = \"80 %\"");
    let [wear, eye] =
        ["pad wear of vehicle", "threshold of clear hose"].map(|name| named(&edge, name));
    assert!(wear.value_at(1e-9) >= 0.0 && eye.value_at(1.0 - 1e-12) <= 0.9);
}

/// One eye judges at every bleeder: thresholds that agree are one unknown, whether they stand in the clear
/// hose's table or in stop rules.
#[test]
fn one_eye_is_one_unknown() {
    let rule = |until: &str| car(&[(RULE, &CLOSED.replace('@', until))]);
    let eyes = |scenario: &Scenario| -> Vec<String> {
        let names = unknowns(scenario).into_iter().map(|u| u.name);
        names.filter(|n| n.contains("threshold")).collect()
    };
    assert_eq!(eyes(&rule("clean below 20 %")), ["threshold of clear hose"]);
    // Written as wide as the default is, it is the same unknown still, and stated.
    let stated = rule("clean below 20 % ± 10 %");
    assert_eq!(eyes(&stated), ["threshold of clear hose"]);
    assert_eq!(named(&stated, "threshold of clear hose").whose, Whose::Stated);
    let (stricter, known) = (rule("clean below 10 %"), rule("clean below 10 % ± 0 %"));
    assert_eq!(eyes(&stricter), ["threshold of clear hose", "threshold of steps 1, 2"]);
    let drawn = Uncertain::new(&stricter, None).draw(|_| 0.8).expect("a circuit");
    let mut drawn = drawn.procedure.steps.clone().into_iter().flat_map(|mut s| {
        s.action.quantities_mut().into_iter().map(|(_, q)| q.value).collect::<Vec<_>>()
    });
    assert_eq!(drawn.next(), drawn.next(), "drawn alike");
    assert_eq!(eyes(&known), ["threshold of clear hose"]);
    assert_eq!(Uncertain::new(&known, None).known, ["threshold of steps 1, 2"]);
}

/// What a supply refills to is cut off at the brim, as levels are.
#[test]
fn no_draw_refills_beyond_the_brim() {
    let vessel = "kind = \"pressure bleeder\"\nloaded = \"1 L\"\ngauge = \"15 psi\"\n";
    let gravity = "kind = \"gravity\"\nrefill_to = \"260 mL ± 100 mL\"\n";
    let level = named(&known_but(&[(vessel, gravity)]), "refill to of vessel");
    assert!(level.value_at(0.98) < level.value_at(0.99) && level.value_at(0.99) < 270e-6);
}

/// Filled to a mark that is uncertain, the reservoir holds what the mark is drawn at.
#[test]
fn a_step_follows_its_mark() {
    let mark = ("max = \"200 mL\"", "max = \"200 mL ± 10 mL\"");
    let scenario = known_but(&[mark, (RULE, &BEFORE.replace('@', "top_up = \"max\""))]);
    let all = Uncertain::new(&scenario, None);
    let names: Vec<&str> = all.unknowns.iter().map(|u| u.name.as_str()).collect();
    assert_eq!(names, ["max of reservoir"]);
    let drawn = all.draw(|_| 0.9).expect("a circuit");
    let held = drawn.procedure.clone().steps[0].action.quantities_mut()[0].1.value;
    assert_eq!(held, drawn.reservoir.max.value);
    assert!(held > 205e-6, "{held}");
    // So does one drawn down to the other mark; what is loaded is no level, however alike its figure.
    let mark = ("min = \"120 mL\"", "min = \"120 mL ± 10 mL\"");
    let down = known_but(&[mark, (RULE, &BEFORE.replace('@', "syringe = \"min\""))]);
    assert_eq!(unknowns(&down).len(), 1);
    let load = known_but(&[mark, (RULE, &BEFORE.replace('@', "load = \"120 mL ± 10 mL\""))]);
    assert_eq!(unknowns(&load).len(), 2);
}

/// Each quantity of a step is drawn by itself, and only what is alike in value and spread is one unknown.
#[test]
fn quantities_of_one_step_are_drawn_each() {
    let rule = "clean below 20 % ± 5 %, hold 10 mL ± 5 mL, at least 30 mL ± 5 mL";
    let all = Uncertain::new(&doing(&CLOSED.replace('@', rule)), None);
    assert_eq!(all.unknowns.len(), 5, "one eye; hold and least volume of two steps");
    let mut drawn = all.draw(|_| 0.8).expect("a circuit").procedure.clone();
    let held = drawn.steps[0].action.quantities_mut();
    let held: Vec<(Q, f64)> = held.into_iter().map(|(what, q)| (what, q.value)).collect();
    let [(Q::Threshold, eye), (Q::Hold, hold), (Q::AtLeast, least)] = held[..] else {
        panic!("{held:?}")
    };
    assert!(eye > 0.2 && eye < 0.3 && hold > 10e-6 && hold < 20e-6 && least > 30e-6, "{held:?}");
}

/// What another supply than the one that pushes holds has no part in the job.
#[test]
fn only_the_supply_that_pushes_is_uncertain() {
    let scenario = read(HATCHBACK);
    let gauges = |supply: Option<&str>| {
        let all = Uncertain::new(&scenario, supply).unknowns;
        all.iter().filter(|u| u.name == "gauge of pressure bleeder").count()
    };
    assert_eq!(gauges(None), 1, "the procedure's own");
    assert_eq!((gauges(Some("pressure bleeder")), gauges(Some("gravity"))), (1, 0));
    let text = HATCHBACK.replace("supply = \"pressure bleeder\"", "supply = \"gravity\"");
    let scenario = read(&text);
    let gauges = Uncertain::new(&scenario, None).unknowns;
    assert!(gauges.iter().all(|u| u.name != "gauge of pressure bleeder"), "gravity is its own");
}

/// `± 0` declares exact: it is not drawn, and the answer says so, at its end; the eye's threshold too.
#[test]
fn plus_minus_nothing_is_exact() {
    let known = car(&[
        ("threshold = \"20 %\"", "threshold = \"20 % ± 0 %\""),
        ("\"5 m\"", "\"5 m ± 0 m\", bore = \"3.2 mm ± 0 mm\""),
        ("\"1 m\"", "\"1 m ± 0\", bore = \"3.4 mm ± 0 %\""),
    ]);
    let answer = study(&known, 24);
    let exact = ["threshold of clear hose", "length of every line", "bore of every line"];
    for name in exact {
        assert!(answer.taken_as_known.iter().any(|k| k == name), "{:?}", answer.taken_as_known);
        assert!(answer.matters.iter().all(|m| m.quantity != name), "{name}");
    }
    assert_eq!(answer.taken_as_known.len(), exact.len(), "{:?}", answer.taken_as_known);
    let json = serde_json::to_string(&answer).expect("JSON");
    let known = json.rfind("\"default_spreads\":true,\"taken_as_known\":[").expect("it is told");
    let (before, behind) = (json.find("\"matters_for\""), json.rfind("],\"spreads\":"));
    assert!(before.expect("before") < known && known < behind.expect("behind"), "{json}");
    assert!(json.contains("\"spread\":\"default\",\"direction\":"), "{json}");
    // The same values without a word on them are drawn.
    let plainly = study(&car(&[]), 24);
    assert!(plainly.taken_as_known.is_empty());
    assert!(plainly.matters.iter().any(|m| m.quantity == exact[0]));

    let all_exact = known_but(&[]);
    let question = Question { draws: 20, ..Question::default() };
    let none = spread::study(&all_exact, &question, &super::seeded(0), &Nobody);
    assert_eq!(none.map_err(|e| e.to_string().contains("declared exact")), Err(true));
    assert!(all_exact.vehicle.temperature.value > 293.0);
}

/// Table, CSV and card say what was taken as known; "states no spreads" is said of no car that states one.
#[test]
fn reports_say_what_was_taken_as_known() {
    let dir = tempfile::tempdir().expect("a place");
    let motorcycle = include_str!("../../../scenarios/motorcycle-rear.toml");
    assert!(motorcycle.contains("[old_fluid]\n") && motorcycle.contains("until = \"clean\""));
    let text = motorcycle.replace("until = \"clean\"", "until = \"clean below 20 % ± 0 %\"");
    let file = dir.path().join("machine.toml");
    std::fs::write(&file, text).expect("written");
    let csv = dir.path().join("a.csv");
    let run = |verb: &str, to: [&str; 2]| {
        let asked = [verb, "--draws", "20", file.to_str().expect("a plain name")];
        let ran = farwheel(&[&asked[..], &to].concat());
        assert_eq!(ran.status, Some(0), "{}", ran.err);
        words(&ran.out)
    };
    let table = run("spread", ["--csv", csv.to_str().expect("a plain name")]);
    let head = "Spreads as the scenario states them, and where it states none the program's own, each an estimate. \
                Taken as known: threshold of step 3.";
    assert!(table.contains(head), "{table}");
    let csv = std::fs::read_to_string(csv).expect("written");
    assert!(csv.contains("known,threshold of step 3,taken_as_known,,1\n"), "{csv}");
    assert!(csv.contains(",default_spread,,1\n") && csv.contains(",default_spread,,0\n"), "{csv}");
    let card = run("card", ["-o", "-"]);
    assert!(card.contains("Taken as known: threshold of step 3."), "{card}");
}

/// What a centre valve takes the place of is not drawn; a spread in percent of a height below nothing is one.
#[test]
fn what_the_car_has_not_is_not_drawn() {
    let has = |scenario: &Scenario, name: &str| unknowns(scenario).iter().any(|u| u.name == name);
    const PORT: &str = "compensating port length of master cylinder";
    let volume = "volume = \"12 mL ± 2 mL\"\n";
    let valve = format!("{volume}centre_valve = \"2 mm ± 0.3 mm\"\n");
    let with = read(&edited(HATCHBACK, volume, &valve));
    assert!(has(&read(HATCHBACK), PORT) && !has(&with, PORT));
    assert!(has(&with, "centre valve of master cylinder"));
    let low = "[clear_hose]\nend_above = \"-0.4 m ± 25 %\"\n";
    let low = read(&HATCHBACK.replace("[clear_hose]\n", low));
    let end = named(&low, "end above of clear hose").quantity;
    assert!((end.half_width() - 0.1).abs() < 1e-12 && end.value == -0.4, "{end:?}");
}
