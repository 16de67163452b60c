//! How far the reservoir may fall: never less than it does, and no more than it can.

use super::*;
use crate::keys::{Place, Quantity};
use crate::measures::{ATMOSPHERE_PA, from_ml};
use crate::scenario::procedure::{Action, StopRule};

/// A reservoir with 130 mL, 30 mL below its brim; two wheels behind a wide line that both share.
fn ready(level_ml: f64, supply: &str) -> Ready {
    let text = format!(
        r#"
title = "Two wheels"
[old_fluid]
grade = "DOT 4"
[new_fluid]
grade = "DOT 4"
[reservoir]
level = "{level_ml} mL"
min = "60 mL"
max = "140 mL"
brim = "160 mL"
height = "1 m"
[master_cylinder]
chambers = ["one"]
volume = "15 mL"
[parts]
frame = {{ kind = "line", from = "one", length = "5 m", bore = "6 mm" }}
tee = {{ kind = "tee", from = "frame" }}
"line R" = {{ kind = "line", from = "tee", length = "1 m" }}
"line L" = {{ kind = "line", from = "tee", length = "1 m" }}
R = {{ kind = "caliper", from = "line R", new_pads = "30 mL" }}
L = {{ kind = "caliper", from = "line L", new_pads = "20 mL" }}
[supplies]
supply = {{ {supply} }}
[procedure]
open = ["R", "L"]
until = "clean"
"#
    );
    let scenario = crate::read(&text, "-").expect("a scenario");
    Ready::new(&scenario, &Options::for_sums(0)).expect("a circuit")
}

fn level_ml(job: &Underway) -> f64 {
    to_ml(job.job.system.reservoir.volume())
}

/// Opens these bleeders together until each has drained so much.
fn open(job: &mut Underway, bleeders: &[&str], ml: f64) {
    let volume = Some(Quantity::known(from_ml(ml)));
    let bleeders = bleeders.iter().map(|b| (*b).to_owned()).collect();
    let action = Action::Open { bleeders, until: StopRule { volume, ..StopRule::default() } };
    job.act(&Step { line: Place::Nowhere, action }, 1, 1).expect("an opening");
}

/// Runs openings one after another, and gives the most by which the reservoir fell from the beginning to the end of one.
/// From wherever it is asked, the reservoir falls no further later on than was foretold.
fn falls_ml(ready: &Ready, openings: &[(&[&str], f64)]) -> f64 {
    let mut job = ready.begin().expect("a job");
    let begun = level_ml(&job);
    let mut lowest = f64::INFINITY;
    // The levels below which it may not fall.
    let mut foretold = vec![begun - job.may_fall_ml()];
    for (bleeders, ml) in openings {
        open(&mut job, bleeders, *ml);
        let level = level_ml(&job);
        for (i, least) in foretold.iter().enumerate() {
            assert!(level >= least - 1e-6, "{openings:?}: foretold after {i}: {least}, is {level}");
        }
        foretold.push(level - job.may_fall_ml());
        lowest = lowest.min(level);
    }
    begun - lowest
}

/// Volumes of one opening, mL: some are one step, some go on past re-pumps and toppings up.
const VOLUMES_ML: [f64; 6] = [0.5, 2.0, 9.0, 31.0, 70.0, 160.0];

/// Each bleeder once, alone or both together, with every pair of volumes: the most by which the reservoir falls.
fn falls_at_most_ml(ready: &Ready) -> f64 {
    let mut most = f64::NEG_INFINITY;
    for a in VOLUMES_ML {
        most = most.max(falls_ml(ready, &[(&["R", "L"], a)]));
        for b in VOLUMES_ML {
            most = most.max(falls_ml(ready, &[(&["R"], a), (&["L"], b)]));
        }
    }
    most
}

fn may_fall_ml(ready: &Ready) -> f64 {
    ready.begin().expect("a job").may_fall_ml()
}

fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() < 1e-6, "{found} for {wanted}");
}

/// Topped up by hand it may end at the mark, and does if it is drained just so far.
#[test]
fn an_open_reservoir_may_fall_to_the_mark() {
    for (level, supply, wanted) in [
        (130.0, r#"kind = "gravity""#, 70.0),
        (130.0, r#"kind = "gravity", refill_below = "100 mL""#, 30.0),
        (
            130.0,
            r#"kind = "vacuum", vacuum = "50 kPa", refill_below = "90 mL", refill_to = "120 mL""#,
            40.0,
        ),
        // Nobody tops it up: then plans are made as if somebody did.
        (130.0, r#"kind = "gravity", topped_up = false"#, 70.0),
    ] {
        let ready = ready(level, supply);
        near(may_fall_ml(&ready), wanted);
        assert!(falls_at_most_ml(&ready) > 0.0);
        near(falls_ml(&ready, &[(&["R"], 0.6 * wanted), (&["L"], 0.4 * wanted)]), wanted);
    }
    // Too little to be worth pouring: it is drained to the last drop.
    let never = ready(
        130.0,
        r#"kind = "gravity", topped_up = false, refill_below = "100 mL", refill_to = "100.05 mL""#,
    );
    near(may_fall_ml(&never), 130.0);
    assert!(falls_at_most_ml(&never) > 100.0);
    // From below the mark it can only rise.
    let low = ready(50.0, r#"kind = "gravity""#);
    near(may_fall_ml(&low), 0.0);
    assert!(falls_at_most_ml(&low) < 0.0);
    // A job under way: 25 mL further down.
    let ready = ready(130.0, r#"kind = "gravity""#);
    let mut job = ready.begin().expect("a job");
    open(&mut job, &["R"], 25.0);
    near(job.may_fall_ml(), 45.0);
}

/// A stroke that begins just above the mark takes the reservoir that much below it, before it is topped up.
#[test]
fn strokes_may_take_it_below_the_mark() {
    let supply = |more: &str| format!(r#"kind = "pedal"{more}"#);
    // 60 % of the chamber's 15 mL; of 10 mL.
    let (whole, stated) =
        (ready(130.0, &supply("")), ready(130.0, &supply(r#", stroke = "10 mL""#)));
    near(may_fall_ml(&whole), 70.0 + 9.0);
    near(may_fall_ml(&stated), 70.0 + 6.0);
    for ready in [whole, stated] {
        let (fell, foretold) = (falls_at_most_ml(&ready), may_fall_ml(&ready));
        // Whole strokes are taken, and a stroke's room is left: not everything is met in so few openings.
        assert!(fell > foretold - 2.0 * 9.0 && fell <= foretold, "{fell} {foretold}");
    }
}

/// Boyle: the air under the cap and in the feed hose, 30 mL and what the hose holds at atmospheric pressure, pushes the
/// level up until it has the vessel's pressure; without a mark all of the gauge may be used up.
#[test]
fn under_pressure_it_may_fall_as_far_as_the_air_lets_it() {
    let supply = |more: &str| {
        format!(
            r#"kind = "pressure bleeder", loaded = "2 L", shell = "5 L", gauge = "1 bar", feed_hose_length = "2 m", feed_hose_bore = "5 mm"{more}"#
        )
    };
    let hose_ml = to_ml(std::f64::consts::PI * 0.0025 * 0.0025 * 2.0);
    let at = |hose_ml: f64, gauge_pa: f64| {
        (30.0 + hose_ml) * ATMOSPHERE_PA / (ATMOSPHERE_PA + gauge_pa) - 30.0
    };
    let open = ready(130.0, &supply(""));
    near(may_fall_ml(&open), hose_ml);
    let full = ready(130.0, &supply(r#", feed_hose_holds = "new fluid""#));
    near(may_fall_ml(&full), 0.0);
    // It rises whatever is drained: a third of its air goes with the first pressing, and comes back as the gauge falls.
    let mark = r#", re_pump_below = "0.8 bar""#;
    let marked = ready(130.0, &supply(mark));
    // Below the mark by what four usual steps take: together some thirtieth of the cushion.
    let foretold = may_fall_ml(&marked);
    assert!(foretold > at(hose_ml, 0.8e5) && foretold < at(hose_ml, 0.93 * 0.8e5), "{foretold}");
    // Without air in the hose it always stands higher.
    let higher = may_fall_ml(&ready(
        130.0,
        &supply(r#", feed_hose_holds = "new fluid", re_pump_below = "0.8 bar""#),
    ));
    assert!(
        higher > at(0.0, 0.8e5) && higher < at(0.0, 0.93 * 0.8e5) && higher < -10.0,
        "{higher}"
    );
    for (ready, hose_ml) in [(&open, hose_ml), (&full, 0.0), (&marked, hose_ml)] {
        // The gauge falls from 1 bar to some 0.8, whether it is pumped up there or not.
        let fell = falls_at_most_ml(ready);
        assert!(fell > at(hose_ml, 0.85e5) && fell < at(hose_ml, 0.7e5), "{fell}");
    }
}

/// A small cushion falls far in one step, and the last step of an opening takes the gauge below the mark without its
/// being pumped up: from 4 to 3 kPa, for instance, where the first drains 109.4 mL.
#[test]
fn a_small_cushion_may_fall_far_below_its_mark() {
    let small = |mark_kpa: f64, holds: &str| {
        let supply = format!(
            r#"kind = "pressure bleeder", loaded = "0.88 L", shell = "1 L", gauge = "100 kPa", re_pump_below = "{mark_kpa} kPa", feed_hose_holds = "{holds}""#
        );
        ready(130.0, &supply)
    };
    for mark_kpa in (0..12).map(|i| 2.0 + 0.2 * f64::from(i)).chain([50.0, 90.0]) {
        for holds in ["air", "new fluid"] {
            let ready = small(mark_kpa, holds);
            for ml in 0..60 {
                let ml = 104.0 + 0.3 * f64::from(ml);
                falls_ml(&ready, &[(&["R"], ml), (&["L"], 0.5)]);
            }
        }
    }
    // Nothing flows once the gauge is used up: never further than back to where it stood.
    near(may_fall_ml(&small(2.0, "new fluid")), 0.0);
}

/// The first pressing fills the feed hose out of a small cushion, and the gauge falls below the mark before anything is
/// drained: an opening of one step ends there.
#[test]
fn a_gauge_that_falls_below_the_mark_at_once_counts_as_it_stands() {
    let ready = ready(
        130.0,
        r#"kind = "pressure bleeder", loaded = "0.88 L", shell = "1 L", gauge = "0.5 bar", re_pump_below = "0.45 bar", feed_hose_length = "3 m", feed_hose_bore = "5 mm""#,
    );
    falls_at_most_ml(&ready);
    let mut job = ready.begin().expect("a job");
    let foretold = job.may_fall_ml();
    open(&mut job, &["R"], 0.1);
    let gauge = job.job.supply.gauge_pa();
    assert!(gauge < 0.45e5, "{gauge}");
    // Left open for long it would settle at that gauge.
    let air = job.job.cap_air.expect("air under the cap");
    let settled = 160.0 - to_ml(air / (ATMOSPHERE_PA + gauge));
    assert!(foretold >= 130.0 - settled - 1e-6, "{foretold} {settled}");
}
