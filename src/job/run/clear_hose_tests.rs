//! The rule beside what `docs/clean.md` says of it, worked out by hand for what is seen on a straight or exponential
//! course. Volumes are counted in watched lengths, times in seconds at one watched length a second.

use super::*;

const THRESHOLD: f64 = 0.2;
/// Between two readings.
const STEP: f64 = 1.0 / 64.0;

/// What is looked at, and how it ended.
struct Seen<'a> {
    course: &'a dyn Fn(f64) -> f64,
    /// R(V), or the stated hold.
    hold: &'a dyn Fn(f64) -> f64,
    dirt_comes: f64,
    least_look_s: f64,
}

impl Seen<'_> {
    fn watcher(&self) -> Watcher {
        let sight =
            Sight { threshold: THRESHOLD, watched_m3: 1.0, least_look_s: self.least_look_s };
        Watcher::new(sight, (self.course)(0.0), (self.hold)(0.0), self.dirt_comes)
    }

    /// Takes readings up to `end`, or until it counts.
    fn look(&self, watcher: &mut Watcher, end: f64, until_it_counts: bool) {
        while watcher.drained < end - 0.5 * STEP && !(until_it_counts && watcher.counts()) {
            let v = watcher.drained + STEP;
            let before = |dv| (self.course)(v - dv);
            watcher.see(v, v, (self.course)(v), before, || (self.hold)(v));
        }
    }

    /// Where it counts for the first time, and the watcher then.
    fn counts_at(&self) -> (f64, Watcher) {
        let mut watcher = self.watcher();
        self.look(&mut watcher, 40.0, true);
        (watcher.drained, watcher)
    }
}

/// Falls to the threshold at 3 watched lengths.
fn washout(v: f64) -> f64 {
    (THRESHOLD.ln() * v / 3.0).exp()
}

/// Clean, but for a rise by two points and a half from 5 to 7, a point and a quarter each length.
fn slow_rise(v: f64) -> f64 {
    0.1 + 0.0125 * (v - 5.0).clamp(0.0, 2.0)
}

fn near(a: f64, b: f64) {
    assert!((a - b).abs() <= 1.01 * STEP, "{a}, not {b}");
}

fn plain(course: &dyn Fn(f64) -> f64) -> Seen<'_> {
    Seen { course, hold: &|_| 2.0, dirt_comes: 0.0, least_look_s: 0.0 }
}

/// S₁ = 3 and H = 2.
#[test]
fn a_washout_counts_when_it_has_held() {
    let (at, watcher) = plain(&washout).counts_at();
    near(at, 5.0);
    let since = watcher.since().expect("clean");
    assert!((since - 3.0).abs() < 1e-9, "the logarithm is straight: {since}");
    assert_eq!(watcher.verdict(), (Some(since), CleanState::Reached));
    assert_eq!((watcher.hold(), watcher.waited_for(0.0)), (Some(2.0), None));
}

/// H = max(R(V), R(0) − S): 10 − 3 = 7 after the start, where R(V) alone asks for 2; and R(V) where that asks for more.
#[test]
fn what_was_dirty_at_the_opening_is_given_time_to_come() {
    near(Seen { dirt_comes: 10.0, ..plain(&washout) }.counts_at().0, 10.0);
    let both = Seen { dirt_comes: 10.0, hold: &|_| 9.0, ..plain(&washout) };
    near(both.counts_at().0, 12.0);
    // R(V) falls by half of what is drained, from 9 at 3: V − 3 = 9 − (V − 3)/2 at 9.
    let falls = Seen { hold: &|v| 9.0 - 0.5 * (v - 3.0).max(0.0), ..plain(&washout) };
    let (at, watcher) = falls.counts_at();
    near(at, 9.0);
    near(watcher.hold().expect("clean"), 6.0);
}

/// F is the larger of one watched length and the least look, and a floor, no delay.
#[test]
fn the_floor_is_a_floor() {
    let clean = |_: f64| 0.1;
    let floor = |least_look_s: f64, hold: &'static dyn Fn(f64) -> f64| {
        let (at, watcher) = Seen { hold, least_look_s, ..plain(&clean) }.counts_at();
        let (counted, state) = watcher.verdict();
        assert_eq!(state, CleanState::Already);
        (at, counted.expect("it counts"), watcher.waited_for(0.0))
    };
    assert_eq!(floor(0.0, &|_| 0.5), (1.0, 1.0, Some(WaitedFor::WatchedLength)));
    assert_eq!(floor(0.5, &|_| 0.25), (1.0, 1.0, Some(WaitedFor::WatchedLength)));
    // Looked at long enough between two readings: where, is found within the step.
    let (at, counted, waited) = floor(4.005, &|_| 0.5);
    near(at, 4.005);
    assert!((counted - 4.005).abs() < 1e-9, "{counted}");
    assert_eq!(waited, Some(WaitedFor::LeastLook));
    let (at, counted, waited) = floor(4.0, &|_| 6.0);
    assert_eq!((at, counted, waited), (6.0, 4.0, None));
}

/// The hold begins where what is seen gets no darker, though it stays below the threshold.
#[test]
fn what_gets_darker_starts_the_hold_anew() {
    // By two points from 5 to 6: more than one point darker than one length ago from 5.5 to 6.5.
    let step = |v: f64| 0.1 + 0.02 * (v - 5.0).clamp(0.0, 1.0);
    let seen = Seen { hold: &|_| 6.0, ..plain(&step) };
    let (at, watcher) = seen.counts_at();
    near(watcher.since().expect("clean"), 6.5);
    near(at, 12.5);
    assert_eq!(watcher.verdict().1, CleanState::Already, "S₁ is 0");
    assert_eq!(watcher.waited_for(0.0), Some(WaitedFor::Rising));
    // As long as it rises nothing counts, whatever has been held.
    let mut rising = plain(&step).watcher();
    Seen { hold: &|_| 0.0, ..plain(&step) }.look(&mut rising, 6.0, false);
    assert!(!rising.counts() && rising.clean_until().is_none());
    // Slower than a point in a length is not seen; a point and a quarter is, from 5.8 to 7.2.
    near(Seen { hold: &|_| 6.0, ..plain(&|v| 0.1 + 0.009 * v.min(9.0)) }.counts_at().0, 6.0);
    near(Seen { hold: &|_| 6.0, ..plain(&slow_rise) }.counts_at().0, 13.2);
    // Getting lighter is no rise.
    near(Seen { hold: &|_| 6.0, ..plain(&|v| 0.19 - 0.02 * v.min(9.0)) }.counts_at().0, 6.0);
}

/// What is seen between two readings is on the straight line from one to the other, wherever readings fall.
#[test]
fn the_start_is_found_between_two_readings() {
    let step = |v: f64| 0.1 + 0.02 * (v - 5.0).clamp(0.0, 1.0);
    let seen = plain(&step);
    let mut watcher = seen.watcher();
    for reading in 1..130 {
        let v = 0.07 * f64::from(reading);
        watcher.see(v, v, step(v), |dv| step(v - dv), || 2.0);
    }
    let since = watcher.since().expect("clean");
    assert!((since - 6.5).abs() < 1e-9, "{since}");
}

/// What exceeds the threshold again is lost, with where it first counted, until it counts anew.
#[test]
fn dirt_that_comes_back_is_lost_until_it_counts_anew() {
    let comes_back = |v: f64| if (7.0..8.0).contains(&v) { 0.5 } else { washout(v) };
    let seen = plain(&comes_back);
    let mut watcher = seen.watcher();
    seen.look(&mut watcher, 7.5, false);
    let (first, state) = watcher.verdict();
    near(first.expect("it counted"), 3.0);
    assert_eq!((state, watcher.since(), watcher.hold()), (CleanState::Lost, None, None));
    seen.look(&mut watcher, 12.0, false);
    let (again, state) = watcher.verdict();
    near(again.expect("it counts again"), 8.0);
    assert_eq!(state, CleanState::Reached);
    // Lost again: still that of the first time.
    watcher.see(12.5, 12.5, 0.5, |_| 0.5, || 2.0);
    near(watcher.verdict().0.expect("it counted"), 3.0);
}

/// `waited_for` says what came last, and only beyond the first start with its hold and `at least`.
#[test]
fn what_came_last_was_waited_for() {
    let step = |v: f64| 0.1 + 0.02 * (v - 0.2).clamp(0.0, 1.0);
    // It rises until 1.7 and holds 2: at 3.7.
    let waited = |least_look_s: f64, at_least: f64| {
        let seen = Seen { least_look_s, ..plain(&step) };
        let mut watcher = seen.watcher();
        seen.look(&mut watcher, 12.0, false);
        watcher.waited_for(at_least)
    };
    assert_eq!(waited(0.0, 0.0), Some(WaitedFor::Rising));
    assert_eq!(waited(3.0, 0.0), Some(WaitedFor::Rising));
    assert_eq!(waited(5.0, 0.0), Some(WaitedFor::LeastLook));
    assert_eq!(waited(5.0, 6.0), None);
    assert_eq!(waited(0.0, 3.0), Some(WaitedFor::Rising));
    // A bump that is over, with its hold, within the first watched length.
    let bump = |v: f64| 0.1 + if (0.1..0.3).contains(&v) { 0.05 } else { 0.0 };
    let (at, watcher) = Seen { hold: &|_| 0.25, ..plain(&bump) }.counts_at();
    assert_eq!((at, watcher.waited_for(0.0)), (1.0, Some(WaitedFor::WatchedLength)));
}
