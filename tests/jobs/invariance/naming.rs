//! Names, left and right, and the order in the file have no say.

use super::cases;
use super::compare::difference_in_all;
use super::job::{read, run};
use crate::common::random::{Car, car};
use farwheel::Scenario;
use farwheel::keys::Slot;
use farwheel::scenario::procedure::Action;
use proptest::prelude::*;
use std::collections::BTreeMap;

/// Every name of a chamber, outlet, part and bleeder.
fn names(s: &Scenario) -> Vec<String> {
    let mut all: Vec<String> = s.master_cylinder.chambers.clone();
    all.extend(s.reservoir.outlets.iter().cloned());
    for p in &s.parts {
        all.push(p.name.clone());
        all.extend(p.bleeders.iter().cloned());
    }
    let mut seen = std::collections::BTreeSet::new();
    all.retain(|n| seen.insert(n.clone()));
    all
}

/// The scenario with every name changed.
fn renamed(s: &Scenario, to: &BTreeMap<String, String>) -> Scenario {
    let change = |name: &mut String| {
        if let Some(new) = to.get(name) {
            name.clone_from(new);
        }
    };
    let renamed = s.changed(|out| {
        for (_, _, table) in out.tables_mut() {
            table.each(&mut |_, slot| {
                if let Slot::Names(list) = slot {
                    list.iter_mut().for_each(change);
                }
            });
        }
        for p in &mut out.parts {
            change(&mut p.name);
            p.written.name = format!("parts.{}", p.name);
            p.from.iter_mut().chain(&mut p.to).chain(&mut p.bleeders).for_each(change);
        }
        for step in &mut out.procedure.steps {
            match &mut step.action {
                Action::Open { bleeders, .. } => bleeders.iter_mut().for_each(change),
                Action::WorkModulator { modulator, channels, bleeders, .. } => {
                    change(modulator);
                    channels.iter_mut().chain(bleeders).for_each(change);
                }
                _ => {}
            }
        }
    });
    renamed.expect("the same circuit")
}

fn check(car: &Car, mirrored: bool) -> Result<(), TestCaseError> {
    let text = car.toml();
    let s = read(&text)?;
    let old = names(&s);
    let new: Vec<String> = match mirrored {
        true => old.iter().rev().cloned().collect(),
        false => (0..old.len()).map(|i| format!("n{}", 900 - i)).collect(),
    };
    let to: BTreeMap<String, String> = old.into_iter().zip(new).collect();
    let (a, b) = (run(&s, &text)?, run(&renamed(&s, &to), &text)?);
    // Modulators make names of their own; their order is that of the file, so that they are found by place.
    let place = |r: &farwheel::job::record::Record, name: &str| {
        r.left.parts.iter().position(|p| p.part == name)
    };
    let named = |name: &str| match to.get(name) {
        Some(new) => new.clone(),
        None => place(&a, name).map_or_else(|| name.to_owned(), |i| b.left.parts[i].part.clone()),
    };
    let found = difference_in_all(&a, &b, named, 0.0);
    prop_assert!(
        found.is_none(),
        "{} after renaming by {to:?}, in\n{text}",
        found.unwrap_or_default()
    );
    Ok(())
}

fn shuffled(car: &Car, by: &[u64]) -> Result<(), TestCaseError> {
    let text = car.toml();
    let s = read(&text)?;
    let other = s.changed(|other| {
        let mut keyed: Vec<_> = other.parts.drain(..).zip(by.iter().cycle()).collect();
        keyed.sort_by_key(|(_, k)| **k);
        other.parts = keyed.into_iter().map(|(p, _)| p).collect();
        other.supplies.reverse();
    });
    let other = other.expect("a circuit");
    let (a, b) = (run(&s, &text)?, run(&other, &text)?);
    let found = difference_in_all(&a, &b, str::to_owned, 1e-6);
    let order: Vec<&str> = other.parts.iter().map(|p| p.name.as_str()).collect();
    prop_assert!(
        found.is_none(),
        "{} with the parts as {order:?}, in\n{text}",
        found.unwrap_or_default()
    );
    Ok(())
}

proptest! {
    #![proptest_config(cases(100))]

    #[test]
    fn names_have_no_say(car in car()) {
        check(&car, false)?;
    }

    #[test]
    fn a_mirror_image_gives_the_mirror_image(car in car()) {
        check(&car, true)?;
    }

    #[test]
    fn the_order_in_the_file_has_no_say(car in car(), by in prop::collection::vec(any::<u64>(), 17)) {
        shuffled(&car, &by)?;
    }
}

/// Bleeders opened together are open together: seconds are the same whichever is named first. They drain at different
/// speeds, and their steps are as long as the one lets them be that needs the shortest.
#[test]
fn of_bleeders_opened_together_none_is_the_first() {
    let text = include_str!("../../../scenarios/compact-hatchback.toml");
    let (vehicle, _) = text.split_once("[procedure]").expect("a procedure");
    let seconds = |named: &str| {
        let procedure = format!("steps = [{{ open = [{named}], until = \"clean\" }}]");
        let text = format!("{vehicle}[procedure]\nsupply = \"pressure bleeder\"\n{procedure}\n");
        let car = read(&text).expect("it reads");
        run(&car, &text).expect("it runs").totals.flow_seconds
    };
    let (near, far) = (seconds(r#""LF", "RR""#), seconds(r#""RR", "LF""#));
    assert!((near / far - 1.0).abs() < 1e-6, "{near} s and {far} s");
}
