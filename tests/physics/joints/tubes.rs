//! Tubes of several lengths: closed forms, the same line whole, and their books.

use super::cars::close;
use farwheel::transport::lanes::Lanes;
use farwheel::transport::tube::{Length, Tube};
use proptest::prelude::*;
use std::sync::Arc;

/// A snapshot keeps each lane in 96 cells or more, cut otherwise where there are joints: what varied within a cell is
/// evened out (as in `accuracy`).
const SNAPSHOT: f64 = 1.0 / 96.0;

/// Share of the flow that has passed through a tube after θ tube volumes (Danckwerts 1953).
fn f(theta: f64) -> f64 {
    if theta < 0.5 { 0.0 } else { 1.0 - 0.25 / (theta * theta) }
}

fn straight(volume: f64, joint: f64, filling: &[f64]) -> Length<'_> {
    Length { volume, bends: 0.0, joint, filling }
}

fn push(tube: &mut Tube, dv: f64, c: f64, backward: bool) -> f64 {
    let mut leaving = [0.0; 2];
    tube.push(dv, &[c, c], backward, &mut leaving);
    leaving[0]
}

fn held(tube: &Tube, place: usize) -> f64 {
    let mut sum = [0.0];
    tube.length(place).held(&mut sum);
    sum[0]
}

/// F(θ) = 1 − 1/(4θ²) through three pieces as through one line, and what each piece still holds: up to x tube volumes
/// from the inlet x²/(4y) of old fluid after y ≥ x/2 volumes (the integral of x/(2y), the share of the
/// cross-section that is still old).
#[test]
fn danckwerts_through_three_pieces() {
    let lanes = Arc::new(Lanes::laminar(200));
    let pieces = [0.2, 0.5, 0.3];
    let mut tube = Tube::of(&pieces.map(|volume| straight(volume, 0.0, &[1.0])), &lanes);
    let (steps, dv) = (400, 0.01);
    let mut left = 0.0;
    for step in 1..=steps {
        left += push(&mut tube, dv, 0.0, false);
        let y = f64::from(step) * dv;
        // Old fluid that has left: y − ∫ F dy.
        let gone = if y < 0.5 { y } else { 1.0 - 0.25 / y };
        close(left, gone, 2e-4, &format!("old fluid that has left after {y} volumes"));
        let mut before = 0.0;
        for (place, piece) in pieces.into_iter().enumerate() {
            let up_to = |x: f64| if y < 0.5 * x { x - y } else { 0.25 * x * x / y };
            let holds = up_to(before + piece) - up_to(before);
            close(tube.length(place).tally()[0], holds, 2e-4, &format!("piece {place} after {y}"));
            before += piece;
        }
    }
    let per_step = push(&mut tube, dv, 0.0, false) / dv;
    close(per_step, 1.0 - f(4.005), 1e-4, "what leaves at last");
}

/// Old fluid in the first fifth alone: what lay at x leaves at a radius of delay θ after θ (1 − x) volumes, so of the
/// flow F(v/0.8) − F(v) is old.
#[test]
fn pieces_begin_with_what_they_are_filled_with() {
    let lanes = Arc::new(Lanes::laminar(200));
    let (old, new) = ([1.0], [0.0]);
    let lengths = [straight(0.2, 0.0, &old), straight(0.5, 0.0, &new), straight(0.3, 0.0, &new)];
    let mut tube = Tube::of(&lengths, &lanes);
    for (place, holds) in [0.2, 0.0, 0.0].into_iter().enumerate() {
        close(held(&tube, place), holds, 1e-15, "held at first");
    }
    let (mut left, mut expected) = (0.0, 0.0);
    for step in 0..500 {
        let v = 0.01 * (f64::from(step) + 0.5);
        left += push(&mut tube, 0.01, 0.0, false);
        expected += 0.01 * (f(v / 0.8) - f(v));
        close(left, expected, 1e-3, &format!("old fluid that has left after {v} volumes"));
    }
}

/// As much as a joint remixes, as much of the way it is a joint of two tubes in a row (all is linear).
#[test]
fn a_joint_lies_between_none_and_a_full_remix() {
    let lanes = Arc::new(Lanes::for_threshold(0.05));
    let degrees = [0.0, 0.25, 0.5, 0.75, 1.0];
    let mut tubes = degrees
        .map(|joint| Tube::of(&[straight(0.4, 1.0, &[1.0]), straight(0.6, joint, &[1.0])], &lanes));
    let mut row = [0.4, 0.6].map(|volume| Tube::new(volume, 0.0, &lanes, &[1.0]));
    let mut whole = Tube::new(1.0, 0.0, &lanes, &[1.0]);
    let mut left = [0.0; 5];
    for step in 0..200 {
        let (dv, c) = (0.02, if step % 9 == 4 { 0.7 } else { 0.0 });
        for (left, tube) in left.iter_mut().zip(&mut tubes) {
            *left = push(tube, dv, c, false);
        }
        let (mut between, mut behind) = ([0.0; 2], [0.0; 2]);
        row[0].push(dv, &[c, c], false, &mut between);
        row[1].push(dv, &between.map(|x| x / dv), false, &mut behind);
        close(left[4], behind[0], 1e-13, "two tubes in a row");
        close(left[0], push(&mut whole, dv, c, false), 1e-13, "one tube");
        for (left_at, degree) in left.iter().zip(degrees) {
            let between = left[0] + degree * (left[4] - left[0]);
            close(*left_at, between, 1e-13, &format!("degree {degree}, step {step}"));
        }
    }
    let old = |tube: &Tube| (0..2).map(|place| held(tube, place)).sum::<f64>();
    let old = tubes.each_ref().map(old);
    assert!(
        old.is_sorted_by(|a, b| a > b),
        "the more is remixed, the less old fluid stays: {old:?}"
    );
}

/// Laminar lanes run back as they came (G. I. Taylor's dye between two cylinders, from memory): what entered comes out
/// again, all of it and nothing else. How it lies in a line is told from the same end whichever way it came in.
#[test]
fn what_turns_round_runs_back_as_it_came() {
    let lanes = Arc::new(Lanes::laminar(40));
    let (two, one) = ([straight(0.4, 1.0, &[1.0]), straight(0.6, 0.0, &[1.0])], [1.0]);
    for (mut tube, pieces) in [(Tube::of(&two, &lanes), 2), (Tube::new(1.0, 0.0, &lanes, &one), 1)]
    {
        for backward in [false, true] {
            push(&mut tube, 0.3, 0.0, backward);
            let profile = |place: usize| tube.length(place).profile(10, |c| c[0]);
            let (first, last) = (profile(0)[0], profile(pieces - 1)[9]);
            assert_eq!(first < last, !backward, "{first} at the beginning, {last} at the end");
            let old = push(&mut tube, 0.3, 1.0, !backward);
            close(old, 0.0, 0.3 * SNAPSHOT, "old fluid among what comes back");
        }
    }
}

/// A wait mixes each length to its own degree: what lies before the joint has no say in what leaves next.
#[test]
fn a_wait_mixes_each_length_by_itself() {
    let lanes = Arc::new(Lanes::laminar(40));
    for backward in [false, true] {
        let mut tube = Tube::of(&[straight(0.4, 1.0, &[1.0]), straight(0.6, 0.0, &[1.0])], &lanes);
        push(&mut tube, 0.5, 0.0, backward);
        let downstream = usize::from(!backward);
        let leaves = |degrees: [f64; 2]| {
            let mut tube = tube.clone();
            tube.stand_each(|place| degrees[usize::from(place == downstream)]);
            // The fastest lane passes no more than twice as much: none of it from before the joint.
            push(&mut tube, 0.15, 0.0, backward)
        };
        let as_it_was = leaves([0.0, 1e-12]);
        close(leaves([1.0, 0.0]), as_it_was, 1e-9, "mixed before the joint alone");
        let mixed = leaves([0.0, 1.0]);
        // What clung to the wall comes into the middle.
        assert!(mixed > as_it_was + 0.01, "mixed behind it, {mixed} leaves; else {as_it_was}");
        close(leaves([1.0, 1.0]), mixed, 1e-9, "mixed all along");
    }
}

/// What is done with a tube.
#[derive(Debug, Clone)]
enum Doing {
    Push(f64, f64, bool),
    Stand(f64),
}

fn doing() -> impl Strategy<Value = Doing> {
    prop_oneof![
        12 => (1e-3..0.3_f64, 0.0..1.0_f64).prop_map(|(dv, c)| Doing::Push(dv, c, false)),
        4 => (1e-3..0.2_f64, 0.0..1.0_f64).prop_map(|(dv, c)| Doing::Push(dv, c, true)),
        1 => (0.0..1.0_f64).prop_map(Doing::Stand),
        1 => Just(Doing::Stand(1.0)),
    ]
}

/// Volumes that sum to 1, bends, joints, fillings.
fn pieces(straight: bool) -> impl Strategy<Value = Vec<(f64, f64, f64, f64)>> {
    let degree = move || {
        if straight {
            Just(0.0).boxed()
        } else {
            prop_oneof![Just(0.0), Just(1.0), 0.0..1.0_f64].boxed()
        }
    };
    prop::collection::vec((0.02..1.0_f64, degree(), degree(), 0.0..1.0_f64), 1..5).prop_map(
        |mut all| {
            let sum: f64 = all.iter().map(|p| p.0).sum();
            all.iter_mut().for_each(|p| p.0 /= sum);
            all
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// Each piece holds what its books say, integrated afresh, through any number of reversals and waits, and no
    /// less than nothing; nothing is lost; the cells of its profile add up to it.
    #[test]
    fn books_of_every_piece_hold(
        pieces in pieces(false),
        plug in prop::bool::weighted(0.1),
        doings in prop::collection::vec(doing(), 1..40),
    ) {
        let lanes = Arc::new(if plug { Lanes::plug() } else { Lanes::laminar(6) });
        let fillings: Vec<[f64; 1]> = pieces.iter().map(|p| [p.3]).collect();
        let lengths: Vec<_> = pieces.iter().zip(&fillings)
            .map(|(&(volume, bends, joint, _), filling)| Length { volume, bends, joint, filling })
            .collect();
        let mut tube = Tube::of(&lengths, &lanes);
        let mut book: f64 = pieces.iter().map(|p| p.0 * p.3).sum();
        for doing in &doings {
            match *doing {
                Doing::Push(dv, c, backward) => {
                    let left = push(&mut tube, dv, c, backward);
                    prop_assert!((-1e-11..=dv + 1e-11).contains(&left), "{left} of {dv}");
                    book += dv * c - left;
                }
                Doing::Stand(remix) => tube.stand(remix),
            }
            let mut sum = 0.0;
            for (place, piece) in pieces.iter().enumerate() {
                let part = tube.length(place);
                let (now, tally) = (held(&tube, place), part.tally()[0]);
                prop_assert!((now - tally).abs() < 1e-10, "{place}: {now}, in the books {tally}");
                prop_assert!((-1e-10..=piece.0 + 1e-10).contains(&now), "{place}: {now}");
                sum += now;
            }
            prop_assert!((sum - book).abs() < 1e-11, "{sum} is not {book}");
            let mut all = [0.0];
            tube.held(&mut all);
            prop_assert!((all[0] - book).abs() < 1e-11, "{all:?} is not {book}");
        }
        for (place, piece) in pieces.iter().enumerate() {
            let cells = tube.length(place).profile(7, |row| row[0]);
            let sum = cells.iter().sum::<f64>() * piece.0 / 7.0;
            prop_assert!((sum - held(&tube, place)).abs() < 1e-9, "{place}: {cells:?}");
        }
    }

    /// A straight line in pieces gives what the line gives: to rounding as long as nothing stands or turns round, and
    /// within what a cell of a snapshot evens out afterwards.
    #[test]
    fn a_line_in_pieces_is_one_line(
        pieces in pieces(true),
        filling in 0.0..1.0_f64,
        doings in prop::collection::vec(doing(), 1..60),
    ) {
        let lanes = Arc::new(Lanes::for_threshold(0.05));
        let filling = [filling];
        let lengths: Vec<_> = pieces.iter().map(|p| straight(p.0, p.2, &filling)).collect();
        let mut cut = Tube::of(&lengths, &lanes);
        let mut whole = Tube::new(1.0, 0.0, &lanes, &filling);
        let (mut smeared, mut apart, mut pushed) = (false, 0.0, 0.0);
        let mut backward_before = false;
        for doing in &doings {
            match *doing {
                Doing::Push(dv, c, backward) => {
                    smeared |= backward != backward_before;
                    backward_before = backward;
                    let [a, b] = [push(&mut cut, dv, c, backward), push(&mut whole, dv, c, backward)];
                    apart += a - b;
                    pushed += dv;
                }
                Doing::Stand(remix) => {
                    smeared = true;
                    cut.stand(remix);
                    whole.stand(remix);
                }
            }
            let bound = if smeared { 0.5 * SNAPSHOT } else { 1e-12 };
            prop_assert!(f64::abs(apart) < bound, "{apart} after {pushed}");
        }
    }
}
