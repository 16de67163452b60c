//! The flow room against figures and solutions from outside the project.

use farwheel::flow::laws::{
    SHARP_EDGED_DISCHARGE, churchill_1977, churchill_1977_with_slope, friction_factor,
    friction_factor_with_slope, orifice_discharge, quadratic_with_slope,
};
use farwheel::flow::{Contents, Element, Law, Network, Projection, Solver};
use farwheel::measures::STANDARD_GRAVITY;
use nalgebra::{DMatrix, DVector};
use proptest::prelude::*;
use std::f64::consts::PI;

fn near(value: f64, expected: f64, relative: f64) {
    assert!(
        (value - expected).abs() <= relative * expected.abs(),
        "{value} is not within {relative} of {expected}"
    );
}

fn tube(bore_m: f64, length_m: f64, rise_m: f64, roughness_m: f64) -> Law {
    Law::Tube { bore_m, length_m, minor_k: 0.0, rise_m, roughness_m }
}

fn network(nodes: usize, elements: &[(usize, usize, Law)]) -> Network {
    let element = |(i, &(from, to, law))| Element { from, to, law, name: format!("element {i}") };
    Network {
        nodes: (0..nodes).map(|i| format!("node {i}")).collect(),
        elements: elements.iter().enumerate().map(element).collect(),
    }
}

/// Çengel & Cimbala, *Fluid Mechanics*, example 8-1: oil of 888 kg/m³ and 0.800 kg/(m·s) in a pipe
/// of 5 cm and 40 m, 745 kPa at its inlet and 97 kPa at its outlet. Printed to three digits.
#[test]
fn oil_in_an_inclined_pipe() {
    let oil = Contents { density_kg_m3: 888.0, nu_m2_s: 0.800 / 888.0 };
    for (degrees, printed) in [(0.0_f64, 0.00311), (15.0, 0.00267), (-15.0, 0.00354)] {
        let rise_m = 40.0 * degrees.to_radians().sin();
        let pipe = network(2, &[(0, 1, tube(0.05, 40.0, rise_m, 0.0))]);
        let mut solver = Solver::new(pipe).unwrap();
        let solution = solver.solve(&[Some(745e3), Some(97e3)], &[oil]).unwrap();
        let flow = solution.flows_m3_s[0];
        assert!((flow - printed).abs() <= 0.5e-5, "{flow} at {degrees} degrees, not {printed}");
    }
}

/// Çengel & Cimbala, example 8-2: water of 1000 kg/m³ and 1.519e-3 kg/(m·s) at 0.9 m/s in a tube
/// of 3 mm and 9 m. Printed: Re 1777, 43.75 kPa.
#[test]
fn water_in_a_small_tube() {
    let water = Contents { density_kg_m3: 1000.0, nu_m2_s: 1.519e-6 };
    let law = tube(0.003, 9.0, 0.0, 0.0);
    let flow = 0.9 * PI * 0.003 * 0.003 / 4.0;
    near(law.reynolds(flow, water).unwrap(), 1777.0, 0.5 / 1777.0);
    near(law.drop_and_slope(flow, water).0, 43.75e3, 0.005 / 43.75);

    let mut solver = Solver::new(network(2, &[(0, 1, law)])).unwrap();
    let solved = solver.solve(&[Some(43.75e3), Some(0.0)], &[water]).unwrap();
    near(solved.flows_m3_s[0], flow, 0.005 / 43.75);
}

/// Three reservoirs that meet, h = K Q². A textbook exercise whose figures are from memory (heads
/// 135, 120, 112 m; K 0.7594, 36.33, 8.168 s²/m⁵; printed: 131.6 m, 2.114, 0.565, 1.549 m³/s); that
/// they agree with each other can be checked by hand.
#[test]
fn three_reservoirs() {
    let water = Contents { density_kg_m3: 1000.0, nu_m2_s: 1e-6 };
    let weight = 1000.0 * STANDARD_GRAVITY;
    let loss = |k: f64| Law::Quadratic { k_pa_s2_per_m6: k * weight };
    let pipes = [(0, 3, loss(0.7594)), (3, 1, loss(36.33)), (3, 2, loss(8.168))];
    let mut solver = Solver::new(network(4, &pipes)).unwrap();
    let head = |m: f64| Some(m * weight);
    let boundary = [head(135.0), head(120.0), head(112.0), None];
    let solution = solver.solve(&boundary, &[water; 3]).unwrap();
    let meet_m = solution.pressures_pa[3] / weight;
    assert!((meet_m - 131.6).abs() <= 0.05, "{meet_m}");
    for (flow, printed) in solution.flows_m3_s.iter().zip([2.114, 0.565, 1.549]) {
        // The printed flows balance at the junction, so their last digit was rounded to suit.
        assert!((flow - printed).abs() <= 0.001, "{flow} is not {printed}");
    }
}

/// Friction factors at Re 1e5, ε/D 1e-4: 0.018463 (Churchill 1977) and 0.018514 (Colebrook), as
/// printed in the documentation of the Python package *fluids* (from memory).
#[test]
fn friction_factor_of_churchill_beside_colebrook() {
    near(churchill_1977(1e5, 1e-4), 0.018463, 0.5e-6 / 0.018463);
    near(colebrook(1e5, 1e-4), 0.018514, 0.5e-6 / 0.018514);
}

/// Colebrook 1939, 1/√f = −2 log₁₀(ε/D/3.7 + 2.51/(Re √f)), by repeated substitution.
fn colebrook(reynolds: f64, roughness: f64) -> f64 {
    let mut x = 8.0; // 1/√f
    for _ in 0..60 {
        x = -2.0 * f64::log10(roughness / 3.7 + 2.51 * x / reynolds);
    }
    1.0 / (x * x)
}

/// Churchill's own claim for his equation beside Colebrook's is agreement within a few per cent;
/// 3.5 % is what smooth and rough tubes show from Re 4000 on (from memory: 0.5 to 3 %).
#[test]
fn friction_factor_follows_colebrook_when_turbulent() {
    for exponent in 0..=40 {
        let reynolds = 4000.0 * 10_f64.powf(f64::from(exponent) / 10.0);
        for roughness in [0.0, 1e-5, 1e-4, 1e-3, 1e-2, 0.05] {
            near(friction_factor(reynolds, roughness), colebrook(reynolds, roughness), 0.035);
        }
    }
}

/// Between Re 1000 and 1500 the friction factor passes from 64/Re to Churchill's by Hermite's cubic
/// t² (3 − 2t), which is 1/2 at the middle with the slope 3/2 and 27/32 at three quarters with 9/8 (calculus).
/// The two differ there by some 1e-10 of f, so what is compared is the share of that difference.
#[test]
fn friction_factor_blends_by_hermites_cubic() {
    for (reynolds, weight, slope) in [(1250.0, 0.5, 1.5), (1375.0, 27.0 / 32.0, 9.0 / 8.0)] {
        let laminar = 64.0 / reynolds;
        let (full, full_slope) = churchill_1977_with_slope(reynolds, 0.05);
        let (f, f_slope) = friction_factor_with_slope(reynolds, 0.05);
        near((f - laminar) / (full - laminar), weight, 1e-3);
        let turbulent_slope = full_slope + laminar / reynolds;
        let blended = f_slope + laminar / reynolds - weight * turbulent_slope;
        near(blended / (full - laminar) * 500.0, slope, 1e-2);
    }
}

/// Churchill's equation is Hagen and Poiseuille's f = 64/Re in the limit of no flow, and its derivative
/// −64/Re², also where its turbulent terms leave what numbers hold.
#[test]
fn friction_factor_of_churchill_at_vanishing_flow() {
    for reynolds in [1e-20_f64, 1e-18, 1e-12, 1e-3] {
        let (f, slope) = churchill_1977_with_slope(reynolds, 1e-3);
        near(f, 64.0 / reynolds, 1e-12);
        near(slope, -64.0 / (reynolds * reynolds), 1e-12);
    }
}

/// Darcy–Weisbach with a constant factor, Δp = K Q |Q|, over flows of a job: 0.01 µL/s to 0.1 L/s.
#[test]
fn the_quadratic_law_is_quadratic() {
    for flow in [1e-8_f64, 1e-6, -1e-6, 1e-4] {
        let (drop, slope) = quadratic_with_slope(flow, 7e13);
        near(drop, 7e13 * flow * flow.abs(), 1e-8);
        near(slope, 2.0 * 7e13 * flow.abs(), 1e-8);
    }
}

/// The tree that the projection grows is one of least resistance, as R. C. Prim (*Bell System Technical
/// Journal* 36 (1957) 1389) grows it. The network of nine nodes and fourteen elements by which Cormen,
/// Leiserson, Rivest and Stein explain it (*Introduction to Algorithms*, chapter on minimum spanning trees,
/// from memory): their tree weighs 37. A flow in one element alone goes round if that element closes a loop,
/// and is simply stopped if it belongs to the tree.
#[test]
fn the_projection_keeps_the_flows_of_greatest_resistance() {
    let [a, b, c, d, e, f, g, h, i] = [0_usize, 1, 2, 3, 4, 5, 6, 7, 8];
    let book = [
        (a, b, 4.0),
        (a, h, 8.0),
        (b, c, 8.0),
        (b, h, 11.0),
        (c, d, 7.0),
        (c, f, 4.0),
        (c, i, 2.0),
        (d, e, 9.0),
        (d, f, 14.0),
        (e, f, 10.0),
        (f, g, 2.0),
        (g, h, 1.0),
        (g, i, 6.0),
        (h, i, 7.0),
    ];
    let ends = book.map(|(from, to, _)| (from, to));
    let resistance = book.map(|(_, _, r)| r);
    for fixed_node in [a, e, i] {
        let fixed: Vec<bool> = (0..9).map(|n| n == fixed_node).collect();
        let mut plan = Projection::new(&ends, &fixed, &resistance, |n| n.to_string()).unwrap();
        let mut weight = 0.0;
        let mut size = 0;
        for (element, r) in resistance.iter().enumerate() {
            let mut flows = [0.0; 14];
            flows[element] = 1.0;
            let correction = plan.apply(&mut flows);
            assert_eq!(flows, [0.0; 14]);
            if correction.circulation_m3_s == 0.0 {
                weight += r;
                size += 1;
            }
        }
        assert_eq!((size, weight), (8, 37.0), "grown from {fixed_node}");
    }
}

/// Çengel & Cimbala, example 8-7 (two commercial-steel pipes side by side, 36 m, 4 and 8 cm, water of
/// 998 kg/m³ and 1.002e-3 kg/(m·s), ε 0.045 mm, 11.1 m lost). Printed, from memory: 0.00415 and
/// 0.0259 m³/s, f 0.0221 and 0.0182, Re 131 600 and 410 000. The book uses Colebrook; the
/// tolerance is Churchill's difference from it and the three digits of the head.
#[test]
fn two_pipes_side_by_side() {
    let water = Contents { density_kg_m3: 998.0, nu_m2_s: 1.002e-3 / 998.0 };
    let pipes = [0.04, 0.08].map(|bore| (0, 1, tube(bore, 36.0, 0.0, 0.045e-3)));
    let mut solver = Solver::new(network(2, &pipes)).unwrap();
    let lost = 11.1 * 998.0 * STANDARD_GRAVITY;
    let solution = solver.solve(&[Some(lost), Some(0.0)], &[water; 2]).unwrap();
    near(solution.flows_m3_s[0], 0.00415, 0.01);
    near(solution.flows_m3_s[1], 0.0259, 0.01);
    let reynolds = |i: usize| pipes[i].2.reynolds(solution.flows_m3_s[i], water).unwrap();
    near(reynolds(0), 131_600.0, 0.01);
    near(reynolds(1), 410_000.0, 0.01);
    near(churchill_1977(131_600.0, 0.045 / 40.0), 0.0221, 0.01);
    near(churchill_1977(410_000.0, 0.045 / 80.0), 0.0182, 0.01);
}

/// Closed form of laminar flow in parallel and in series (Hagen–Poiseuille): shares go with D⁴/L,
/// drops with L/D⁴.
#[test]
fn laminar_tubes_side_by_side_and_in_a_row() {
    let fluid = Contents { density_kg_m3: 1060.0, nu_m2_s: 15e-6 };
    let sizes = [(3.33e-3, 5.0), (4.9e-3, 6.0), (3.2e-3, 0.4)];
    let mut pipes: Vec<_> = sizes.iter().map(|&(d, l)| (0, 1, tube(d, l, 0.0, 0.0))).collect();
    pipes.push((1, 2, tube(3.33e-3, 20.0, 0.0, 0.0)));
    let mut solver = Solver::new(network(3, &pipes)).unwrap();
    let solution = solver.solve(&[Some(50e3), None, Some(0.0)], &[fluid; 4]).unwrap();
    let ease: Vec<f64> = sizes.iter().map(|&(d, l)| d.powi(4) / l).collect();
    let all: f64 = ease.iter().sum();
    let series = 20.0 / 3.33e-3_f64.powi(4);
    let total = 50e3 * PI / (128.0 * 1060.0 * 15e-6 * (1.0 / all + series));
    near(solution.flows_m3_s[3], total, 1e-12);
    for (flow, ease) in solution.flows_m3_s.iter().zip(&ease) {
        near(*flow, total * ease / all, 1e-12);
    }
}

/// Discharge coefficients of round holes: measured ones lie between 0.6 and 0.7 at high Re, and
/// follow δ√Re at low Re with δ ≈ 0.2 for sharp edges (Merritt, *Hydraulic Control Systems*, 1967,
/// ch. 3, from memory) and 0.163 by Sampson's exact solution of 1891.
#[test]
fn orifice_discharge_at_both_ends() {
    let thin = |re: f64| orifice_discharge(re, 1e-3, 0.0, SHARP_EDGED_DISCHARGE);
    assert!((0.6..0.7).contains(&thin(1e4)));
    near(thin(0.01) / 0.1, (12.0 * PI).sqrt().recip(), 1e-3);
    near(thin(0.01) / 0.1, 0.2, 0.2);
    // The law gives the coefficient that the formula states.
    let fluid = Contents { density_kg_m3: 1060.0, nu_m2_s: 15e-6 };
    let law = Law::Orifice { bore_m: 0.7e-3, length_m: 1e-3, discharge: 0.65 };
    for flow in [1e-9, 1e-7, 1e-6, 3e-6] {
        let area = PI * 0.7e-3 * 0.7e-3 / 4.0;
        let ideal = area * (2.0 * law.drop_and_slope(flow, fluid).0 / 1060.0).sqrt();
        let re = law.reynolds(flow, fluid).unwrap();
        near(flow / ideal, orifice_discharge(re, 0.7e-3, 1e-3, 0.65), 1e-12);
    }
}

/// A random laminar network: a spanning tree, further elements that close loops or lie side by
/// side, some nodes of fixed pressure.
#[derive(Debug, Clone)]
struct Laminar {
    nodes: usize,
    elements: Vec<(usize, usize, Law)>,
    contents: Vec<Contents>,
    boundary: Vec<Option<f64>>,
}

fn laminar() -> impl Strategy<Value = Laminar> {
    (2_usize..=24).prop_flat_map(|nodes| {
        let element = (
            any::<prop::sample::Index>(),
            any::<prop::sample::Index>(),
            2.5e-3..6e-3,
            0.1..6.0,
            -0.5..0.5,
        );
        let fluid = (900.0..1100.0, 20e-6..2e-3)
            .prop_map(|(density_kg_m3, nu_m2_s)| Contents { density_kg_m3, nu_m2_s });
        let elements = prop::collection::vec((element, fluid), nodes - 1..nodes + 12);
        let fixed = prop::collection::vec(prop::option::weighted(0.2, 0.0..2e3), nodes - 1);
        (elements, 0.0..2e3, fixed).prop_map(move |(drawn, first, rest)| {
            let mut elements = Vec::new();
            let mut contents = Vec::new();
            for (i, ((a, b, bore, length, rise), fluid)) in drawn.into_iter().enumerate() {
                let (from, to) = if i + 1 < nodes {
                    (i + 1, a.index(i + 1))
                } else {
                    let from = a.index(nodes);
                    (from, (from + 1 + b.index(nodes - 1)) % nodes)
                };
                elements.push((from, to, tube(bore, length, rise, 0.0)));
                contents.push(fluid);
            }
            let boundary = std::iter::once(Some(first)).chain(rest).collect();
            Laminar { nodes, elements, contents, boundary }
        })
    })
}

/// The same network as one linear system in all flows and all pressures, solved by nalgebra's LU.
/// Shares nothing with the program but the equations. Pressures are scaled by 1e3 Pa, flows by
/// 1e-7 m³/s.
fn by_linear_algebra(case: &Laminar) -> (Vec<f64>, Vec<f64>) {
    let (n, m) = (case.nodes, case.elements.len());
    let (pa, m3_s) = (1e3, 1e-7);
    let mut matrix = DMatrix::<f64>::zeros(m + n, m + n);
    let mut right = DVector::<f64>::zeros(m + n);
    for (e, &(from, to, law)) in case.elements.iter().enumerate() {
        let Law::Tube { bore_m, length_m, rise_m, .. } = law else { unreachable!() };
        let Contents { density_kg_m3, nu_m2_s } = case.contents[e];
        let resistance = 128.0 * density_kg_m3 * nu_m2_s * length_m / (PI * bore_m.powi(4));
        // p_from − p_to − R Q = ρ g z
        matrix[(e, m + from)] = 1.0;
        matrix[(e, m + to)] = -1.0;
        matrix[(e, e)] = -resistance * m3_s / pa;
        right[e] = density_kg_m3 * 9.80665 * rise_m / pa;
        for (node, sign) in [(from, 1.0), (to, -1.0)] {
            if case.boundary[node].is_none() {
                matrix[(m + node, e)] = sign;
            }
        }
    }
    for (node, fixed) in case.boundary.iter().enumerate() {
        if let Some(p) = fixed {
            matrix[(m + node, m + node)] = 1.0;
            right[m + node] = p / pa;
        }
    }
    let found = matrix.lu().solve(&right).expect("a joined network has one solution");
    let flows = found.iter().take(m).map(|q| q * m3_s).collect();
    (flows, found.iter().skip(m).map(|p| p * pa).collect())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]

    #[test]
    fn laminar_networks_agree_with_linear_algebra(case in laminar()) {
        let (flows, pressures) = by_linear_algebra(&case);
        let most = |values: &[f64]| values.iter().fold(0.0_f64, |m, x| m.max(x.abs()));
        let laminar = case.elements.iter().zip(&flows).zip(&case.contents)
            .all(|((e, q), c)| e.2.reynolds(*q, *c).unwrap() < 900.0);
        prop_assume!(laminar);
        let mut solver = Solver::new(network(case.nodes, &case.elements)).unwrap();
        let solution = solver.solve(&case.boundary, &case.contents).unwrap();
        for (a, b) in solution.pressures_pa.iter().zip(&pressures) {
            prop_assert!((a - b).abs() <= 1e-9 * most(&pressures), "{} Pa, {} Pa", a, b);
        }
        // The floor is what the rounding of 2 kPa drives where nothing else does.
        // Convection around loops of unequal density is real here, and is taken out on purpose.
        if solution.circulation_m3_s <= 1e-12 * most(&flows) {
            for (a, b) in solution.flows_m3_s.iter().zip(&flows) {
                prop_assert!((a - b).abs() <= 1e-9 * most(&flows) + 1e-18, "{} m3/s, {} m3/s", a, b);
            }
        }
    }
}
