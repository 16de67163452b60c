//! Whole jobs: refinement, books, the stop rule.

use super::reference::*;
use super::{close, line, mixed};

/// A diagonal-split car with shared chambers, a shared trunk with a tee behind it, pockets,
/// remixing, a bypass, parts of different old fraction, and three origin tags.
fn whole_car() -> (ReferenceCar, Vec<ReferenceStep>) {
    // Species: old, from the reservoir, from the circuit, new.
    let reservoir = [1.0, 1.0, 0.0, 0.0];
    let circuit = [0.9, 0.0, 1.0, 0.0];
    let new = [0.0, 0.0, 0.0, 1.0];
    let caliper = |volume_ml: f64| Chamber {
        pocket_share: 0.2,
        pocket_exchange: 0.1,
        bypass_share: 0.05,
        ..Chamber::plain(volume_ml, 2)
    };
    let car = ReferenceCar {
        common: (110.0, reservoir.to_vec()),
        space: Chamber::plain(0.0, 1),
        unit: vec![],
        compartments: vec![(35.0, reservoir.to_vec()); 2],
        feed: new.to_vec(),
        parts: vec![
            mixed("primary", Chamber::plain(12.0, 1), &circuit),
            mixed("secondary", Chamber::plain(12.0, 1), &circuit),
            line("trunk", 43.5, 0.3, &circuit),
            line("hose RR", 3.2, 0.0, &circuit),
            mixed("RR", caliper(10.6), &circuit),
            line("line LR", 8.7, 0.5, &circuit),
            mixed("LR", caliper(10.6), &circuit),
            line("line RF", 15.7, 1.0, &circuit),
            mixed("RF", caliper(24.4), &circuit),
        ],
        paths: vec![
            ReferencePath { bleeder: "RR".into(), compartment: 0, parts: vec![0, 2, 3, 4] },
            ReferencePath { bleeder: "LR".into(), compartment: 0, parts: vec![0, 2, 5, 6] },
            ReferencePath { bleeder: "RF".into(), compartment: 1, parts: vec![1, 7, 8] },
        ],
        watched_ml: 1.26,
        filling: reservoir.to_vec(),
    };
    let open = |path, threshold, rise| ReferenceStep::Open {
        path,
        stop: Stop::clean(threshold, 15.0),
        rise,
    };
    let steps = vec![
        ReferenceStep::Reservoir { draw_to_ml: 60.0, fill_to_ml: 110.0 },
        open(0, 0.2, 0.1),
        open(1, 0.05, 0.0),
        open(2, 0.05, -0.05),
        ReferenceStep::Open { path: 0, stop: Stop::volume(61.7, 0.02), rise: 0.0 },
    ];
    (car, steps)
}

/// Halving the step three times: the answers must draw together by about four each time, and
/// what `run_with_error` claims must cover the distance to the extrapolated limit.
#[test]
fn refinement_of_a_whole_job() {
    let (car, steps) = whole_car();
    let runs: Vec<_> = [0.4, 0.2, 0.1, 0.05].map(|h| car.run(&steps, h)).into();
    for i in 0..runs[0].len() {
        let answers = |of: &dyn Fn(&ReferenceOpening) -> f64| -> Vec<f64> {
            runs.iter().map(|run| of(&run[i])).collect()
        };
        let drained = answers(&|o| o.drained_ml);
        let left = answers(&|o| o.left.total_ml(0));
        let seen = answers(&|o| o.seen[0]);
        for (what, values, finest) in
            [("drained mL", drained, 5e-4), ("old left mL", left, 5e-4), ("seen", seen, 1e-5)]
        {
            let apart: Vec<f64> = values.windows(2).map(|w| (w[1] - w[0]).abs()).collect();
            let limit = values[3] + (values[3] - values[2]) / 3.0;
            println!(
                "opening {i}, {what}: {:.6}, steps {apart:.7?}, orders {:.2} {:.2}",
                limit,
                (apart[0] / apart[1].max(1e-300)).log2(),
                (apart[1] / apart[2].max(1e-300)).log2()
            );
            assert!(apart[2] <= finest, "{what} of opening {i}: {apart:?}");
            // Over two halvings a second-order method gains 16; a first-order one only 4.
            assert!(
                apart[2] <= apart[0] / 8.0 || apart[0] < 1e-6,
                "{what} of opening {i} converges slowly: {apart:?}"
            );
            // The rule of `run_with_error`, and what the ODE library leaves.
            for k in 0..2 {
                let claimed = apart[k + 1].max(0.25 * apart[k]) + 1e-8;
                close(values[k + 2], limit, claimed, "claimed error");
            }
        }
    }
    assert!(runs[3][0].clean_at_ml.is_some() && runs[3][0].closed_by_clean);
}

/// Old fluid and every tag are conserved; tags make up the whole everywhere.
#[test]
fn a_whole_job_keeps_its_books() {
    let (car, steps) = whole_car();
    let (runs, error) = car.run_with_error(&steps, 0.1);
    println!("{error:.6?}");
    assert!(error.balance_ml < 1e-4, "{error:?}");
    assert!(error.clean_at_ml < 1e-3, "{error:?}");
    for opening in &runs {
        let left = &opening.left;
        for (_, content) in left.parts.iter().chain(&left.compartments) {
            close(content[1..].iter().sum(), 1.0, 1e-7, "tags of a part");
            let old = content[1] + 0.9 * content[2];
            close(content[0], old, 1e-7, "old by origin");
        }
        let tags: f64 = opening.drained[1..].iter().sum();
        close(tags, opening.drained_ml, 1e-5, "tags of what was drained");
    }
    assert_eq!(runs[3].drained_ml, 61.7);
    assert!(!runs[3].closed_by_clean);
}

/// An opened path goes on from where it was left: two openings by volume are one.
#[test]
fn an_opening_in_two_parts_is_one_opening() {
    let (mut car, _) = whole_car();
    car.filling = car.parts[0].content.clone();
    let volume = |path, ml| ReferenceStep::Open { path, stop: Stop::volume(ml, 0.2), rise: 0.0 };
    let once = car.run(&[volume(0, 91.3)], 0.1);
    let twice = car.run(&[volume(0, 37.77), volume(0, 53.53)], 0.1);
    let (a, b) = (&once[0].left, &twice[1].left);
    for ((_, x), (_, y)) in a.parts.iter().zip(&b.parts) {
        close(x[0], y[0], 2e-5, "content");
    }
    close(once[0].drained[0], twice[0].drained[0] + twice[1].drained[0], 2e-3, "old fluid drained");
    let (way, opening) = (&car.paths[0], &twice[1]);
    let old: f64 = way.parts.iter().map(|i| b.parts[*i].0 * b.parts[*i].1[0]).sum();
    let volume: f64 = way.parts.iter().map(|i| b.parts[*i].0).sum();
    close(opening.path_old_fraction, old / volume, 1e-12, "path");
    let reservoir = b.common.0 * b.common.1[0] + 35.0 * b.compartments[0].1[0];
    let with = (old + reservoir) / (volume + 110.0 + 35.0);
    close(opening.path_old_fraction_with_reservoir, with, 1e-12, "path with reservoir");
}

/// A syringe and a bottle: 60 mL of old fluid below 50 mL of new.
#[test]
fn drawing_down_and_filling_up_the_reservoir() {
    let (car, steps) = whole_car();
    let glance = ReferenceStep::Open { path: 0, stop: Stop::volume(1e-6, 0.2), rise: 0.0 };
    let left = &car.run(&[steps[0], glance], 0.1)[0].left;
    close(left.common.0, 110.0, 0.0, "volume");
    for (c, exact) in left.common.1.iter().zip([60.0, 60.0, 0.0, 50.0]) {
        close(*c, exact / 110.0, 1e-7, "common space");
    }
    close(left.compartments[0].1[0], 1.0, 1e-7, "compartment");
}
