//! The shipped splits are those of the standard, on one and the same car.
//!
//! Source: DIN 74000, the letters and which brakes each circuit serves (from memory). That every chamber
//! of a caliper has a bleeder of its own: common practice, no source.

use super::{SPLITS, read, text_of};
use farwheel::circuit::{Circuit, RESERVOIR};
use std::collections::{BTreeMap, BTreeSet};
use std::f64::consts::PI;

type Wheels = BTreeSet<String>;

fn circuit(split: &str) -> Circuit {
    read(text_of(split)).circuit().clone()
}

/// Names of the bleeders that a chamber of the master cylinder feeds without going back through the
/// reservoir, found by walking the graph.
fn fed_by(circuit: &Circuit, chamber: usize) -> Vec<String> {
    let mut reached = BTreeSet::from([chamber]);
    let mut next = vec![chamber];
    while let Some(at) = next.pop() {
        for l in &circuit.links {
            for (a, b) in [(l.from, l.to), (l.to, l.from)] {
                if a == at && b != RESERVOIR && reached.insert(b) {
                    next.push(b);
                }
            }
        }
    }
    let on = circuit.bleeders.iter().filter(|b| reached.contains(&b.node));
    on.map(|b| b.name.clone()).collect()
}

/// A bleeder's name begins with its wheel.
fn wheel(bleeder: &str) -> String {
    bleeder.split(' ').next().unwrap().to_owned()
}

/// The wheels of each circuit, the circuit with fewer wheels last.
fn circuits(circuit: &Circuit) -> Vec<Wheels> {
    let chambers = (0..circuit.nodes.len()).filter(|&n| circuit.nodes[n].kind == "master cylinder");
    let mut all: Vec<Wheels> =
        chambers.map(|c| fed_by(circuit, c).iter().map(|b| wheel(b)).collect()).collect();
    all.sort_by_key(|w: &Wheels| (std::cmp::Reverse(w.len()), w.clone()));
    all
}

fn wheels(list: &str) -> Wheels {
    list.split(' ').map(str::to_owned).collect()
}

#[test]
fn each_circuit_serves_the_wheels_that_the_standard_says() {
    for (split, one, other) in [
        ("II", "LF RF", "LR RR"),
        ("X", "LF RR", "LR RF"),
        ("HI", "LF RF LR RR", "LF RF"),
        ("LL", "LF RF LR", "LF RF RR"),
        ("HH", "LF RF LR RR", "LF RF LR RR"),
    ] {
        assert_eq!(circuits(&circuit(split)), [wheels(one), wheels(other)], "{split}");
    }
}

/// Circuits that reach front and rear wheels, and bleeders: 4, 4, 6, 6, 8.
#[test]
fn every_chamber_at_a_wheel_has_its_bleeder() {
    for (split, front, rear, bleeders) in
        [("II", 1, 1, 4), ("X", 1, 1, 4), ("HI", 2, 1, 6), ("LL", 2, 1, 6), ("HH", 2, 2, 8)]
    {
        let c = circuit(split);
        assert_eq!(c.bleeders.len(), bleeders, "{split}");
        let mut reaching: BTreeMap<String, usize> = BTreeMap::new();
        for served in circuits(&c) {
            for w in served {
                *reaching.entry(w).or_default() += 1;
            }
        }
        for (w, n) in reaching {
            assert_eq!(n, if w.ends_with('F') { front } else { rear }, "{split} {w}");
        }
        let nodes: BTreeSet<usize> = c.bleeders.iter().map(|b| b.node).collect();
        assert_eq!(nodes.len(), bleeders, "{split}: two bleeders on one chamber");
    }
}

/// The scenario states the split that its circuit is.
#[test]
fn each_file_is_the_split_that_it_says() {
    for (split, text) in SPLITS {
        let scenario = read(text);
        assert_eq!(scenario.vehicle.split.map(|s| s.words()), Some(split));
        assert!(scenario.title.starts_with(&format!("{split} split")), "{}", scenario.title);
    }
}

/// Fluid in a line of 3.33 mm and a hose of 0.4 m and 3.2 mm.
fn line_and_hose_ml(length_m: f64) -> f64 {
    let area = |bore_m: f64| 0.25 * PI * bore_m * bore_m;
    1e6 * (area(3.33e-3) * length_m + area(3.2e-3) * 0.4)
}

/// One car: what a split holds more than II is in the second lines and hoses, and in nothing else.
#[test]
fn the_car_is_the_same_but_for_the_second_lines() {
    let held = |split: &str| 1e6 * circuit(split).capacity_m3();
    let fronts = line_and_hose_ml(1.8) + line_and_hose_ml(0.8);
    let rears = line_and_hose_ml(5.0) + line_and_hose_ml(4.0);
    for (split, more) in
        [("II", 0.0), ("X", 0.0), ("HI", fronts), ("LL", fronts), ("HH", fronts + rears)]
    {
        let found = held(split) - held("II");
        assert!((found - more).abs() < 1e-6, "{split}: {found} mL more, expected {more}");
    }
}

/// Nothing but the split, the calipers' shares, the parts and the openings differs from file to file.
#[test]
fn the_files_tell_of_one_car() {
    let shared = |text: &str| -> Vec<String> {
        let own = ["title", "#", "split", "front =", "rear =", "open", "    \"", "]"];
        let before_parts = text.split_once("[parts]").expect("parts").0;
        let after_parts = text.split_once("[supplies]").expect("supplies").1;
        before_parts
            .lines()
            .chain(after_parts.lines())
            .filter(|l| !own.iter().any(|o| l.starts_with(o)))
            .map(str::to_owned)
            .collect()
    };
    let first = shared(text_of("II"));
    assert!(first.len() > 25, "{first:?}");
    for (split, text) in SPLITS {
        assert_eq!(shared(text), first, "{split}");
    }
}
