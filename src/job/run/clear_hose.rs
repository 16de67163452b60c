//! The eye on the clear hose: when is it clean, and when is the bleeder closed.

use crate::job::record::{CleanState, WaitedFor};
use crate::portable;
use crate::roots::crossing;
use crate::scenario::procedure::StopRule;
use crate::scenario::tables::{self, Filling};
use crate::transport::course::straighten;
use crate::transport::lanes::Lanes;
use crate::transport::leg::Leg;
use std::collections::VecDeque;
use std::f64::consts::PI;
use std::sync::Arc;

/// Upper bound of one opening, as a multiple of all the fluid in the system: a procedure that would
/// never end is stopped there.
pub const BOUND_CAPACITIES: f64 = 10.0;

/// Two volumes closer than this share of a step count as equal.
pub(crate) const CLOSE: f64 = 1e-9;

/// A stop rule with everything filled in; volumes in m³, times in s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rule {
    pub clean: bool,
    pub threshold: f64,
    /// Further volume for which it must stay clean; `None`: by what lies before the bleeder.
    pub hold: Option<f64>,
    pub volume: Option<f64>,
    pub time: Option<f64>,
    pub at_least: f64,
    pub at_most: f64,
    /// Whether `at_most` is the program's own bound.
    pub own_bound: bool,
}

impl Rule {
    /// The rule as written, with the clear hose's threshold and hold and the program's own bound.
    pub(crate) fn new(rule: &StopRule, clear_hose: &tables::ClearHose, bound_m3: f64) -> Self {
        let si = |q: Option<crate::keys::Quantity>| q.map(|q| q.value);
        let at_most = si(rule.at_most).unwrap_or(f64::INFINITY);
        // A volume that is asked for has an end of its own.
        let bound_m3 = [rule.volume, rule.at_least]
            .into_iter()
            .flatten()
            .fold(bound_m3, |bound, asked| bound.max(1.001 * asked.value));
        Self {
            own_bound: bound_m3 < at_most,
            clean: rule.clean,
            threshold: si(rule.threshold).unwrap_or(clear_hose.threshold.value),
            hold: si(rule.hold).or_else(|| si(clear_hose.hold)),
            volume: si(rule.volume),
            time: si(rule.time),
            at_least: si(rule.at_least).unwrap_or(0.0),
            at_most: at_most.min(bound_m3),
        }
    }
}

impl Rule {
    /// Whether nothing but the program's own bound closes it.
    pub(crate) fn is_endless(&self) -> bool {
        !self.clean && self.volume.is_none() && self.time.is_none() && self.own_bound
    }
}

/// The watched length of the clear hose. Only the old fraction is followed: it is all the eye sees.
#[derive(Debug, Clone)]
pub(crate) struct ClearHose {
    leg: Leg,
    volume: f64,
    /// Old fluid in it, m³.
    old: f64,
    /// Old fraction that came in last.
    before: f64,
}

impl ClearHose {
    pub(crate) fn new(clear_hose: &tables::ClearHose, lanes: &Arc<Lanes>) -> Self {
        let bore = clear_hose.bore.value;
        let volume = PI / 4.0 * bore * bore * clear_hose.watched.value;
        let filling = if clear_hose.filling == Filling::Old { 1.0 } else { 0.0 };
        let leg = Leg::new(volume, Arc::clone(lanes), &[filling]);
        Self { leg, volume, old: filling * volume, before: filling }
    }

    pub(crate) fn volume(&self) -> f64 {
        self.volume
    }

    /// Takes in `dv` m³ that left the bleeder with `old` m³ of old fluid in it, `end` being the old fraction at the end.
    pub(crate) fn take(&mut self, dv: f64, old: f64, end: f64) {
        let (mut row, mut leaving) = ([old / dv, end], [0.0]);
        straighten(&mut row, std::slice::from_mut(&mut self.before));
        self.leg.push(dv, &row, &mut leaving, &mut []);
        self.old += old - leaving[0];
    }

    /// Old fraction seen.
    pub(crate) fn seen(&self) -> f64 {
        self.old / self.volume
    }

    /// Old fraction that was seen before the last `dv` m³ came in.
    pub(crate) fn seen_before(&self, dv: f64) -> f64 {
        let mut change = [0.0];
        self.leg.change_over(dv, &mut change);
        (self.old - change[0]) / self.volume
    }
}

/// A rise of the old fraction seen, over one watched length, above which nothing counts as clean: less than an
/// eye sees (an estimate).
const RISE: f64 = 0.01;
/// Steps of one watched length while what is seen may be rising, at the usual 9 to a path; at fewer, fewer.
const STEPS_PER_WATCHED: f64 = 0.6;
/// Steps get no shorter than this share of the usual one on coming down on a threshold, and on coming to a close.
pub(crate) const FINEST: (f64, f64) = (1.0 / 32.0, 1.0 / 256.0);

/// Up to so many times its threshold, what is seen may come down on it within a step however slowly it fell in the last.
const NEAR: f64 = 1.1;

/// Less than this share of old fluid counts as this.
const NEXT_TO_NONE: f64 = 1e-9;

/// How far below its threshold what is seen may be where it is said to cross it, as a share of that.
const CROSSED: f64 = 1e-6;

/// When fluid counts as clean: what holds for one opening.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sight {
    pub threshold: f64,
    /// The watched volume, m³.
    pub watched_m3: f64,
    pub least_look_s: f64,
}

/// Follows what is seen and says when it counts as clean. The rule stands in `docs/clean.md`.
#[derive(Debug, Clone)]
pub(crate) struct Watcher {
    sight: Sight,
    drained: f64,
    flowed_s: f64,
    seen: f64,
    /// What was seen, back to one watched length ago: drained volume, old fraction.
    past: VecDeque<(f64, f64)>,
    /// How much more is seen than one watched length ago.
    rise: f64,
    /// Drop of ln(seen) per volume in the last step.
    slope: f64,
    /// Since when what is seen has been at or below the threshold.
    below_since: Option<f64>,
    /// For how much it must stay so.
    hold: f64,
    /// Volume before which what is dirty when the bleeder is opened may not have come.
    dirt_comes: f64,
    /// Volume until it counts, by the last two steps; `None` where `hold` and floor stand still.
    left: Option<f64>,
    /// Volume at which it had been looked at for long enough.
    looked_at: Option<f64>,
    /// Volume up to which what is seen rose.
    rose_to: f64,
    /// From where on it counted: since it was last above the threshold, and for the first time.
    counted: Option<f64>,
    first: Option<f64>,
}

impl Watcher {
    /// Begins with what is seen before anything is drained, for how much that must last, and the volume after which what is
    /// dirty by then has had time to come.
    pub(crate) fn new(sight: Sight, seen: f64, hold: f64, dirt_comes: f64) -> Self {
        Self {
            sight,
            drained: 0.0,
            flowed_s: 0.0,
            seen,
            past: VecDeque::from([(0.0, seen)]),
            rise: 0.0,
            slope: 0.0,
            below_since: (seen <= sight.threshold).then_some(0.0),
            hold: hold.max(dirt_comes),
            dirt_comes,
            left: None,
            looked_at: (sight.least_look_s <= 0.0).then_some(0.0),
            rose_to: 0.0,
            counted: None,
            first: None,
        }
    }

    /// Takes in one more reading; `seen_before` tells what was seen before the last so much was drained, `hold` is asked
    /// where it is clean.
    pub(crate) fn see(
        &mut self,
        drained: f64,
        flowed_s: f64,
        seen: f64,
        seen_before: impl Fn(f64) -> f64,
        hold: impl FnOnce() -> f64,
    ) {
        let step = drained - self.drained;
        if step <= 0.0 {
            return;
        }
        self.slope = if seen > 0.0 && self.seen > seen {
            portable::ln(self.seen / seen) / step
        } else {
            0.0
        };
        let short = self.short();
        self.look(drained, flowed_s);
        let climbed = self.climb(drained, seen, &seen_before);
        if seen > self.sight.threshold {
            (self.below_since, self.counted) = (None, None);
        } else if self.below_since.is_none() {
            // What is seen falls as a washout does, its logarithm in proportion.
            let over = |seen: f64| portable::ln(seen.max(NEXT_TO_NONE) / self.sight.threshold);
            let above = |back: f64| over(seen_before(back));
            let (now, before) = ((0.0, over(seen)), (step, over(self.seen)));
            self.below_since = Some(drained - crossing(now, before, CROSSED, above));
        }
        (self.drained, self.flowed_s, self.seen) = (drained, flowed_s, seen);
        let Some(since) = self.since() else { return };
        let before = std::mem::replace(&mut self.hold, hold().max(self.dirt_comes - since));
        self.left = match self.short() {
            // Nothing but the rise is missing.
            short if short <= 0.0 => {
                (self.rises() && climbed < 0.0).then(|| (RISE - self.rise) / climbed)
            }
            _ if before == self.hold => None,
            now => Some(now / ((short - now) / step).max(1.0)),
        };
        if self.counts() && self.counted.is_none() {
            self.counted = Some(since.max(self.floor()));
            self.first = self.first.or(self.counted);
        }
    }

    /// Notes where it had been looked at for long enough; flow is steady within a step.
    fn look(&mut self, drained: f64, flowed_s: f64) {
        let least = self.sight.least_look_s;
        if self.looked_at.is_none() && flowed_s >= least * (1.0 - CLOSE) {
            let share = ((least - self.flowed_s) / (flowed_s - self.flowed_s)).clamp(0.0, 1.0);
            self.looked_at = Some(self.drained + share * (drained - self.drained));
        }
    }

    /// Notes how much more is seen than one watched length ago; gives the change of that per volume.
    fn climb(&mut self, drained: f64, seen: f64, seen_before: &impl Fn(f64) -> f64) -> f64 {
        self.past.push_back((drained, seen));
        let back = drained - self.sight.watched_m3;
        while self.past.get(1).is_some_and(|p| p.0 <= back) {
            self.past.pop_front();
        }
        let ago = match (self.past.front(), self.past.get(1)) {
            (Some(a), Some(b)) if back > a.0 => a.1 + (b.1 - a.1) * (back - a.0) / (b.0 - a.0),
            (Some(a), _) => a.1,
            (None, _) => seen,
        };
        let before = std::mem::replace(&mut self.rise, seen - ago);
        let change = self.rise - before;
        let step = drained - self.drained;
        if self.rises() {
            self.rose_to = drained;
        } else if before > RISE {
            let watched = self.sight.watched_m3;
            let more = |back: f64| {
                let ago = if drained - back > watched {
                    seen_before(back + watched)
                } else {
                    self.past.front().map_or(seen, |first| first.1)
                };
                seen_before(back) - ago - RISE
            };
            let back = crossing((0.0, self.rise - RISE), (step, before - RISE), CROSSED, more);
            self.rose_to = drained - back;
        }
        change / step
    }

    fn rises(&self) -> bool {
        self.rise > RISE
    }

    /// Drained volume below which nothing counts; infinite until it has been looked at for long enough.
    fn floor(&self) -> f64 {
        self.sight.watched_m3.max(self.looked_at.unwrap_or(f64::INFINITY))
    }

    /// Volume by which `hold` has not been met yet.
    fn short(&self) -> f64 {
        self.since().map_or(0.0, |since| since + self.hold - self.drained)
    }

    /// Whether it counts as clean now.
    pub(crate) fn counts(&self) -> bool {
        let reached = |v: f64| self.drained >= v * (1.0 - CLOSE);
        let held = self.since().is_some_and(|since| reached(since + self.hold));
        held && !self.rises() && reached(self.floor())
    }

    /// Drained volume at which it should count; `None` while it is dirty or what is seen rises.
    pub(crate) fn clean_until(&self) -> Option<f64> {
        let since = self.since().filter(|_| !self.rises())?;
        Some((since + self.hold).max(self.sight.watched_m3).max(self.looked_at.unwrap_or(0.0)))
    }

    /// For how long it must still be looked at, s.
    pub(crate) fn still_to_look_s(&self) -> f64 {
        if self.looked_at.is_some() { 0.0 } else { self.sight.least_look_s - self.flowed_s }
    }

    /// How much to drain at least before it is closed as clean: where `hold` moves, ever smaller steps would never
    /// reach it.
    pub(crate) fn least_step(&self, usual: f64) -> f64 {
        if self.left.is_some() && !self.counts() { FINEST.1 * usual } else { 0.0 }
    }

    /// How much to drain at most until the next reading; `usual` otherwise, at this many steps a path.
    pub(crate) fn step(&self, usual: f64, steps_per_path: f64) -> f64 {
        if self.below_since.is_none() {
            // Come down on the threshold in ever finer steps: what is drained beyond where it closes cannot be drained
            // back. What it must hold afterwards leaves room for that: one watched length, if no less is asked for.
            let room = self.hold.min(self.sight.watched_m3).max(FINEST.1 * usual);
            let over = self.seen / self.sight.threshold;
            let most = if over < NEAR { room.min(usual) } else { usual };
            if self.slope <= 0.0 {
                return most;
            }
            let expected = portable::ln(over) / self.slope;
            return (0.5 * expected).clamp(most.min(FINEST.0 * usual), most);
        }
        let watched = self.sight.watched_m3;
        let may_rise = self.drained < watched || self.rise > 0.5 * RISE;
        let resolved = watched / (STEPS_PER_WATCHED * steps_per_path);
        let step = if may_rise { usual.min(resolved) } else { usual };
        // What cannot be drained back must be closed at in ever finer steps, too.
        match self.left {
            Some(left) => step.min((0.5 * left).clamp(FINEST.1 * usual, usual)),
            None => step,
        }
    }

    /// The watched volume, m³.
    pub(crate) fn watched_m3(&self) -> f64 {
        self.sight.watched_m3
    }

    /// Old fraction seen now.
    pub(crate) fn seen(&self) -> f64 {
        self.seen
    }

    /// Drained volume since which it has been clean and no darker, for however long; `None` while it is dirty.
    pub(crate) fn since(&self) -> Option<f64> {
        self.below_since.map(|since| since.max(self.rose_to))
    }

    /// For how much it must stay clean by now; `None` while it is dirty.
    pub(crate) fn hold(&self) -> Option<f64> {
        self.below_since.map(|_| self.hold)
    }

    /// What it had to wait for last beyond `hold` and `at_least`, if it counts as clean.
    pub(crate) fn waited_for(&self, at_least: f64) -> Option<WaitedFor> {
        let below = self.below_since.filter(|_| self.counts())?;
        let after = |v: f64, others: f64| v > others * (1.0 + CLOSE);
        let (watched, looked) = (self.sight.watched_m3, self.looked_at?);
        let (held, risen) = ((below + self.hold).max(at_least), self.rose_to + self.hold);
        if after(looked, held.max(risen).max(watched)) {
            Some(WaitedFor::LeastLook)
        } else if after(risen, held.max(watched)) {
            Some(WaitedFor::Rising)
        } else {
            after(watched, held).then_some(WaitedFor::WatchedLength)
        }
    }

    /// How it ended: from where on it counted, and in what state it is now.
    pub(crate) fn verdict(&self) -> (Option<f64>, CleanState) {
        match (self.counted, self.first) {
            (Some(at), _) if self.below_since == Some(0.0) => (Some(at), CleanState::Already),
            (Some(at), _) => (Some(at), CleanState::Reached),
            (None, Some(first)) => (Some(first), CleanState::Lost),
            (None, None) => (None, CleanState::NotReached),
        }
    }
}

#[cfg(test)]
#[path = "clear_hose_tests.rs"]
mod tests;
