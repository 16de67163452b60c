//! A made-up check report for the tests: plausible figures, none of them computed.

use farwheel::job::check::{
    CheckReport, DefaultLine, FluidLine, LeakTest, LineLine, PartLine, PathLine, VehicleLine,
};
use farwheel::job::record::{ScenarioName, Warning, WarningKind};
use farwheel::study::guesses::{LookedOver, Worth};

/// The fixture.
pub fn fixture_check() -> LookedOver {
    let guess = |quantity: &str, why: &str, share_of_drained, share_of_old_left| Worth {
        quantity: quantity.into(),
        why: why.into(),
        share_of_drained,
        share_of_old_left,
    };
    let guesses = vec![
        guess("threshold of clear hose", "eyes and light differ", 0.47, 0.79),
        guess("level of reservoir", "nobody looked, and MAX is itself a guess", 0.4, 0.04),
        guess("length of line LF", "0.55 of the track width", 0.004, 0.0),
    ];
    LookedOver { check: check(), guesses }
}

fn check() -> CheckReport {
    let part = |part: &str, kind, volume_ml, from: &[&str]| PartLine {
        part: part.into(),
        kind,
        volume_ml,
        from: from.iter().map(|f| (*f).into()).collect(),
    };
    let path = |bleeder: &str, path_ml, side: &str| PathLine {
        length_m: 5.4,
        bleeder: bleeder.into(),
        parts: [side, &format!("line {bleeder}"), &format!("hose {bleeder}"), bleeder]
            .map(Into::into)
            .to_vec(),
        path_ml,
    };
    CheckReport {
        farwheel: "0.1.0",
        scenario: ScenarioName {
            title: "Compact hatchback, diagonal split, pressure bleeder, far wheel first by eye".into(),
            file: "scenarios/compact-hatchback.toml".into(),
            set: Vec::new(),
        },
        fluids: vec![
            FluidLine {
                role: "old fluid",
                grade: "DOT 3".into(),
                water_percent: 2.5,
                boiling_c: 152.4,
                viscosity_mm2_per_s: 14.2,
                density_kg_per_m3: 1042.0,
            },
            FluidLine {
                role: "new fluid",
                grade: "DOT 4".into(),
                water_percent: 0.1,
                boiling_c: 258.0,
                viscosity_mm2_per_s: 16.9,
                density_kg_per_m3: 1061.0,
            },
        ],
        parts: vec![
            part("reservoir", "reservoir", 200.0, &[]),
            part("primary", "master cylinder chamber", 12.0, &["reservoir"]),
            part("secondary", "master cylinder chamber", 12.0, &["reservoir"]),
            part("line RR", "line", 43.5, &["secondary"]),
            part("hose RR", "hose", 3.2, &["line RR"]),
            part("RR", "caliper", 10.6, &["hose RR"]),
            part("crossover", "line", 4.4, &["RR", "LR"]),
        ],
        capacity_ml: 432.1,
        paths: vec![path("RR", 69.3, "secondary"), path("LR", 60.6, "primary")],
        leak_test: Some(LeakTest { gauge_before_kpa: 103.4, gauge_after_kpa: 96.1 }),
        lines: vec![
            LineLine { part: "line RR".into(), transit_s: 33.2, diffusion_number: 0.0012, overturn_s: Some(412.0) },
            LineLine { part: "hose RR".into(), transit_s: 2.4, diffusion_number: 0.00009, overturn_s: None },
        ],
        defaults: vec![
            DefaultLine { table: "clear_hose".into(), key: "threshold", value: "20 %".into() },
            DefaultLine { table: "like.front".into(), key: "stages", value: "2".into() },
        ],
        warnings: vec![Warning {
            kind: WarningKind::SupplyRunsDry,
            text: "The supply is loaded with 1000 mL and this procedure may want 1100 mL: load more, or top up.".into(),
        }],
        vehicle: VehicleLine {
            steering: Some("left".into()),
            split: Some("X".into()),
            note: None,
            kind: None,
        },
    }
}
