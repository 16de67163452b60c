//! Where all wheels are alike, no order is better than another.

use crate::cases;
use crate::common::random::{Branch, Car, car};
use crate::job::{each_bleeder, read, run};
use farwheel::scenario::procedure::Step;
use proptest::prelude::*;

/// Two or three branches alike behind one chamber.
fn symmetric(mut car: Car, branches: usize) -> Car {
    let mut branch: Branch = car.chambers[0][0].clone();
    branch.ends.truncate(1);
    car.chambers = vec![vec![branch; branches]];
    car.crossover = None;
    car.unit = None;
    car
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
        let car = symmetric(car, branches);
        let text = each_bleeder(&car, rule)?;
        let here = read(&text)?;
        let mut there = here.clone();
        // Two halves of a caliper are no wheels alike: they keep their order.
        let each = there.procedure.steps.len() / branches;
        let wheels: Vec<Vec<Step>> = there.procedure.steps.chunks(each).map(<[Step]>::to_vec).collect();
        let mut wheels: Vec<_> = wheels.into_iter().rev().collect();
        wheels.rotate_left(turns % branches);
        there.procedure.steps = wheels.concat();
        let (a, b) = (run(&here, &text)?, run(&there, &text)?);
        let same = |x: f64, y: f64| (x - y).abs() <= 1e-6 * (1.0 + x.abs());
        prop_assert!(same(a.totals.drained_ml, b.totals.drained_ml), "{} and {} mL drained in\n{text}", a.totals.drained_ml, b.totals.drained_ml);
        prop_assert!(same(a.totals.flow_seconds, b.totals.flow_seconds), "{} and {} s in\n{text}", a.totals.flow_seconds, b.totals.flow_seconds);
        prop_assert!(same(a.left.old_ml, b.left.old_ml), "{} and {} mL left in\n{text}", a.left.old_ml, b.left.old_ml);
        for (x, y) in a.openings.iter().zip(&b.openings) {
            prop_assert!(same(x.drained_ml, y.drained_ml), "{x:?}\n{y:?}\n{text}");
        }
    }
}
