//! The eye at one bleeder: what counts as clean, since when, and when the rule closes.
//!
//! What is seen is taken as straight between the points of the grid, and so are its rise over a watched length and
//! what lies behind dirt: in each cell the conditions hold over one interval, whose beginning is exact.

use super::signal::Signal;
use super::whole::{CleanState, Rule, WaitedFor};

/// How much darker than a watched length before still counts as not getting darker.
const RISE: f64 = 0.01;
/// Millilitres that count as the same.
const SAME_ML: f64 = 1e-6;

/// What one bleeder has shown since it was opened.
#[derive(Debug, Clone)]
pub struct Eye {
    rule: Rule,
    watched_ml: f64,
    /// R when it was opened, mL.
    behind_at_first_ml: f64,
    /// R at the last point, mL.
    behind_ml: f64,
    /// (drained mL, old fraction seen).
    curve: Vec<(f64, f64)>,
    rise: f64,
    /// S₁ and S₂, mL.
    light_since: Option<f64>,
    calm_since: Option<f64>,
    looked_ml: Option<f64>,
    counted: Option<f64>,
    counted_before: Option<f64>,
    waited_for: Option<WaitedFor>,
}

/// Where the rule closes for being clean, mL, and what came last.
pub type Closing = (f64, Option<WaitedFor>);

/// What came by over a stretch.
pub struct Shown<'a> {
    /// What was seen.
    pub seen: &'a Signal,
    /// R at each point, mL.
    pub behind_ml: &'a [f64],
    /// Drained when fluid had flowed for the least look, if it has, mL.
    pub looked_ml: Option<f64>,
}

/// Values at both ends of a cell, and where between them they are at or below a bound (shares of the cell).
fn below(bound: f64, (a, b): (f64, f64)) -> Option<(f64, f64)> {
    let crossing = || ((bound - a) / (b - a)).clamp(0.0, 1.0);
    match (a <= bound, b <= bound) {
        (true, true) => Some((0.0, 1.0)),
        (true, false) => Some((0.0, crossing())),
        (false, true) => Some((crossing(), 1.0)),
        (false, false) => None,
    }
}

impl Eye {
    /// As the bleeder is opened, `filling` in the clear hose and so much (mL) behind dirt.
    pub fn new(rule: Rule, watched_ml: f64, filling: f64, behind_ml: f64) -> Self {
        Self {
            rule,
            watched_ml,
            behind_at_first_ml: behind_ml,
            behind_ml,
            curve: vec![(0.0, filling)],
            rise: 0.0,
            light_since: (filling <= rule.threshold).then_some(0.0),
            calm_since: Some(0.0),
            looked_ml: None,
            counted: None,
            counted_before: None,
            waited_for: None,
        }
    }

    fn seen_at(&self, ml: f64) -> f64 {
        let k = self.curve.partition_point(|p| p.0 <= ml).clamp(1, self.curve.len() - 1);
        let ((v0, s0), (v1, s1)) = (self.curve[k - 1], self.curve[k]);
        s0 + (s1 - s0) * ((ml - v0) / (v1 - v0)).clamp(0.0, 1.0)
    }

    /// Drained so far, mL.
    fn now_ml(&self) -> f64 {
        self.curve[self.curve.len() - 1].0
    }

    /// S, mL.
    fn start_ml(&self) -> Option<f64> {
        Some(self.light_since?.max(self.calm_since?))
    }

    fn floor_ml(&self) -> Option<f64> {
        Some(self.looked_ml?.max(self.watched_ml))
    }

    /// H from the start and from R, mL.
    fn hold_of(&self, start: f64, behind_ml: f64) -> f64 {
        let by_dirt = self.watched_ml.max(behind_ml).max(self.behind_at_first_ml - start);
        self.rule.hold_ml.unwrap_or(by_dirt)
    }

    /// H at the last point, mL; `None` while what is seen is above θ. While it gets darker S₂ is where it stands.
    pub fn hold_ml(&self) -> Option<f64> {
        let start = self.light_since?.max(self.calm_since.unwrap_or(self.now_ml()));
        Some(self.hold_of(start, self.behind_ml))
    }

    /// What lies behind dirt has changed while nothing was drained, mL.
    pub fn stirred(&mut self, behind_ml: f64) {
        self.behind_ml = behind_ml;
    }

    /// Follows a stretch; gives the drained volume at which the rule closes for being clean, if it does.
    pub fn look(&mut self, shown: &Shown<'_>) -> Option<Closing> {
        self.looked_ml = self.looked_ml.or(shown.looked_ml);
        let from_ml = self.now_ml();
        let mut closes = None;
        for k in 0..shown.seen.grid.cells() {
            let to_ml = from_ml + shown.seen.grid.at(k + 1);
            let behind = (shown.behind_ml[k], shown.behind_ml[k + 1]);
            closes = closes.or(self.cell(to_ml, shown.seen.node(k + 1)[0], behind));
        }
        closes
    }

    /// Follows one cell.
    fn cell(&mut self, to_ml: f64, seen: f64, behind: (f64, f64)) -> Option<Closing> {
        let (from_ml, before) = self.curve[self.curve.len() - 1];
        self.curve.push((to_ml, seen));
        let rise = (self.rise, seen - self.seen_at((to_ml - self.watched_ml).max(0.0)));
        (self.rise, self.behind_ml) = (rise.1, behind.1);
        let at = |share: f64| from_ml + share * (to_ml - from_ml);
        let light = below(self.rule.threshold, (before, seen));
        let calm = below(RISE, rise);
        if let (None, Some((a, _))) = (self.light_since, light) {
            self.light_since = Some(at(a));
        }
        if let (None, Some((a, _))) = (self.calm_since, calm) {
            self.calm_since = Some(at(a));
        }
        let mut closes = None;
        if let (Some(light), Some(calm), Some(floor), Some(start)) =
            (light, calm, self.floor_ml(), self.start_ml())
        {
            let span = (at(light.0.max(calm.0)), at(light.1.min(calm.1)));
            // R falls or rises straight in the cell; V − R must come to S.
            let behind_at =
                |v: f64| behind.0 + (v - from_ml) / (to_ml - from_ml) * (behind.1 - behind.0);
            let spare = |v: f64| v - behind_at(v) - start;
            let least = match self.rule.hold_ml {
                Some(hold) => start + hold,
                None => (start + self.watched_ml).max(self.behind_at_first_ml),
            };
            let first = |not_before: f64| -> Option<f64> {
                let low = not_before.max(least).max(floor).max(span.0);
                if low > span.1 {
                    return None;
                }
                if self.rule.hold_ml.is_some() || spare(low) >= 0.0 {
                    return Some(low);
                }
                let (a, b) = (spare(low), spare(span.1));
                (b >= 0.0).then(|| low + (span.1 - low) * a / (a - b))
            };
            let at = first(self.rule.at_least_ml).filter(|_| self.rule.clean);
            closes = at.map(|v| (v, self.waits_for(v, self.hold_of(start, behind_at(v)))));
            if self.counted.is_none() && first(0.0).is_some() {
                self.counted = Some(start.max(floor));
            }
        }
        if seen > self.rule.threshold {
            self.light_since = None;
            self.counted_before = self.counted_before.or(self.counted.take());
        }
        if rise.1 > RISE {
            self.calm_since = None;
        }
        closes
    }

    /// The rule closes it here, as found by a look further on.
    pub fn close_as_clean(&mut self, waited_for: Option<WaitedFor>) {
        let now = self.now_ml();
        self.light_since.get_or_insert(now);
        self.calm_since.get_or_insert(now);
        let start = self.start_ml().unwrap_or(now);
        let floor = *self.looked_ml.get_or_insert(now);
        self.counted.get_or_insert(start.max(floor).max(self.watched_ml));
        self.waited_for = waited_for;
    }

    /// What it was at the close, and since when it had counted as clean (mL).
    pub fn state(&self) -> (CleanState, Option<f64>) {
        match (self.counted, self.counted_before) {
            (Some(at), _) if self.light_since == Some(0.0) => (CleanState::Already, Some(at)),
            (Some(at), _) => (CleanState::Reached, Some(at)),
            (None, Some(at)) => (CleanState::Lost, Some(at)),
            (None, None) => (CleanState::NotReached, None),
        }
    }

    /// What came last, where the rule closes later than threshold, hold and least volume ask.
    fn waits_for(&self, closes_ml: f64, hold: f64) -> Option<WaitedFor> {
        let (light, calm) = (self.light_since?, self.calm_since?);
        if closes_ml <= (light + hold).max(self.rule.at_least_ml) + SAME_ML {
            return None;
        }
        let same = |ml: f64| (ml - closes_ml).abs() <= SAME_ML;
        Some(match self.looked_ml {
            Some(looked) if same(looked) => WaitedFor::LeastLook,
            _ if same(calm + hold) => WaitedFor::Rising,
            _ => WaitedFor::WatchedLength,
        })
    }

    /// What closing waited for.
    pub fn waited_for(&self) -> Option<WaitedFor> {
        self.waited_for
    }
}
