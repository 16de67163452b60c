//! Stages, pockets and the reservoir against closed forms and another method.

use super::reference::common_space::CommonSpace;
use super::reference::line::{Kernel, LaminarLine};
use super::reference::mixed::{MixedPart, Mixing, solve};
use super::reference::signal::Signal;
use super::reference::{Chamber, Washout};
use super::{close, grid};

/// F(θ = 1) of n tanks in series, 1 − e^−n Σ n^k/k! for k < n (Levenspiel, Chemical Reaction
/// Engineering), to five digits.
#[test]
fn tanks_in_series_by_the_ode_library() {
    let rows = [(1, 0.63212), (2, 0.59399), (3, 0.57681), (5, 0.55951), (10, 0.54207)];
    for (n, f) in rows {
        let mut part = MixedPart::new(Chamber::plain(30.0, n), &[1.0]);
        let new = Signal::constant(grid(0.5, 90.0), &[0.0]);
        let out = part.advance(&new, [0.0; 2]);
        close(1.0 - out.node(60)[0], f, 5e-6, "F(1)");
        let exact = Washout::step().stages(n as u32, 30.0);
        for k in 0..=180 {
            close(out.node(k)[0], exact.at(0.5 * k as f64), 1e-7, "washout");
        }
    }
}

/// Mean residence (V_a + V_d)/Q for any exchange above 0 (Levenspiel; material balance): the
/// old fluid that leaves is all that was there.
#[test]
fn mean_residence_with_a_pocket() {
    for (exchange, stages) in [(0.02, 1), (0.1, 1), (1.0, 3)] {
        let chamber = Chamber {
            pocket_share: 0.3,
            pocket_exchange: exchange,
            ..Chamber::plain(20.0, stages)
        };
        let mut part = MixedPart::new(chamber, &[1.0]);
        let new = Signal::constant(grid(0.2, 6000.0), &[0.0]);
        let out = part.advance(&new, [0.0; 2]);
        // F over volume: the mean residence times Q is ∫ (1 − F) dv.
        close(out.integral()[0], 20.0, 2e-3, "mean residence volume");
        close(part.content()[0], 0.0, 1e-6, "nothing stays for good");
    }
}

/// Classical Runge–Kutta with steps that end at the inflow's kinks: another method, written here.
fn runge_kutta(mixing: &impl Mixing, initial: &[f64], inflow: &Signal) -> Vec<f64> {
    let n = initial.len();
    let mut y = initial.to_vec();
    let rate = |y: &[f64], v: f64| {
        let mut k = vec![0.0; n];
        mixing.rate(y, inflow.value(0, v), v, &mut k);
        k
    };
    let shifted = |y: &[f64], k: &[f64], by: f64| -> Vec<f64> {
        y.iter().zip(k).map(|(a, b)| a + by * b).collect()
    };
    for cell in 0..inflow.grid.cells() {
        let (from, to) = (inflow.grid.at(cell), inflow.grid.at(cell + 1));
        let h = (to - from) / 4.0;
        for part in 0..4 {
            let v = from + h * f64::from(part);
            let k1 = rate(&y, v);
            let k2 = rate(&shifted(&y, &k1, 0.5 * h), v + 0.5 * h);
            let k3 = rate(&shifted(&y, &k2, 0.5 * h), v + 0.5 * h);
            let k4 = rate(&shifted(&y, &k3, h), v + h);
            for i in 0..n {
                y[i] += h / 6.0 * (k1[i] + 2.0 * k2[i] + 2.0 * k3[i] + k4[i]);
            }
        }
    }
    y
}

#[test]
fn ode_library_agrees_with_runge_kutta_on_a_driven_chamber() {
    let chamber = Chamber {
        pocket_share: 0.25,
        pocket_exchange: 0.15,
        bypass_share: 0.1,
        ..Chamber::plain(9.0, 3)
    };
    // A laminar line's outlet has the sharp corner at break-through.
    let mut line = LaminarLine::new(15.0, &[1.0]);
    let new = Signal::constant(grid(0.1, 60.03), &[0.0]);
    let inflow = line.advance(&new, Kernel::Leaving);
    let start = [1.0; 6];
    let states = solve(&chamber, &start, &inflow, 0);
    let other = runge_kutta(&chamber, &start, &inflow);
    for (a, b) in states.last().iter().zip(other) {
        close(*a, b, 2e-7, "driven chamber");
    }
}

/// V_c dy/dv = (1 + r)(0 − y), V_c = V₀ + r v: y = (V₀/V_c)^((1 + r)/r).
#[test]
fn reservoir_that_fills_or_falls() {
    let drain = |common: f64, rise: f64, end_ml: f64| {
        let space = CommonSpace::new(Chamber::plain(0.0, 1), &(150.0, vec![common]));
        space.drain((&(30.0, vec![1.0]), 1.0), &[0.0], rise, grid(1.0, end_ml), [0.0; 2])
    };
    for rise in [0.05, -0.2, -0.8] {
        let above = drain(1.0, rise, 150.0).common;
        for k in [20, 80, 150] {
            let ratio = 150.0 / (150.0 + rise * above.grid.at(k));
            let exact = ratio.powf((1.0 + rise) / rise);
            close(above.node(k)[0], exact, 1e-7, "common space");
        }
    }
    // Nothing fed: it stays as it is, and the compartment takes its colour.
    let unfed = drain(0.4, -1.0, 100.0);
    close(unfed.common.last()[0], 0.4, 1e-12, "unfed");
    let exact = 0.4 + 0.6 * (-100.0_f64 / 30.0).exp();
    close(unfed.leaving.last()[0], exact, 1e-7, "compartment");
}

/// A common space of stages, pockets and a bypass at a steady level is a chamber of such; filling, it is told by its
/// books and by the stage where fluid comes in, of which n stages that grow alike leave (1 + v/V)⁻ⁿ.
#[test]
fn a_common_space_that_is_not_one_mixed_body() {
    let how = Chamber {
        pocket_share: 0.3,
        pocket_exchange: 0.04,
        bypass_share: 0.2,
        pocket_s: 70.0,
        ..Chamber::plain(90.0, 3)
    };
    let (on, nothing) = (grid(0.5, 120.0), (0.0, vec![1.0]));
    let space = CommonSpace::new(how, &(90.0, vec![1.0]));
    let course = space.drain((&nothing, 1.0), &[0.0], 0.0, on, [0.4; 2]);
    // A chamber's pocket trades by what is drained, the space's by what flows through the stages.
    let chamber = Chamber { pocket_exchange: 0.8 * 0.04, ..how };
    let out = MixedPart::new(chamber, &[1.0]).advance(&Signal::constant(on, &[0.0]), [0.4; 2]);
    for k in 0..=on.cells() {
        close(course.leaving.node(k)[0], out.node(k)[0], 1e-8, "at a steady level");
    }
    // Rising and falling, to and fro: what was there is there or has left.
    let (mut space, mut gone) = (space, 0.0);
    for rise in [0.6, -1.0, -0.4, 0.3] {
        let course = space.drain((&nothing, 1.0), &[0.0], rise, grid(0.1, 30.0), [0.4; 2]);
        gone += course.leaving.integral()[0];
        space = course.after;
        let (ml, old) = space.held();
        close(ml * old[0] + gone, 90.0, 1e-4, "old fluid in all");
    }
    let before = space.held();
    space.pour(20.0, &[0.0]);
    let after = space.held();
    close(after.0 * after.1[0], before.0 * before.1[0], 1e-8, "old fluid after pouring in");
    let mut stages = CommonSpace::new(Chamber::plain(0.0, 10), &(2.0, vec![0.0]));
    stages.give_back(0.5, &[1.0]);
    close(stages.old_at_outlets(), 1.0 - 1.25_f64.powi(-10), 1e-9, "come back up");
}

/// By the clock: at a steady flow like so much more exchange; at rest stage and pocket draw together by
/// e^(−t/τ (1 + pocket/stage)), what is in both staying the same.
#[test]
fn a_pocket_by_the_clock() {
    let new = Signal::constant(grid(0.5, 60.0), &[0.0]);
    let pocket = Chamber {
        pocket_share: 0.25,
        pocket_exchange: 0.04,
        bypass_share: 0.1,
        ..Chamber::plain(20.0, 2)
    };
    // 2.5 mL a pocket in 50 s, at 0.3 s/mL.
    let clocked = Chamber { pocket_s: 50.0, ..pocket };
    let alike = Chamber { pocket_exchange: 0.04 + 2.5 / 50.0 * 0.3, ..pocket };
    let mut parts = [clocked, alike].map(|c| MixedPart::new(c, &[1.0]));
    let [a, b] = [0, 1].map(|i| parts[i].advance(&new, [0.3; 2]));
    for k in 0..=a.grid.cells() {
        close(a.node(k)[0], b.node(k)[0], 1e-8, "what leaves");
    }
    let [clocked, alike] = &mut parts;
    let before = clocked.content()[0];
    clocked.stand(1e9);
    alike.stand(1e9);
    close(clocked.content()[0], before, 1e-12, "what is inside");
    // Even throughout: what leaves next is the mean of the last stage (and nothing old by the bypass).
    let next = |part: &mut MixedPart| part.advance(&new, [0.0; 2]).node(0)[0];
    let (even, uneven) = (next(clocked), next(alike));
    assert!(even > uneven + 1e-3, "the pocket gave some back: {even}, {uneven}");
}
