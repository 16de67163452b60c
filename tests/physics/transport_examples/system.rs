//! All fluid of one small circuit.

use crate::common::cars::{DOT_4, GRAVITY, close, read, scenario_text, undivided};
use farwheel::circuit::{Circuit, RESERVOIR};
use farwheel::transport::lanes::Lanes;
use farwheel::transport::system::{RunsInACircle, Step, System};
use std::sync::Arc;

const CALIPER: &str = r#"[parts]
hose = { kind = "hose", from = "front", length = "1.4 m", bore = "3.2 mm" }
LF = { kind = "two-bleeder caliper", from = "hose", new_pads = "8 mL", crossover_bore = "1.5 mm", bleeders = ["inner", "outer"] }
[procedure]
open = ["inner"]
until = "20 mL""#;

/// The circuit, and its fluid: old fluid in the tubes, new fluid everywhere else.
fn old_in_the_tubes() -> (Circuit, System) {
    let above = undivided("front", 2.5, [30, 10, 30, 40]);
    let scenario = read(&scenario_text(&[DOT_4, &above, CALIPER, GRAVITY]));
    let mut circuit = scenario.circuit().clone();
    for node in &mut circuit.nodes {
        node.filling.old_fraction = 0.0;
    }
    let lanes = Arc::new(Lanes::laminar(100));
    let system = System::new(&circuit, &lanes, |filling, _| vec![filling.old_fraction], |_| 0);
    (circuit, system)
}

/// What one tube volume of new fluid leaves at the outlet, 1 − F(1) = 1/4 of the flow, lies on half of the
/// cross-section: s > 1 − 1/(2θ) (Danckwerts 1953). After a wait that mixes the cross-section, the
/// same on all lanes, it is half of the flow. A system at rest holds what its parts hold, by addition.
#[test]
fn a_wait_mixes_the_lines_of_a_system() {
    let (circuit, mut system) = old_in_the_tubes();
    let parts = circuit.circuit_volume_m3() + circuit.reservoir.level_m3;
    close(system.volume() / parts, 1.0, 1e-12, "volume");
    let hose = circuit.links.iter().position(|l| l.name == "hose").expect("a hose");
    let (front, volume) =
        (circuit.links[hose].from, circuit.links[hose].tube.expect("a tube").volume_m3);
    let port = circuit.links.iter().position(|l| l.to == front).expect("a port");
    let steps = 100;
    let mut through = vec![0.0; circuit.links.len()];
    (through[hose], through[port]) = (volume / f64::from(steps), volume / f64::from(steps));
    let exits = [(circuit.links[hose].to, volume / f64::from(steps))];
    for _ in 0..steps {
        let step = Step {
            through_m3: &through,
            exits: &exits,
            given: &[],
            feed_m3: volume / f64::from(steps),
            feed: &[0.0],
            time_s: 1.0,
        };
        system.step(&circuit, &step, &mut [0.0]).expect("no circle");
    }
    let next = |system: &System| {
        let mut leaving = [0.0; 2];
        let little = 0.01 * volume;
        system.tube(hose).expect("a tube").tube().clone().push(
            little,
            &[0.0; 2],
            false,
            &mut leaving,
        );
        leaving[0] / little
    };
    close(next(&system), 0.25, 0.01, "on its own lanes");
    system.stand(600.0, |link| if link == hose { 1.0 } else { 0.0 });
    close(next(&system), 0.5, 0.02, "mixed over the cross-section");
}

/// Fluid that runs from the inner to the outer half of a caliper and back cannot be put in an order: it is refused.
#[test]
fn flow_in_a_circle_is_refused() {
    let (circuit, mut system) = old_in_the_tubes();
    let between: Vec<(usize, usize)> = circuit.links.iter().map(|l| (l.from, l.to)).collect();
    let mut through = vec![0.0; circuit.links.len()];
    let twins = (0..between.len()).flat_map(|i| (0..i).map(move |j| (i, j))).find(|&(i, j)| {
        let (a, b) = between[i];
        a != RESERVOIR && (between[j] == (a, b) || between[j] == (b, a))
    });
    let (i, j) = twins.expect("two passages between the halves");
    through[i] = 1e-9;
    through[j] = if between[j] == between[i] { -1e-9 } else { 1e-9 };
    let step = Step {
        through_m3: &through,
        exits: &[],
        given: &[],
        feed_m3: 0.0,
        feed: &[0.0],
        time_s: 1.0,
    };
    assert_eq!(system.step(&circuit, &step, &mut []), Err(RunsInACircle));
}
