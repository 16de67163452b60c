//! The eye on the clear hose: when is it clean, and when is the bleeder closed.

use super::record::CleanState;
use crate::portable;
use crate::scenario::procedure::StopRule;
use crate::scenario::section::Section;
use crate::transport::lanes::Lanes;
use crate::transport::leg::Leg;
use std::f64::consts::PI;
use std::sync::Arc;

/// A stop rule with everything filled in; volumes in m³, times in s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rule {
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
    pub(super) fn new(rule: &StopRule, clear_hose: &Section, bound_m3: f64) -> Self {
        let si = |q: Option<crate::scenario::quantity::Quantity>| q.map(|q| q.value);
        let at_most = si(rule.at_most).unwrap_or(f64::INFINITY);
        // What is asked for in so many millilitres has an end of its own.
        let bound_m3 = [rule.volume, rule.at_least]
            .into_iter()
            .flatten()
            .fold(bound_m3, |bound, asked| bound.max(1.001 * asked.value));
        Self {
            own_bound: bound_m3 < at_most,
            clean: rule.clean,
            threshold: si(rule.threshold).unwrap_or_else(|| clear_hose.si("threshold")),
            hold: si(rule.hold).or_else(|| clear_hose.find_si("hold")),
            volume: si(rule.volume),
            time: si(rule.time),
            at_least: si(rule.at_least).unwrap_or(0.0),
            at_most: at_most.min(bound_m3),
        }
    }
}

/// The watched length of the clear hose. Only the old fraction is followed: it is all the eye sees.
#[derive(Debug, Clone)]
pub(super) struct ClearHose {
    leg: Leg,
    volume: f64,
    /// Old fluid in it, m³.
    old: f64,
}

impl ClearHose {
    pub(super) fn new(clear_hose: &Section, lanes: &Arc<Lanes>) -> Self {
        let bore = clear_hose.si("bore");
        let volume = PI / 4.0 * bore * bore * clear_hose.si("watched");
        let filling = if clear_hose.text("filling") == Some("old") { 1.0 } else { 0.0 };
        Self { leg: Leg::new(volume, Arc::clone(lanes), &[filling]), volume, old: filling * volume }
    }

    pub(super) fn volume(&self) -> f64 {
        self.volume
    }

    /// Takes in `dv` m³ that left the bleeder with `old` m³ of old fluid in it.
    pub(super) fn take(&mut self, dv: f64, old: f64) {
        let mut leaving = [0.0];
        self.leg.push(dv, &[old / dv], &mut leaving);
        self.old += old - leaving[0];
    }

    /// Old fraction seen.
    pub(super) fn seen(&self) -> f64 {
        self.old / self.volume
    }
}

/// Follows what is seen and says when it counts as clean.
#[derive(Debug, Clone, Copy)]
pub(super) struct Watcher {
    threshold: f64,
    drained: f64,
    seen: f64,
    /// Drop of ln(seen) per volume in the last step.
    slope: f64,
    /// Since when it has been clean, and for how long it must stay so.
    since: Option<(f64, f64)>,
    /// Where it became clean for good (it had been held).
    clean_at: Option<f64>,
    was_dirty: bool,
}

impl Watcher {
    /// Begins with what is seen before anything is drained.
    pub(super) fn new(threshold: f64, seen: f64, hold: f64) -> Self {
        Self {
            threshold,
            drained: 0.0,
            seen,
            slope: 0.0,
            since: (seen <= threshold).then_some((0.0, hold)),
            clean_at: None,
            was_dirty: false,
        }
    }

    /// Takes in one more reading; `hold` is asked when it has just turned clean.
    pub(super) fn see(&mut self, drained: f64, seen: f64, hold: impl FnOnce() -> f64) {
        let step = drained - self.drained;
        self.slope = if seen > 0.0 && self.seen > seen {
            portable::ln(self.seen / seen) / step
        } else {
            0.0
        };
        if seen <= self.threshold {
            if self.since.is_none() {
                // Washouts fall exponentially: interpolate the logarithm.
                let at = if self.slope > 0.0 {
                    self.drained + portable::ln(self.seen / self.threshold) / self.slope
                } else {
                    drained
                };
                self.since = Some((at.clamp(self.drained, drained), hold()));
            }
        } else {
            self.was_dirty = true;
            self.since = None;
        }
        (self.drained, self.seen) = (drained, seen);
        if let Some((since, hold)) = self.since
            && drained - since >= hold * (1.0 - 1e-12)
            && self.clean_at.is_none()
        {
            self.clean_at = Some(since);
        }
    }

    /// Drained volume at which it will have been clean for long enough, if it is clean now.
    pub(super) fn clean_until(&self) -> Option<f64> {
        self.since.map(|(since, hold)| since + hold)
    }

    /// Volume after which it should cross the threshold, by the last slope.
    pub(super) fn expected(&self) -> Option<f64> {
        (self.since.is_none() && self.slope > 0.0)
            .then(|| portable::ln(self.seen / self.threshold) / self.slope)
    }

    /// Old fraction seen now.
    pub(super) fn seen(&self) -> f64 {
        self.seen
    }

    /// Drained volume since which it has been clean, for however long; `None` while it is dirty.
    pub(super) fn since(&self) -> Option<f64> {
        self.since.map(|(since, _)| since)
    }

    /// How it ended: where it became clean and stayed so, and in what state it is now.
    pub(super) fn verdict(&self) -> (Option<f64>, CleanState) {
        match (self.since, self.clean_at) {
            (Some((since, _)), Some(_)) if since == 0.0 && !self.was_dirty => {
                (Some(0.0), CleanState::Already)
            }
            (Some((since, hold)), Some(_)) if self.drained - since >= hold * (1.0 - 1e-12) => {
                (Some(since), CleanState::Reached)
            }
            (_, Some(first)) => (Some(first), CleanState::Lost),
            (_, None) => (None, CleanState::NotReached),
        }
    }
}
