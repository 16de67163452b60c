//! What the flow solve of one time step costs.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use farwheel::flow::{Contents, Element, Law, Network, Projection, Solver, laws::Prepared};

const OLD: Contents = Contents { density_kg_m3: 1055.0, nu_m2_s: 18e-6 };
const NEW: Contents = Contents { density_kg_m3: 1065.0, nu_m2_s: 13e-6 };

fn line(bore_m: f64, length_m: f64) -> Law {
    Law::Tube { bore_m, length_m, minor_k: 2.0, rise_m: 0.0, roughness_m: 1.5e-6 }
}

fn hole(bore_m: f64) -> Law {
    Law::Orifice { bore_m, length_m: 1e-3, discharge: 0.65 }
}

/// The path from a pressure bleeder to one bleeder: ten elements in series.
fn chain() -> Vec<Law> {
    vec![
        line(6e-3, 2.0),
        hole(0.7e-3),
        line(5e-3, 0.1),
        line(3.33e-3, 2.0),
        line(3.33e-3, 2.0),
        line(3.33e-3, 1.0),
        line(3.2e-3, 0.4),
        hole(1e-3),
        hole(1.5e-3),
        line(5e-3, 0.5),
    ]
}

fn series(laws: Vec<Law>) -> Network {
    let element = |(i, law)| Element { from: i, to: i + 1, law, name: format!("element {i}") };
    Network {
        nodes: (0..=laws.len()).map(|i| format!("node {i}")).collect(),
        elements: laws.into_iter().enumerate().map(element).collect(),
    }
}

/// The chain with a check valve beside the port, a crossover pipe and a second bleeder: three loops.
fn looped() -> Network {
    let mut network = series(chain());
    let more = [
        (1, 2, Law::Check { cracking_pa: 3e3, bore_m: 3e-3 }),
        (3, 6, line(3.33e-3, 7.0)),
        (7, 10, hole(1.1e-3)),
    ];
    for (from, to, law) in more {
        network.elements.push(Element { from, to, law, name: format!("{from} to {to}") });
    }
    network
}

/// The chain with the cup beside the port, as in a master cylinder: what lies before one open bleeder.
fn port_and_cup() -> Network {
    let mut network = series(chain());
    let law = Law::Check { cracking_pa: 3e3, bore_m: 3e-3 };
    network.elements.push(Element { from: 1, to: 2, law, name: "cup".into() });
    network
}

/// With a line that ends blind, which carries nothing but makes a matrix of it: no row any more.
fn with_dead_end(mut network: Network) -> Network {
    network.nodes.insert(0, "blind end".into());
    for element in &mut network.elements {
        element.from += 1;
        element.to += 1;
    }
    network.elements.push(Element { from: 3, to: 0, law: line(3e-3, 1.0), name: "blind".into() });
    network
}

/// Contents at each of 500 steps while a smooth front of new fluid goes through, and the falling gauge.
fn journey(elements: usize) -> Vec<(Vec<Contents>, f64)> {
    let steps = 500;
    let at = |step: usize, e: usize| {
        let gone = step as f64 / steps as f64 * (elements + 4) as f64 - 2.0;
        let new = 1.0 / (1.0 + (-2.0 * (gone - e as f64)).exp());
        Contents {
            density_kg_m3: OLD.density_kg_m3 + new * (NEW.density_kg_m3 - OLD.density_kg_m3),
            nu_m2_s: OLD.nu_m2_s + new * (NEW.nu_m2_s - OLD.nu_m2_s),
        }
    };
    (0..steps)
        .map(|s| {
            ((0..elements).map(|e| at(s, e)).collect(), 103e3 - 14e3 * s as f64 / steps as f64)
        })
        .collect()
}

fn follow(c: &mut Criterion, name: &str, network: Network) {
    let steps = journey(network.elements.len());
    let outlet = network.nodes.len() - 1;
    let inlet = outlet - 10;
    let mut boundary = vec![None; network.nodes.len()];
    boundary[outlet] = Some(0.0);
    let mut solver = Solver::new(network).expect("the network of this bench is sound");
    let (mut at, mut solves, mut iterations) = (0, 0_u64, 0_u64);
    c.bench_function(name, |b| {
        b.iter(|| {
            let (contents, gauge) = &steps[at];
            boundary[inlet] = Some(*gauge);
            let solution = solver.solve(&boundary, contents).expect("the bench's flow settles");
            at = (at + 1) % steps.len();
            solves += 1;
            iterations += u64::from(solution.iterations);
            black_box(solution.flows_m3_s[0])
        });
    });
    if solves > 0 {
        println!("{name}: {:.2} Newton iterations a solve", iterations as f64 / solves as f64);
    }
}

fn flow_solve(c: &mut Criterion) {
    follow(c, "flow_solve/chain of 10, warm", series(chain()));
    follow(c, "flow_solve/port beside cup, warm", port_and_cup());
    follow(c, "flow_solve/port beside cup by a matrix, warm", with_dead_end(port_and_cup()));
    follow(c, "flow_solve/three loops and a check valve, warm", looped());

    let network = series(chain());
    let mut boundary = vec![None; 11];
    (boundary[0], boundary[10]) = (Some(103e3), Some(0.0));
    let mut solver = Solver::new(network.clone()).expect("the network of this bench is sound");
    c.bench_function("flow_solve/chain of 10, from rest", |b| {
        b.iter(|| {
            solver.forget();
            let solution = solver.solve(&boundary, &[OLD; 10]).expect("the bench's flow settles");
            black_box(solution.flows_m3_s[0])
        });
    });
    c.bench_function("flow_solve/chain of 10, nothing changed", |b| {
        b.iter(|| {
            let solution = solver.solve(&boundary, &[OLD; 10]).expect("the bench's flow settles");
            black_box(solution.flows_m3_s[0])
        });
    });

    let laws: Vec<Prepared> = chain().iter().map(Prepared::new).collect();
    c.bench_function("flow_solve/laws of 10 elements, once", |b| {
        b.iter(|| {
            let q = black_box(1e-6);
            laws.iter().fold(0.0, |sum, law| {
                let (drop, slope) = law.drop_and_slope(q, OLD);
                sum + drop / slope
            })
        });
    });
    let fixed: Vec<bool> = boundary.iter().map(Option::is_some).collect();
    let mut projection = Projection::new(&network.ends(), &fixed, &[1.0; 10], |n| n.to_string())
        .expect("the network of this bench is sound");
    let mut flows = [1e-6; 10];
    c.bench_function("flow_solve/projection of 10 elements", |b| {
        b.iter(|| projection.apply(black_box(&mut flows)));
    });
}

criterion_group!(benches, flow_solve);
criterion_main!(benches);
