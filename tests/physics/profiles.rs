//! What is told of a line cell by cell and of parts over time, held against the laminar profile in closed form and against the books.

use farwheel::job::{self, options::Options};
use farwheel::transport::lanes::Lanes;
use farwheel::transport::tube::Tube;
use std::path::Path;
use std::sync::Arc;

const VOLUME: f64 = 30e-6;
const CELLS: usize = 16;

fn old(row: &[f64]) -> f64 {
    row[0]
}

/// Pushes `y` tube volumes of composition `c` in small steps.
fn push(tube: &mut Tube, y: f64, c: f64, backward: bool) {
    let steps = 64;
    let mut leaving = [0.0; 2];
    for _ in 0..steps {
        tube.push(y * VOLUME / f64::from(steps), &[c, c], backward, &mut leaving);
    }
}

fn held(tube: &Tube) -> f64 {
    let mut sum = vec![0.0];
    tube.held(&mut sum);
    sum[0]
}

/// A streamline at s = r²/R² moves at 2(1 − s) times the mean speed, so after y tube volumes new fluid fills
/// the share 1 − x/(2y) of the cross-section at x (the parabolic profile of Hagen and Poiseuille), and old
/// fluid the rest.
#[test]
fn a_laminar_front_is_the_parabola() {
    for y in [0.2, 0.45, 1.0, 3.0] {
        let mut tube = Tube::new(VOLUME, 0.0, &Arc::new(Lanes::laminar(100)), &[1.0]);
        push(&mut tube, y, 0.0, false);
        for (cell, found) in tube.length(0).profile(CELLS, old).into_iter().enumerate() {
            let points = 1000;
            let mean: f64 = (0..points)
                .map(|i| {
                    let x = (cell as f64 + (f64::from(i) + 0.5) / f64::from(points)) / CELLS as f64;
                    (x / (2.0 * y)).min(1.0)
                })
                .sum::<f64>()
                / f64::from(points);
            assert!((found - mean).abs() < 2e-3, "y {y}, cell {cell}: {found} for {mean}");
        }
    }
}

#[test]
fn a_plug_moves_and_comes_back() {
    let mut tube = Tube::new(VOLUME, 0.0, &Arc::new(Lanes::plug()), &[1.0]);
    push(&mut tube, 0.5, 0.0, false);
    let near = |found: &[f64], wanted: &dyn Fn(usize) -> f64| {
        for (cell, f) in found.iter().enumerate() {
            // Plug flow is spread by 1/256 of a tube, a snapshot has 96 cells.
            assert!((f - wanted(cell)).abs() < 0.2, "cell {cell}: {f} in {found:?}");
        }
    };
    near(&tube.length(0).profile(CELLS, old), &|cell| if cell < 8 { 0.0 } else { 1.0 });
    // A quarter of old fluid comes in from the far end: the front is back at a quarter.
    push(&mut tube, 0.25, 1.0, true);
    near(&tube.length(0).profile(CELLS, old), &|cell| if cell < 4 { 0.0 } else { 1.0 });
}

#[test]
fn cells_add_up_to_what_the_tube_holds() {
    for remix in [0.0, 0.4, 1.0] {
        let mut tube = Tube::new(VOLUME, remix, &Arc::new(Lanes::laminar(16)), &[0.9]);
        let adds_up = |tube: &Tube, when: &str| {
            let sum: f64 =
                tube.length(0).profile(CELLS, old).iter().sum::<f64>() * VOLUME / CELLS as f64;
            assert!((sum - held(tube)).abs() < 1e-9 * VOLUME, "remix {remix}, {when}: {sum}");
        };
        adds_up(&tube, "filled");
        push(&mut tube, 0.7, 0.1, false);
        adds_up(&tube, "pushed");
        tube.stand(0.5);
        adds_up(&tube, "stood");
        push(&mut tube, 0.3, 0.0, false);
        adds_up(&tube, "pushed again");
        push(&mut tube, 0.6, 1.0, true);
        adds_up(&tube, "turned round");
    }
}

/// At the end parts hold what the record says is left; in between every opening is looked at.
#[test]
fn the_last_moment_is_what_stays_behind() {
    for name in
        ["compact-hatchback", "coupe-twin-bleeders", "saloon-esc-with-routine", "roadster-gravity"]
    {
        let path = format!("scenarios/{name}.toml");
        let scenario = farwheel::read_file(Path::new(&path)).expect("a shipped scenario");
        let options = Options { estimate_error: false, ..Options::default() };
        let record = job::flush(&scenario, &options).expect("a job");
        let over_time = job::parts_over_time(&scenario, &options).expect("a job");
        assert_eq!(over_time.len(), record.left.parts.len(), "{name}");
        for (part, left) in over_time.iter().zip(&record.left.parts) {
            assert_eq!((&part.part, part.kind), (&left.part, left.kind));
            let end = part.held.last().expect("a moment").held;
            let old_ml = left.volume_ml * left.old_fraction;
            assert_eq!(end.volume_ml, left.volume_ml, "{name}, {}", part.part);
            assert!((end.old_ml - old_ml).abs() < 1e-9, "{name}, {}: {end:?}", part.part);
        }
        let moments: Vec<f64> = over_time[0].held.iter().map(|h| h.at_s).collect();
        assert!(moments.is_sorted(), "{name}: {moments:?}");
        assert!(moments.len() < 400, "{name}: {} moments", moments.len());
        for o in &record.openings {
            let during = moments.iter().filter(|at| (o.opened_s..=o.closed_s).contains(at)).count();
            assert!(during >= 6, "{name}, {}: {during} moments", o.bleeder);
        }
    }
}
