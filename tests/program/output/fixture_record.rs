//! A made-up record for the tests of reports and pictures: smooth curves, plausible figures, sums that
//! agree. Nothing in it was simulated, and no test may take a figure of it for physics.

use farwheel::circuit::place::Place;
use farwheel::job::record::joined::{Between, Joined, Meeting};
use farwheel::job::record::region::{Belongs, Sort};
use farwheel::job::record::{
    Balance, CleanState, ClosedBy, CurvePoint, Does, FluidBook, Left, Numerics, Opening, PartLeft,
    Record, ScenarioName, StepDone, SupplyPoint, Totals, Warning, WarningKind,
};
use farwheel::keys::Role;

/// Bleeder, drained mL, clean-at mL, opened s, flow mL/s, gauge before and after kPa, and its origins in mL.
type Row = (&'static str, f64, f64, f64, f64, f64, f64, [f64; 7]);

const ORIGINS: [&str; 7] = [
    "reservoir",
    "master cylinder",
    "shared line",
    "own line",
    "caliper",
    "another circuit",
    "new fluid",
];

const ROWS: [Row; 4] = [
    ("RR", 262.4, 236.1, 240.0, 1.31, 103.4, 90.2, [118.2, 12.6, 0.0, 46.0, 11.4, 0.02, 74.18]),
    ("LR", 171.3, 152.0, 500.0, 1.52, 90.2, 83.1, [48.1, 11.9, 0.0, 37.4, 11.2, 0.0, 62.7]),
    ("RF", 121.8, 104.4, 672.0, 2.05, 83.1, 78.9, [17.5, 0.8, 0.0, 18.3, 23.5, 0.0, 61.7]),
    ("LF", 76.2, 58.9, 790.0, 2.44, 78.9, 76.0, [4.9, 0.4, 0.0, 9.6, 22.2, 0.0, 39.1]),
];

/// The fixture.
pub fn fixture_record() -> Record {
    let openings: Vec<Opening> = ROWS.iter().enumerate().map(|(i, row)| opening(i, row)).collect();
    let drained: f64 = ROWS.iter().map(|r| r.1).sum();
    Record {
        farwheel: "0.1.0",
        scenario: ScenarioName {
            title: "Compact hatchback, diagonal split, pressure bleeder, far wheel first by eye".into(),
            file: "scenarios/compact-hatchback.toml".into(),
            set: Vec::new(),
        },
        seed: 0,
        supply_curve: supply_curve(),
        film: None,
        totals: Totals {
            drained_ml: drained,
            removed_ml: 0.0,
            new_fluid_ml: 651.7,
            flow_seconds: openings.iter().map(|o| o.closed_s - o.opened_s).sum(),
            bay_seconds: 1380.0,
            repumps: 0,
            strokes: None,
            fluid: Some(FluidBook {
                loaded_ml: 1000.0,
                bled_ml: drained,
                reservoir_ml: 20.0,
                feed_hose_ml: 38.3,
                left_ml: 1000.0 - drained - 58.3,
                least_load_ml: Some(drained + 108.3),
            }),
        },
        openings,
        steps: vec![StepDone { step: 0, does: Does::RePump, at_s: 180.0, moved_ml: 58.3, gauge_kpa: 103.4 }],
        left: left(),
        if_modulator_works: None,
        balance: Balance { volume_error_ml: 1.1e-10, old_error_ml: 3.2e-10, water_error_g: 4.0e-11 },
        numerics: Numerics {
            clean_at_error_ml: Some(0.31),
            old_left_error_ml: Some(0.08),
            drained_error_ml: Some(0.4),
            new_fluid_error_ml: Some(0.5),
        },
        warnings: vec![Warning {
            kind: WarningKind::NotCleanOnThePath,
            text: "LF looked clean at the close, but its path still holds 18 % old fluid: drain 40 mL more \
                   there if the boiling point matters."
                .into(),
        }],
        supply: "pressure bleeder".into(),
    }
}

fn opening(i: usize, row: &Row) -> Opening {
    let &(bleeder, drained_ml, clean_at, opened_s, flow, gauge_start_kpa, gauge_end_kpa, origins) =
        row;
    let threshold = 0.2;
    // 1 up to a breakthrough, then a tail ∝ 1/V²; through the threshold at `clean_at`.
    let tail = threshold * clean_at * clean_at;
    let seen = |ml: f64| {
        let late = tail / (ml * ml).max(1e-9);
        late / (1.0 + late.powi(4)).powf(0.25)
    };
    let curve = (0..=400)
        .map(|k| {
            let ml = drained_ml * f64::from(k) / 400.0;
            CurvePoint {
                at_s: opened_s + ml / flow,
                drained_ml: ml,
                seen_old_fraction: seen(ml),
                leaving_old_fraction: seen(ml + 1.5),
                path_old_fraction: 0.98 * (1.0 - ml / (ml + 0.35 * drained_ml)),
                flow_ml_per_s: flow,
            }
        })
        .collect();
    Opening {
        bleeder: bleeder.into(),
        pass: 1,
        step: i + 1,
        opened_s,
        closed_s: opened_s + drained_ml / flow,
        flow_seconds: drained_ml / flow,
        closed_by: ClosedBy::Clean,
        drained_ml,
        clean_at_ml: Some(clean_at),
        clean_since_ml: Some(clean_at),
        clean_state: CleanState::Reached,
        seen_old_fraction: seen(drained_ml),
        path_old_fraction: 0.112 + 0.02 * i as f64,
        mean_flow_ml_per_s: flow,
        reynolds: 58.0 + 12.0 * i as f64,
        gauge_start_kpa,
        gauge_end_kpa,
        origins_ml: ORIGINS.into_iter().zip(origins).collect(),
        threshold,
        strokes: None,
        curve,
        hold_ml: Some(drained_ml - clean_at),
        waited_for: None,
        part: bleeder.into(),
    }
}

fn supply_curve() -> Vec<SupplyPoint> {
    let mut points = Vec::new();
    let (mut gauge, mut supply, mut old) = (103.4, 941.7, 1.0);
    let mut point = |at_s, gauge_kpa, supply_ml, reservoir_old_fraction| {
        points.push(SupplyPoint {
            at_s,
            gauge_kpa,
            supply_ml: Some(supply_ml),
            reservoir_ml: 200.0,
            reservoir_old_fraction,
        });
    };
    point(180.0, gauge, supply, old);
    for &(_, drained, _, opened, flow, _, end, _) in &ROWS {
        for k in 0..=50 {
            let share = f64::from(k) / 50.0;
            point(
                opened + share * drained / flow,
                gauge + share * (end - gauge),
                supply - share * drained,
                old * (-share * drained / 200.0).exp(),
            );
        }
        gauge = end;
        supply -= drained;
        old *= (-drained / 200.0_f64).exp();
    }
    point(1380.0, gauge, supply, old);
    points
}

fn left() -> Left {
    let rows: [(&str, &str, f64, f64, f64, f64); 17] = [
        ("reservoir", "reservoir", 130.0, 0.042, 0.15, 224.1),
        ("compartment primary", "compartment", 35.0, 0.047, 0.16, 223.6),
        ("compartment secondary", "compartment", 35.0, 0.045, 0.16, 223.8),
        ("primary", "master cylinder chamber", 12.0, 0.061, 0.2, 220.9),
        ("secondary", "master cylinder chamber", 12.0, 0.058, 0.19, 221.2),
        ("line RR", "line", 43.5, 0.06, 0.19, 221.0),
        ("line LR", "line", 34.8, 0.071, 0.22, 219.2),
        ("line RF", "line", 15.7, 0.084, 0.25, 216.6),
        ("line LF", "line", 7.0, 0.09, 0.27, 215.4),
        ("hose RR", "hose", 3.2, 0.081, 0.24, 217.2),
        ("hose LR", "hose", 3.2, 0.088, 0.26, 216.0),
        ("hose RF", "hose", 3.2, 0.101, 0.3, 213.5),
        ("hose LF", "hose", 3.2, 0.109, 0.32, 212.2),
        ("RR", "caliper", 10.6, 0.19, 0.52, 200.1),
        ("LR", "caliper", 10.6, 0.2, 0.54, 198.9),
        ("RF", "caliper", 24.4, 0.292, 0.77, 187.9),
        ("LF", "caliper", 24.4, 0.334, 0.88, 183.2),
    ];
    let volume: f64 = rows.iter().map(|r| r.2).sum();
    let old_ml: f64 = rows.iter().map(|r| r.2 * r.3).sum();
    Left {
        old_ml,
        old_fraction: old_ml / volume,
        water_percent: 0.3,
        lowest_boiling_c: 183.2,
        lowest_boiling_part: "LF".into(),
        parts: rows
            .iter()
            .map(|&(part, kind, volume_ml, old_fraction, water_percent, boiling_c)| PartLeft {
                part: part.into(),
                kind,
                volume_ml,
                old_fraction,
                water_percent,
                boiling_c,
                lowest_boiling_c: boiling_c,
                pocket_boiling_c: None,
                reached: true,
                volume_before_ml: volume_ml,
                old_fraction_before: 1.0,
                belongs: belongs(part, kind),
            })
            .collect(),
        trapped: None,
        oldest_part: String::new(),
        oldest_fraction: 0.0,
        regions: Vec::new(),
        axles: Vec::new(),
        joined: joined(&rows.map(|r| r.0)).into(),
    }
    .summed_up()
}

/// Two chambers at the reservoir, a line with its hose to each wheel.
fn joined(parts: &[&str]) -> Joined {
    let at = |name: &str| parts.iter().position(|p| *p == name);
    let meeting = |of: &str, role: Role, part: Option<usize>| Meeting {
        part,
        of: of.into(),
        role,
        place: if role == Role::Caliper { Place::of_name(of) } else { Place::default() },
    };
    let mut joined = Joined::default();
    joined.nodes.push(meeting("reservoir", Role::Reservoir, at("reservoir")));
    for chamber in ["primary", "secondary"] {
        joined.nodes.push(meeting(chamber, Role::MasterCylinder, at(chamber)));
        joined.links.push(Between { part: None, from: 0, to: joined.nodes.len() - 1 });
    }
    for (wheel, chamber) in [("RR", 2), ("LR", 1), ("RF", 1), ("LF", 2)] {
        let (line, hose) = (format!("line {wheel}"), format!("hose {wheel}"));
        joined.nodes.push(meeting(&line, Role::Joint, None));
        joined.nodes.push(meeting(wheel, Role::Caliper, at(wheel)));
        let end = joined.nodes.len() - 1;
        joined.links.push(Between { part: at(&line), from: chamber, to: end - 1 });
        joined.links.push(Between { part: at(&hose), from: end - 1, to: end });
        joined.bleeders.push((wheel.into(), end));
    }
    joined
}

fn belongs(part: &str, kind: &str) -> Belongs {
    let sort = match kind {
        "line" => Sort::Line,
        "hose" => Sort::Hose,
        "caliper" => Sort::Caliper,
        "master cylinder chamber" => Sort::MasterCylinder,
        _ => Sort::Reservoir,
    };
    let wheel = part.split(' ').next_back().filter(|_| sort.is_pipe() || sort.is_brake());
    Belongs {
        sort,
        place: wheel.map_or_else(Place::default, Place::of_name),
        to: wheel.map(str::to_owned),
        clutch: false,
    }
}
