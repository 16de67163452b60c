//! The stop rule: clean is reached when what is seen stays at or below the threshold.

use super::car::Stop;
use super::signal::Signal;

/// What the eye has noticed so far.
#[derive(Debug, Clone)]
pub struct Watch {
    stop: Stop,
    clean_since_ml: Option<f64>,
    closes_at_ml: Option<f64>,
    closed: bool,
}

impl Watch {
    /// At the opening, when the clear hose shows this old fraction.
    pub fn new(stop: Stop, seen: f64) -> Self {
        Self {
            stop,
            clean_since_ml: (seen <= stop.threshold).then_some(0.0),
            closes_at_ml: None,
            closed: false,
        }
    }

    /// Follows what is seen over a stretch that begins at `from_ml`; gives the drained volume at
    /// which the rule closes the bleeder, if it does within the stretch.
    pub fn look(&mut self, from_ml: f64, seen: &Signal) -> Option<f64> {
        for k in 0..seen.grid.cells() {
            let (v0, v1) = (from_ml + seen.grid.at(k), from_ml + seen.grid.at(k + 1));
            let (s0, s1) = (seen.node(k)[0], seen.node(k + 1)[0]);
            let crossing = || v0 + (v1 - v0) * (self.stop.threshold - s0) / (s1 - s0);
            let clean = s1 <= self.stop.threshold;
            let mut clean_until = v1;
            match self.clean_since_ml {
                None if clean => self.clean_since_ml = Some(crossing()),
                Some(_) if !clean => clean_until = crossing(),
                _ => {}
            }
            if let (Some(since), Some(hold)) = (self.clean_since_ml, self.stop.hold_ml) {
                let close = (since + hold).max(self.stop.at_least_ml);
                if close <= clean_until && self.closes_at_ml.is_none() {
                    self.closed = true;
                    return Some(close);
                }
            }
            if !clean {
                self.clean_since_ml = None;
            }
        }
        if self.closes_at_ml.is_some() {
            self.closed = true;
        }
        None
    }

    /// From now on closes at this volume, found by an earlier look.
    pub fn closing_at(&mut self, close_ml: f64) {
        self.closes_at_ml = Some(close_ml);
    }

    /// Whether the rule has closed the bleeder.
    pub fn closed(&self) -> bool {
        self.closed
    }

    /// Drained volume since which it has been clean, mL.
    pub fn clean_at_ml(&self) -> Option<f64> {
        self.clean_since_ml
    }
}
