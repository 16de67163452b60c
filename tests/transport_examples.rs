//! Small cases of what moves whose outcome is known beforehand: closed forms, recursions by arithmetic, and
//! properties that a solution of linear equations must have.

use farwheel::circuit::chamber::Chamber;
use farwheel::circuit::{self, Circuit, RESERVOIR};
use farwheel::job::intake;
use farwheel::transport::chamber::Stages;
use farwheel::transport::history::History;
use farwheel::transport::lanes::Lanes;
use farwheel::transport::reservoir::Reservoir;
use farwheel::transport::system::{RunsInACircle, Step, System};
use farwheel::transport::tube::Tube;
use std::sync::Arc;

fn close(a: f64, b: f64, tolerance: f64, what: &str) {
    assert!((a - b).abs() <= tolerance, "{what}: {a} is not {b} within {tolerance:e}");
}

fn all_close(a: &[f64], b: &[f64], tolerance: f64, what: &str) {
    assert_eq!(a.len(), b.len(), "{what}");
    for (a, b) in a.iter().zip(b) {
        close(*a, *b, tolerance, what);
    }
}

fn held(stages: &Stages, species: usize) -> Vec<f64> {
    let mut sum = vec![0.0; species];
    stages.held(&mut sum);
    sum
}

/// Composition that leaves the last stage, found by letting so little through that it stays the same within
/// 1e-6 (a millionth of some cubic metres), and enough that rounding of what is held stays below 1e-9.
fn at_outlet(stages: &Stages) -> f64 {
    let mut flow = [0.0];
    stages.clone().pass(1e-6, 1e-9, &mut flow);
    flow[0] / 1e-6
}

/// Composition of the stage and of the pocket of a single stage.
fn stage_and_pocket(stages: &Stages, pocket: f64) -> (f64, f64) {
    let active = at_outlet(stages);
    let all = held(stages, 1)[0];
    (active, (all - (stages.volume() - pocket) * active) / pocket)
}

/// Each species moves as if it were alone: the equations are linear in the composition. Stages that pass,
/// are swept forward and backward and let in again, with pockets and without, in three species at once and
/// one by one.
#[test]
fn species_in_a_chamber_do_not_disturb_each_other() {
    let filling = [1.0, 0.3, 0.0];
    let fed = [0.0, 0.9, 0.45];
    for stages in [1_usize, 2, 3, 4, 5] {
        for pocket_share in [0.0, 0.3] {
            let spec = Chamber {
                stages,
                pocket_share,
                pocket_exchange: 0.2,
                pocket_time_s: 40.0,
                ..Chamber::mixed(7.0)
            };
            let run = |species: &[usize]| -> Vec<f64> {
                let of = |row: &[f64], share: f64| -> Vec<f64> {
                    species.iter().map(|&k| share * row[k]).collect()
                };
                let mut chamber = Stages::new(spec, &of(&filling, 1.0));
                let mut told = Vec::new();
                for (pass, out, backward) in [(2.0, 1.5, false), (3.0, 0.5, true), (0.4, 1.0, true)]
                {
                    let mut flow = of(&fed, pass);
                    chamber.pass(pass, 5.0, &mut flow);
                    told.extend(flow);
                    let mut given = vec![0.0; species.len()];
                    chamber.give(out, 2.0, backward, &mut given);
                    told.extend(given);
                    chamber.take_in(0.7 * out, 1.0, &of(&fed, 0.7 * out));
                    told.extend(held(&chamber, species.len()));
                }
                told
            };
            let together = run(&[0, 1, 2]);
            for k in 0..3 {
                let alone: Vec<f64> = together.iter().skip(k).step_by(3).copied().collect();
                all_close(&alone, &run(&[k]), 1e-13, &format!("species {k} of {stages} stages"));
            }
        }
    }
}

/// Two stages swept backward: the one at the outlet keeps its composition, and the one at the inlet takes
/// up from it, c₁(after) = p c₁ + (1 − p) c₂ with p the ratio of the volumes. Before, tanks in series
/// (Levenspiel): c₁ = e⁻ᵃ, c₂ = e⁻ᵃ (1 + a). The same with two pairs of stages turned round and back.
#[test]
fn a_backward_sweep_leaves_through_the_inlet() {
    let (volume, through, out) = (6.0, 3.0, 2.4);
    let mut stages = Stages::new(Chamber { stages: 2, ..Chamber::mixed(volume) }, &[1.0]);
    stages.pass(through, 1.0, &mut [0.0]);
    let a: f64 = through / (0.5 * volume);
    let (c1, c2) = ((-a).exp(), (-a).exp() * (1.0 + a));
    let mut leaving = [0.0];
    stages.give(out, 1.0, true, &mut leaving);
    let p = 1.0 - out / volume;
    let after = 0.5 * (volume - out) * (p * c1 + (1.0 - p) * c2 + c2);
    close(leaving[0], 0.5 * volume * (c1 + c2) - after, 1e-12, "what leaves by the inlet");
    close(held(&stages, 1)[0], after, 1e-12, "what stays");
    close(at_outlet(&stages), c2, 1e-6, "the stage at the outlet");

    // Four stages: backward, the last keeps its own (what leaves there is what the fourth tank holds).
    let mut four = Stages::new(Chamber { stages: 4, ..Chamber::mixed(volume) }, &[1.0]);
    four.pass(through, 1.0, &mut [0.0]);
    let b: f64 = through / (0.25 * volume);
    let c4 = (-b).exp() * (1.0 + b + b * b / 2.0 + b.powi(3) / 6.0);
    four.give(out, 1.0, true, &mut leaving);
    close(at_outlet(&four), c4, 1e-6, "the fourth stage");
}

/// A stage that a piston sweeps while it trades with its pocket at r millilitres a millilitre (by volume
/// passed and by time): d(c_a − c_p)/dv = −r (c_a − c_p)(1/(V_a − v) + 1/V_p), so that the difference
/// falls to (1 − v/V_a)^r e^(−r v/V_p) of itself. In small steps, as the split within one is of first order.
#[test]
fn a_swept_stage_trades_with_its_pocket() {
    let (volume, pocket_share, exchange, tau) = (8.0, 0.25, 0.3, 50.0);
    let spec = Chamber {
        pocket_share,
        pocket_exchange: exchange,
        pocket_time_s: tau,
        ..Chamber::mixed(volume)
    };
    let pocket = pocket_share * volume;
    let start_volume = volume - pocket;
    let seconds_per_ml = 6.0;
    for backward in [false, true] {
        let mut stages = Stages::new(spec, &[1.0]);
        stages.pass(5.0, 1e-9, &mut [0.0]);
        let (a, p) = stage_and_pocket(&stages, pocket);
        let steps = 20_000;
        let swept = 4.0;
        let dv = swept / f64::from(steps);
        let before = held(&stages, 1)[0];
        let mut left = [0.0];
        for _ in 0..steps {
            stages.give(dv, seconds_per_ml * dv, backward, &mut left);
        }
        close(held(&stages, 1)[0] + left[0], before, 1e-9, "what is held and what left");
        let rate = exchange + pocket * seconds_per_ml / tau;
        let share = (1.0 - swept / start_volume).powf(rate) * (-rate * swept / pocket).exp();
        let (a_after, p_after) = stage_and_pocket(&stages, pocket);
        assert!(p - a > 0.3, "there is a difference to begin with");
        close((p_after - a_after) / (p - a), share, 2e-4, "what is left of the difference");
    }
}

/// A stage with a pocket that trades by volume and by time at once, against its two differential equations
/// V_a dc_a/dv = c_in − c_a − r (c_a − c_p), V_p dc_p/dv = r (c_a − c_p), r = e + V_p/(τ q), in small steps
/// of the classical Runge–Kutta method.
#[test]
fn a_pocket_trades_by_volume_and_by_time() {
    let (volume, pocket_share, exchange, tau, flow) = (5.0, 0.4, 0.15, 30.0, 0.1);
    let spec = Chamber {
        pocket_share,
        pocket_exchange: exchange,
        pocket_time_s: tau,
        ..Chamber::mixed(volume)
    };
    let (va, vp) = (volume * (1.0 - pocket_share), volume * pocket_share);
    let rate = exchange + vp / (tau * flow);
    let (c_in, through) = (0.2, 4.0);
    let derivative = |a: f64, p: f64| ((c_in - a - rate * (a - p)) / va, rate * (a - p) / vp);
    let (mut a, mut p) = (1.0, 1.0);
    let h = through / 2000.0;
    for _ in 0..2000 {
        let k1 = derivative(a, p);
        let k2 = derivative(a + 0.5 * h * k1.0, p + 0.5 * h * k1.1);
        let k3 = derivative(a + 0.5 * h * k2.0, p + 0.5 * h * k2.1);
        let k4 = derivative(a + h * k3.0, p + h * k3.1);
        a += h / 6.0 * (k1.0 + 2.0 * k2.0 + 2.0 * k3.0 + k4.0);
        p += h / 6.0 * (k1.1 + 2.0 * k2.1 + 2.0 * k3.1 + k4.1);
    }
    let mut stages = Stages::new(spec, &[1.0]);
    let mut leaving = [c_in * through];
    stages.pass(through, through / flow, &mut leaving);
    close(held(&stages, 1)[0], va * a + vp * p, 1e-9, "held");
    close(leaving[0], volume + c_in * through - va * a - vp * p, 1e-9, "left");
    let (active, pocket) = stage_and_pocket(&stages, vp);
    close(active, a, 1e-6, "stage");
    close(pocket, p, 1e-6, "pocket");
}

/// One step or ten thousand: the exact solution of linear equations does not depend on how a step is
/// cut, down to steps so small that its eigenvalues all but meet.
#[test]
fn a_step_through_a_pocket_may_be_cut_as_one_likes() {
    let spec = Chamber { pocket_share: 0.5, pocket_exchange: 0.8, ..Chamber::mixed(1.0) };
    let mut once = Stages::new(spec, &[1.0]);
    once.pass(0.5, 1.0, &mut [0.0]);
    let mut often = Stages::new(spec, &[1.0]);
    for _ in 0..10_000 {
        often.pass(0.5e-4, 1e-4, &mut [0.0]);
    }
    close(held(&often, 1)[0], held(&once, 1)[0], 1e-11, "held");
}

/// The last knot at or before a throughput, beyond the last one too: by definition.
#[test]
fn the_knot_before_a_throughput() {
    let mut history = History::new(&[0.0]);
    for dv in [1.0, 2.0, 4.0] {
        history.push(dv, &[1.0]);
    }
    for (v, knot) in [(0.5, 0), (1.0, 1), (2.9, 1), (3.0, 2), (6.9, 2), (7.0, 3), (50.0, 3)] {
        assert_eq!(history.knot_before(v, 0), knot, "{v}");
    }
}

#[test]
fn lanes_tell_their_number() {
    assert_eq!(Lanes::laminar(18).n(), 18);
    assert_eq!(Lanes::plug().n(), 1);
}

/// Plug flow: F(θ) is a step at one tube volume (Levenspiel), and all of the flow.
#[test]
fn plug_flow_is_a_step_at_one_volume() {
    let plug = Lanes::plug();
    assert_eq!((plug.f(0.99), plug.f(1.01)), (0.0, 1.0));
    close(plug.f(1.0), 0.5, 1e-12, "half of it at the volume itself");
}

/// The lane at the wall, s from 1 − a to 1, carries a² of the flow (∫ 2(1 − s) ds) and holds a of the
/// volume, so that its mean delay is 1/a; the band begins where the lane does, at θ = 1/(2a).
#[test]
fn the_lane_at_the_wall_begins_where_its_neighbour_ends() {
    let lanes = Lanes::laminar(12);
    let wall = lanes.len() - 1;
    let a = lanes.shares[wall].sqrt();
    close(lanes.volume_share(wall) / a, 1.0, 1e-12, "volume of the wall lane");
    close(lanes.bands[wall].0 * 2.0 * a, 1.0, 1e-12, "least delay of the wall lane");
    close(lanes.bands[wall].1 * a, 1.5, 1e-12, "longest delay, as far beyond the mean");
}

/// Standing without any mixing is no event: what leaves afterwards is the same to the bit.
#[test]
fn a_wait_without_mixing_changes_nothing() {
    let lanes = Arc::new(Lanes::laminar(12));
    let mut tubes = [Tube::new(3.0, 0.4, &lanes, &[1.0]), Tube::new(3.0, 0.4, &lanes, &[1.0])];
    for step in 0..12 {
        if step == 5 {
            tubes[1].stand(0.0);
        }
        let [a, b] = [0, 1].map(|i| {
            let mut leaving = [0.0];
            tubes[i].push(0.37, &[0.0], false, &mut leaving);
            leaving[0]
        });
        assert_eq!(a, b, "step {step}");
    }
}

fn reservoir(level_m3: f64, compartment_m3: f64) -> Reservoir {
    let spec = circuit::Reservoir {
        outlets: vec!["front".into(), "rear".into()],
        compartment_m3,
        level_m3,
        min_m3: 0.0,
        max_m3: 10.0,
        brim_m3: 20.0,
        height_m: 0.9,
    };
    Reservoir::new(&spec, &[1.0, 0.0])
}

/// Volume above the wall, and in each compartment: what each outlet sees, less what is above.
fn volumes(r: &Reservoir) -> [f64; 3] {
    let mut sum = [0.0; 2];
    let seen = [r.held_for(0, &mut sum), r.held_for(1, &mut sum)];
    let above = seen[0] + seen[1] - r.volume();
    [above, seen[0] - above, seen[1] - above]
}

const OLD: [f64; 2] = [1.0, 0.0];
const NEW: [f64; 2] = [0.0, 1.0];

/// Filling and emptying a reservoir with a dividing wall, by arithmetic: what is taken from above comes
/// from the common space, then from the compartments in proportion to what they hold; what is poured in
/// fills each compartment by what it lacks, then the common space.
#[test]
fn pouring_and_drawing_by_arithmetic() {
    let mut r = reservoir(2.5, 1.0);
    all_close(&volumes(&r), &[0.5, 1.0, 1.0], 1e-12, "full compartments, half a volume above");
    let mut taken = [0.0; 2];
    r.draw(0.2, &mut taken);
    all_close(&volumes(&r), &[0.3, 1.0, 1.0], 1e-12, "from above only");
    // The front outlet sends out all that is above and 0.6 of its own.
    let mut leaving = [0.0; 4];
    r.pass(0.0, &NEW, &[0.9, 0.0], &mut leaving);
    all_close(&volumes(&r), &[0.0, 0.4, 1.0], 1e-12, "the front alone draws");
    // 0.7 of 1.4: half of each.
    taken = [0.0; 2];
    r.draw(0.7, &mut taken);
    all_close(&volumes(&r), &[0.0, 0.2, 0.5], 1e-12, "evenly");
    close(taken[0], 0.7, 1e-12, "all of it old");
    // 0.8 and 0.5 lacking: 0.65 fills half of each.
    r.pour(0.65, &NEW);
    all_close(&volumes(&r), &[0.0, 0.6, 0.75], 1e-12, "half of what each lacks");
    r.pour(0.95, &NEW);
    all_close(&volumes(&r), &[0.3, 1.0, 1.0], 1e-12, "the rest lies above");
    let mut sum = [0.0; 2];
    r.held(&mut sum);
    all_close(&sum, &[0.7, 1.6], 1e-12, "old and new");
    for (k, held) in sum.iter().enumerate() {
        close(r.held_of(|row| row[k]), *held, 1e-12, "one species of it");
    }
    // Part from above, part from below: 0.3, then half of 2.0.
    taken = [0.0; 2];
    r.draw(1.3, &mut taken);
    all_close(&volumes(&r), &[0.0, 0.5, 0.5], 1e-12, "above first");
    close(taken[0] + taken[1], 1.3, 1e-12, "taken");
    // Empty stays empty.
    r.draw(1.0, &mut taken);
    r.draw(1.0, &mut taken);
    all_close(&volumes(&r), &[0.0; 3], 1e-12, "empty");
    assert!(taken.iter().all(|x| x.is_finite()));
}

/// While less comes than is asked for, outlets in use come first, in proportion to what they send out, and
/// the rest goes by what each compartment lacks. By arithmetic; volumes and old fluid add up.
#[test]
fn a_reservoir_that_runs_short_shares_out() {
    let mut r = reservoir(2.1, 1.0);
    let mut leaving = [0.0; 4];
    // 0.1 above for 0.4 asked: a quarter of each.
    r.pass(0.0, &NEW, &[0.3, 0.1], &mut leaving);
    all_close(&volumes(&r), &[0.0, 0.775, 0.925], 1e-12, "a quarter of what each sends out");
    all_close(&leaving, &[0.3, 0.0, 0.1, 0.0], 1e-12, "old fluid leaves");
    // 0.12 for 0.1 sent out and 0.3 lacking: 0.02 is left over, three to one.
    r.pass(0.12, &OLD, &[0.1, 0.0], &mut leaving);
    all_close(&volumes(&r), &[0.0, 0.79, 0.93], 1e-12, "the outlet in use first");
    all_close(&leaving, &[0.1, 0.0, 0.0, 0.0], 1e-12, "old fluid leaves");
    // 0.14 for 0.28 lacking, nothing sent out: half of what each lacks.
    r.pass(0.14, &OLD, &[0.0, 0.0], &mut leaving);
    all_close(&volumes(&r), &[0.0, 0.895, 0.965], 1e-12, "by what each lacks");
    // More than enough: both full, the rest above.
    r.pass(0.2, &NEW, &[0.0, 0.01], &mut leaving);
    all_close(&volumes(&r), &[0.05, 1.0, 1.0], 1e-12, "full again");
    let mut sum = [0.0; 2];
    r.held(&mut sum);
    close(sum[0] + sum[1], r.volume(), 1e-12, "species add up to the volume");
    close(sum[1] + leaving[1] + leaving[3], 0.2, 1e-12, "all new fluid is accounted for");
}

/// Without a wall each outlet gets its share of what leaves, and nothing where nothing leaves.
#[test]
fn outlets_of_one_space_share_it() {
    let mut r = reservoir(3.0, 0.0);
    let mut leaving = [0.0; 4];
    r.pass(0.0, &NEW, &[0.9, 0.3], &mut leaving);
    all_close(&leaving, &[0.9, 0.0, 0.3, 0.0], 1e-12, "three to one");
    r.pass(0.2, &NEW, &[0.0, 0.0], &mut leaving);
    assert_eq!(leaving, [0.0; 4]);
}

/// V dc/ds = F (c_in − c) with V = V₀ + (F − Q) s: c falls as (V/V₀)^(−F/(F − Q)), also where level and flows
/// change so little that the exponent has to be expanded.
#[test]
fn a_level_that_hardly_changes() {
    for excess in [9e-7, 4e-7, -4e-7, -9e-7] {
        let mut r = reservoir(1.0, 0.0);
        let (feed, drained) = (0.5, 0.5 - excess);
        r.pass(feed, &NEW, &[drained, 0.0], &mut [0.0; 4]);
        let exact = (-feed / excess * f64::ln_1p(excess)).exp() * (1.0 + excess);
        close(r.held_of(|row| row[0]), exact, 1e-11, "old fluid");
    }
}

const CALIPER: &str = r#"title = "one caliper with two bleeders"
[old_fluid]
grade = "DOT 4"
[new_fluid]
grade = "DOT 4"
[reservoir]
level = "30 mL"
min = "10 mL"
max = "30 mL"
brim = "40 mL"
[master_cylinder]
chambers = ["front"]
volume = "2.5 mL"
[parts]
hose = { kind = "hose", from = "front", length = "1.4 m", bore = "3.2 mm" }
LF = { kind = "two-bleeder caliper", from = "hose", new_pads = "8 mL", crossover_bore = "1.5 mm", bleeders = ["inner", "outer"] }
[supplies.gravity]
kind = "gravity"
[procedure]
open = ["inner"]
until = "20 mL"
"#;

/// The circuit, and its fluid: old fluid in the tubes, new fluid everywhere else.
fn old_in_the_tubes() -> (Circuit, System) {
    let scenario = intake::read_text(CALIPER, "caliper.toml").unwrap_or_else(|m| panic!("{m}"));
    let mut circuit = Circuit::build(&scenario).expect("it builds");
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
        let mut leaving = [0.0];
        let little = 0.01 * volume;
        system.tube(hose).expect("a tube").clone().push(little, &[0.0], false, &mut leaving);
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
