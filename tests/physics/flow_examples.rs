//! Small networks whose outcome is known beforehand, and faults that must be named.

use farwheel::flow::{Contents, Element, FlowError, Law, Network, Projection, Solver};

fn line(length_m: f64) -> Law {
    Law::Tube { bore_m: 3.33e-3, length_m, minor_k: 0.0, rise_m: 0.0, roughness_m: 0.0 }
}

fn named(nodes: &[&str], elements: &[(usize, usize, Law, &str)]) -> Network {
    let element = |&(from, to, law, name): &(usize, usize, Law, &str)| Element {
        from,
        to,
        law,
        name: name.into(),
    };
    Network {
        nodes: nodes.iter().map(|n| n.to_string()).collect(),
        elements: elements.iter().map(element).collect(),
    }
}

const FLUID: Contents = Contents { density_kg_m3: 1060.0, nu_m2_s: 15e-6 };

#[test]
fn a_node_without_a_path_is_named() {
    let network = named(
        &["supply", "outlet", "far", "end"],
        &[(0, 1, line(1.0), "a"), (2, 3, line(1.0), "b")],
    );
    let mut solver = Solver::new(network).unwrap();
    let lost = solver.solve(&[Some(1e5), Some(0.0), None, None], &[FLUID; 2]).unwrap_err();
    assert_eq!(lost.to_string(), "no path leads from far to a place of known pressure");
    // The same solver serves once there is one.
    let flows = solver.solve(&[Some(1e5), Some(0.0), Some(0.0), None], &[FLUID; 2]).unwrap();
    assert!(flows.flows_m3_s[0] > 0.0 && flows.flows_m3_s[1] == 0.0);
}

#[test]
fn unusable_arguments_are_named() {
    let mut solver =
        Solver::new(named(&["supply", "outlet"], &[(0, 1, line(1.0), "front line")])).unwrap();
    let mut message = |boundary: &[Option<f64>], contents: &[Contents]| {
        solver.solve(boundary, contents).unwrap_err().to_string()
    };
    let ends = [Some(1e5), Some(0.0)];
    assert_eq!(message(&[Some(1e5)], &[FLUID]), "2 fixed or free pressures needed, 1 given");
    assert_eq!(message(&ends, &[]), "1 contents needed, 0 given");
    let nan = [Some(f64::NAN), Some(0.0)];
    assert_eq!(
        message(&nan, &[FLUID]),
        "supply has a pressure that is not a number within 1e12 Pa"
    );
    let thin = Contents { nu_m2_s: 0.0, ..FLUID };
    let told = message(&ends, &[thin]);
    assert_eq!(told, "front line holds a fluid whose density or viscosity is not above zero");
}

/// Figures at the edge of what numbers hold give an error that names the part, never a NaN, and
/// the solver serves on.
#[test]
fn absurd_figures_are_an_error() {
    let network =
        named(&["supply", "tee", "outlet"], &[(0, 1, line(1.0), "a"), (1, 2, line(1.0), "b")]);
    let mut solver = Solver::new(network).unwrap();
    let far = solver.solve(&[Some(1e308), None, Some(-1e308)], &[FLUID; 2]);
    assert!(matches!(far, Err(FlowError::BadNumber { .. })), "{far:?}");
    let boundary = [Some(1e5), None, Some(0.0)];
    let thick = Contents { density_kg_m3: 1e300, nu_m2_s: 1e200 };
    let told = solver.solve(&boundary, &[FLUID, thick]).unwrap_err();
    assert!(matches!(&told, FlowError::NotConverged { part, .. } if part == "b"), "{told:?}");
    let sound = solver.solve(&boundary, &[FLUID; 2]).unwrap();
    assert!((sound.pressures_pa[1] - 5e4).abs() < 1e-6);
}

/// Dead ends of every kind carry nothing, and their pressure is the hydrostatic one.
#[test]
fn dead_ends_stand_still() {
    let up = Law::Tube { bore_m: 3e-3, length_m: 1.0, minor_k: 1.0, rise_m: 0.5, roughness_m: 0.0 };
    let hole = Law::Orifice { bore_m: 0.7e-3, length_m: 1e-3, discharge: 0.65 };
    let valve = Law::Check { cracking_pa: 3e3, bore_m: 2e-3 };
    let network = named(
        &["supply", "outlet", "up", "beyond", "shut"],
        &[
            (0, 1, line(1.0), "open"),
            (0, 2, up, "up"),
            (2, 3, hole, "hole"),
            (3, 4, valve, "valve"),
        ],
    );
    let mut solver = Solver::new(network).unwrap();
    let solution = solver.solve(&[Some(1e5), Some(0.0), None, None, None], &[FLUID; 4]).unwrap();
    assert_eq!(solution.flows_m3_s[1..], [0.0; 3]);
    let expected = 1e5 - 1060.0 * 9.80665 * 0.5;
    for node in 2..5 {
        assert!((solution.pressures_pa[node] - expected).abs() < 1e-6);
    }
}

/// A port of 0.7 mm in parallel with the path past the cup: when the port costs more than the
/// cracking pressure, the valve opens and holds the drop near it; a fall in flow shuts it again.
#[test]
fn a_valve_beside_a_port_opens_and_shuts() {
    let port = Law::Orifice { bore_m: 0.7e-3, length_m: 1e-3, discharge: 0.65 };
    let cup = Law::Check { cracking_pa: 5e3, bore_m: 3e-3 };
    let elements = [(0, 1, port, "port"), (0, 1, cup, "cup"), (1, 2, line(5.0), "line")];
    let mut solver = Solver::new(named(&["reservoir", "chamber", "bleeder"], &elements)).unwrap();
    let mut at = |gauge_pa: f64| {
        let s = solver.solve(&[Some(gauge_pa), None, Some(0.0)], &[FLUID; 3]).unwrap();
        (gauge_pa - s.pressures_pa[1], s.flows_m3_s[1])
    };
    let (open_drop, open) = at(1e5);
    assert!(open > 1e-6 && (5e3..7e3).contains(&open_drop), "{open} m3/s at {open_drop} Pa");
    let (shut_drop, shut) = at(4e3);
    assert!(shut_drop < 5e3 && (0.0..1e-13).contains(&shut), "{shut} m3/s at {shut_drop} Pa");
    let again = at(1e5).1;
    assert!((again - open).abs() <= 1e-8 * open, "{again} is not {open}");
}

/// Two tubes of unequal density that form a ring between the same two nodes: the convection is
/// reported and not left in the flows.
#[test]
fn convection_in_a_ring_is_taken_out_and_told() {
    let up = Law::Tube { bore_m: 3e-3, length_m: 1.0, minor_k: 0.0, rise_m: 1.0, roughness_m: 0.0 };
    let elements = [(0, 1, line(1.0), "feed"), (1, 2, up, "heavy"), (1, 2, up, "light")];
    let mut solver = Solver::new(named(&["supply", "foot", "head"], &elements)).unwrap();
    let light = Contents { density_kg_m3: 1000.0, ..FLUID };
    let s = solver.solve(&[Some(1e5), None, None], &[FLUID, FLUID, light]).unwrap();
    assert_eq!(s.flows_m3_s, [0.0; 3]);
    assert!(s.circulation_m3_s > 1e-9, "{}", s.circulation_m3_s);
}

/// What makes no law, figure by figure, and what just does: a bore, a length, a coefficient has to be above
/// zero, a wall no rougher than a twentieth of its bore (the limit of the friction laws' charts).
#[test]
fn figures_that_make_no_law_are_named() {
    let tube = |[bore_m, length_m, minor_k, rise_m, roughness_m]: [f64; 5]| Law::Tube {
        bore_m,
        length_m,
        minor_k,
        rise_m,
        roughness_m,
    };
    let hole =
        |[bore_m, length_m, discharge]: [f64; 3]| Law::Orifice { bore_m, length_m, discharge };
    let valve = |[cracking_pa, bore_m]: [f64; 2]| Law::Check { cracking_pa, bore_m };
    let quadratic = |k_pa_s2_per_m6: f64| Law::Quadratic { k_pa_s2_per_m6 };
    let (nan, far) = (f64::NAN, f64::INFINITY);
    let good = [
        tube([4e-3, 1.0, 0.0, -2.0, 0.0]),
        tube([4e-3, 1.0, 3.0, 2.0, 2e-4]),
        hole([1e-3, 0.0, 1.0]),
        valve([0.0, 1e-3]),
        quadratic(1e-300),
    ];
    for law in good {
        assert_eq!(law.check(), Ok(()), "{law:?}");
    }
    let mut bad = vec![tube([4e-3, 1.0, 0.0, 0.0, 2.001e-4]), hole([1e-3, 0.0, 1.001])];
    for x in [-1e-3, nan, far] {
        bad.extend([tube([4e-3, 1.0, x, 0.0, 0.0]), tube([4e-3, 1.0, 0.0, 0.0, x])]);
        bad.extend([hole([1e-3, x, 0.6]), valve([x, 1e-3])]);
    }
    for x in [0.0, -1e-3, nan, far] {
        bad.extend([tube([x, 1.0, 0.0, 0.0, 0.0]), tube([4e-3, x, 0.0, 0.0, 0.0])]);
        bad.extend([hole([x, 0.0, 0.6]), hole([1e-3, 0.0, x]), valve([0.0, x]), quadratic(x)]);
    }
    bad.extend([tube([4e-3, 1.0, 0.0, nan, 0.0]), tube([4e-3, 1.0, 0.0, far, 0.0])]);
    for law in bad {
        assert!(law.check().is_err(), "{law:?}");
    }
}

/// The limits that the messages state: up to 1e12 Pa, and no fluid without end.
#[test]
fn the_limits_of_pressure_and_fluid_are_those_told() {
    let pipe = named(&["supply", "outlet"], &[(0, 1, line(1.0), "front line")]);
    let mut solver = Solver::new(pipe).unwrap();
    assert!(solver.solve(&[Some(1e12), Some(1e12)], &[FLUID]).is_ok());
    for contents in [
        Contents { density_kg_m3: f64::INFINITY, ..FLUID },
        Contents { nu_m2_s: f64::INFINITY, ..FLUID },
        Contents { density_kg_m3: 0.0, ..FLUID },
    ] {
        let told = solver.solve(&[Some(1e5), Some(0.0)], &[contents]);
        assert!(matches!(told, Err(FlowError::BadNumber { .. })), "{told:?}");
    }
}

/// Which nodes are fixed may change from solve to solve, all at once too. Fluid at rest has the pressure of
/// the fixed end (hydrostatics), and the line between two fixed ends carries what it did.
#[test]
fn other_ends_may_be_fixed_the_next_time() {
    let pipe = named(&["one", "other"], &[(0, 1, line(1.0), "line")]);
    let mut solver = Solver::new(pipe).unwrap();
    let between = solver.solve(&[Some(1e5), Some(0.0)], &[FLUID]).unwrap().flows_m3_s[0];
    for (boundary, pressure) in
        [([Some(1e5), None], 1e5), ([None, Some(2e4)], 2e4), ([Some(3e3), None], 3e3)]
    {
        let s = solver.solve(&boundary, &[FLUID]).unwrap();
        assert_eq!((s.pressures_pa, s.flows_m3_s), (&[pressure; 2][..], &[0.0][..]));
    }
    let again = solver.solve(&[Some(1e5), Some(0.0)], &[FLUID]).unwrap().flows_m3_s[0];
    assert!((again / between - 1.0).abs() < 1e-12);
}

/// More flows than elements: those beyond are left alone. Fewer: nothing is done.
#[test]
fn a_projection_takes_what_belongs_to_it() {
    let mut plan = Projection::new(&[(0, 1)], &[true, false], &[1.0], |n| n.to_string()).unwrap();
    let mut flows = [0.5, 0.25];
    assert_eq!(plan.apply(&mut flows).balanced_m3_s, 0.5);
    assert_eq!(flows, [0.0, 0.25]);
    assert_eq!(plan.apply(&mut []), Default::default());
}

/// From rest, a loss that grows with the square of the flow lets the first step go far beyond: Newton's method
/// alone is then Heron's rule x ← (x + Q²/x)/2 for the root, which halves what is too much again and again.
/// Steps shortened until the slope has halved get there in half of Heron's turns at most. Closed form of the
/// flow: Q = √(Δp/ΣK) in a row, shares ∝ 1/√K side by side.
#[test]
fn shortened_steps_need_half_of_herons_turns_at_most() {
    let loss = |k_pa_s2_per_m6: f64| Law::Quadratic { k_pa_s2_per_m6 };
    for k in [1e11, 1e13, 1e15] {
        for gauge_pa in [-2e5, 3e3, 1e5] {
            let in_a_row = [(0, 1, loss(k), "first"), (1, 2, loss(3.0 * k), "second")];
            let in_a_row = named(&["supply", "between", "outlet"], &in_a_row);
            let side_by_side = [
                (0, 1, loss(k), "one"),
                (1, 0, loss(9.0 * k), "turned round"),
                (1, 2, loss(2.0 * k), "then"),
            ];
            let side_by_side = named(&["supply", "between", "outlet"], &side_by_side);
            for (network, all_k) in [(in_a_row, 4.0 * k), (side_by_side, (0.75 * 0.75 + 2.0) * k)] {
                let last = network.elements.len() - 1;
                let contents = vec![FLUID; last + 1];
                let mut solver = Solver::new(network).unwrap();
                let s = solver.solve(&[Some(gauge_pa), None, Some(0.0)], &contents).unwrap();
                let exact = (gauge_pa.abs() / all_k).sqrt();
                let flow = s.flows_m3_s[last];
                assert!((flow / exact.copysign(gauge_pa) - 1.0).abs() < 1e-8, "{flow} {exact}");
                // The slope at rest is K · 1e-12 m³/s.
                let (mut x, mut turns) = (exact * exact / 1e-12, 1);
                while x / exact - 1.0 > 1e-9 {
                    x = 0.5 * (x + exact * exact / x);
                    turns += 1;
                }
                println!("{} of {turns} turns", s.iterations);
                assert!(2 * s.iterations <= turns, "{} of {turns} turns", s.iterations);
            }
        }
    }
}
