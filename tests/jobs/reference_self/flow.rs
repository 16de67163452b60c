//! Losses, branching flows and the air cushion of the reference against closed forms, a handbook library and
//! linear algebra.

use super::close;
use super::reference::branches::{Element, FluidOf, Way, flows};
use super::reference::losses::{Loss, darcy_factor, rising_root};
use super::reference::push::Vessel;
use nalgebra::{DMatrix, DVector};
use std::f64::consts::PI;

const FLUID: (f64, f64) = (1060.0, 15e-6);

/// The Python package *fluids* (`tests/data/fluids`).
#[test]
fn friction_factors_of_a_handbook_library() {
    let table = include_str!("../../data/fluids/friction.csv");
    let mut seen = 0;
    for line in table.lines().skip(2) {
        let cells: Vec<f64> = line.split(',').map(|c| c.parse().unwrap()).collect();
        close(darcy_factor(cells[0], cells[1]) / cells[2], 1.0, 1e-12, line);
        seen += 1;
    }
    assert!(seen > 100);
}

#[test]
fn roots_of_rising_functions() {
    for (guess, root) in [(1.0, 1e-9_f64), (1e-6, 3.7e4), (2.0, 2.0), (1e3, 0.3)] {
        close(rising_root(|x| x.powi(3) - root.powi(3), guess) / root, 1.0, 1e-12, "cube root");
        // A valve's corner.
        let corner = |x: f64| if x < 0.5 * root { -1.0 + x / root } else { 9.0 * x / root - 9.0 };
        close(rising_root(corner, guess) / root, 1.0, 1e-12, "corner");
    }
}

/// A tube by Hagen and Poiseuille, and that a flow drives back what drove it.
#[test]
fn a_drop_and_its_flow_belong_together() {
    let tube = Loss::Tube { bore_m: 3.33e-3, length_m: 5.0, k: 0.0 };
    let laminar = 128.0 * FLUID.0 * FLUID.1 * 5.0 * 2e-6 / (PI * 3.33e-3_f64.powi(4));
    close(tube.drop_pa(2e-6, FLUID) / laminar, 1.0, 1e-12, "Hagen and Poiseuille");
    let port = Loss::Hole { bore_m: 0.7e-3 };
    let cup = Loss::Valve { opens_at_pa: 20e3, bore_m: 2e-3 };
    let both = Loss::Beside(vec![port.clone(), cup.clone()]);
    for loss in [&tube, &port, &cup, &both] {
        for flow in [1e-8, 1e-6, 5e-6] {
            let drop = loss.drop_pa(flow, FLUID);
            close(loss.flow_m3_s(drop, FLUID) / flow, 1.0, 1e-9, &format!("{loss:?}, {flow}"));
        }
    }
    // Below the valve's pressure all goes through the port.
    close(both.flow_m3_s(19e3, FLUID), port.flow_m3_s(19e3, FLUID), 0.0, "a shut valve");
    assert!(both.drop_pa(5e-6, FLUID) < 0.7 * port.drop_pa(5e-6, FLUID));
}

/// A laminar tree of a trunk, three branches and a branch of a branch, as one linear system.
#[test]
fn branching_laminar_flow_by_linear_algebra() {
    let sizes = [(4e-3, 3.0), (3e-3, 2.0), (2.5e-3, 0.7), (3.2e-3, 1.4), (2.8e-3, 0.9)];
    let element = |(bore_m, length_m)| Element {
        loss: Loss::Tube { bore_m, length_m, k: 0.0 },
        fluid: FluidOf::Supply,
    };
    let elements: Vec<Element> = sizes.into_iter().map(element).collect();
    let ways: [(&[usize], f64); 3] = [(&[0, 1], -200.0), (&[0, 2, 3], 100.0), (&[0, 2, 4], 0.0)];
    let fluids = vec![(1000.0, 50e-6); 5];
    let given = ways.map(|(elements, end_pa)| Way { elements, end_pa });
    let found = flows(&elements, &fluids, &given, 3000.0);
    // Each way's drops add up to what pushes, the flow of an element being that of all ways through it.
    let resistance =
        |e: usize| 128.0 * 1000.0 * 50e-6 * sizes[e].1 / (PI * f64::powi(sizes[e].0, 4)) * 1e-9;
    let shared = |a: usize, b: usize| -> f64 {
        let both = ways[a].0.iter().filter(|e| ways[b].0.contains(e));
        both.map(|e| resistance(*e)).sum()
    };
    let matrix = DMatrix::from_fn(3, 3, shared);
    let push = DVector::from_fn(3, |i, _| 3000.0 - ways[i].1);
    let exact = matrix.lu().solve(&push).unwrap() * 1e-9;
    for (a, b) in found.iter().zip(exact.iter()) {
        close(a / b, 1.0, 1e-9, "flow of a branch");
    }
}

/// Boyle on both sides as a quadratic equation: P₀A₀/(A₀ + f) = K/(S + v − f).
#[test]
fn an_air_cushion_against_the_quadratic_formula() {
    let (air, space) = (3500.0, 90.0);
    let mut vessel = Vessel::new(air, 100e3, 1.0, 42.0);
    let (p0, cap) = (201_325.0 * air, 101_325.0 * (space + 42.0));
    let sent = |space: f64| (p0 * space - cap * air) / (p0 + cap);
    let rise = vessel.settle(space);
    close(rise, sent(space + 42.0) - 42.0, 1e-9, "rise as the valve is opened");
    close(vessel.absolute_pa, p0 / (air + 42.0 + rise), 1e-6, "pressure in the vessel");
    close(vessel.absolute_pa, cap / (space - rise), 1e-6, "pressure under the cap");
    let (fed, all) = (vessel.drain(250.0, space - rise), sent(space + 42.0 + 250.0));
    close(fed, all - sent(space + 42.0), 1e-9, "fed while 250 mL are drained");
    // Down to a mark, and pumped up again.
    let space = space - rise + 250.0 - fed;
    vessel.low_mark_pa = Some(vessel.gauge_pa() - 10e3);
    let more = vessel.until_low_mark_ml(space);
    let fed = vessel.drain(more, space);
    close(vessel.gauge_pa(), vessel.low_mark_pa.unwrap(), 1e-6, "at the low mark");
    let rise = vessel.pump(100e3, space + more - fed);
    close(cap / (space + more - fed - rise), 201_325.0, 1e-6, "pressure under the cap");
}
