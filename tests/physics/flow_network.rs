//! What every solution of a network must keep, over random networks of all laws.

use crate::common::laws::{any_law, fluid, law};
use farwheel::flow::laws::{CHECK_LEAK_M3_PER_PA_S, friction_factor_with_slope};
use farwheel::flow::{Contents, Element, FlowError, Law, Network, Projection, Solution, Solver};
use prop::sample::Index;
use proptest::prelude::*;

#[derive(Debug, Clone)]
struct Case {
    network: Network,
    contents: Vec<Contents>,
    boundary: Vec<Option<f64>>,
}

/// A spanning tree and further elements; node 0 fixed, others now and then. With `level`, one density
/// and no rise, so that no flow can go round; else each element its own.
fn cases(most_nodes: usize, level: bool) -> impl Strategy<Value = Case> {
    (2..=most_nodes).prop_flat_map(move |nodes| {
        let element = (any::<Index>(), any::<Index>(), any::<bool>(), law(), fluid());
        let elements = prop::collection::vec(element, nodes - 1..nodes + 10);
        let fixed = prop::collection::vec(prop::option::weighted(0.25, 0.0..2e5), nodes - 1);
        (elements, 0.0..2e5, fixed).prop_map(move |(drawn, first, rest)| {
            let mut elements = Vec::new();
            let mut contents = Vec::new();
            for (i, (a, b, turned, mut law, mut inside)) in drawn.into_iter().enumerate() {
                if level {
                    inside.density_kg_m3 = 1060.0;
                    if let Law::Tube { rise_m, .. } = &mut law {
                        *rise_m = 0.0;
                    }
                }
                let (mut from, mut to) = if i + 1 < nodes {
                    (i + 1, a.index(i + 1))
                } else {
                    let from = a.index(nodes);
                    (from, (from + 1 + b.index(nodes - 1)) % nodes)
                };
                if turned {
                    (from, to) = (to, from);
                }
                elements.push(Element { from, to, law, name: format!("element {i}") });
                contents.push(inside);
            }
            let nodes = (0..nodes).map(|i| format!("node {i}")).collect();
            let boundary = std::iter::once(Some(first)).chain(rest).collect();
            Case { network: Network { nodes, elements }, contents, boundary }
        })
    })
}

fn largest(values: impl IntoIterator<Item = f64>) -> f64 {
    values.into_iter().fold(0.0, |m, x| m.max(x.abs()))
}

/// Balance at the free nodes to rounding, and pressures that agree with the flows. Where fluids of
/// unequal density go round, that was taken out on purpose and pressures can't agree.
fn holds(case: &Case, solution: &Solution<'_>) -> Result<(), TestCaseError> {
    let Case { network, contents, boundary } = case;
    let flows = solution.flows_m3_s;
    let pressures = solution.pressures_pa;
    let most = largest(flows.iter().copied());
    let round = solution.circulation_m3_s;
    let moving = most.max(round);
    let mut net = vec![0.0; network.nodes.len()];
    for (element, flow) in network.elements.iter().zip(flows) {
        net[element.from] -= flow;
        net[element.to] += flow;
    }
    for (node, fixed) in boundary.iter().enumerate() {
        match fixed {
            Some(p) => prop_assert_eq!(pressures[node], *p),
            None => prop_assert!(net[node].abs() <= 1e-14 * moving, "{} of {}", net[node], most),
        }
    }
    let level = contents.iter().all(|c| c.density_kg_m3 == contents[0].density_kg_m3);
    // The floor is what the rounding of 200 kPa drives through the widest hole drawn.
    prop_assert!(!level || round <= 1e-9 * most + 1e-15, "{} of {} goes round", round, most);
    if round > 1e-12 * most && !level {
        return Ok(());
    }
    let laws: Vec<(f64, f64)> = network
        .elements
        .iter()
        .zip(flows)
        .zip(contents)
        .map(|((e, q), c)| e.law.drop_and_slope(*q, *c))
        .collect();
    let drops = laws.iter().map(|(drop, _)| *drop);
    let scale = largest(drops).max(largest(pressures.iter().copied()));
    for (element, (drop, slope)) in network.elements.iter().zip(&laws) {
        let driving = pressures[element.from] - pressures[element.to];
        // Balancing by rounding, and what went round by rounding, cost pressure in a shut valve.
        let moved = slope * (round + 1e-15 * most);
        prop_assert!(
            (driving - drop).abs() <= 1e-9 * scale + moved,
            "{}: {} Pa, {} Pa",
            element.name,
            driving,
            drop
        );
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn solutions_balance_and_agree(case in cases(12, true)) {
        let mut solver = Solver::new(case.network.clone()).unwrap();
        let solution = solver.solve(&case.boundary, &case.contents).unwrap();
        holds(&case, &solution)?;
    }

    #[test]
    fn large_networks_balance_and_agree(case in cases(60, true)) {
        let mut solver = Solver::new(case.network.clone()).unwrap();
        let solution = solver.solve(&case.boundary, &case.contents).unwrap();
        holds(&case, &solution)?;
    }

    #[test]
    fn networks_with_rises_and_densities_balance_and_agree(case in cases(12, false)) {
        let mut solver = Solver::new(case.network.clone()).unwrap();
        let solution = solver.solve(&case.boundary, &case.contents).unwrap();
        holds(&case, &solution)?;
    }

    #[test]
    fn warm_starts_agree_with_cold_ones(case in cases(10, true), other in 5e-7..2e-3, more in -0.3..0.3) {
        let mut solver = Solver::new(case.network.clone()).unwrap();
        solver.solve(&case.boundary, &case.contents).unwrap();
        let changed = Case {
            contents: case.contents.iter().enumerate()
                .map(|(e, c)| if e % 3 == 0 { Contents { nu_m2_s: other, ..*c } } else { *c }).collect(),
            boundary: case.boundary.iter().map(|b| b.map(|p| p * (1.0 + more))).collect(),
            ..case
        };
        let warm = solver.solve(&changed.boundary, &changed.contents).unwrap();
        holds(&changed, &warm)?;
        let mut fresh = Solver::new(changed.network.clone()).unwrap();
        let cold = fresh.solve(&changed.boundary, &changed.contents).unwrap();
        let most = largest(cold.flows_m3_s.iter().copied());
        let still = cold.circulation_m3_s.max(warm.circulation_m3_s) <= 1e-12 * most;
        for (a, b) in warm.flows_m3_s.iter().zip(cold.flows_m3_s) {
            prop_assert!(!still || (a - b).abs() <= 1e-6 * most + 1e-15, "{} {} of {}", a, b, most);
        }
    }

    #[test]
    fn turning_an_element_round_turns_its_flow(case in cases(10, false)) {
        // A check valve turned round is another valve; a tube turned round falls where it rose.
        let mut turned = case.clone();
        for element in &mut turned.network.elements {
            if let Law::Check { .. } = element.law {
                continue;
            }
            (element.from, element.to) = (element.to, element.from);
            if let Law::Tube { rise_m, .. } = &mut element.law {
                *rise_m = -*rise_m;
            }
        }
        let mut one = Solver::new(case.network.clone()).unwrap();
        let mut two = Solver::new(turned.network).unwrap();
        let a = one.solve(&case.boundary, &case.contents).unwrap();
        let b = two.solve(&case.boundary, &case.contents).unwrap();
        let most = largest(a.flows_m3_s.iter().copied());
        let still = a.circulation_m3_s.max(b.circulation_m3_s) <= 1e-12 * most;
        for ((element, p), q) in case.network.elements.iter().zip(a.flows_m3_s).zip(b.flows_m3_s) {
            let sign = if let Law::Check { .. } = element.law { 1.0 } else { -1.0 };
            prop_assert!(!still || (p - sign * q).abs() <= 1e-6 * most + 1e-15, "{} {} of {}", p, q, most);
        }
    }

    #[test]
    fn laws_rise_with_a_continuous_derivative(
        law in any_law(), inside in fluid(), power in -13.0..-3.5_f64, back in any::<bool>(),
    ) {
        let flow = 10_f64.powf(power) * if back { -1.0 } else { 1.0 };
        let (drop, slope) = law.drop_and_slope(flow, inside);
        prop_assert!(slope > 0.0 && slope.is_finite() && drop.is_finite());
        let step = 1e-4 * flow.abs();
        let (low, low_slope) = law.drop_and_slope(flow - step, inside);
        let (high, high_slope) = law.drop_and_slope(flow + step, inside);
        prop_assert!(low < high || high - low <= 1e-12 * drop.abs(), "{} then {}", low, high);
        // Central difference, good to its own rounding and to the curvature over the step.
        let difference = (high - low) / (2.0 * step);
        let curved = (high_slope - low_slope).abs();
        let rounding = 1e-14 * drop.abs() / step;
        prop_assert!((difference - slope).abs() <= curved + rounding + 1e-6 * slope,
            "{} is not {}", difference, slope);
        prop_assert!(curved <= 0.1 * slope, "the slope jumps from {} to {}", low_slope, high_slope);
    }

    #[test]
    fn laws_but_check_valves_are_odd_in_the_flow(law in any_law(), inside in fluid(), flow in 0.0..1e-4) {
        if let Law::Check { .. } = law {
            return Ok(());
        }
        let rest = law.drop_and_slope(0.0, inside).0;
        let (forth, back) = (law.drop_and_slope(flow, inside), law.drop_and_slope(-flow, inside));
        prop_assert!((forth.0 + back.0 - 2.0 * rest).abs() <= 1e-12 * forth.0.abs().max(rest.abs()));
        prop_assert_eq!(forth.1, back.1);
    }

    #[test]
    fn check_valves_pass_no_more_backwards_than_their_leak(
        cracking_pa in 0.0..5e4, bore_m in 0.5e-3..5e-3, inside in fluid(), behind in 0.0..2e6,
    ) {
        let valve = Law::Check { cracking_pa, bore_m };
        let network = Network {
            nodes: vec!["low".into(), "high".into()],
            elements: vec![Element { from: 0, to: 1, law: valve, name: "valve".into() }],
        };
        let mut solver = Solver::new(network).unwrap();
        let back = solver.solve(&[Some(0.0), Some(behind)], &[inside]).unwrap().flows_m3_s[0];
        prop_assert!(back <= 0.0 && back >= -(1.0 + 1e-9) * CHECK_LEAK_M3_PER_PA_S * behind, "{}", back);
        // Forwards at half its cracking pressure it is as good as shut, above it is open.
        let half = solver.solve(&[Some(0.5 * cracking_pa), Some(0.0)], &[inside]).unwrap().flows_m3_s[0];
        prop_assert!((0.0..=CHECK_LEAK_M3_PER_PA_S * (cracking_pa + 1.0)).contains(&half), "{}", half);
        let above = [Some(1.2 * cracking_pa + 2e3), Some(0.0)];
        let open = solver.solve(&above, &[inside]).unwrap().flows_m3_s[0];
        prop_assert!(open > 1e-9, "{}", open);
    }

    #[test]
    fn projections_balance_and_leave_no_circle(
        nodes in 2_usize..30,
        drawn in prop::collection::vec((any::<Index>(), any::<Index>(), -1.0..1.0, any::<bool>()), 1..70),
        fixed in prop::collection::vec(prop::bool::weighted(0.2), 29),
    ) {
        let mut ends = Vec::new();
        let mut flows = Vec::new();
        for (i, (a, b, flow, none)) in drawn.iter().enumerate() {
            let from = if i + 1 < nodes { i + 1 } else { a.index(nodes) };
            let to = if i + 1 < nodes { a.index(i + 1) } else { (from + 1 + b.index(nodes - 1)) % nodes };
            ends.push((from, to));
            flows.push(if *none { 0.0 } else { *flow });
        }
        let fixed: Vec<bool> = (0..nodes).map(|n| n == 0 || fixed[n - 1]).collect();
        let resistance: Vec<f64> = drawn.iter().map(|d| d.2).collect();
        let plan = Projection::new(&ends, &fixed, &resistance, |n| n.to_string());
        if drawn.len() + 1 < nodes && (drawn.len() + 1..nodes).any(|n| !fixed[n]) {
            let lost = matches!(plan, Err(FlowError::Unreachable { .. }));
            prop_assert!(lost);
            return Ok(());
        }
        let mut plan = plan.unwrap();
        plan.apply(&mut flows);
        let mut net = vec![0.0; nodes];
        for (&(from, to), flow) in ends.iter().zip(&flows) {
            net[from] -= flow;
            net[to] += flow;
        }
        for node in (0..nodes).filter(|&n| !fixed[n]) {
            prop_assert!(net[node].abs() <= 1e-13, "{} at {}", net[node], node);
        }
        // No circle: taking out nodes that nothing enters takes out all.
        let mut left: Vec<usize> = (0..nodes).collect();
        loop {
            let entered = |n: usize| ends.iter().zip(&flows).any(|(&(from, to), &flow)| {
                let (source, target) = if flow > 0.0 { (from, to) } else { (to, from) };
                flow != 0.0 && target == n && left.contains(&source)
            });
            let rest: Vec<usize> = left.iter().copied().filter(|&n| entered(n)).collect();
            if rest.len() == left.len() {
                break;
            }
            left = rest;
        }
        prop_assert!(left.is_empty(), "{:?} lie on a circle of flow", left);
        // Doing it again changes nothing but rounding.
        let again = plan.apply(&mut flows);
        prop_assert!(again.balanced_m3_s <= 1e-13 && again.circulation_m3_s <= 1e-13);
    }

    #[test]
    fn friction_of_tubes_rises_through_the_blend(reynolds in 10.0..1e7, rough in 0.0..0.05) {
        let (f, slope) = friction_factor_with_slope(reynolds, rough);
        // d(f Re²)/dRe above zero is a pressure drop that rises with the flow.
        prop_assert!(2.0 * f + reynolds * slope > 0.0);
    }
}
