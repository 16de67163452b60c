//! Nothing is lost: volume, old fluid, every origin and water, over random circuits and procedures.
//!
//! The bound is that of the design: 1e-9 of what is in the system, at every step. What each part holds
//! is integrated afresh for the check, not carried over from the steps.

mod common;

use common::random::{Car, car};
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::{parts, supply};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{RngSeed, TestRunner};
use std::collections::BTreeSet;

fn options() -> Options {
    Options {
        steps_per_path: 10.0,
        lanes: Some(6),
        estimate_error: false,
        check_every_step: true,
        ..Options::default()
    }
}

fn conserves(car: &Car) -> Result<(), TestCaseError> {
    let text = car.toml();
    let scenario = farwheel::read(&text, "random.toml")
        .map_err(|m| TestCaseError::fail(format!("not read:\n{text}\n{m}")))?;
    let record = flush(&scenario, &options())
        .map_err(|e| TestCaseError::fail(format!("not run:\n{text}\n{e}")))?;
    let holds: f64 = record.left.parts.iter().map(|p| p.volume_ml).sum::<f64>()
        + record.totals.drained_ml
        + record.totals.removed_ml;
    let bound = 1e-9 * holds;
    let b = record.balance;
    prop_assert!(
        b.volume_error_ml < bound,
        "volume {} of {holds} mL in\n{text}",
        b.volume_error_ml
    );
    prop_assert!(b.old_error_ml < bound, "old fluid {} of {holds} mL in\n{text}", b.old_error_ml);
    prop_assert!(b.water_error_g < bound, "water {} of {holds} mL in\n{text}", b.water_error_g);
    for part in &record.left.parts {
        prop_assert!((0.0..=1.0).contains(&part.old_fraction), "{part:?}");
        prop_assert!(part.water_percent >= 0.0 && part.boiling_c.is_finite(), "{part:?}");
        prop_assert!(part.lowest_boiling_c <= part.boiling_c, "{part:?}");
        let of_pocket = part.pocket_boiling_c.unwrap_or(f64::INFINITY);
        prop_assert!(part.lowest_boiling_c <= of_pocket, "{part:?}");
    }
    for o in &record.openings {
        let sum: f64 = o.origins_ml.iter().map(|x| x.1).sum();
        prop_assert!((sum - o.drained_ml).abs() < 1e-9 * (1.0 + o.drained_ml), "{o:?}");
        // Nor is rounding shown as fluid: what has not come is nothing.
        prop_assert!(o.origins_ml.iter().all(|x| x.1.is_sign_positive()), "{:?}", o.origins_ml);
        for p in &o.curve {
            prop_assert!((-1e-9..=1.0 + 1e-9).contains(&p.seen_old_fraction), "{p:?}");
            prop_assert!((-1e-9..=1.0 + 1e-9).contains(&p.leaving_old_fraction), "{p:?}");
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, ..ProptestConfig::default() })]

    #[test]
    fn random_circuits_and_procedures_lose_nothing(car in car()) {
        conserves(&car)?;
    }
}

/// Parts and supplies of every kind there is are among the cars, so that a kind added later is, too.
#[test]
fn every_kind_is_among_the_cars() {
    let mut runner = TestRunner::new(ProptestConfig {
        rng_seed: RngSeed::Fixed(1),
        failure_persistence: None,
        ..ProptestConfig::default()
    });
    let (mut parts, mut supplies) = (BTreeSet::new(), BTreeSet::new());
    for _ in 0..300 {
        let text = car().new_tree(&mut runner).expect("a car").current().toml();
        let s = farwheel::read(&text, "random.toml").unwrap_or_else(|m| panic!("{text}\n{m}"));
        parts.extend(s.parts.iter().map(|p| p.word()));
        let pushes = s.supply(None).expect("it is named");
        supplies.extend([pushes.kind.word()]);
    }
    let missed = |all: Vec<&'static str>, seen: &BTreeSet<&str>| -> Vec<&str> {
        all.into_iter().filter(|word| !seen.contains(word)).collect()
    };
    let all = parts::Kind::all().iter().map(|k| k.spec().name).collect();
    assert_eq!(missed(all, &parts), [""; 0], "no part of these kinds");
    let all = supply::Kind::all().iter().map(|k| k.word()).collect();
    assert_eq!(missed(all, &supplies), [""; 0], "no supply of these kinds pushes");
}
