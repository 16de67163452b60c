//! The reservoir: poured into, drawn from, running short.

use super::{all_close, close, reservoir};
use farwheel::circuit::CommonSpace;
use farwheel::transport::reservoir::Reservoir;

fn mixed(level_m3: f64, compartment_m3: f64) -> Reservoir {
    reservoir(CommonSpace::MIXED, level_m3, compartment_m3)
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
    let mut r = mixed(2.5, 1.0);
    all_close(&volumes(&r), &[0.5, 1.0, 1.0], 1e-12, "full compartments, half a volume above");
    let mut taken = [0.0; 2];
    r.draw(0.2, &mut taken);
    all_close(&volumes(&r), &[0.3, 1.0, 1.0], 1e-12, "from above only");
    // The front outlet sends out all that is above and 0.6 of its own.
    let mut leaving = [0.0; 8];
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
    let mut r = mixed(2.1, 1.0);
    let mut leaving = [0.0; 8];
    // 0.1 above for 0.4 asked: a quarter of each.
    r.pass(0.0, &NEW, &[0.3, 0.1], &mut leaving);
    all_close(&volumes(&r), &[0.0, 0.775, 0.925], 1e-12, "a quarter of what each sends out");
    all_close(&leaving, &[0.3, 0.0, 0.3, 0.0, 0.1, 0.0, 0.1, 0.0], 1e-12, "old fluid leaves");
    // 0.12 for 0.1 sent out and 0.3 lacking: 0.02 is left over, three to one.
    r.pass(0.12, &OLD, &[0.1, 0.0], &mut leaving);
    all_close(&volumes(&r), &[0.0, 0.79, 0.93], 1e-12, "the outlet in use first");
    all_close(&leaving, &[0.1, 0.0, 0.1, 0.0, 0.0, 0.0, 0.0, 0.0], 1e-12, "old fluid leaves");
    // 0.14 for 0.28 lacking, nothing sent out: half of what each lacks.
    r.pass(0.14, &OLD, &[0.0, 0.0], &mut leaving);
    all_close(&volumes(&r), &[0.0, 0.895, 0.965], 1e-12, "by what each lacks");
    // More than enough: both full, the rest above.
    r.pass(0.2, &NEW, &[0.0, 0.01], &mut leaving);
    all_close(&volumes(&r), &[0.05, 1.0, 1.0], 1e-12, "full again");
    let mut sum = [0.0; 2];
    r.held(&mut sum);
    close(sum[0] + sum[1], r.volume(), 1e-12, "species add up to the volume");
    close(sum[1] + leaving[1] + leaving[5], 0.2, 1e-12, "all new fluid is accounted for");
}

/// Without a wall each outlet gets its share of what leaves, and nothing where nothing leaves.
#[test]
fn outlets_of_one_space_share_it() {
    let mut r = mixed(3.0, 0.0);
    let mut leaving = [0.0; 8];
    r.pass(0.0, &NEW, &[0.9, 0.3], &mut leaving);
    all_close(&leaving, &[0.9, 0.0, 0.9, 0.0, 0.3, 0.0, 0.3, 0.0], 1e-12, "three to one");
    r.pass(0.2, &NEW, &[0.0, 0.0], &mut leaving);
    assert_eq!(leaving, [0.0; 8]);
}

/// V dc/ds = F (c_in − c) with V = V₀ + (F − Q) s: c falls as (V/V₀)^(−F/(F − Q)), also where level and flows
/// change so little that the exponent has to be expanded.
#[test]
fn a_level_that_hardly_changes() {
    for excess in [9e-7, 4e-7, -4e-7, -9e-7] {
        let mut r = mixed(1.0, 0.0);
        let (feed, drained) = (0.5, 0.5 - excess);
        r.pass(feed, &NEW, &[drained, 0.0], &mut [0.0; 8]);
        let exact = (-feed / excess * f64::ln_1p(excess)).exp() * (1.0 + excess);
        close(r.held_of(|row| row[0]), exact, 1e-11, "old fluid");
    }
}
