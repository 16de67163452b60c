//! The fair comparison found another way, facts that follow from a circuit's symmetry, draws.

use super::{names, shipped};
use crate::common::cars::{DIVIDED, DOT_4, HATCHBACK, VESSEL, read, scenario_text};
use farwheel::Scenario;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::keys::quantity::Quantity;
use farwheel::scenario::procedure::Action;
use farwheel::study::chance::unknowns::Uncertain;
use farwheel::study::order::{Rules, reordered};
use farwheel::study::orders::{self, Orders, Question, savings_ml};
use farwheel::study::progress::Nobody;

fn study(scenario: &Scenario, question: &Question) -> Orders {
    seeded(scenario, question, 0)
}

fn seeded(scenario: &Scenario, question: &Question, seed: u64) -> Orders {
    let options = Options { seed, ..Options::default() };
    orders::study(scenario, question, &options, &Nobody).expect("it can be studied")
}

/// Drained and old fluid left, mL, with all rules scaled by writing them into the scenario.
fn scaled(scenario: &Scenario, share: f64) -> (f64, f64) {
    let scenario = scenario.changed(|scenario| {
        let threshold = &mut scenario.clear_hose.threshold;
        *threshold = Quantity::known(share * threshold.value);
        for step in &mut scenario.procedure.steps {
            if let Action::Open { until, .. } = &mut step.action
                && let Some(volume) = &mut until.volume
            {
                *volume = Quantity::known(volume.value / share);
            }
        }
    });
    let scenario = scenario.expect("a circuit");
    // The lanes follow the strictest threshold in use: hold them, so that only the rules change.
    let options = Options { lanes: Some(18), ..Options::for_sums(0) };
    let record = flush(&scenario, &options).expect("it runs");
    (record.totals.drained_ml, record.left.old_ml)
}

/// Drained where as much old fluid is left as wanted, by bisection of the rules.
fn by_bisection(scenario: &Scenario, wanted_ml: f64) -> f64 {
    let (mut strict, mut lax) = (0.2, 4.0);
    for _ in 0..40 {
        let middle = f64::sqrt(strict * lax);
        if scaled(scenario, middle).1 > wanted_ml { lax = middle } else { strict = middle }
    }
    scaled(scenario, strict).0
}

/// By the study orders share rungs of strictness, and between two of them ln(left) is taken as straight.
#[test]
fn equal_millilitres_as_by_bisection() {
    let cases = [
        ("compact-hatchback", ["LF, RF, RR, LR", "RF, LR, LF, RR", "LR, RR, RF, LF"]),
        ("estate-front-rear-split", ["LF, LR, RF, RR", "RR, LF, RF, LR", "RF, LF, RR, LR"]),
    ];
    for (name, orders) in cases {
        let scenario = shipped(name);
        let question = Question { orders: orders.map(names).to_vec(), ..Question::default() };
        let answer = study(&scenario, &question);
        let wanted = scaled(&scenario, 1.0).1;
        let own = answer.orders.iter().find(|s| s.number == 0).expect("the own order");
        for s in answer.orders.iter().filter(|s| s.number > 0) {
            let other = reordered(&scenario, &s.order, Rules::of(&scenario.procedure)).unwrap();
            let exact = by_bisection(&other, wanted);
            let equal = s.equal.expect("it can be made as clean");
            let here = equal.drained_ml;
            // Nothing else leaves, but for what is drained.
            let saves = own.drained_ml - here;
            assert!((equal.saves_ml - saves).abs() < 1e-6, "{name}: {} {saves}", equal.saves_ml);
            assert!((here - exact).abs() < 0.25, "{name} {:?}: {here} {exact}", s.order);
        }
    }
}

/// Two wheels with the same line, hose and brake on the same circuit: which comes first makes no
/// difference, and nothing else is said.
#[test]
fn twins_are_not_told_apart() {
    let parts = r#"[parts]
"line A" = { kind = "line", from = "primary", length = "3 m ± 10 %" }
A = { kind = "caliper", from = "line A", new_pads = "20 mL" }
"line B" = { kind = "line", from = "secondary", length = "3 m ± 10 %" }
B = { kind = "caliper", from = "line B", new_pads = "20 mL" }
[procedure]
open = ["A", "B"]
until = "clean""#;
    let scenario = read(&scenario_text(&[DOT_4, DIVIDED, parts, VESSEL]));
    let answer = study(&scenario, &Question { draws: 20, ..Question::default() });
    assert_eq!(answer.orders.len(), 2);
    for s in &answer.orders {
        assert!(s.equal.expect("equal").saves_ml.abs() < 1e-6, "{s:?}");
        assert!(!s.told_apart && s.place == 1, "{s:?}");
        // The two lines are one unknown, so every drawn car has twins too.
        assert!(s.saves_ml_p90.flatten().expect("a quantile").abs() < 1e-6, "{s:?}");
    }
    assert_eq!(answer.orders[0].order, ["A", "B"], "the scenario's own stays first");
}

/// Jobs on draws take half the steps: what they say of a difference still lies within the promised half
/// millilitre of jobs with eight times as many, solved for at every step.
#[test]
fn differences_on_draws_keep_the_promise() {
    for (name, orders) in [
        ("compact-hatchback", vec!["LF, RF, LR, RR", "LF, RR, LR, RF", "LR, RF, RR, LF"]),
        ("van-long-lines", vec!["LF, RF, LR, RR", "RF, RR, LF, LR"]),
        ("estate-front-rear-split", vec!["LF, RF, LR, RR", "LF, LR, RF, RR"]),
    ] {
        let orders: Vec<Vec<String>> = orders.into_iter().map(names).collect();
        let scenario = shipped(name);
        let all = Uncertain::new(&scenario, None);
        let columns = all.columns("one", 3, 4);
        let draw = |i: usize| all.draw(|k| columns[k][i]).expect("a circuit");
        for i in 0..4 {
            let drawn = draw(i);
            let fine = Options { steps_per_path: 144.0, lanes: Some(60), ..Options::for_sums(0) };
            let here = savings_ml(&drawn, &orders, &Options::for_draws(0)).unwrap();
            let there = savings_ml(&drawn, &orders, &fine).unwrap();
            for ((x, y), order) in here.iter().zip(&there).zip(&orders) {
                let (x, y) = (x.expect("equal"), y.expect("equal"));
                assert!((x - y).abs() < 0.5, "{name}, draw {i}, {order:?}: {x}, finer {y}");
            }
        }
    }
}

/// Draws are keyed by quantity: an order meets the same vehicles whatever it is compared with.
#[test]
fn an_order_meets_the_same_draws_among_few_as_among_all() {
    let scenario = shipped("compact-hatchback");
    let all = seeded(&scenario, &Question { draws: 20, ..Question::default() }, 9);
    let few = Question { orders: vec![names("LF, RF, LR, RR")], draws: 20, ..Question::default() };
    let few = seeded(&scenario, &few, 9);
    for s in &few.orders {
        let same = all.orders.iter().find(|o| o.order == s.order).expect("among all");
        assert_eq!(s.saves_ml_p10, same.saves_ml_p10);
        assert_eq!(s.saves_ml_p50, same.saves_ml_p50);
        assert_eq!(s.saves_ml_p90, same.saves_ml_p90);
        assert_eq!(s.better_share, same.better_share);
    }
    let own = few.own().expect("the own order");
    assert_eq!(own.saves_ml_p10, Some(Some(0.0)));
    let other = seeded(&scenario, &Question { draws: 20, ..Question::default() }, 10);
    assert!(other.orders.iter().zip(&all.orders).any(|(a, b)| a.saves_ml_p50 != b.saves_ml_p50));
}

/// An order whose rules cannot be scaled so far is not ranked against others by something else.
#[test]
fn what_cannot_be_made_as_clean_saves_nothing_that_could_be_said() {
    let scenario = shipped("compact-hatchback");
    let mut procedure = scenario.procedure.clone();
    for step in &mut procedure.steps {
        if let Action::Open { until, .. } = &mut step.action {
            // Bounds that no threshold passes.
            until.at_least = Some(Quantity::known(100e-6));
            until.at_most = Some(Quantity::known(100.1e-6));
        }
    }
    let scenario = scenario.with_procedure(procedure);
    let answer = study(&scenario, &Question { draws: 20, ..Question::default() });
    let other = answer.orders.iter().find(|s| s.order == names("LF, RF, LR, RR"));
    let other = other.expect("among all");
    assert_eq!(other.equal, None);
    assert!(!other.told_apart);
    assert_eq!(other.saves_ml_p10, Some(None), "a draw without an answer counts as the worst");
    assert_eq!(other.better_share, Some(0.0));
}

/// What another way of doing it saves counts what a syringe takes, with the reservoir as full at the end: the drained
/// millilitres that are saved less those that the syringe takes out.
#[test]
fn the_syringe_is_counted_among_what_else_was_tried() {
    let syringe = "before = [{ syringe = \"70 mL\" }, { top_up = \"180 mL\" }, {";
    let flushed = |text: &str| flush(&read(text), &Options::for_sums(0)).expect("it runs");
    let (own, syringed) = (flushed(HATCHBACK), flushed(&HATCHBACK.replace("before = [{", syringe)));
    let saved = own.totals.drained_ml - syringed.totals.drained_ml;
    assert!((syringed.totals.removed_ml - 110.0).abs() < 1e-6 && saved > 180.0, "{saved}");
    let question = Question { orders: vec![names("LF, RF, LR, RR")], ..Question::default() };
    let answer = study(&read(HATCHBACK), &question);
    let tried = answer.deciders.iter().find(|d| d.what.contains("syringe")).expect("it is tried");
    // The pressure at the end, and so what is pressed into the reservoir, changes nothing here.
    assert!((tried.new_fluid_ml + saved - 110.0).abs() < 0.05, "{} {saved}", tried.new_fluid_ml);
    for s in &answer.orders {
        let equal = s.equal.expect("it can be made as clean");
        let own = answer.own().expect("the own order");
        assert!((own.new_fluid_ml - equal.saves_ml - equal.new_fluid_ml).abs() < 1e-9);
    }
    assert!((answer.own().unwrap().new_fluid_ml - own.totals.new_fluid_ml).abs() < 1e-9);
}
