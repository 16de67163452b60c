//! Vehicles described by what can be seen, beside what they measure: the rules against lengths and volumes that were
//! written down without sight of the rules (`vehicles.toml`).

use farwheel::describe::{Answers, describe};
use farwheel::scenario::quantities::Address;
use serde::Deserialize;
use std::collections::BTreeMap;

#[derive(Deserialize)]
struct Vehicles {
    vehicle: Vec<Vehicle>,
}

/// What a vehicle measures: m, mm and mL.
#[derive(Deserialize)]
struct Vehicle {
    name: String,
    kind: String,
    wheelbase_m: f64,
    track_m: f64,
    reservoir_side: Option<String>,
    /// Where the ABS unit is not beside the reservoir.
    unit_side: Option<String>,
    split: Option<String>,
    abs: bool,
    rear: Option<String>,
    rear_line_mm: Option<f64>,
    front_pistons: Vec<f64>,
    master_bore_mm: Option<f64>,
    lengths_m: BTreeMap<String, f64>,
    #[serde(default)]
    hose_m: BTreeMap<String, f64>,
    #[serde(default)]
    to_unit_m: Vec<f64>,
    front_caliper_ml: [f64; 2],
    rear_ml: Option<[f64; 2]>,
    master_chamber_ml: Vec<f64>,
    reservoir_min_ml: Option<f64>,
    reservoir_max_ml: f64,
    reservoir_brim_ml: Option<f64>,
}

impl Vehicle {
    /// What a person at it sees; with `tape` also what a tape and a parts list tell.
    fn answers(&self, tape: bool) -> Answers {
        let mut answers = Answers::default();
        let mut give = |id: &str, text: &str| {
            answers.give(id, text).unwrap_or_else(|w| panic!("{id} = {text}: {}", w.what));
        };
        give("kind", &self.kind);
        give("abs", if self.abs { "yes" } else { "no" });
        // A piston on each side moves as much as one on a side that pulls the caliper along.
        let opposed_pair = self.rear.as_deref() == Some("drums") && self.kind == "roadster";
        let number = if opposed_pair { 1 } else { self.front_pistons.len() };
        give("front_caliper", &number.to_string());
        for (id, answer) in [
            ("reservoir_side", &self.reservoir_side),
            ("unit_side", &self.unit_side),
            ("split", &self.split),
            ("rear", &self.rear),
        ] {
            if let (Some(answer), true) = (answer, self.kind != "motorcycle") {
                give(id, answer);
            }
        }
        if let (Some(mm), "pickup" | "van") = (self.rear_line_mm, self.kind.as_str()) {
            give("rear_line", &format!("{mm} mm"));
        }
        if let (true, Some(mm)) = (tape, self.master_bore_mm) {
            give("master_bore", &format!("{mm} mm"));
        }
        if tape && self.kind != "motorcycle" {
            give("wheelbase", &format!("{} m", self.wheelbase_m));
            give("track", &format!("{} m", self.track_m));
            give("front_piston", &format!("{} mm", self.front_pistons[0]));
        }
        answers
    }

    /// What it measures, by table and key of the scenario; SI.
    fn measures(&self) -> Vec<(String, f64)> {
        let mut out = Vec::new();
        let mut is = |name: &str, key: &str, si: f64| out.push((format!("{name}.{key}"), si));
        let ml = 1e-6;
        is("reservoir", "max", ml * self.reservoir_max_ml);
        for (mark, volume) in [("min", self.reservoir_min_ml), ("brim", self.reservoir_brim_ml)] {
            if let Some(volume) = volume {
                is("reservoir", mark, ml * volume);
            }
        }
        let chambers = self.master_chamber_ml.len() as f64;
        is("master_cylinder", "volume", ml * self.master_chamber_ml.iter().sum::<f64>() / chambers);
        let motorcycle = self.kind == "motorcycle";
        for (wheel, m) in &self.lengths_m {
            match (motorcycle, wheel.as_str()) {
                (true, "upper_hose") => is("upper hose", "length", *m),
                (true, "lower_hose_R") => is("hose right", "length", *m),
                (true, _) => is("hose left", "length", *m),
                (false, "trunk") => is("rear trunk", "length", *m),
                (false, wheel) => is(&format!("line {wheel}"), "length", *m),
            }
        }
        for (wheel, m) in self.hose_m.iter().filter(|(_, m)| **m > 0.0) {
            match wheel.as_str() {
                "axle" => is("axle hose", "length", *m),
                wheel => is(&format!("hose {wheel}"), "length", *m),
            }
        }
        for (m, circuit) in self.to_unit_m.iter().zip(["primary", "secondary"]) {
            is(&format!("pipe {circuit}"), "length", *m);
        }
        let front = if motorcycle { ["right", "left"] } else { ["RF", "LF"] };
        for wheel in front {
            is(wheel, "new_pads", ml * self.front_caliper_ml[0]);
            is(wheel, "worn_pads", ml * self.front_caliper_ml[1]);
        }
        if let (Some([new, worn]), false) = (self.rear_ml, motorcycle) {
            let drums = self.rear.as_deref() == Some("drums");
            let keys = if drums { ["volume", "worn_shoes"] } else { ["new_pads", "worn_pads"] };
            for wheel in ["RR", "LR"] {
                is(wheel, keys[0], ml * new);
                is(wheel, keys[1], ml * worn);
            }
        }
        out
    }
}

/// Values and half-widths of a described car by table and key, SI.
fn described(answers: &Answers) -> BTreeMap<String, (f64, f64)> {
    let car = describe(answers).unwrap_or_else(|w| panic!("{}; {}", w.what, w.remedy));
    let scenario = farwheel::read(&car.text, "described.toml").unwrap_or_else(|m| panic!("{m}"));
    let mut tables = (*scenario).clone();
    let found = tables.quantities_mut().into_iter().filter_map(|(at, _, q)| match at {
        Address::Key(at, key) => {
            let name = &scenario.written(at).name;
            let name = name.strip_prefix("parts.").unwrap_or(name);
            Some((format!("{name}.{key}"), (q.value, q.half_width())))
        }
        Address::Step(..) => None,
    });
    found.collect()
}

/// Share of what the vehicles of a file measure that lies within what is told of them.
fn inside(text: &str, tape: bool) -> f64 {
    let vehicles: Vehicles = toml::from_str(text).expect("the vehicles");
    let (mut inside, mut all) = (0, 0);
    for v in &vehicles.vehicle {
        let told = described(&v.answers(tape));
        for (key, measured) in v.measures() {
            let (value, half) =
                told.get(&key).unwrap_or_else(|| panic!("{}: no {key} in {told:?}", v.name));
            assert!(*half > 0.0, "{}: {key} is told without a spread", v.name);
            let off = (measured - value) / half;
            all += 1;
            inside += u32::from(off.abs() <= 1.0);
            if off.abs() > 1.0 {
                println!("{} {key}: {measured:.2e} told {value:.2e} ± {half:.1e}", v.name);
            }
        }
    }
    println!("{inside} of {all} inside{}", if tape { ", with tape and parts list" } else { "" });
    assert!(all > 150, "only {all} measures");
    f64::from(inside) / f64::from(all)
}

/// A spread holds nine in ten.
const INSIDE: f64 = 0.9;

#[test]
fn the_rules_hold_for_the_vehicles_they_were_fitted_to() {
    for tape in [false, true] {
        let inside = inside(include_str!("vehicles.toml"), tape);
        assert!(inside >= INSIDE, "{inside}");
    }
}

#[test]
fn the_rules_hold_for_vehicles_they_were_not_fitted_to() {
    for tape in [false, true] {
        let inside = inside(include_str!("vehicles_unseen.toml"), tape);
        assert!(inside >= INSIDE, "{inside}");
    }
}
