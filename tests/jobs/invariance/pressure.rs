//! Millilitres do not depend on the pressure where nothing goes by the clock and no air is under the cap.

use super::cases;
use super::compare::difference;
use super::job::{each_bleeder, run_text};
use crate::common::random::{Car, car};
use proptest::prelude::*;

/// A tree pushed by the vessel, without valves that yield to pressure and pockets that go by the clock, as a part of any
/// kind may.
fn steady(car: Car) -> Car {
    let mut car = car.plain();
    car.supply = "vessel";
    car.crossover = None;
    for end in car.chambers.iter_mut().flatten().flat_map(|b| &mut b.ends) {
        end.pocket_time = false;
        end.halves = false;
        if end.valve.0 < 2 {
            end.valve.0 = 7;
        }
    }
    car
}

/// Filled to the brim, the feed hose full, looked at without a clock, pumped to so many psi and never again.
fn at_psi(text: &str, psi: f64) -> Result<String, TestCaseError> {
    let vessel = "loaded = \"2.5 L\"\ngauge = \"15 psi\"\nre_pump_below = \"10 psi\"";
    let level = text.lines().find(|l| l.starts_with("level = ")).unwrap_or("");
    prop_assert!(
        text.contains(vessel) && !level.is_empty(),
        "the generator writes another vessel: {text}"
    );
    let other = format!(
        "loaded = \"2.5 L\"\ngauge = \"{psi} psi\"\nfeed_hose_holds = \"new fluid\"\nshell = \"40 L\""
    );
    let at_once = "[clear_hose]\nleast_look = \"0 s\"\n[parts]";
    let text = text.replacen(vessel, &other, 1).replacen(level, "level = \"270 mL\"", 1);
    Ok(text.replacen("[parts]", at_once, 1))
}

fn same_at(car: &Car, psi: f64, rule: &str) -> Result<(), TestCaseError> {
    let text = each_bleeder(car, rule)?;
    let (a, b) = (at_psi(&text, 15.0)?, at_psi(&text, psi)?);
    let found = difference(&run_text(&a)?, &run_text(&b)?, str::to_owned, 1e-6);
    let what = found.as_deref().unwrap_or_default();
    prop_assert!(found.is_none(), "{what} at {psi} psi instead of 15, in\n{a}");
    Ok(())
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn pressure_has_no_say_in_millilitres(
        car in car(),
        psi in 6.0..30.0_f64,
        rule in prop_oneof![Just("clean, at least 20 mL, at most 300 mL"), Just("35 mL")],
    ) {
        same_at(&steady(car), psi, rule)?;
    }
}
