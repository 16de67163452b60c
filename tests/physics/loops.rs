//! Loops and several bleeders open at once, against a solution from outside.
//!
//! The circuit that a scenario gives is written down as one linear system in all flows and pressures and
//! solved by nalgebra; what grows with the square of the flow is put in by substitution until nothing
//! changes. It shares with the program the circuit's dimensions and the equations (Hagen–Poiseuille;
//! Sampson 1891 and Bernoulli for holes), but no line of the flow room. The handbook's parallel pipes and
//! three reservoirs stand in `flow_outside`.

use crate::common::cars::{DOT_4, GRAVITY, quick, read, scenario_text, undivided};
use crate::common::laws::open_screw;
use farwheel::Scenario;
use farwheel::circuit::{Circuit, RESERVOIR};
use farwheel::flow::laws::SHARP_EDGED_DISCHARGE;
use farwheel::flow::{Contents, Element, Law, Network, Solver};
use farwheel::fluid::blend::Blend;
use farwheel::job::flush;
use farwheel::job::record::Record;
use farwheel::parts::passage::Passage;
use nalgebra::{DMatrix, DVector};
use std::f64::consts::PI;

const G: f64 = 9.806_65;

fn run(scenario: &Scenario) -> Record {
    flush(scenario, &quick()).unwrap()
}

fn fluid(scenario: &Scenario) -> Contents {
    let [old, new] = [scenario.old_fluid.fluid(), scenario.new_fluid.fluid()];
    let blend = Blend::new(old, new, scenario.vehicle.temperature.value);
    assert_eq!(blend.nu_m2_s(0.0), blend.nu_m2_s(1.0), "these tests take one and the same fluid");
    Contents { density_kg_m3: blend.density_kg_m3(1.0), nu_m2_s: blend.nu_m2_s(1.0) }
}

/// Viscous part in Pa·s/m³ and what the square of the flow costs, Pa·s²/m⁶.
fn resistance(passage: &Passage, c: Contents) -> (f64, f64) {
    let mu = c.density_kg_m3 * c.nu_m2_s;
    let area = |d: f64| PI / 4.0 * d * d;
    match *passage {
        Passage::Tube { bore_m: d, length_m, minor_k } => (
            128.0 * mu * length_m / (PI * d.powi(4)),
            0.5 * c.density_kg_m3 * minor_k / area(d).powi(2),
        ),
        Passage::Orifice { bore_m: d, length_m } => (
            24.0 * mu / d.powi(3) + 128.0 * mu * length_m / (PI * d.powi(4)),
            0.5 * c.density_kg_m3 / (SHARP_EDGED_DISCHARGE * area(d)).powi(2),
        ),
        Passage::Screw { .. } => {
            let (a, b) = open_screw(passage);
            (a * mu, b * c.density_kg_m3)
        }
        Passage::Check { .. } => (f64::INFINITY, 0.0),
    }
}

/// Flow in each link, then out of each open bleeder, m³/s, the head of an open reservoir pushing.
/// Paths past the cups count as shut, which is checked.
fn independent(circuit: &Circuit, open: &[&str], c: Contents) -> (Vec<f64>, Vec<f64>) {
    let mut elements: Vec<(usize, usize, (f64, f64))> =
        circuit.links.iter().map(|l| (l.from, l.to, resistance(&l.passage, c))).collect();
    let mut fixed = vec![(RESERVOIR, 0.0)];
    let mut nodes = circuit.nodes.len();
    for name in open {
        let b = &circuit.bleeders[circuit.bleeder(name).unwrap()];
        elements.push((b.node, nodes, resistance(&b.passage, c)));
        let rise = b.height_m - circuit.reservoir.height_m;
        fixed.push((nodes, c.density_kg_m3 * G * rise));
        nodes += 1;
    }
    // Pressures in kPa and flows in mL/s, so that the matrix is of one size.
    let (pa, m3_s, m) = (1e3, 1e-6, elements.len());
    let mut flows = vec![0.1_f64; m];
    let mut pressures = vec![0.0; nodes];
    for _ in 0..400 {
        let mut matrix = DMatrix::<f64>::zeros(m + nodes, m + nodes);
        let mut right = DVector::<f64>::zeros(m + nodes);
        for (e, &(from, to, (viscous, square))) in elements.iter().enumerate() {
            if viscous.is_finite() {
                matrix[(e, m + from)] = 1.0;
                matrix[(e, m + to)] = -1.0;
                matrix[(e, e)] = -(viscous + square * m3_s * flows[e].abs()) * m3_s / pa;
            } else {
                matrix[(e, e)] = 1.0;
            }
            matrix[(m + from, e)] += 1.0;
            matrix[(m + to, e)] -= 1.0;
        }
        for &(node, pressure) in &fixed {
            matrix.row_mut(m + node).fill(0.0);
            matrix[(m + node, m + node)] = 1.0;
            right[m + node] = pressure / pa;
        }
        let found = matrix.lu().solve(&right).expect("a joined network has one solution");
        for (q, new) in flows.iter_mut().zip(found.iter()) {
            *q = 0.5 * (*q + new);
        }
        pressures.iter_mut().zip(found.iter().skip(m)).for_each(|(p, new)| *p = new * pa);
    }
    for l in &circuit.links {
        if let Passage::Check { cracking_pa, .. } = l.passage {
            assert!(pressures[l.from] - pressures[l.to] < 0.9 * cracking_pa, "{} opens", l.name);
        }
    }
    let links = flows[..circuit.links.len()].iter().map(|q| q * m3_s).collect();
    (links, flows[circuit.links.len()..].iter().map(|q| q * m3_s).collect())
}

/// What the program's first step drains at each of these bleeders, opened together, m³/s.
fn first_flows(record: &Record, open: &[&str]) -> Vec<f64> {
    let of = |name: &&str| record.openings.iter().find(|o| o.bleeder == **name).unwrap();
    open.iter().map(|name| 1e-6 * of(name).curve[1].flow_ml_per_s).collect()
}

fn agree(found: &[f64], expected: &[f64], relative: f64) {
    assert_eq!(found.len(), expected.len());
    for (a, b) in found.iter().zip(expected) {
        assert!((a - b).abs() <= relative * b.abs(), "{found:?} is not {expected:?}");
    }
}

/// One circuit with a caliper of two halves, under the head of its reservoir alone.
fn caliper() -> String {
    let parts = r#"height = "1.2 m"
[parts]
line = { kind = "line", from = "only", length = "2 m", bends = 4 }
F = { kind = "two-bleeder caliper", from = "line", new_pads = "20 mL", crossover_bore = "1.5 mm", bleeders = ["inner", "outer"] }
[procedure]
steps = [{ open = ["inner", "outer"], until = "40 mL" }]"#;
    scenario_text(&[DOT_4, &undivided("only", 10.0, [100, 50, 120, 150]), parts, GRAVITY])
}

#[test]
fn both_bleeders_of_one_caliper_share_the_flow_as_the_linear_algebra_says() {
    let scenario = read(&caliper());
    let circuit = scenario.circuit().clone();
    let (_, expected) = independent(&circuit, &["inner", "outer"], fluid(&scenario));
    assert!(expected[1] < 0.97 * expected[0], "the narrow passages should tell: {expected:?}");
    let record = run(&scenario);
    agree(&first_flows(&record, &["inner", "outer"]), &expected, 1e-7);
}

/// Only the outer bleeder open: all its fluid comes over the two passages side by side. Closed form
/// (Hagen–Poiseuille, entry and exit losses of 1.5 velocity heads): equal drop on both ways.
#[test]
fn the_passages_of_a_caliper_form_a_loop_and_share_the_flow() {
    let scenario = read(&caliper());
    let circuit = scenario.circuit().clone();
    let c = fluid(&scenario);
    let (links, exits) = independent(&circuit, &["outer"], c);
    let loops: Vec<usize> =
        (0..links.len()).filter(|&i| circuit.links[i].kind == "crossover").collect();
    let [near, far] = [loops[0], loops[1]];
    assert!((links[near] + links[far] - exits[0]).abs() < 1e-9 * exits[0]);
    // 80 mm against 160 mm: nearly 2 to 1, drawn together by the losses at their ends.
    let ratio = links[near] / links[far];
    assert!((1.5..2.0).contains(&ratio), "{ratio}");

    // The program's own solver on the same circuit.
    let law = |passage: &Passage| match *passage {
        Passage::Tube { bore_m, length_m, minor_k } => {
            Law::Tube { bore_m, length_m, minor_k, rise_m: 0.0, roughness_m: 0.0 }
        }
        Passage::Orifice { bore_m, length_m } => {
            Law::Orifice { bore_m, length_m, discharge: SHARP_EDGED_DISCHARGE }
        }
        Passage::Screw { .. } => {
            let (viscous_per_m3, inertial_per_m4) = open_screw(passage);
            Law::Row { viscous_per_m3, inertial_per_m4 }
        }
        Passage::Check { cracking_pa, bore_m } => Law::Check { cracking_pa, bore_m },
    };
    let b = &circuit.bleeders[circuit.bleeder("outer").unwrap()];
    let mut nodes: Vec<String> = circuit.nodes.iter().map(|n| n.name.clone()).collect();
    let end = nodes.len();
    nodes.push("end".to_owned());
    let element = |name: &str, from, to, passage: &Passage| Element {
        from,
        to,
        law: law(passage),
        name: name.to_owned(),
    };
    let mut elements: Vec<Element> =
        circuit.links.iter().map(|l| element(&l.name, l.from, l.to, &l.passage)).collect();
    elements.push(element("bleeder", b.node, end, &b.passage));
    let mut boundary = vec![None; nodes.len()];
    boundary[RESERVOIR] = Some(0.0);
    boundary[end] = Some(c.density_kg_m3 * G * (b.height_m - circuit.reservoir.height_m));
    let contents = vec![c; elements.len()];
    let mut solver = Solver::new(Network { nodes, elements }).unwrap();
    let solved = solver.solve(&boundary, &contents).unwrap();
    agree(&[solved.flows_m3_s[near], solved.flows_m3_s[far]], &[links[near], links[far]], 1e-7);

    // And the whole program drains what passes both.
    let alone = read(&caliper().replace("open = [\"inner\", \"outer\"]", "open = \"outer\""));
    agree(&first_flows(&run(&alone), &["outer"]), &exits, 1e-7);
}

/// Two circuits joined by a crossover pipe between their wheel brakes: a loop through the reservoir.
#[test]
fn a_crossover_pipe_between_two_wheels_shares_the_flow_as_the_linear_algebra_says() {
    let text = caliper()
        .replace("chambers = [\"only\"]", "chambers = [\"only\", \"other\"]")
        .replace("level = ", "outlets = [\"both\"]\nlevel = ")
        .replace(
            "[procedure]",
            "\"short line\" = { kind = \"line\", from = \"other\", length = \"0.5 m\" }\n\
             R = { kind = \"wheel cylinder\", from = \"short line\", volume = \"6 mL\" }\n\
             pipe = { kind = \"line\", from = \"R\", to = \"F\", length = \"1 m\", bore = \"2.5 mm\" }\n\
             [procedure]",
        );
    for open in [&["outer"][..], &["R", "outer"], &["inner", "outer", "R"]] {
        let names = open.iter().map(|n| format!("{n:?}")).collect::<Vec<_>>().join(", ");
        let scenario =
            read(&text.replace("\"inner\", \"outer\"], until", &format!("{names}], until")));
        let circuit = scenario.circuit().clone();
        let (links, expected) = independent(&circuit, open, fluid(&scenario));
        let pipe = circuit.links.iter().position(|l| l.name == "pipe").unwrap();
        assert!(links[pipe].abs() > 1e-9, "the pipe should carry something: {links:?}");
        let record = run(&scenario);
        agree(&first_flows(&record, open), &expected, 1e-7);
        assert!(record.balance.volume_error_ml < 1e-7 && record.balance.old_error_ml < 1e-7);
    }
}

/// The shipped roadster: four bleeders open at once, on gravity, as the car comes.
#[test]
fn four_bleeders_at_once_on_the_roadster_share_the_flow_as_the_linear_algebra_says() {
    let scenario = read(include_str!("../../scenarios/roadster-gravity.toml"));
    let circuit = scenario.circuit().clone();
    let open = ["LR", "RR", "LF", "RF"];
    let (_, expected) = independent(&circuit, &open, fluid(&scenario));
    // The near front wheel runs fastest, the far rear one slowest, and none of them alone would.
    assert!(expected.is_sorted_by(|a, b| a < b), "{expected:?}");
    let record = run(&scenario);
    agree(&first_flows(&record, &open), &expected, 1e-7);
    let opened: Vec<f64> = record.openings[..4].iter().map(|o| o.opened_s).collect();
    assert!(opened.iter().all(|t| *t == opened[0]), "{opened:?}");
    let alone = independent(&circuit, &["LR"], fluid(&scenario)).1[0];
    assert!(expected[0] < 0.9 * alone, "{} m3/s beside others, {alone} alone", expected[0]);
}
