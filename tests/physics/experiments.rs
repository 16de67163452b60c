//! Fluid pushed out of tubes, as others measured it, who knew nothing of this program: docs/experiments.md has the table.

use crate::reference::diffusing_tube::{DiffusingTube, RINGS};
use farwheel::transport::lanes::{Lanes, SMALL_DIFFUSION, diffusion_number};
use farwheel::transport::tube::{Length, Tube};
use std::sync::Arc;

/// A full tube as so many equal pieces, remixed where they join; its volume is 1.
fn tube(pieces: usize, lanes: Lanes) -> Tube {
    let volume = 1.0 / pieces as f64;
    let piece = Length { volume, bends: 0.0, joint: 1.0, filling: &[1.0] };
    Tube::of(&vec![piece; pieces], &Arc::new(lanes))
}

/// What has come out of new fluid once `injected` volumes of it have been pushed in.
fn spilled(mut tube: Tube, injected: f64) -> f64 {
    let steps = 200;
    let dv = injected / f64::from(steps);
    let old: f64 = (0..steps)
        .map(|_| {
            let mut leaving = [0.0; 2];
            tube.push(dv, &[0.0, 0.0], false, &mut leaving);
            leaving[0]
        })
        .sum();
    injected - old
}

fn laminar(pieces: usize) -> Tube {
    tube(pieces, Lanes::for_threshold(0.01))
}

/// Laminar flow: ∫ F dθ = a − ½ − ¼(2 − 1/a), F(θ) = 1 − 1/(4θ²) from θ = ½ on.
#[test]
fn what_lanes_spill_is_the_integral() {
    for a in [0.8_f64, 1.0, 1.2, 1.5] {
        let expected = a - 0.5 - 0.25 * (2.0 - 1.0 / a);
        let got = spilled(laminar(1), a);
        assert!((got - expected).abs() < 1e-3, "{a} volumes: {got} for {expected}");
    }
}

/// Coloured fluid pumped into a straight tube, what spilled measured by spectrometer: 20 to 25 % of the filling volume
/// when that much had been injected. A mixed cross-section half-way is at the lower edge; plug flow and nine pieces mixed
/// where they join are outside, so a law that is far off is found out.
/// Source: Polaschegg, *Blood Purification* 26(3):255 (2008), abstract.
#[test]
fn a_catheter_spills_a_fifth_to_a_quarter() {
    let measured = 0.20..=0.25 + 1e-3;
    let [straight, remixed, often] = [1, 2, 9].map(|pieces| spilled(laminar(pieces), 1.0));
    let plug = spilled(tube(1, Lanes::plug()), 1.0);
    println!(
        "straight {straight:.4}, remixed {remixed:.4}, eight times {often:.4}, plug {plug:.4}"
    );
    assert!(measured.contains(&straight) && measured.contains(&remixed));
    assert!(!measured.contains(&often) && !measured.contains(&plug));
}

/// Blood drawn through an arterial line: after 3.6 dead spaces sodium and potassium still differed from what they were
/// after 5.5, oxygen no more from 2 on. Plug flow has nothing left to differ after one; lanes have 1/(4θ²), a hundredth
/// more at 3.6 than at 5.5, and at 2 a sixteenth.
/// Source: Rickard et al., *Critical Care Medicine* 31(6):1654 (2003), abstract.
#[test]
fn an_arterial_line_has_a_tail() {
    let left = |lanes: Lanes, at: f64| {
        let mut tube = tube(1, lanes);
        let [mut before, mut leaving] = [[0.0; 2]; 2];
        tube.push(at - 0.01, &[0.0, 0.0], false, &mut before);
        tube.push(0.02, &[0.0, 0.0], false, &mut leaving);
        leaving[0] / 0.02
    };
    for at in [2.0_f64, 3.6, 5.5] {
        let (lanes, plug) = (left(Lanes::for_threshold(0.005), at), left(Lanes::plug(), at));
        let exact = 0.25 / (at * at);
        assert!((lanes - exact).abs() < 0.02 * exact, "{at}: {lanes} for {exact}");
        assert!(plug.abs() < 1e-12, "{at}: {plug}");
    }
}

/// The solver with no diffusion is laminar flow, but for its rings of even speed, each of which carries 1/θ of its share
/// of the volume: off by half a ring at the most. With much it is a plug.
#[test]
fn the_diffusing_tube_lies_between_lanes_and_plug() {
    let none = DiffusingTube::flushed(0.0, 3.0);
    for at in [0.8_f64, 1.0, 1.5, 2.0, 2.9] {
        let exact = 0.25 / (at * at);
        let half_a_ring = 0.5 / (at * RINGS as f64);
        assert!((none.leaving(at) - exact).abs() < half_a_ring + 1e-3, "{at}");
    }
    let much = DiffusingTube::flushed(30.0, 3.0);
    assert!(much.leaving(0.6) > 0.99 && much.leaving(1.5) < 0.01);
}

/// A dose pushed slowly through narrow tubing: 95 % of it had come out after 1.5 tube volumes or fewer, fewer from the
/// narrower tube, from the larger dose and at the slower flow. Lanes would need 5, so they must not be trusted there:
/// `check` warns of all eight. The three trends are those of D t/R², and diffusion across the tube gives the figure.
/// Source: *Drug Intelligence & Clinical Pharmacy* 1986, doi 10.1177/106002808602000728, abstract. Diffusion coefficient
/// of a drug of some 300 g/mol in water, 7e-10 m²/s, from memory.
#[test]
fn a_slow_dose_is_flagged() {
    const DRUG_M2_S: f64 = 7e-10;
    const INCH: f64 = 0.0254;
    let number = |bore_inch: f64, dose_ml: f64, ml_per_h: f64| {
        diffusion_number(DRUG_M2_S, dose_ml / ml_per_h * 3600.0, bore_inch * INCH)
    };
    let (bores, doses, flows) = ([0.065, 0.120], [2.0, 5.0], [2.0, 10.0]);
    for bore in bores {
        for dose in doses {
            for flow in flows {
                let n = number(bore, dose, flow);
                assert!(n > SMALL_DIFFUSION, "{bore} in, {dose} mL, {flow} mL/h: {n}");
                let volumes = DiffusingTube::flushed(n, 3.0).volumes_to_clear(0.05);
                // A plug has let out 95 % after 0.95.
                assert!(
                    (0.95..=1.5).contains(&volumes),
                    "{bore} in, {dose} mL, {flow} mL/h: {volumes}"
                );
            }
        }
    }
    assert!((number(0.065, 2.0, 2.0) - 3.7).abs() < 0.05);
    let cleared = |bore, dose, flow| {
        DiffusingTube::flushed(number(bore, dose, flow), 3.0).volumes_to_clear(0.05)
    };
    let slow = cleared(0.120, 2.0, 10.0);
    assert!(cleared(0.065, 2.0, 10.0) < slow, "the narrower tube");
    assert!(cleared(0.120, 5.0, 10.0) < slow, "the larger dose");
    assert!(cleared(0.120, 2.0, 2.0) < slow, "the slower flow");
}

/// Where `check` begins to warn, a line by itself looks clean a twelfth later than lanes say to an eye that takes 20 %
/// for clean, and a fifth to a quarter later to one that takes 5 or 10 %. Above, a strict eye sees it clean sooner.
#[test]
fn where_check_begins_to_warn() {
    let flushed = DiffusingTube::flushed(SMALL_DIFFUSION, 4.0);
    let later = |eye: f64| flushed.clean_at(eye) / (0.5 / eye.sqrt());
    for (eye, low, high) in [(0.2, 1.05, 1.09), (0.1, 1.18, 1.26), (0.05, 1.17, 1.25)] {
        assert!((low..high).contains(&later(eye)), "{eye}: {}", later(eye));
    }
    let slow = DiffusingTube::flushed(0.1, 4.0);
    assert!(slow.clean_at(0.02) < 0.7 * 0.5 / 0.02_f64.sqrt());
}
