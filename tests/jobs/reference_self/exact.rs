//! Exact washouts against closed forms, and the whole apparatus against exact washouts.

use super::reference::*;
use super::{THRESHOLDS, close, line, mixed};

/// Clean points with a closed form: 1/(4θ²) for a line, e^−x for a stage, (1 + x) e^−x for two.
#[test]
fn exact_clean_points_against_closed_forms() {
    for t in THRESHOLDS {
        close(line_clean_at_ml(43.5, t), 43.5 / (2.0 * t.sqrt()), 1e-7, "line");
        close(stages_clean_at_ml(1, 12.0, t), -12.0 * t.ln(), 1e-7, "stage");
        let two = stages_clean_at_ml(2, 12.0, t) / 6.0;
        close((1.0 + two) * (-two).exp(), t, 1e-9, "two stages");
    }
}

/// Two laminar lines of 1 mL, 1 − F₂(v) in closed form. With a = v − ½,
/// ∫ from ½ to a of (1/(2w³)) / (4(v − w)²) dw by partial fractions, and 1/(4a²) for what the
/// first line has not yet let in.
fn two_unit_lines(v: f64) -> f64 {
    let a = v - 0.5;
    if a <= 0.5 {
        return 1.0;
    }
    // 1/(w³ (v − w)²) = 1/(v² w³) + 2/(v³ w²) + 3/(v⁴ w) + 1/(v³ (v − w)²) + 3/(v⁴ (v − w)).
    let primitive = |w: f64| {
        -1.0 / (2.0 * v.powi(2) * w.powi(2)) - 2.0 / (v.powi(3) * w)
            + 3.0 / v.powi(4) * (w / (v - w)).ln()
            + 1.0 / (v.powi(3) * (v - w))
    };
    (primitive(a) - primitive(0.5)) / 8.0 + 0.25 / (a * a)
}

#[test]
fn two_lines_against_partial_fractions() {
    let washout = Washout::step().line(1.0).line(1.0);
    for v in [0.8, 1.0, 1.05, 1.3, 2.0, 4.0, 9.0] {
        close(washout.at(v), two_unit_lines(v), 1e-9, "two lines");
    }
    for t in THRESHOLDS {
        let ml = two_lines_clean_at_ml(1.0, 1.0, t);
        close(two_unit_lines(ml), t, 1e-9, "two lines' clean point");
    }
    // Order of two linear elements does not matter: quadrature with either kernel.
    let there = Washout::step().stages(2, 7.0).line(11.0);
    let back = Washout::step().line(11.0).stages(2, 7.0);
    for v in [3.0, 6.0, 12.0, 30.0, 90.0] {
        close(there.at(v), back.at(v), 1e-9, "stage and line");
    }
}

/// One bleeder behind these parts, all old, the reservoir already new.
fn single_path(parts: Vec<ReferencePart>, filling: f64) -> ReferenceCar {
    ReferenceCar {
        common: (100.0, vec![0.0]),
        space: Chamber::plain(0.0, 1),
        unit: vec![],
        compartments: vec![(0.0, vec![0.0])],
        feed: vec![0.0],
        paths: vec![ReferencePath {
            bleeder: "bleeder".into(),
            compartment: 0,
            parts: (0..parts.len()).collect(),
        }],
        parts,
        watched_ml: 1.26,
        filling: vec![filling],
    }
}

fn clean_opening(threshold: f64, hold_ml: f64) -> [ReferenceStep; 1] {
    [ReferenceStep::Open { path: 0, stop: Stop::clean(threshold, hold_ml), rise: 0.0 }]
}

/// The whole apparatus (grid, ODE library, clear hose, stop rule) against exact quadrature.
#[test]
fn simple_circuits_against_exact_quadrature() {
    let stage = Chamber::plain(12.0, 1);
    let cases: [(&str, Vec<ReferencePart>, Washout); 5] = [
        ("a line", vec![line("a", 34.8, 0.0, &[1.0])], Washout::step().line(34.8)),
        (
            "two lines",
            vec![line("a", 34.8, 0.0, &[1.0]), line("b", 3.2, 0.0, &[1.0])],
            Washout::step().line(34.8).line(3.2),
        ),
        (
            "a line behind a stage",
            vec![mixed("a", stage, &[1.0]), line("b", 34.8, 0.0, &[1.0])],
            Washout::step().stages(1, 12.0).line(34.8),
        ),
        (
            "four stages",
            vec![mixed("a", Chamber::plain(25.0, 4), &[1.0])],
            Washout::step().stages(4, 25.0),
        ),
        (
            "a remixed line",
            vec![line("a", 34.8, 0.4, &[1.0])],
            Washout::step().remixed_line(34.8, 0.4),
        ),
    ];
    for (what, parts, washout) in cases {
        for (filling, hold_ml) in [(1.0, 5.0), (0.0, 60.0)] {
            let car = single_path(parts.clone(), filling);
            for t in THRESHOLDS {
                let (runs, error) = car.run_with_error(&clean_opening(t, hold_ml), 0.1);
                let exact = washout.seen(1.26, filling).clean_at_ml(t);
                let found = runs[0].clean_at_ml.unwrap();
                println!(
                    "{what}, {t}: exact {exact:.6}, off {:.1e}, claimed {:.1e}",
                    found - exact,
                    error.clean_at_ml
                );
                close(found, exact, error.clean_at_ml.max(2e-6), what);
                assert!(error.clean_at_ml < 1e-3, "{what}: {error:?}");
                close(runs[0].drained_ml, found + hold_ml, 1e-9, "closed after hold");
            }
        }
    }
}

/// Halving the step five times against the exact clean point: second order.
#[test]
fn refinement_against_exact_quadrature() {
    let parts = vec![mixed("a", Chamber::plain(12.0, 1), &[1.0]), line("b", 34.8, 0.0, &[1.0])];
    let car = single_path(parts, 1.0);
    let washout = Washout::step().stages(1, 12.0).line(34.8).seen(1.26, 1.0);
    for t in THRESHOLDS {
        let exact = washout.clean_at_ml(t);
        let off: Vec<f64> = [0.8, 0.4, 0.2, 0.1, 0.05]
            .iter()
            .map(|h| {
                let runs = car.run(&clean_opening(t, 5.0), *h);
                (runs[0].clean_at_ml.unwrap() - exact).abs()
            })
            .collect();
        println!("threshold {t}: off by {off:.6?} mL");
        assert!(off[4] < 1e-4, "{off:?}");
        // Second order gains 256 over four halvings, first order 16.
        assert!(off[4] < off[0] / 100.0, "{off:?}");
    }
}
