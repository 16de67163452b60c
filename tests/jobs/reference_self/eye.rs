//! The clean rule on made-up hoses, by hand.

use super::reference::eye::{Eye, Shown};
use super::reference::signal::Signal;
use super::reference::whole::{CleanState, Rule, WaitedFor};
use super::{close, grid};

/// Clean at 10, dirty again at 30, clean for good at 50 mL; 0.01 a millilitre up and down.
fn shown(v: f64) -> f64 {
    match v {
        v if v < 20.0 => 0.2 - 0.01 * v,
        v if v < 40.0 => 0.01 * (v - 20.0),
        v => (0.2 - 0.01 * (v - 40.0)).max(0.0),
    }
}

fn rule(threshold: f64, hold_ml: Option<f64>) -> Rule {
    Rule {
        clean: true,
        threshold,
        hold_ml,
        least_look_s: 0.0,
        volume_ml: None,
        at_least_ml: 0.0,
        at_most_ml: 90.0,
    }
}

/// Where the rule closes, why so late, and what it then is, if the eye watches so much (mL), R is `behind`, and the
/// least look is over at `looked_ml`.
fn look(
    rule: Rule,
    watched_ml: f64,
    behind: impl Fn(f64) -> f64,
    looked_ml: f64,
) -> (Option<f64>, Option<WaitedFor>, (CleanState, Option<f64>)) {
    let mut eye = Eye::new(rule, watched_ml, shown(0.0), behind(0.0));
    let mut closes = None;
    let mut at_ml = 0.0;
    // In pieces: a look ends where the rule closes.
    while at_ml < 90.0 && closes.is_none() {
        let seen = |end: f64| Signal::from_fn(grid(0.7, end), 1, |_, v, c| c[0] = shown(at_ml + v));
        let shown = |seen: &Signal, eye: &mut Eye| {
            let behind_ml: Vec<f64> =
                (0..=seen.grid.cells()).map(|k| behind(at_ml + seen.grid.at(k))).collect();
            let looked_ml = Some(looked_ml).filter(|ml| *ml <= at_ml + seen.grid.end_ml);
            eye.look(&Shown { seen, behind_ml: &behind_ml, looked_ml })
        };
        let mut length = 7.3_f64.min(90.0 - at_ml);
        let before = eye.clone();
        closes = shown(&seen(length), &mut eye);
        if let Some((ml, waited_for)) = closes {
            length = ml - at_ml;
            eye = before;
            shown(&seen(length), &mut eye);
            eye.close_as_clean(waited_for);
        }
        at_ml += length;
    }
    (closes.map(|c| c.0), eye.waited_for(), eye.state())
}

/// Half a millilitre is watched, so that a hundredth a millilitre does not count as a rise.
#[test]
fn holds_and_floors_by_hand() {
    let nothing = |_: f64| 0.0;
    let by_hold = |hold: f64| rule(0.1, Some(hold));
    let is = |what: (Option<f64>, Option<WaitedFor>, (CleanState, Option<f64>)),
              at: f64,
              clean: f64,
              state: CleanState,
              waited: Option<WaitedFor>| {
        close(what.0.expect("it closes"), at, 1e-9, "closed");
        close(what.2.1.expect("it counts"), clean, 1e-9, "clean at");
        assert_eq!((what.2.0, what.1), (state, waited));
    };
    use CleanState::{Already, Reached};
    is(look(by_hold(15.0), 0.5, nothing, 0.0), 25.0, 10.0, Reached, None);
    is(look(by_hold(25.0), 0.5, nothing, 0.0), 75.0, 50.0, Reached, None);
    let late = Rule { at_least_ml: 33.0, ..by_hold(15.0) };
    is(look(late, 0.5, nothing, 0.0), 65.0, 50.0, Reached, None);
    is(look(rule(0.3, Some(7.0)), 0.5, nothing, 0.0), 7.0, 0.5, Already, None);
    // The floor is no delay: the hold runs meanwhile.
    is(look(by_hold(15.0), 0.5, nothing, 22.0), 25.0, 22.0, Reached, None);
    is(look(by_hold(2.0), 0.5, nothing, 22.0), 22.0, 22.0, Reached, Some(WaitedFor::LeastLook));
    is(
        look(rule(0.3, Some(0.0)), 0.5, nothing, 0.0),
        0.5,
        0.5,
        Already,
        Some(WaitedFor::WatchedLength),
    );
    // By what lies behind dirt: V − R(V) = S, R(0), the watched length.
    is(look(rule(0.1, None), 0.5, |v| 30.0 - v, 0.0), 30.0, 10.0, Reached, None);
    is(look(rule(0.1, None), 0.5, |v| (24.0 - v).max(0.0), 0.0), 24.0, 10.0, Reached, None);
    is(look(rule(0.1, None), 0.5, |v| 8.0 - 0.1 * v, 0.0), 18.0 / 1.1, 10.0, Reached, None);
    is(look(rule(0.1, None), 0.5, nothing, 0.0), 10.5, 10.0, Reached, None);
}

/// A volume closes while it is dirty again.
#[test]
fn lost_by_hand() {
    let by_volume = Rule { clean: false, ..rule(0.1, Some(5.0)) };
    let mut eye = Eye::new(by_volume, 0.5, shown(0.0), 0.0);
    let seen = Signal::from_fn(grid(0.7, 35.0), 1, |_, v, c| c[0] = shown(v));
    let behind_ml = vec![0.0; seen.grid.cells() + 1];
    assert_eq!(eye.look(&Shown { seen: &seen, behind_ml: &behind_ml, looked_ml: Some(0.0) }), None);
    let (state, clean_at_ml) = eye.state();
    assert_eq!((state, eye.hold_ml()), (CleanState::Lost, None));
    close(clean_at_ml.expect("once"), 10.0, 1e-9, "clean at");
}

/// Two millilitres are watched: from 21 to 41 mL it is darker than a watched length before by 0.01 and more (from
/// 0.01 · (v − 20) − 0.01 · (22 − v) = 0.01 at v = 21.5 on), until s(v) − s(v − 2) falls to 0.01 at v = 40.5.
#[test]
fn rising_by_hand() {
    let (at, waited, state) = look(rule(0.25, Some(25.0)), 2.0, |_| 0.0, 0.0);
    close(at.expect("it closes"), 65.5, 1e-9, "closed");
    assert_eq!(waited, Some(WaitedFor::Rising));
    assert_eq!(state.0, CleanState::Already);
    close(state.1.expect("it counts"), 40.5, 1e-9, "clean at");
}
