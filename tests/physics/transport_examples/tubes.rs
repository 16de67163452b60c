//! Histories, lanes, tubes.

use super::close;
use farwheel::transport::history::History;
use farwheel::transport::lanes::Lanes;
use farwheel::transport::tube::Tube;
use std::sync::Arc;

/// The first knot at or after a throughput, the last one beyond it: by definition.
#[test]
fn the_knot_after_a_throughput() {
    let mut history = History::new(&[0.0]);
    for dv in [1.0, 2.0, 4.0] {
        history.push(dv, &[1.0, 0.0]);
    }
    for (v, knot) in
        [(0.0, 0), (0.5, 1), (1.0, 1), (2.9, 2), (3.0, 2), (3.1, 3), (7.0, 3), (50.0, 3)]
    {
        // A knot has its throughput and, of one species, four numbers.
        assert_eq!(history.knot_after(v, 0), 5 * knot, "{v}");
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
            let mut leaving = [0.0; 2];
            tubes[i].push(0.37, &[0.0; 2], false, &mut leaving);
            leaving
        });
        assert_eq!(a, b, "step {step}");
    }
}

/// Two waits in a row mix as one does to the degree 1 − (1 − a)(1 − b), for each leaves 1 − its degree of the lanes'
/// differences; and once a cross-section is mixed fully, no wait changes what leaves, to the bit.
#[test]
fn a_wait_after_a_wait() {
    let leaving_after = |waits: &[f64]| {
        let lanes = Arc::new(Lanes::laminar(12));
        let mut tube = Tube::new(1.0, 0.0, &lanes, &[1.0, 0.25]);
        let mut out = vec![0.0; 4];
        tube.push(0.7, &[0.0; 4], false, &mut out);
        for &degree in waits {
            tube.stand(degree);
        }
        let mut held = vec![0.0; 2];
        tube.held(&mut held);
        let steps = (0..40).map(|_| {
            let mut out = vec![0.0; 4];
            tube.push(0.05, &[0.0, 0.5, 0.0, 0.5], false, &mut out);
            out
        });
        (held, steps.flatten().collect::<Vec<f64>>())
    };
    for (waits, one) in
        [(&[0.3, 0.6][..], 0.72), (&[0.5, 0.5, 0.5], 0.875), (&[1.0, 1.0], 1.0), (&[0.2, 1.0], 1.0)]
    {
        let (many, one) = (leaving_after(waits), leaving_after(&[one]));
        for (a, b) in many.0.iter().zip(&one.0).chain(many.1.iter().zip(&one.1)) {
            close(*a, *b, 1e-12, &format!("{waits:?}"));
        }
    }
    let mixed = leaving_after(&[1.0, 1.0, 1.0]);
    assert_eq!(leaving_after(&[1.0, 1.0, 1.0, 1.0, 0.5, 0.1]), mixed);
}
