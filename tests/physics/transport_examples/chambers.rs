//! Stages and pockets: passed through, swept, let in again.

use super::{all_close, close};
use farwheel::parts::chamber::Chamber;
use farwheel::transport::chamber::Stages;

fn held(stages: &Stages, species: usize) -> Vec<f64> {
    let mut sum = vec![0.0; species];
    stages.held(&mut sum);
    sum
}

/// Composition that leaves the last stage, found by letting so little through that it stays the same within
/// 1e-6 (a millionth of some cubic metres), and enough that rounding of what is held stays below 1e-9.
fn at_outlet(stages: &Stages) -> f64 {
    let mut flow = [0.0; 2];
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
                    let mut flow = of(&fed, pass).repeat(2);
                    chamber.pass(pass, 5.0, &mut flow);
                    told.extend(&flow);
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
    stages.pass(through, 1.0, &mut [0.0; 2]);
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
    four.pass(through, 1.0, &mut [0.0; 2]);
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
        stages.pass(5.0, 1e-9, &mut [0.0; 2]);
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
    let mut leaving = [c_in * through; 2];
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
    once.pass(0.5, 1.0, &mut [0.0; 2]);
    let mut often = Stages::new(spec, &[1.0]);
    for _ in 0..10_000 {
        often.pass(0.5e-4, 1e-4, &mut [0.0; 2]);
    }
    close(held(&often, 1)[0], held(&once, 1)[0], 1e-11, "held");
}
