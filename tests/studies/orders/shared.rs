//! Jobs that share their beginnings give what each gives alone.

use super::shipped;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::study::order::{Rules, reordered};
use farwheel::study::orders::{self, Orders, Question};
use farwheel::study::progress::Nobody;

fn study(name: &str, question: &Question, options: &Options) -> Orders {
    orders::study(&shipped(name), question, options, &Nobody).expect("it can be studied")
}

/// Every order of a study against the same order written into the scenario and flushed alone: not close,
/// but the same.
fn as_when_run_alone(name: &str, question: &Question) {
    let scenario = shipped(name);
    let answer = study(name, question, &Options::default());
    let rules = Rules::of(&scenario.procedure);
    for s in &answer.orders {
        let other = reordered(&scenario, &s.order, rules).expect("an order of its bleeders");
        let alone = flush(&other, &Options::for_sums(0)).expect("it runs");
        assert_eq!(s.drained_ml, alone.totals.drained_ml, "{name}: {:?}", s.order);
        assert_eq!(s.flow_seconds, alone.totals.flow_seconds, "{name}: {:?}", s.order);
        assert_eq!(s.lowest_boiling_c, alone.left.lowest_boiling_c, "{name}: {:?}", s.order);
        // Parts are added up in another order.
        let close = (s.left_old_ml - alone.left.old_ml).abs() <= 1e-12 * alone.left.old_ml;
        assert!(close, "{name}: {:?}: {} {}", s.order, s.left_old_ml, alone.left.old_ml);
    }
}

#[test]
fn all_orders_by_eye() {
    as_when_run_alone("compact-hatchback", &Question::default());
}

#[test]
fn all_orders_by_count() {
    as_when_run_alone("estate-front-rear-split", &Question::default());
}

#[test]
fn with_a_syringe_first_several_bleeders_at_once_and_a_second_pass() {
    for name in ["compact-hatchback-syringed", "roadster-gravity", "saloon-esc-with-routine"] {
        as_when_run_alone(name, &Question::default());
    }
}

#[test]
fn with_another_supply_and_some_orders_only() {
    let some = ["RF, LF, LR, RR", "LR, RR, LF, RF", "LR, RR, RF, LF"].map(super::names).to_vec();
    let pedal = Options { supply: Some("pedal".to_owned()), ..Options::default() };
    let question = Question { orders: some, ..Question::default() };
    let answer = study("compact-hatchback", &question, &pedal);
    assert_eq!(answer.orders.len(), 4, "the scenario's own beside those named");
    let pedal = Options { supply: Some("pedal".to_owned()), ..Options::for_sums(0) };
    for s in &answer.orders {
        let scenario = reordered(&shipped("compact-hatchback"), &s.order, Rules::WithBleeder);
        let alone = flush(&scenario.expect("an order"), &pedal).expect("it runs");
        assert_eq!(s.drained_ml, alone.totals.drained_ml, "{:?}", s.order);
    }
}

/// What is left out of a job of sums changes no sum; an endless supply changes them by the rounding of its
/// large volume alone.
#[test]
fn jobs_for_sums_come_to_what_a_flush_comes_to() {
    for name in ["compact-hatchback", "pickup-rear-drums", "off-roader-eight-bleeders"] {
        let scenario = shipped(name);
        let run = |options: &Options| flush(&scenario, options).expect("it runs");
        let whole = run(&Options { origins: false, estimate_error: false, ..Options::default() });
        let lean = run(&Options { endless: false, ..Options::for_sums(0) });
        assert_eq!((&whole.left, &whole.totals), (&lean.left, &lean.totals), "{name}");
        let endless = run(&Options::for_sums(0));
        let close = |x: f64, y: f64| (x - y).abs() < 1e-8 * x.abs();
        assert!(close(whole.left.old_ml, endless.left.old_ml), "{name}");
        assert!(close(whole.totals.drained_ml, endless.totals.drained_ml), "{name}");
        assert!(close(whole.totals.bay_seconds, endless.totals.bay_seconds), "{name}");
    }
}
