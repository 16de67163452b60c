//! Stages, pockets and the reservoir against closed forms.

use super::close;
use farwheel::circuit;
use farwheel::parts::chamber::Chamber;
use farwheel::transport::chamber::Stages;
use farwheel::transport::reservoir::Reservoir;

/// Pushes new fluid into old; gives the old fraction that leaves in the step.
fn push(stages: &mut Stages, dv: f64, dt: f64) -> f64 {
    let mut flow = [0.0; 2];
    stages.pass(dv, dt, &mut flow);
    flow[0] / dv
}

/// Tanks in series, F(θ = 1) = 1 − e⁻ⁿ Σ nᵏ/k! (k < n) (Levenspiel, Chemical Reaction Engineering),
/// whatever the length of the steps.
#[test]
fn tanks_in_series() {
    for (n, f) in [(1, 0.63212), (2, 0.59399), (3, 0.57681), (5, 0.55951), (10, 0.54207)] {
        for steps in [1, 7, 48] {
            let mut stages = Stages::new(Chamber { stages: n, ..Chamber::mixed(1.0) }, &[1.0]);
            for _ in 0..steps {
                push(&mut stages, 1.0 / f64::from(steps), 1.0);
            }
            let leaves = push(&mut stages, 1e-7, 1.0);
            close(1.0 - leaves, f, 1e-5, &format!("{n} tanks in {steps} steps"));
        }
    }
}

/// However little passes, what leaves is what the last stage holds (dv → 0 of any of the laws above), and what
/// a trickle of many small steps sends out is what one step of the same volume does.
#[test]
fn a_trickle_is_told_exactly() {
    for stages in [1, 2, 5, 20] {
        for pocket_share in [0.0, 0.4] {
            let spec = Chamber {
                stages,
                pocket_share,
                pocket_exchange: 0.1,
                pocket_time_s: 2e4,
                ..Chamber::mixed(1.0)
            };
            for dv in [1e-3, 1e-9, 1e-16, 1e-40, 1e-200] {
                let mut chamber = Stages::new(spec, &[0.75]);
                // Over so little time that pockets trade next to nothing.
                let leaves = push(&mut chamber, dv, 1e-9);
                // One stage is diluted by dv/V_stage at most, of which half is seen in the mean.
                let diluted = stages as f64 * dv;
                close(leaves, 0.75, 1e-12 + 0.75 * diluted, &format!("{stages} stages, {dv:e}"));
                let mut held = [0.0];
                chamber.held(&mut held);
                close(held[0] + dv * leaves, 0.75, 1e-12, "books");
            }
            // Behind a stage with a pocket the next one sees the mean of a step instead of its course.
            if stages > 1 && pocket_share > 0.0 {
                continue;
            }
            let (mut at_once, mut piecemeal) =
                (Stages::new(spec, &[1.0]), Stages::new(spec, &[1.0]));
            let whole = 0.6 * push(&mut at_once, 0.6, 5.0);
            let pieces: f64 =
                (0..6000).map(|_| 1e-4 * push(&mut piecemeal, 1e-4, 5.0 / 6000.0)).sum();
            close(whole, pieces, 1e-10, &format!("{stages} stages, pocket {pocket_share}"));
        }
    }
}

/// ∫ (1 − F) dV = V_a + V_d for any exchange above 0: the pocket delays, it does not shorten. Without
/// exchange the pocket takes no part.
#[test]
fn mean_residence_with_a_pocket() {
    for (exchange, through) in [(0.003, 3000.0), (0.1, 300.0), (1.0, 60.0), (8.0, 40.0)] {
        for (stages, bypass_share) in [(1, 0.0), (3, 0.0), (2, 0.2)] {
            let spec = Chamber {
                stages,
                pocket_share: 0.35,
                pocket_exchange: exchange,
                bypass_share,
                ..Chamber::mixed(1.0)
            };
            let mut chamber = Stages::new(spec, &[1.0]);
            let dv: f64 = 0.5;
            let washed: f64 =
                (0..(through / dv) as usize).map(|_| dv * push(&mut chamber, dv, 1.0)).sum();
            let mut held = [0.0];
            chamber.held(&mut held);
            assert!(held[0] < 1e-3, "washed out enough to judge: {held:?}");
            close(washed, 1.0, 1e-3, &format!("exchange {exchange}"));
        }
    }
    let spec = Chamber { pocket_share: 0.35, pocket_exchange: 0.0, ..Chamber::mixed(1.0) };
    let mut chamber = Stages::new(spec, &[1.0]);
    let washed: f64 = (0..400).map(|_| 0.5 * push(&mut chamber, 0.5, 1.0)).sum();
    close(washed, 0.65, 1e-9, "a pocket that is shut");
}

/// At rest pocket and stage draw together: e^(−t/(τ (1 − p))) of their difference is left, and the whole stays.
#[test]
fn a_pocket_at_rest_relaxes() {
    let (p, tau, t) = (0.3, 100.0, 45.0);
    let spec = Chamber {
        pocket_share: p,
        pocket_exchange: 1e-4,
        pocket_time_s: tau,
        ..Chamber::mixed(1.0)
    };
    let mut chamber = Stages::new(spec, &[1.0]);
    // Wash the stage in no time, so that the pocket keeps nearly all of its old fluid.
    push(&mut chamber, 20.0, 1e-9);
    let held = |c: &Stages| c.held_of(|row| row[0]);
    let (before, active) = (held(&chamber), push(&mut chamber.clone(), 1e-9, 1e-9));
    let pocket = (before - (1.0 - p) * active) / p;
    chamber.stand(t);
    close(held(&chamber), before, 1e-14, "content");
    let now = push(&mut chamber.clone(), 1e-9, 1e-9);
    let left = (pocket - active) * (-t / (tau * (1.0 - p))).exp();
    close(before - now, p * left, 1e-7, "the stage lags behind the mean by p of the difference");
}

fn spec(level_m3: f64, compartment_m3: f64, outlets: usize) -> circuit::Reservoir {
    circuit::Reservoir {
        outlets: (0..outlets).map(|i| format!("outlet {i}")).collect(),
        compartment_m3,
        level_m3,
        min_m3: 0.0,
        max_m3: 10.0,
        brim_m3: 20.0,
        height_m: 0.9,
        common: circuit::CommonSpace::MIXED,
    }
}

fn old_fraction(reservoir: &Reservoir) -> f64 {
    let mut held = [0.0];
    reservoir.held(&mut held);
    held[0] / reservoir.volume()
}

/// Filling or emptying while mixing: V dc/ds = F (c_in − c), V = V₀ + (F − Q) s, so
/// c = c_in + (c₀ − c_in) (V/V₀)^(−F/(F − Q)), and e^(−F s/V₀) where F = Q. In one step as in many.
#[test]
fn the_reservoir_while_its_level_changes() {
    // Fed, drained, exact share of old fluid left, from 1.
    let rows = [
        (0.6, 0.4, 1.2_f64.powf(-3.0)),
        (0.3, 0.6, 0.7_f64.powf(1.0)),
        (0.5, 0.5, (-0.5_f64).exp()),
        (0.4, 0.0, 1.0 / 1.4),
        (0.0, 0.7, 1.0),
    ];
    for (feed, drained, exact) in rows {
        for steps in [1, 40] {
            let mut reservoir = Reservoir::new(&spec(1.0, 0.0, 1), &[1.0]);
            let share = 1.0 / f64::from(steps);
            for _ in 0..steps {
                let mut leaving = [0.0; 2];
                reservoir.pass(share * feed, &[0.0], &[share * drained], &mut leaving);
            }
            close(reservoir.volume(), 1.0 + feed - drained, 1e-12, "level");
            close(old_fraction(&reservoir), exact, 1e-12, &format!("{feed} in, {drained} out"));
        }
    }
}

/// A full compartment below a common space that is fed as fast as it drains: two tanks of different
/// size in series, c = (V₁ e^(−v/V₁) − V₂ e^(−v/V₂))/(V₁ − V₂) leaves (Levenspiel). Small steps,
/// since within a step the compartment is fed with the step's mean.
#[test]
fn a_compartment_behind_the_common_space() {
    let (common, own) = (0.8, 0.35);
    let mut reservoir = Reservoir::new(&spec(common + 2.0 * own, own, 2), &[1.0]);
    let steps = 400;
    let dv = 1.6 / f64::from(steps);
    for _ in 0..steps {
        let mut leaving = [0.0; 4];
        reservoir.pass(dv, &[0.0], &[dv, 0.0], &mut leaving);
    }
    let mut leaving = [0.0; 4];
    reservoir.pass(1e-9, &[0.0], &[1e-9, 0.0], &mut leaving);
    let v: f64 = 1.6;
    let exact = (common * (-v / common).exp() - own * (-v / own).exp()) / (common - own);
    close(leaving[0] / 1e-9, exact, 1e-5, "what leaves the compartment in use");
    let mut held = [0.0];
    let volume = reservoir.held_for(1, &mut held);
    let above = common * (-v / common).exp();
    close(held[0], above + own, 1e-5, "the other compartment keeps its old fluid");
    close(volume, common + own, 1e-12, "volumes");
}
