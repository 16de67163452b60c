//! What lies before one open bleeder is a row of parts, some side by side, and is solved along the row. Here beside
//! the method for any network, over random rows of all laws, what random cars' circuits come to with one bleeder open,
//! and the shipped cars. The same network with a hole that leads to a blind end, through which nothing flows, is no
//! row, and goes to that method.

use crate::common;
use crate::common::laws::open_screw;
use crate::common::laws::{any_law, fluid};
use crate::common::random::car;
use farwheel::circuit::{Circuit, RESERVOIR, paths};
use farwheel::flow::laws::SHARP_EDGED_DISCHARGE;
use farwheel::flow::{Contents, Element, Law, Network, Solver};
use farwheel::parts::passage::Passage;
use proptest::prelude::*;

/// One and the same network as a row and not.
struct Both {
    network: Network,
    row: Solver,
    any: Solver,
}

impl Both {
    fn new(network: Network) -> Self {
        let mut with_end = network.clone();
        let law = Law::Orifice { bore_m: 1e-3, length_m: 0.0, discharge: 0.6 };
        let (from, to) = (network.elements[0].to, network.nodes.len());
        with_end.nodes.push("blind end".to_owned());
        with_end.elements.push(Element { from, to, law, name: "into the blind end".to_owned() });
        let solver = |network| Solver::new(network).expect("a sound network");
        Self { row: solver(network.clone()), any: solver(with_end), network }
    }

    /// Flows agree to rounding, the nodes of the row balance, its drops are its differences of pressure. Gives the
    /// row's iterations.
    fn agree(
        &mut self,
        boundary: &[Option<f64>],
        contents: &[Contents],
    ) -> Result<u32, TestCaseError> {
        let row = self.row.solve(boundary, contents).expect("a solution");
        let ends: Vec<Option<f64>> = boundary.iter().copied().chain([None]).collect();
        let inside: Vec<Contents> = contents.iter().copied().chain([contents[0]]).collect();
        let any = self.any.solve(&ends, &inside).expect("a solution");
        let largest = |all: &[f64]| all.iter().fold(0.0_f64, |m, x| m.max(x.abs()));
        let most = largest(row.flows_m3_s).max(row.circulation_m3_s);
        let mut scale = largest(row.pressures_pa);
        let mut least_slope = f64::INFINITY;
        let mut net = vec![0.0; self.network.nodes.len()];
        let each = || self.network.elements.iter().zip(row.flows_m3_s).zip(contents);
        for ((e, q), inside) in each() {
            let (drop, slope) = e.law.drop_and_slope(*q, *inside);
            (scale, least_slope) = (scale.max(drop.abs()), slope.min(least_slope));
            net[e.from] -= q;
            net[e.to] += q;
        }
        for (net, fixed) in net.iter().zip(boundary) {
            prop_assert!(fixed.is_some() || net.abs() <= 4.0 * f64::EPSILON * most);
        }
        // What the rounding of the pressures drives through the widest part.
        let floor = 1e-14 * scale / least_slope;
        for ((e, a), b) in self.network.elements.iter().zip(row.flows_m3_s).zip(any.flows_m3_s) {
            let close = (a - b).abs() <= 1e-9 * most + floor;
            prop_assert!(close, "{}: {} and {} of {} m³/s", e.name, a, b, most);
        }
        if row.circulation_m3_s <= 1e-12 * most {
            for ((e, q), inside) in each() {
                let (drop, slope) = e.law.drop_and_slope(*q, *inside);
                let lack = (row.pressures_pa[e.from] - row.pressures_pa[e.to] - drop).abs();
                let rounded = slope * (1e-15 * most + row.circulation_m3_s);
                prop_assert!(lack <= 1e-9 * scale + rounded, "{}: {} Pa", e.name, lack);
            }
        }
        Ok(row.iterations)
    }
}

/// Stretch after stretch, in each one element or up to three side by side; each its law, whether it is turned, what it
/// holds.
fn rows() -> impl Strategy<Value = (Network, Vec<Contents>)> {
    let element = || (any_law(), any::<bool>(), fluid());
    let stretch = prop_oneof![
        3 => prop::collection::vec(element(), 1),
        1 => prop::collection::vec(element(), 2..4),
    ];
    prop::collection::vec(stretch, 1..9).prop_map(|stretches| {
        let nodes = (0..=stretches.len()).map(|n| format!("node {n}")).collect();
        let mut network = Network { nodes, elements: Vec::new() };
        let mut contents = Vec::new();
        for (n, stretch) in stretches.into_iter().enumerate() {
            let alone = stretch.len() == 1;
            for (mut law, turned, inside) in stretch {
                // Two laws without a laminar part side by side are told apart by rounding alone.
                if let (false, Law::Quadratic { .. }) = (alone, law) {
                    law = Law::Orifice { bore_m: 0.7e-3, length_m: 0.0, discharge: 0.6 };
                }
                let (from, to) = if turned { (n + 1, n) } else { (n, n + 1) };
                let name = format!("element {}", network.elements.len());
                network.elements.push(Element { from, to, law, name });
                contents.push(inside);
            }
        }
        (network, contents)
    })
}

proptest! {
    #![proptest_config(common::cases(2000))]

    #[test]
    fn a_row_flows_as_any_network_does(
        (network, contents) in rows(),
        ends in (0.0..2e5, 0.0..2e5),
        warmer in -0.2..0.2_f64,
    ) {
        let mut boundary = vec![None; network.nodes.len()];
        let last = boundary.len() - 1;
        (boundary[0], boundary[last]) = (Some(ends.0), Some(ends.1));
        let mut both = Both::new(network);
        both.agree(&boundary, &contents)?;
        // From there on, as in the next step of a job.
        let less = |c: &Contents| Contents { nu_m2_s: c.nu_m2_s * (1.0 + warmer), ..*c };
        let contents: Vec<Contents> = contents.iter().map(less).collect();
        boundary[0] = Some(ends.0 * (1.0 - warmer));
        both.agree(&boundary, &contents)?;
    }
}

fn law(passage: &Passage) -> Law {
    match *passage {
        Passage::Tube { bore_m, length_m, minor_k } => {
            Law::Tube { bore_m, length_m, minor_k, rise_m: 0.0, roughness_m: 1.5e-6 }
        }
        Passage::Orifice { bore_m, length_m } => {
            Law::Orifice { bore_m, length_m, discharge: SHARP_EDGED_DISCHARGE }
        }
        Passage::Screw { .. } => {
            let (viscous_per_m3, inertial_per_m4) = open_screw(passage);
            Law::Row { viscous_per_m3, inertial_per_m4 }
        }
        Passage::Check { cracking_pa, bore_m } => Law::Check { cracking_pa, bore_m },
    }
}

/// What lies before one open bleeder; the reservoir is node 0, the clear hose the last.
fn before(circuit: &Circuit, bleeder: usize) -> Network {
    let (nodes, links) = paths::live(circuit, &[bleeder]);
    let mut number = vec![usize::MAX; nodes.len()];
    let mut network = Network::default();
    for (n, node) in circuit.nodes.iter().enumerate().filter(|(n, _)| nodes[*n]) {
        number[n] = network.nodes.len();
        network.nodes.push(node.name.clone());
    }
    for (l, _) in circuit.links.iter().zip(links).filter(|(_, on)| *on) {
        let (from, to) = (number[l.from], number[l.to]);
        network.elements.push(Element { from, to, law: law(&l.passage), name: l.name.clone() });
    }
    let b = &circuit.bleeders[bleeder];
    let (from, to) = (number[b.node], network.nodes.len());
    network.nodes.push("clear hose".to_owned());
    network.elements.push(Element { from, to, law: law(&b.passage), name: b.name.clone() });
    assert_eq!(number[RESERVOIR], 0);
    network
}

/// Every bleeder of a car, with old fluid in all and then new fluid coming down the row, under these gauges.
fn every_bleeder(circuit: &Circuit) -> Result<(), TestCaseError> {
    let old = Contents { density_kg_m3: 1055.0, nu_m2_s: 18e-6 };
    let new = Contents { density_kg_m3: 1065.0, nu_m2_s: 13e-6 };
    for bleeder in 0..circuit.bleeders.len() {
        let network = before(circuit, bleeder);
        let mut boundary = vec![None; network.nodes.len()];
        let last = boundary.len() - 1;
        boundary[last] = Some(0.0);
        let elements = network.elements.len();
        let mut both = Both::new(network);
        for gauge in [3e3, 1e5, 9e4, 2e4, 4e3] {
            boundary[0] = Some(gauge);
            for come in 0..=elements {
                let inside = |e| if e < come { new } else { old };
                let contents: Vec<Contents> = (0..elements).map(inside).collect();
                both.agree(&boundary, &contents)?;
            }
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(common::cases(100))]

    #[test]
    fn one_open_bleeder_of_a_random_car_flows_as_any_network_does(car in car()) {
        every_bleeder(common::read(&car.plain().toml())?.circuit())?;
    }
}

#[test]
fn one_open_bleeder_of_a_shipped_car_flows_as_any_network_does() {
    for text in [
        include_str!("../../scenarios/compact-hatchback.toml"),
        include_str!("../../scenarios/saloon-esc-plain-flush.toml"),
        include_str!("../../scenarios/off-roader-eight-bleeders.toml"),
    ] {
        let scenario = farwheel::read(text, "shipped.toml").expect("the shipped scenario is sound");
        every_bleeder(scenario.circuit()).expect("the two agree");
    }
}

/// Losses of laminar flow and of holes add up to a parabola: whatever the start, its root is found at once.
#[test]
fn a_row_without_anything_side_by_side_takes_one_turn() {
    let tube =
        |bore_m| Law::Tube { bore_m, length_m: 2.0, minor_k: 2.0, rise_m: 0.3, roughness_m: 0.0 };
    let hole = Law::Orifice { bore_m: 1e-3, length_m: 0.0, discharge: 0.6 };
    let laws = [tube(3e-3), hole, tube(4e-3)].into_iter().enumerate();
    let element = |(n, law)| Element { from: n, to: n + 1, law, name: format!("element {n}") };
    let nodes = (0..4).map(|n| format!("node {n}")).collect();
    let mut both = Both::new(Network { nodes, elements: laws.map(element).collect() });
    let fluid = Contents { density_kg_m3: 1060.0, nu_m2_s: 15e-6 };
    for gauge in [1e5, 2e4, -3e4] {
        let boundary = [Some(gauge), None, None, Some(0.0)];
        assert_eq!(both.agree(&boundary, &[fluid; 3]).expect("the two agree"), 1);
    }
}
