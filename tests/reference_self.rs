//! The reference against closed forms and against itself: what error it may claim.

mod reference;

use reference::line::{Kernel, LaminarLine};
use reference::mixed::{MixedPart, Mixing, ReservoirMixing};
use reference::quadrature::Quadrature;
use reference::signal::{Grid, Signal};
use reference::*;

const THRESHOLDS: [f64; 3] = [0.2, 0.05, 0.02];

fn grid(step_ml: f64, end_ml: f64) -> Grid {
    Grid { step_ml, end_ml }
}

fn close(value: f64, expected: f64, tolerance: f64, what: &str) {
    assert!(
        (value - expected).abs() <= tolerance,
        "{what}: {value} is not {expected} within {tolerance:e}"
    );
}

/// Danckwerts 1953; Levenspiel, Chemical Reaction Engineering: F(θ) = 1 − 1/(4θ²) from θ = ½ on.
#[test]
fn laminar_line_follows_the_published_curve() {
    let mut line = LaminarLine::new(20.0, &[1.0]);
    let new = Signal::constant(grid(0.07, 100.0), &[0.0]);
    let out = line.advance(&new, Kernel::Leaving);
    let rows = [
        (0.75, 0.5556),
        (1.0, 0.75),
        (1.5, 0.8889),
        (2.0, 0.9375),
        (3.0, 0.9722),
        (5.0, 0.99),
    ];
    for (theta, f) in rows {
        // Half a unit of the last printed digit, and the interpolation between points.
        close(1.0 - out.value(0, 20.0 * theta), f, 6e-5, "F");
        let k = (20.0 * theta / 0.07) as usize;
        let exact = 0.25 / (out.grid.at(k) / 20.0_f64).powi(2);
        close(out.node(k)[0], exact, 1e-13, "F at a point of the grid");
    }
    for k in 0..=142 {
        close(out.node(k)[0], 1.0, 1e-13, "nothing new before θ = ½");
    }
}

/// What is left in a line at rest before: ∫ (1 − F) from θ on, 1 − θ and then 1/(4θ).
#[test]
fn laminar_line_keeps_what_its_age_distribution_says() {
    for theta in [0.2, 0.5, 0.8, 2.0, 5.0] {
        let mut line = LaminarLine::new(12.0, &[1.0]);
        let new = Signal::constant(grid(0.1, 12.0 * theta), &[0.0]);
        let out = line.advance(&new, Kernel::Leaving);
        let exact = if theta < 0.5 {
            1.0 - theta
        } else {
            0.25 / theta
        };
        close(line.content()[0], exact, 1e-12, "content");
        // Conservation: the outflow's integral carries the error of its straight pieces.
        let gone = 12.0 * (1.0 - line.content()[0]);
        close(out.integral()[0], gone, 2e-3, "what left");
    }
}

/// A stop, at a volume off the grid, must not show.
#[test]
fn interrupted_flow_is_the_same_flow() {
    let inflow = |v: f64| (0.1 * v).cos().abs();
    let mut whole = LaminarLine::new(9.0, &[0.7]);
    let all = Signal::from_fn(grid(0.01, 40.0), 1, |_, v, c| c[0] = inflow(v));
    let out = whole.advance(&all, Kernel::Leaving);
    let mut stopped = LaminarLine::new(9.0, &[0.7]);
    let mut from = 0.0;
    for stretch in [3.337, 0.004, 11.7771, 24.8819] {
        let part = Signal::from_fn(grid(0.01, stretch), 1, |_, v, c| c[0] = inflow(from + v));
        let piece = stopped.advance(&part, Kernel::Leaving);
        for k in 0..=piece.grid.cells() {
            let at = from + piece.grid.at(k);
            close(piece.node(k)[0], out.value(0, at), 3e-5, "outlet");
        }
        from += stretch;
    }
    close(stopped.content()[0], whole.content()[0], 1e-6, "content");
}

/// Closed-form cell integrals against quadrature of the kernels themselves.
#[test]
fn kernels_integrate_as_they_should() {
    let quadrature = Quadrature::new(1e-14);
    let leaving = |t: f64| if t < 0.5 { 0.0 } else { 0.5 / t.powi(3) };
    let inside = |t: f64| if t < 0.5 { 1.0 } else { 0.25 / (t * t) };
    let cells = [
        (0.0, 0.3),
        (0.45, 0.52),
        (0.5, 0.51),
        (1.0, 1.01),
        (3.0, 9.0),
    ];
    for (a, b) in cells {
        for (kernel, density) in [
            (Kernel::Leaving, &leaving as &dyn Fn(f64) -> f64),
            (Kernel::Inside, &inside),
        ] {
            let (zeroth, first) = kernel.moments(a, b);
            let moment = |t: f64| (t - a) * density(t);
            close(
                zeroth,
                quadrature.integrate(density, a, b, &[0.5]),
                1e-13,
                "∫k",
            );
            close(
                first,
                quadrature.integrate(&moment, a, b, &[0.5]),
                1e-13,
                "∫θk",
            );
            close(kernel.tail(a) - kernel.tail(b), zeroth, 1e-13, "tail");
        }
    }
    let sine = quadrature.integrate(&f64::sin, 0.0, 3.0, &[]);
    close(sine, 1.0 - 3.0_f64.cos(), 1e-13, "the quadrature itself");
}

/// F(θ = 1) of n tanks in series, 1 − e^−n Σ n^k/k! for k < n (Levenspiel, Chemical Reaction
/// Engineering), to five digits.
#[test]
fn tanks_in_series_by_the_ode_library() {
    let rows = [
        (1, 0.63212),
        (2, 0.59399),
        (3, 0.57681),
        (5, 0.55951),
        (10, 0.54207),
    ];
    for (n, f) in rows {
        let mut part = MixedPart::new(Chamber::plain(30.0, n), &[1.0]);
        let new = Signal::constant(grid(0.5, 90.0), &[0.0]);
        let out = part.advance(&new);
        close(1.0 - out.node(60)[0], f, 5e-6, "F(1)");
        let exact = Washout::step().stages(n as u32, 30.0);
        for k in 0..=180 {
            close(out.node(k)[0], exact.at(0.5 * k as f64), 1e-7, "washout");
        }
    }
}

/// Mean residence (V_a + V_d)/Q for any exchange above 0 (Levenspiel; material balance): the
/// old fluid that leaves is all that was there.
#[test]
fn mean_residence_with_a_pocket() {
    for (exchange, stages) in [(0.02, 1), (0.1, 1), (1.0, 3)] {
        let chamber = Chamber {
            pocket_share: 0.3,
            pocket_exchange: exchange,
            ..Chamber::plain(20.0, stages)
        };
        let mut part = MixedPart::new(chamber, &[1.0]);
        let new = Signal::constant(grid(0.2, 6000.0), &[0.0]);
        let out = part.advance(&new);
        // F over volume: the mean residence times Q is ∫ (1 − F) dv.
        close(out.integral()[0], 20.0, 2e-3, "mean residence volume");
        close(part.content()[0], 0.0, 1e-6, "nothing stays for good");
    }
}

/// Classical Runge–Kutta with steps that end at the inflow's kinks: another method, written here.
fn runge_kutta(mixing: &impl Mixing, initial: &[f64], inflow: &Signal) -> Vec<f64> {
    let n = initial.len();
    let mut y = initial.to_vec();
    let rate = |y: &[f64], v: f64| {
        let mut k = vec![0.0; n];
        mixing.rate(y, inflow.value(0, v), v, &mut k);
        k
    };
    let shifted = |y: &[f64], k: &[f64], by: f64| -> Vec<f64> {
        y.iter().zip(k).map(|(a, b)| a + by * b).collect()
    };
    for cell in 0..inflow.grid.cells() {
        let (from, to) = (inflow.grid.at(cell), inflow.grid.at(cell + 1));
        let h = (to - from) / 4.0;
        for part in 0..4 {
            let v = from + h * f64::from(part);
            let k1 = rate(&y, v);
            let k2 = rate(&shifted(&y, &k1, 0.5 * h), v + 0.5 * h);
            let k3 = rate(&shifted(&y, &k2, 0.5 * h), v + 0.5 * h);
            let k4 = rate(&shifted(&y, &k3, h), v + h);
            for i in 0..n {
                y[i] += h / 6.0 * (k1[i] + 2.0 * k2[i] + 2.0 * k3[i] + k4[i]);
            }
        }
    }
    y
}

#[test]
fn ode_library_agrees_with_runge_kutta_on_a_driven_chamber() {
    let chamber = Chamber {
        pocket_share: 0.25,
        pocket_exchange: 0.15,
        bypass_share: 0.1,
        ..Chamber::plain(9.0, 3)
    };
    // A laminar line's outlet has the sharp corner at break-through.
    let mut line = LaminarLine::new(15.0, &[1.0]);
    let new = Signal::constant(grid(0.1, 60.03), &[0.0]);
    let inflow = line.advance(&new, Kernel::Leaving);
    let start = [1.0; 6];
    let states = reference::mixed::solve(&chamber, &start, &inflow, 0);
    let other = runge_kutta(&chamber, &start, &inflow);
    for (a, b) in states.last().iter().zip(other) {
        close(*a, b, 2e-7, "driven chamber");
    }
}

/// V_c dy/dv = (1 + r)(0 − y), V_c = V₀ + r v: y = (V₀/V_c)^((1 + r)/r).
#[test]
fn reservoir_that_fills_or_falls() {
    for rise in [0.05, -0.2, -0.8] {
        let mixing = ReservoirMixing {
            common_ml: 150.0,
            rise,
            compartment_ml: 30.0,
        };
        let (above, _) = mixing.advance(&[1.0], &[1.0], &[0.0], grid(1.0, 150.0));
        for k in [20, 80, 150] {
            let ratio = 150.0 / (150.0 + rise * above.grid.at(k));
            let exact = ratio.powf((1.0 + rise) / rise);
            close(above.node(k)[0], exact, 1e-7, "common space");
        }
    }
    // Nothing fed: it stays as it is, and the compartment takes its colour.
    let unfed = ReservoirMixing {
        common_ml: 150.0,
        rise: -1.0,
        compartment_ml: 30.0,
    };
    let (above, below) = unfed.advance(&[0.4], &[1.0], &[0.0], grid(1.0, 100.0));
    close(above.last()[0], 0.4, 1e-12, "unfed");
    let exact = 0.4 + 0.6 * (-100.0_f64 / 30.0).exp();
    close(below.last()[0], exact, 1e-7, "compartment");
}

/// Clean points with a closed form: 1/(4θ²) for a line, e^−x for a stage, (1 + x) e^−x for two.
#[test]
fn exact_clean_points_against_closed_forms() {
    for t in THRESHOLDS {
        close(
            line_clean_at_ml(43.5, t),
            43.5 / (2.0 * t.sqrt()),
            1e-7,
            "line",
        );
        close(
            stages_clean_at_ml(1, 12.0, t),
            -12.0 * t.ln(),
            1e-7,
            "stage",
        );
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

fn line(name: &str, volume_ml: f64, remix: f64, content: &[f64]) -> ReferencePart {
    ReferencePart {
        name: name.into(),
        kind: ReferenceKind::Line { volume_ml, remix },
        content: content.to_vec(),
    }
}

fn mixed(name: &str, chamber: Chamber, content: &[f64]) -> ReferencePart {
    ReferencePart {
        name: name.into(),
        kind: ReferenceKind::Mixed(chamber),
        content: content.to_vec(),
    }
}

/// One bleeder behind these parts, all old, the reservoir already new.
fn single_path(parts: Vec<ReferencePart>, filling: f64) -> ReferenceCar {
    ReferenceCar {
        common: (100.0, vec![0.0]),
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
    [ReferenceStep::Open {
        path: 0,
        stop: Stop::clean(threshold, hold_ml),
        rise: 0.0,
    }]
}

/// The whole apparatus (grid, ODE library, clear hose, stop rule) against exact quadrature.
#[test]
fn simple_circuits_against_exact_quadrature() {
    let stage = Chamber::plain(12.0, 1);
    let cases: [(&str, Vec<ReferencePart>, Washout); 5] = [
        (
            "a line",
            vec![line("a", 34.8, 0.0, &[1.0])],
            Washout::step().line(34.8),
        ),
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
                close(
                    runs[0].drained_ml,
                    found + hold_ml,
                    1e-9,
                    "closed after hold",
                );
            }
        }
    }
}

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
            ReferencePath {
                bleeder: "RR".into(),
                compartment: 0,
                parts: vec![0, 2, 3, 4],
            },
            ReferencePath {
                bleeder: "LR".into(),
                compartment: 0,
                parts: vec![0, 2, 5, 6],
            },
            ReferencePath {
                bleeder: "RF".into(),
                compartment: 1,
                parts: vec![1, 7, 8],
            },
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
        ReferenceStep::Reservoir {
            draw_to_ml: 60.0,
            fill_to_ml: 110.0,
        },
        open(0, 0.2, 0.1),
        open(1, 0.05, 0.0),
        open(2, 0.05, -0.05),
        ReferenceStep::Open {
            path: 0,
            stop: Stop::volume(61.7, 0.02),
            rise: 0.0,
        },
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
        for (what, values, finest) in [
            ("drained mL", drained, 5e-4),
            ("old left mL", left, 5e-4),
            ("seen", seen, 1e-5),
        ] {
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
    let volume = |path, ml| ReferenceStep::Open {
        path,
        stop: Stop::volume(ml, 0.2),
        rise: 0.0,
    };
    let once = car.run(&[volume(0, 91.3)], 0.1);
    let twice = car.run(&[volume(0, 37.77), volume(0, 53.53)], 0.1);
    let (a, b) = (&once[0].left, &twice[1].left);
    for ((_, x), (_, y)) in a.parts.iter().zip(&b.parts) {
        close(x[0], y[0], 2e-5, "content");
    }
    close(
        once[0].drained[0],
        twice[0].drained[0] + twice[1].drained[0],
        2e-3,
        "old fluid drained",
    );
    let (way, opening) = (&car.paths[0], &twice[1]);
    let old: f64 = way
        .parts
        .iter()
        .map(|i| b.parts[*i].0 * b.parts[*i].1[0])
        .sum();
    let volume: f64 = way.parts.iter().map(|i| b.parts[*i].0).sum();
    close(opening.path_old_fraction, old / volume, 1e-12, "path");
    let reservoir = b.common.0 * b.common.1[0] + 35.0 * b.compartments[0].1[0];
    let with = (old + reservoir) / (volume + 110.0 + 35.0);
    close(
        opening.path_old_fraction_with_reservoir,
        with,
        1e-12,
        "path with reservoir",
    );
}

/// Halving the step five times against the exact clean point: second order.
#[test]
fn refinement_against_exact_quadrature() {
    let parts = vec![
        mixed("a", Chamber::plain(12.0, 1), &[1.0]),
        line("b", 34.8, 0.0, &[1.0]),
    ];
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

/// A syringe and a bottle: 60 mL of old fluid below 50 mL of new.
#[test]
fn drawing_down_and_filling_up_the_reservoir() {
    let (car, steps) = whole_car();
    let glance = ReferenceStep::Open {
        path: 0,
        stop: Stop::volume(1e-6, 0.2),
        rise: 0.0,
    };
    let left = &car.run(&[steps[0], glance], 0.1)[0].left;
    close(left.common.0, 110.0, 0.0, "volume");
    for (c, exact) in left.common.1.iter().zip([60.0, 60.0, 0.0, 50.0]) {
        close(*c, exact / 110.0, 1e-7, "common space");
    }
    close(left.compartments[0].1[0], 1.0, 1e-7, "compartment");
}

/// The stop rule on a made-up hose: clean at 10, dirty again at 30, clean for good at 50 mL.
#[test]
fn stop_rule_on_a_hose_that_turns_dirty_again() {
    use reference::watch::Watch;
    let shown = |v: f64| match v {
        v if v < 20.0 => 0.2 - 0.01 * v,
        v if v < 40.0 => 0.01 * (v - 20.0),
        v => (0.2 - 0.01 * (v - 40.0)).max(0.0),
    };
    let seen = Signal::from_fn(grid(0.7, 90.0), 1, |_, v, c| c[0] = shown(v));
    let look = |stop: Stop| {
        let mut watch = Watch::new(stop, shown(0.0));
        (watch.look(0.0, &seen), watch.clean_at_ml())
    };
    let (shut, since) = look(Stop::clean(0.1, 15.0));
    close(shut.unwrap(), 25.0, 1e-9, "held while clean");
    close(since.unwrap(), 10.0, 1e-9, "clean since");
    let (shut, since) = look(Stop::clean(0.1, 25.0));
    close(shut.unwrap(), 75.0, 1e-9, "not fooled by the first draw");
    close(since.unwrap(), 50.0, 1e-9, "clean since");
    let late = Stop {
        at_least_ml: 33.0,
        ..Stop::clean(0.1, 15.0)
    };
    close(
        look(late).0.unwrap(),
        65.0,
        1e-9,
        "dirty at the least volume",
    );
    let (shut, since) = look(Stop::volume(90.0, 0.1));
    assert_eq!(shut, None);
    close(since.unwrap(), 50.0, 1e-9, "noted all the same");
    assert_eq!(look(Stop::clean(0.3, 7.0)), (Some(7.0), Some(0.0)));
}
