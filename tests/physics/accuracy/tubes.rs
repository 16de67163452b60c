//! Tubes whose flow reverses or stands.

use super::close;
use farwheel::transport::lanes::Lanes;
use farwheel::transport::tube::Tube;
use std::sync::Arc;

/// What a snapshot of the lanes may change of what leaves in a step, as an old fraction. Each lane is
/// kept in 96 cells; what varied within a cell is evened out, so a front may lie wrong by up to a cell,
/// 1/96 of the lane. (The [`wave`] varies by up to 0.18 over a cell, more than a washout ever does.)
const SNAPSHOT: f64 = 1.0 / 96.0;

fn tube(remix: f64) -> Tube {
    Tube::new(1.0, remix, &Arc::new(Lanes::for_threshold(0.02)), &[1.0])
}

fn push(tube: &mut Tube, dv: f64, c: f64, backward: bool) -> f64 {
    let mut leaving = [0.0; 2];
    tube.push(dv, &[c, c], backward, &mut leaving);
    leaving[0]
}

fn held(tube: &Tube) -> f64 {
    let mut sum = [0.0];
    tube.held(&mut sum);
    sum[0]
}

/// Clean and dirty by turns.
fn wave(i: usize) -> f64 {
    0.5 + 0.5 * (0.7 * i as f64).sin()
}

/// Content = filling + what entered − what left, integrated afresh, through any number of reversals
/// and waits of any degree.
#[test]
fn reversals_and_waits_lose_nothing() {
    for remix in [0.0, 0.4, 1.0] {
        let mut tube = tube(remix);
        let mut book = 1.0;
        for i in 0..60 {
            let backward = (i / 7) % 2 == 1;
            let (dv, c) = (0.01 + 0.07 * wave(3 * i), wave(i));
            book += dv * c - push(&mut tube, dv, c, backward);
            if i % 11 == 5 {
                tube.stand([0.0, 0.3, 1.0][i % 3]);
            }
            close(held(&tube), book, 1e-11, &format!("step {i}, remix {remix}"));
            close(tube.length(0).tally()[0], book, 1e-11, "as kept up");
        }
    }
}

/// A wait that mixes nothing changes nothing: the outlet goes on as if there had been none. (A
/// degree of exactly 0 is skipped by the program; one of 1e-12 is not.)
#[test]
fn a_wait_without_remixing_leaves_the_outlet_as_it_is() {
    for remix in [0.0, 0.4] {
        let (mut waits, mut runs) = (tube(remix), tube(remix));
        let mut worst: f64 = 0.0;
        for i in 0..120 {
            if i % 20 == 10 {
                waits.stand(1e-12);
            }
            let dv = 0.02;
            let apart = push(&mut waits, dv, wave(i), false) - push(&mut runs, dv, wave(i), false);
            worst = worst.max(apart.abs() / dv);
        }
        println!("a wait changes what leaves by {worst:e}");
        assert!(worst <= SNAPSHOT, "{worst}");
    }
}

/// Laminar flow without diffusion can be taken back: what had entered and not yet come out at the far end
/// comes back as it was, last in first out, and nothing else with it (kinematic reversibility, the
/// well-known demonstration of G. I. Taylor).
#[test]
fn flow_taken_back_gives_back_what_entered() {
    let mut tube = tube(0.0);
    // Less than half a volume: the fastest streamline has not broken through.
    for _ in 0..8 {
        let left = push(&mut tube, 0.03, 0.0, false);
        close(left / 0.03, 1.0, 1e-12, "old fluid is pushed ahead");
    }
    for _ in 0..8 {
        let back = push(&mut tube, 0.0285, 0.25, true);
        close(back / 0.0285, 0.0, SNAPSHOT, "the new fluid comes back");
    }
    // Past the front and what a cell smears of it in the slower lanes; less than half a volume in
    // all, so that nothing has come through from the far end.
    for _ in 0..5 {
        push(&mut tube, 0.04, 0.25, true);
    }
    let after = push(&mut tube, 0.04, 0.25, true);
    close(after / 0.04, 1.0, SNAPSHOT, "then the old fluid that lay at the beginning");
}

/// Turned over twice with nothing moved in between, a tube is as it was.
#[test]
fn two_reversals_in_a_row_cancel() {
    let (mut turned, mut plain) = (tube(0.4), tube(0.4));
    let mut worst: f64 = 0.0;
    for i in 0..60 {
        let dv = 0.03;
        if i == 20 {
            // So little that it does not matter: a reversal comes with the push that needs it.
            push(&mut turned, 1e-13, 0.5, true);
        }
        let apart = push(&mut turned, dv, wave(i), false) - push(&mut plain, dv, wave(i), false);
        worst = worst.max(apart.abs() / dv);
    }
    println!("two reversals change what leaves by {worst:e}");
    assert!(worst <= SNAPSHOT, "{worst}");
}

/// Fully remixed at rest, a cross-section is alike: the outlet is that of a tube whose content varies
/// along its length only. For a tube half full of new fluid by plug flow: old stays ahead, new behind.
#[test]
fn a_full_remix_makes_the_cross_section_alike() {
    let mut tube = tube(0.0);
    for _ in 0..30 {
        push(&mut tube, 0.03, 0.0, false);
    }
    let before = held(&tube);
    tube.stand(1.0);
    close(held(&tube), before, 1e-12, "content");
    // The fluid at the outlet now leaves at its cross-section's mean, in every lane: old fluid that lay
    // at the wall, x of it per volume, shows at once. Mean old share there: ∫ over s of what is
    // still old at z = 1 after v volumes: 2 (1 − s) v < 1, so s > 1 − 1/(2 v), share 1/(2 v).
    let first = push(&mut tube, 1e-6, 0.0, false) / 1e-6;
    close(first, 1.0 / (2.0 * 0.9), 0.02, "old share of the cross-section at the outlet");
}

/// After tens of thousands of tube volumes as after none: what is pushed through again and again leaves as it
/// came, what entered is held or has left, and a slug leaves a tube as it leaves a fresh one (the laws of a tube
/// know its throughput only through what it still holds).
#[test]
fn a_long_flush_leaves_nothing_but_what_entered() {
    for (remix, dv) in [(0.0, 0.37), (0.4, 0.37), (0.0, 25.0), (0.4, 700.0)] {
        let mut long = tube(remix);
        let mut book = 1.0;
        for i in 0..40_000 {
            let left = push(&mut long, dv, 1.0, false);
            book += dv - left;
            close(left / dv, 1.0, 1e-10, &format!("what leaves in push {i} of {dv}"));
        }
        close(held(&long), 1.0, 1e-10, "what it holds");
        // Each of 40,000 amounts is rounded at its own size.
        let rounding = 40_000.0 * f64::EPSILON * dv;
        close(book, 1.0, 1e-10 + rounding, "what entered less what left");
        let mut fresh = tube(remix);
        for i in 0..200 {
            let slug = if i < 3 { 0.0 } else { 1.0 };
            let apart = push(&mut long, 0.5, slug, false) - push(&mut fresh, 0.5, slug, false);
            close(apart, 0.0, 1e-10, &format!("step {i} after the slug, pushes of {dv} before"));
        }
        let profiles =
            (long.length(0).profile(8, |row| row[0]), fresh.length(0).profile(8, |row| row[0]));
        for (long, fresh) in profiles.0.iter().zip(&profiles.1) {
            // A difference of what lies before and behind each cell, over an eighth of the volume.
            close(*long, *fresh, 1e-9, "profile");
        }
        long.stand(0.3);
        close(held(&long), held(&fresh), 1e-10, "after a wait");
    }
}
