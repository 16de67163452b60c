//! Where all wheels are alike, no order is better than another.

use super::cases;
use super::job::{each_bleeder, read, run};
use crate::common::random::{Branch, Car, car};
use farwheel::job::record::Record;
use farwheel::scenario::procedure::Step;
use proptest::prelude::*;

/// Two or three branches alike behind one chamber.
fn symmetric(mut car: Car, branches: usize) -> Car {
    let mut branch: Branch = car.chambers[0][0].clone();
    branch.ends.truncate(1);
    car.chambers = vec![vec![branch; branches]];
    car.crossover = None;
    car.unit = None;
    car.extras.clear();
    car
}

fn same_in_any_order(
    car: &Car,
    branches: usize,
    turns: usize,
    rule: &str,
) -> Result<(), TestCaseError> {
    let text = each_bleeder(car, rule)?;
    let here = read(&text)?;
    // Two halves of a caliper are no wheels alike: they keep their order.
    let mut procedure = here.procedure.clone();
    let each = procedure.steps.len() / branches;
    let wheels = procedure.steps.chunks(each).map(<[Step]>::to_vec);
    let mut wheels: Vec<Vec<Step>> = wheels.rev().collect();
    wheels.rotate_left(turns % branches);
    procedure.steps = wheels.concat();
    let there = here.with_procedure(procedure);
    let (a, b) = (run(&here, &text)?, run(&there, &text)?);
    let sums = |r: &Record| [r.totals.drained_ml, r.totals.flow_seconds, r.left.old_ml];
    let at_each = |r: &Record| r.openings.iter().map(|o| o.drained_ml).collect::<Vec<_>>();
    let pairs =
        || sums(&a).into_iter().zip(sums(&b)).chain(at_each(&a).into_iter().zip(at_each(&b)));
    prop_assert!(
        pairs().all(|(x, y)| (x - y).abs() <= 1e-6 * (1.0 + x.abs())),
        "drained in all, seconds, left, drained at each: {:?} in\n{text}",
        pairs().collect::<Vec<_>>()
    );
    Ok(())
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn a_symmetric_cars_orders_come_to_the_same(
        car in car(),
        branches in 2..4_usize,
        turns in 0..3_usize,
        rule in prop_oneof![Just("clean, at most 250 mL"), Just("30 mL"), Just("20 s")],
    ) {
        same_in_any_order(&symmetric(car, branches), branches, turns, rule)?;
    }
}
