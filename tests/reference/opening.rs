//! Bleeders while they are open: stretch by stretch, until the rule closes the last of them.

use super::branches::{self, Element, FluidOf, Way};
use super::eye::{Closing, Eye, Shown};
use super::line::{Kernel, LaminarLine};
use super::losses::Loss;
use super::push::Push;
use super::signal::{Grid, Signal};
use super::state::{Drained, Shunt, State};
use super::whole::{Flush, Opened, Rule};

/// Cells in a stretch: what is run before the rules and the flow are looked at again.
const STRETCH_CELLS: f64 = 40.0;
/// What counts as nothing, mL.
const NOTHING_ML: f64 = 1e-9;
/// Standard gravity, m/s².
const GRAVITY: f64 = 9.80665;

/// A bleeder while it is open.
pub(super) struct Bleeder {
    path: usize,
    hose: LaminarLine,
    eye: Eye,
    drained_ml: f64,
    seconds: f64,
    closed: bool,
}

impl Bleeder {
    /// What came of it.
    pub fn result(&self) -> Opened {
        let (state, clean_at_ml) = self.eye.state();
        Opened {
            path: self.path,
            clean_at_ml,
            state,
            hold_ml: self.eye.hold_ml(),
            waited_for: self.eye.waited_for(),
            drained_ml: self.drained_ml,
            seconds: self.seconds,
        }
    }
}

/// Drained volume at which a rule closes whatever is seen, mL.
fn bound_ml(rule: &Rule) -> f64 {
    rule.volume_ml.unwrap_or(f64::INFINITY).max(rule.at_least_ml).min(rule.at_most_ml)
}

/// A job under way.
pub(super) struct Run<'a> {
    pub of: &'a Flush,
    pub state: State,
    push: Push,
    step_ml: f64,
    pub pumped: usize,
    /// What costs pressure, as it stands.
    pub elements: Vec<Element>,
    /// Where fluid goes through pump and damper of a unit that is worked.
    pub shunts: Vec<Shunt>,
}

impl<'a> Run<'a> {
    pub fn new(of: &'a Flush, step_ml: f64) -> Self {
        let state = State::new(&of.car);
        let (push, elements) = (of.push.clone(), of.elements.clone());
        Self { of, state, push, step_ml, pumped: 0, elements, shunts: vec![] }
    }

    /// Nobody draws or pours through a cap under pressure: the feed valve is shut, and the air under the cap goes off.
    fn take_cap_off(&mut self) {
        if let Push::Vessel(vessel) = &mut self.push {
            vessel.cap = None;
        }
    }

    /// Draws the reservoir down to this volume, mL.
    pub fn draw(&mut self, leave_ml: f64) {
        self.take_cap_off();
        self.state.draw(self.state.level_ml() - leave_ml);
    }

    /// Fills the reservoir up to this volume, mL.
    pub fn fill(&mut self, to_ml: f64) {
        self.take_cap_off();
        self.state.pour(&self.of.car, to_ml - self.state.level_ml());
    }

    fn space_ml(&self) -> f64 {
        self.of.brim_ml - self.state.level_ml()
    }

    /// Pumps the vessel up, its valve open.
    pub fn pump(&mut self, gauge_pa: f64) {
        let space_ml = self.space_ml();
        if let Push::Vessel(vessel) = &mut self.push {
            let rise_ml = vessel.pump(gauge_pa, space_ml);
            self.state.pour(&self.of.car, rise_ml);
        }
    }

    /// Pressure of the supply, Pa: a gauge's, as it stands.
    pub fn supply_pa(&self) -> f64 {
        match &self.push {
            Push::Vessel(vessel) => vessel.gauge_pa(),
            Push::Open { .. } => 0.0,
        }
    }

    /// Flow at each open bleeder, mL/s; sets what share of it the pumps send.
    fn flows(&mut self, open: &[Bleeder]) -> Vec<f64> {
        let (start_pa, at_bleeder_pa) = match &self.push {
            Push::Vessel(vessel) => (vessel.gauge_pa(), 0.0),
            Push::Open { at_bleeder_pa, .. } => (0.0, *at_bleeder_pa),
        };
        let ways: Vec<Way> = open
            .iter()
            .map(|b| {
                let (elements, rise_m) = &self.of.ways[b.path];
                let end_pa = self.of.mixture.at(1.0).0 * GRAVITY * rise_m + at_bleeder_pa;
                Way { elements, end_pa }
            })
            .collect();
        let used = |e: usize| ways.iter().any(|w| w.elements.contains(&e));
        let fluids: Vec<(f64, f64)> = (self.elements.iter().enumerate())
            .map(|(i, e)| match used(i) {
                true => self.of.mixture.at(self.old_fraction(e.fluid).clamp(0.0, 1.0)),
                false => (0.0, 0.0),
            })
            .collect();
        let flows = branches::flows(&self.elements, &fluids, &ways, start_pa);
        for shunt in &mut self.shunts {
            let through =
                ways.iter().zip(&flows).filter(|(w, _)| w.elements.contains(&shunt.valve));
            let all: f64 = through.map(|(_, q)| q).sum();
            let Loss::Beside(beside) = &self.elements[shunt.valve].loss else { panic!("a pump") };
            let fluid = fluids[shunt.valve];
            let drop_pa = self.elements[shunt.valve].loss.drop_pa(all, fluid);
            shunt.share = (beside[1].flow_m3_s(drop_pa, fluid) / all).min(1.0);
        }
        assert!(flows.iter().all(|q| *q > 0.0), "nothing flows: {flows:?}");
        flows.iter().map(|q| 1e6 * q).collect()
    }

    fn old_fraction(&self, of: FluidOf) -> f64 {
        match of {
            FluidOf::Supply => self.of.car.feed[0],
            FluidOf::Inside(part) => self.state.held[part][0],
            FluidOf::Leaving(part) => self.state.leaving[part][0],
            FluidOf::Outlet(k) => {
                let held = match &self.state.compartments[k] {
                    (ml, _) if *ml == 0.0 => self.state.common.old_at_outlets(),
                    (_, content) => content[0],
                };
                held + self.state.straight * (self.of.car.feed[0] - held)
            }
        }
    }

    /// Opens bleeders.
    pub fn opened(&mut self, paths: &[usize], rule: &Rule) -> Vec<Bleeder> {
        let space_ml = self.space_ml();
        if let Push::Vessel(vessel) = &mut self.push {
            let rise_ml = vessel.settle(space_ml);
            self.state.pour(&self.of.car, rise_ml);
        }
        let car = &self.of.car;
        let mut full = car.compartments.iter().zip(&self.state.compartments);
        assert!(full.all(|(f, c)| (f.0 - c.0).abs() < NOTHING_ML), "air at an outlet");
        let bleeder = |&path: &usize| {
            let behind_ml = self.state.behind_ml(car, path, rule.threshold);
            Bleeder {
                path,
                hose: LaminarLine::new(car.watched_ml, &car.filling),
                eye: Eye::new(*rule, car.watched_ml, car.filling[0], behind_ml),
                drained_ml: 0.0,
                seconds: 0.0,
                closed: false,
            }
        };
        paths.iter().map(bleeder).collect()
    }

    /// Opens bleeders and runs until all are closed; gives the time, s.
    pub fn open(&mut self, paths: &[usize], rule: &Rule, opened: &mut Vec<Opened>) -> f64 {
        let mut open = self.opened(paths, rule);
        let mut seconds = 0.0;
        while !open.is_empty() {
            seconds += self.stretch(&mut open, rule);
            open.retain(|b| {
                if b.closed {
                    opened.push(b.result());
                }
                !b.closed
            });
        }
        seconds
    }

    /// Runs until something happens: a bleeder is to be closed, the supply needs a hand, or the stretch is over.
    /// Gives the time, s.
    fn stretch(&mut self, open: &mut [Bleeder], rule: &Rule) -> f64 {
        let mut length_ml = (STRETCH_CELLS * self.step_ml).min(self.until_help_ml());
        let flows = self.flows(open);
        let all: f64 = flows.iter().sum();
        for (b, flow) in open.iter().zip(&flows) {
            length_ml = length_ml.min((bound_ml(rule) - b.drained_ml) * all / flow);
            // Until the least look is over, as things are, and no less than a point of the grid.
            let look_s = rule.least_look_s - b.seconds;
            if look_s > 0.0 {
                length_ml = length_ml.min((look_s * all).max(self.step_ml));
            }
        }
        let before = (self.state.clone(), self.push.clone());
        let mut after = self.advance(open, length_ml);
        let mut eyes = self.look(open, rule, &after);
        let closing = eyes.iter().enumerate().filter_map(|(i, (_, at))| Some((i, (*at)?)));
        let first = closing.min_by(|a, b| a.1.0.total_cmp(&b.1.0));
        // The first to be closed as clean ends the stretch there.
        if let Some((_, (at_ml, _))) = first
            && at_ml < length_ml - NOTHING_ML
        {
            (self.state, self.push) = before;
            length_ml = at_ml.max(NOTHING_ML);
            after = self.advance(open, length_ml);
            eyes = self.look(open, rule, &after);
        }
        for (i, (mut eye, at)) in eyes.into_iter().enumerate() {
            let b = &mut open[i];
            b.hose = after.hoses[i].clone();
            b.drained_ml += after.shares[i] * length_ml;
            b.seconds += after.seconds;
            let as_first = first.filter(|(first, _)| *first == i).map(|(_, at)| at);
            let clean = as_first.or(at);
            if let Some((_, waited_for)) = clean {
                eye.close_as_clean(waited_for);
            }
            b.closed = clean.is_some() || b.drained_ml >= bound_ml(rule) - NOTHING_ML;
            b.eye = eye;
        }
        self.help();
        after.seconds
    }
    /// Runs for so long, s.
    pub fn timed(&mut self, open: &mut [Bleeder], rule: &Rule, seconds: f64) {
        let before = (self.state.clone(), self.push.clone());
        let mut length_ml = seconds * self.flows(open).iter().sum::<f64>();
        let mut after = self.advance(open, length_ml);
        // Once more, by the flow in the middle.
        (self.state, self.push) = before;
        length_ml *= seconds / after.seconds;
        after = self.advance(open, length_ml);
        let eyes = self.look(open, rule, &after);
        for (i, (eye, _)) in eyes.into_iter().enumerate() {
            let b = &mut open[i];
            b.hose = after.hoses[i].clone();
            b.drained_ml += after.shares[i] * length_ml;
            b.seconds += seconds;
            b.eye = eye;
        }
        self.help();
    }

    /// Something has changed what lies in the parts.
    pub fn stirred(&self, open: &mut [Bleeder], rule: &Rule) {
        for b in open {
            b.eye.stirred(self.state.behind_ml(&self.of.car, b.path, rule.threshold));
        }
    }

    /// What each eye says of a stretch, and where in it (mL of all that is drained) the rule closes for being clean.
    fn look(&self, open: &[Bleeder], rule: &Rule, after: &After) -> Vec<(Eye, Option<Closing>)> {
        let glance = |(i, b): (usize, &Bleeder)| {
            let (share, seen) = (after.shares[i], &after.seen[i]);
            let behind_ml = after.drained.behind_ml(&self.of.car, b.path, rule.threshold);
            let look_ml = after.drained_in_ml(rule.least_look_s - b.seconds);
            let looked_ml = look_ml.map(|ml| b.drained_ml + share * ml);
            let mut eye = b.eye.clone();
            let closes = eye.look(&Shown { seen, behind_ml: &behind_ml, looked_ml });
            (eye, closes.map(|(ml, waited)| ((ml - b.drained_ml) / share, waited)))
        };
        open.iter().enumerate().map(glance).collect()
    }

    /// Moves the fluid, the flow's shares and slowness taken in the middle.
    fn advance(&mut self, open: &[Bleeder], length_ml: f64) -> After {
        let car = &self.of.car;
        let space_ml = self.space_ml();
        let grid = Grid { step_ml: self.step_ml, end_ml: length_ml };
        let at_first = self.flows(open);
        let rise = match &mut self.push {
            Push::Vessel(vessel) => vessel.drain(length_ml, space_ml) / length_ml - 1.0,
            Push::Open { .. } => -1.0,
        };
        let draws = |shares: &[f64]| -> Vec<(usize, f64)> {
            open.iter().zip(shares).map(|(b, share)| (b.path, *share)).collect()
        };
        let slowness = |flows: &[f64]| 1.0 / flows.iter().sum::<f64>();
        let mut by = shares(&at_first);
        let mut slow = [slowness(&at_first); 2];
        let again = open.len() > 1 || self.state.trades_by_time(car);
        let before = again.then(|| self.state.clone());
        let mut drained = self.state.drain(car, &draws(&by), rise, grid, slow, &self.shunts);
        let mut at_last = self.flows(open);
        if let Some(before) = before {
            let ends = shares(&at_last);
            by = by.iter().zip(ends).map(|(a, b)| 0.5 * (a + b)).collect();
            slow[1] = slowness(&at_last);
            self.state = before;
            drained = self.state.drain(car, &draws(&by), rise, grid, slow, &self.shunts);
            at_last = self.flows(open);
        }
        slow[1] = slowness(&at_last);
        let seconds = 0.5 * length_ml * (slow[0] + slow[1]);
        let moves = |part: usize| open.iter().any(|b| car.paths[b.path].parts.contains(&part));
        self.state.stand(seconds, moves);
        let mut hoses: Vec<LaminarLine> = open.iter().map(|b| b.hose.clone()).collect();
        let pairs = hoses.iter_mut().zip(&drained.leaving);
        let seen = pairs.map(|(hose, out)| hose.advance(out, Kernel::Inside)).collect();
        After { length_ml, seconds, slow, shares: by, seen, hoses, drained }
    }

    /// What can be drained before somebody must pump or pour, mL.
    fn until_help_ml(&self) -> f64 {
        match &self.push {
            Push::Vessel(vessel) => vessel.until_low_mark_ml(self.space_ml()).max(NOTHING_ML),
            Push::Open { refill: (low, _), .. } => (self.state.level_ml() - low).max(NOTHING_ML),
        }
    }

    fn help(&mut self) {
        if self.until_help_ml() > 2.0 * NOTHING_ML {
            return;
        }
        match self.push {
            Push::Vessel(vessel) => {
                self.pump(vessel.pumped_to_pa);
                self.pumped += 1;
            }
            Push::Open { refill: (_, high), .. } => {
                self.state.pour(&self.of.car, high - self.state.level_ml())
            }
        }
    }
}

/// What a stretch left.
struct After {
    length_ml: f64,
    seconds: f64,
    /// Slowness at both ends, s/mL of all that was drained.
    slow: [f64; 2],
    shares: Vec<f64>,
    /// What was seen at each bleeder, over its own share of the stretch.
    seen: Vec<Signal>,
    hoses: Vec<LaminarLine>,
    drained: Drained,
}

impl After {
    /// What had been drained after so many seconds, mL; `None` if it took longer than the stretch.
    fn drained_in_ml(&self, seconds: f64) -> Option<f64> {
        let [a, b] = self.slow;
        let after = |ml: f64| ml * (a + 0.5 * (b - a) * ml / self.length_ml);
        if seconds > after(self.length_ml) {
            return None;
        }
        let (mut low, mut high) = (0.0, self.length_ml);
        for _ in 0..60 {
            let mid = 0.5 * (low + high);
            if after(mid) < seconds { low = mid } else { high = mid }
        }
        Some(high)
    }
}

fn shares(flows: &[f64]) -> Vec<f64> {
    let all: f64 = flows.iter().sum();
    flows.iter().map(|q| q / all).collect()
}
