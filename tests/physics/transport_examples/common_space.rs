//! The common space of a reservoir that is not one mixed body: stages, pockets, what runs straight to the outlets.

use super::{all_close, close, reservoir};
use crate::common::cars::{HATCHBACK, read};
use farwheel::circuit::CommonSpace;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::transport::reservoir::Reservoir;
use nalgebra::{DMatrix, DVector};

const NEW: [f64; 2] = [0.0, 1.0];

fn held(r: &Reservoir) -> [f64; 2] {
    let mut sum = [0.0; 2];
    r.held(&mut sum);
    sum
}

/// Old fluid that leaves through the first outlet, per volume, at the end of one step of these flows.
fn step(r: &mut Reservoir, feed: f64, drained: f64) -> ([f64; 2], f64) {
    let mut leaving = [0.0; 8];
    r.pass(feed, &NEW, &[drained, 0.0], &mut leaving);
    ([leaving[0], leaving[1]], leaving[2] / drained)
}

/// Tanks in series, F(θ = 1) = 1 − e⁻ⁿ Σ nᵏ/k! for k below n: 0.63212, 0.59399, 0.57681, 0.55951, 0.54207 for 1, 2, 3,
/// 5 and 10 of them (Levenspiel, *Chemical Reaction Engineering*, tanks in series).
#[test]
fn stages_in_the_common_space_are_tanks_in_series() {
    for (stages, new) in [(1, 0.63212), (2, 0.59399), (3, 0.57681), (5, 0.55951), (10, 0.54207)] {
        for steps in [1, 7] {
            let mut r = reservoir(CommonSpace { stages, ..CommonSpace::MIXED }, 3.0, 0.0);
            let (part, mut end) = (3.0 / f64::from(steps), 0.0);
            for _ in 0..steps {
                (_, end) = step(&mut r, part, part);
            }
            close(1.0 - end, new, 5e-6, &format!("{stages} stages, {steps} steps"));
        }
    }
}

/// The same volumes and flows as differential equations, V_s dc/dt = …, solved by the exponential of their matrix in
/// many small steps of a level that changes (nalgebra), the matrix of each step taken in its middle.
fn by_matrices(common: CommonSpace, (volume, feed, drained): (f64, f64, f64)) -> (f64, f64) {
    let CommonSpace { stages, pocket_share, pocket_exchange, .. } = common;
    let (n, pockets) = (stages, pocket_share > 0.0);
    let size = if pockets { 2 * n } else { n };
    let steps = 1000;
    let h = 1.0 / f64::from(steps);
    let change = feed - drained;
    let mut old = DVector::from_element(size, 1.0);
    let mut gone = 0.0;
    let each = |volume: f64| {
        let stage = volume / n as f64;
        (stage * (1.0 - pocket_share), stage * pocket_share)
    };
    for i in 0..steps {
        let (active, pocket) = each(volume + change * (f64::from(i) + 0.5) * h);
        let mut m = DMatrix::zeros(size, size);
        for k in 0..n {
            let inflow = feed - change * k as f64 / n as f64;
            let outflow = inflow - change / n as f64;
            m[(k, k)] -= inflow / active;
            if k > 0 {
                m[(k, k - 1)] += inflow / active;
            }
            if pockets {
                let traded = pocket_exchange * 0.5 * (inflow + outflow);
                let moved = pocket_share * change / n as f64;
                // What a pocket loses comes into its stage, what it gains comes from there.
                let (into, from) = (traded + (-moved).max(0.0), traded + moved.max(0.0));
                m[(k, k)] -= into / active;
                m[(k, n + k)] += into / active;
                m[(n + k, n + k)] -= from / pocket;
                m[(n + k, k)] += from / pocket;
            }
        }
        let before = old.clone();
        old = (m * h).exp() * old;
        gone += drained * h * 0.5 * (before[n - 1] + old[n - 1]);
    }
    let (active, pocket) = each(volume + change);
    let left: f64 = (0..size).map(|i| old[i] * if i < n { active } else { pocket }).sum();
    (left, gone)
}

/// Filling and emptying, with pockets and without, beside the differential equations; nothing is lost.
#[test]
fn a_level_that_changes_over_stages_and_pockets() {
    for (stages, pocket_share, pocket_exchange) in
        [(1, 0.5, 0.02), (1, 0.3, 2.0), (4, 0.0, 0.0), (3, 0.4, 0.3), (10, 0.0, 0.0)]
    {
        let common = CommonSpace { stages, pocket_share, pocket_exchange, ..CommonSpace::MIXED };
        for (feed, drained) in [(0.9, 0.9), (0.0, 0.7), (0.4, 1.2), (1.2, 0.4), (0.8, 0.0)] {
            let what = format!("{common:?}, {feed} in, {drained} out");
            let mut r = reservoir(common, 1.5, 0.0);
            let mut gone = 0.0;
            for _ in 0..40 {
                let mut leaving = [0.0; 8];
                r.pass(feed / 40.0, &NEW, &[drained / 40.0, 0.0], &mut leaving);
                gone += leaving[0];
                close(leaving[0] + leaving[1], drained / 40.0, 1e-12, &what);
            }
            let (left, out) = by_matrices(common, (1.5, feed, drained));
            // Between stages with pockets a step goes along straight lines, as in chambers.
            let tolerance = if stages > 1 && pocket_share > 0.0 { 2e-4 } else { 1e-6 };
            close(held(&r)[0], left, tolerance, &what);
            close(gone, out, tolerance, &what);
            close(held(&r)[0] + gone, 1.5, 1e-12, &what);
            close(held(&r)[0] + held(&r)[1], r.volume(), 1e-12, &what);
        }
    }
}

/// The mean time that fluid stays is (stages and pockets)/flow whatever they trade (Danckwerts 1953): what is washed out
/// in all is what was there.
#[test]
fn what_stands_in_pockets_comes_out_in_the_end() {
    let common = CommonSpace {
        stages: 2,
        pocket_share: 0.4,
        pocket_exchange: 0.05,
        bypass_share: 0.2,
        ..CommonSpace::MIXED
    };
    let mut r = reservoir(common, 2.0, 0.0);
    let gone: f64 = (0..4000).map(|_| step(&mut r, 0.05, 0.05).0[0]).sum();
    close(gone, 2.0, 1e-6, "all old fluid that was there");
}

/// Of what comes in, the share that runs straight leaves at once; the rest washes the space, V dc/dv = −(1 − β) c.
#[test]
fn some_runs_straight_to_the_outlets() {
    let common = CommonSpace { bypass_share: 0.4, ..CommonSpace::MIXED };
    let mut r = reservoir(common, 2.0, 0.0);
    let (first, _) = step(&mut r, 1e-6, 1e-6);
    close(first[1] / 1e-6, 0.4, 1e-5, "new fluid in the first draw");
    let (_, end) = step(&mut r, 3.0, 3.0);
    close(end, 0.6 * (-0.6 * 3.0_f64 / 2.0).exp(), 1e-6, "old fluid in what leaves at the end");
    // With compartments below the wall it passes them, too.
    let mut r = reservoir(common, 2.0, 0.5);
    let (first, _) = step(&mut r, 1e-6, 1e-6);
    close(first[1] / 1e-6, 0.4, 1e-5, "past the compartment");
    close(r.volume(), 2.0, 1e-12, "as full as before");
    // More than leaves cannot run straight through.
    let (all, end) = step(&mut r, 1.0, 0.1);
    all_close(&all, &[0.0, 0.1], 1e-12, "nothing but new fluid");
    close(end, 0.0, 1e-12, "to the end");
    close(r.volume(), 2.9, 1e-12, "the rest stays");
}

/// Poured in, drawn out, come back up through an outlet, emptied and filled again: all fluid is still told, and each
/// place holds no less than nothing of anything and no more than all.
#[test]
fn hands_and_vents_keep_all_fluid() {
    for (stages, pocket_share) in [(1, 0.0), (5, 0.0), (1, 0.4), (3, 0.6), (20, 0.95)] {
        let common = CommonSpace {
            stages,
            pocket_share,
            pocket_exchange: 0.1,
            bypass_share: 0.3,
            ..CommonSpace::MIXED
        };
        for wall in [0.0, 0.4] {
            let what = format!("{stages} stages, {pocket_share} in pockets, wall {wall}");
            let mut r = reservoir(common, 1.5, wall);
            let (mut come, mut gone) = ([1.5, 0.0], [0.0; 2]);
            let mut leaving = [0.0; 8];
            for round in 0..6 {
                r.pass(0.3, &NEW, &[0.2, 0.3], &mut leaving);
                come[1] += 0.3;
                (0..2).for_each(|k| gone[k] += leaving[k] + leaving[4 + k]);
                r.give_back(1, 0.25, &[0.25, 0.0]);
                come[0] += 0.25;
                let leave = if round % 2 == 0 { 0.2 } else { 0.0 };
                r.draw(r.volume() - leave, &mut gone);
                close(r.volume(), leave, 1e-12, &what);
                r.pour(1.0, &NEW);
                come[1] += 1.0;
                all_close(&held(&r), &[come[0] - gone[0], come[1] - gone[1]], 1e-11, &what);
                for row in r.places(1e-9) {
                    close(row[0] + row[1], 1.0, 1e-9, &what);
                    assert!(
                        row.iter().all(|c| (-1e-9..=1.0 + 1e-9).contains(c)),
                        "{what}: {row:?}"
                    );
                }
            }
        }
    }
}

/// What comes back up through an outlet comes in where else fluid leaves: of n stages that grow alike from V to V + v the
/// one there takes all of it in and passes 1 − 1/n of it on, so that (1 + v/V)⁻ⁿ of what was in it is left.
#[test]
fn what_comes_back_up_leaves_first() {
    let mut r = reservoir(CommonSpace { stages: 10, ..CommonSpace::MIXED }, 2.0, 0.0);
    r.give_back(0, 0.5, &[0.0, 0.5]);
    let (_, old) = step(&mut r, 0.0, 1e-6);
    close(old, 1.25_f64.powi(-10), 1e-4, "old fluid at the outlet");
}

/// At rest a stage and its pocket draw together: e^(−t/(τ (1 − p))) of their difference is left, and the whole stays.
#[test]
fn a_pocket_of_the_reservoir_at_rest() {
    let (p, tau, t) = (0.3, 100.0, 45.0);
    let common = CommonSpace {
        pocket_share: p,
        pocket_exchange: 1e-4,
        pocket_time_s: tau,
        ..CommonSpace::MIXED
    };
    let mut r = reservoir(common, 1.0, 0.0);
    step(&mut r, 20.0, 20.0);
    let old = |r: &Reservoir| r.places(0.0).map(|row| row[0]).collect::<Vec<f64>>();
    let (before, all) = (old(&r), held(&r)[0]);
    r.stand(t);
    let after = old(&r);
    let kept = (-t / (tau * (1.0 - p))).exp();
    close(after[1] - after[0], kept * (before[1] - before[0]), 1e-12, "what is left between them");
    close((1.0 - p) * after[0] + p * after[1], all, 1e-12, "the whole");
}

/// The table of docs/accuracy.md, to the millilitre.
#[test]
fn the_page_says_what_the_common_space_does() {
    let page = include_str!("../../../docs/accuracy.md");
    let rows = [
        ("one mixed body", ""),
        ("ten stages in a row", "stages = 10"),
        (
            "half of it a dead corner that trades 2 %",
            "pocket = \"50 %\"\npocket_exchange = \"2 %\"",
        ),
        ("40 % of what comes in runs straight to the outlets", "bypass = \"40 %\""),
    ];
    for (name, keys) in rows {
        let text = HATCHBACK.replace("[reservoir]\n", &format!("[reservoir]\n{keys}\n"));
        let record = flush(&read(&text), &Options::default()).expect("it runs");
        let (drained, left) = (record.totals.drained_ml, record.left.old_ml);
        let row = format!("| {name} | {drained:.0} mL | {left:.0} mL |");
        assert!(page.contains(&row), "{row}");
    }
}
