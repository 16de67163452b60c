//! What a program makes of the library's public parts by mistake: it gets an error, or an answer, but never a panic.

use farwheel::Scenario;
use farwheel::job::options::Options;
use farwheel::job::{check, flush};
use farwheel::keys::{Quantity, Slot};
use farwheel::scenario::model::Tables;
use farwheel::scenario::procedure::Action;

const CARS: [&str; 4] = [
    include_str!("../../scenarios/compact-hatchback.toml"),
    include_str!("../../scenarios/saloon-esc-plain-flush.toml"),
    include_str!("../../scenarios/coupe-twin-bleeders.toml"),
    include_str!("../../scenarios/hatchback-with-clutch.toml"),
];

fn cars() -> impl Iterator<Item = Scenario> {
    CARS.iter().map(|text| farwheel::read(text, "car.toml").expect("a shipped scenario"))
}

/// Whether a circuit came of it.
fn goes_through(car: &Scenario, change: impl FnOnce(&mut Tables)) -> bool {
    let Ok(changed) = car.changed(change) else { return false };
    let _ = check(&changed, &Options::default());
    let _ = flush(&changed, &Options::for_draws(0));
    true
}

#[test]
fn no_figure_makes_it_panic() {
    let (mut refused, mut run) = (0, 0);
    for car in cars() {
        let count = car.changed(|_| ()).map(|c| Tables::clone(&c).quantities_mut().len());
        for i in 0..count.expect("a circuit") {
            for figure in [f64::NAN, f64::INFINITY, -1.0, 0.0] {
                let set = |tables: &mut Tables| {
                    *tables.quantities_mut().swap_remove(i).2 = Quantity::known(figure);
                };
                match goes_through(&car, set) {
                    true => run += 1,
                    false => refused += 1,
                }
            }
            let scaled = |factor: f64| {
                move |tables: &mut Tables| {
                    let q = tables.quantities_mut().swap_remove(i).2;
                    *q = Quantity::known(factor * q.value);
                }
            };
            for factor in [1e-6, 0.1, 10.0, 1e3] {
                goes_through(&car, scaled(factor));
            }
        }
    }
    assert!(refused > 1000 && run > 50, "{refused} refused, {run} run");
}

#[test]
fn no_missing_table_or_name_makes_it_panic() {
    for car in cars() {
        for i in 0..car.parts.len() {
            goes_through(&car, |t| drop(t.parts.remove(i)));
            goes_through(&car, |t| t.parts[i].from.clear());
            goes_through(&car, |t| t.parts[i].bleeders.clear());
            goes_through(&car, |t| t.parts[i].to = Some(t.parts[0].name.clone()));
            goes_through(&car, |t| t.parts[i].name = t.parts[0].name.clone());
            goes_through(&car, |t| t.parts[i].from = vec![t.parts[i].name.clone()]);
            goes_through(&car, |t| t.parts[i].kind = t.parts[0].kind.clone());
        }
        goes_through(&car, |t| t.parts.clear());
        goes_through(&car, |t| t.supplies.clear());
        goes_through(&car, |t| t.procedure.steps.clear());
        goes_through(&car, |t| t.procedure.tasks.supply = Some("none".to_owned()));
        for tables in 0..2 {
            goes_through(&car, |t| {
                let lists = [&mut t.master_cylinder.chambers, &mut t.reservoir.outlets];
                lists.into_iter().nth(tables).expect("a list").clear();
            });
        }
        goes_through(&car, |t| {
            for (_, _, table) in t.tables_mut() {
                table.each(&mut |_, slot| {
                    if let Slot::Names(list) = slot {
                        list.push("nobody".to_owned());
                    }
                });
            }
        });
        goes_through(&car, |t| {
            for step in &mut t.procedure.steps {
                if let Action::Open { bleeders, .. } = &mut step.action {
                    bleeders.push("nobody".to_owned());
                }
            }
        });
    }
    assert!(Scenario::new(Tables::default()).is_err());
}

#[test]
fn no_options_make_it_panic() {
    let car = cars().next().expect("a car");
    for lanes in [0, 1, 4] {
        let options = Options { lanes: Some(lanes), ..Options::for_draws(0) };
        flush(&car, &options).expect("an answer");
    }
    for steps_per_path in [0.1, 1.0, 5.0] {
        let options = Options { steps_per_path, estimate_error: true, ..Options::default() };
        flush(&car, &options).expect("an answer");
    }
    let options = Options { supply: Some("none".to_owned()), ..Options::default() };
    assert!(flush(&car, &options).is_err());
}
