//! A whole job from the car's figures alone: where a bleeder is closed, how the reservoir and the supply
//! stand meanwhile and how long it takes are worked out here, not taken from the program.
//!
//! Time is ∫ dV/Q, with the flow Q of [`branches`](super::branches) at both ends of each stretch; the viscosity in each thing is
//! that of what it holds in the mean. What the program's rules say is taken over as rules: the eye sees the
//! mean over the watched length; clean must last for what lies between the dirtiest part and the bleeder;
//! the pressure in the reservoir is that of the supply less the feed hose's loss, at its stated height.

use super::branches::{self, Element, FluidOf, Way};
use super::car::{ReferenceCar, ReferenceLeft};
use super::job::State;
use super::line::{Kernel, LaminarLine};
use super::liquid::Mixture;
use super::push::Push;
use super::signal::{Grid, Signal};

/// Cells in a stretch: what is run before the rules and the flow are looked at again.
const STRETCH_CELLS: f64 = 40.0;
/// What counts as nothing, mL.
const NOTHING_ML: f64 = 1e-9;
/// Standard gravity, m/s².
const GRAVITY: f64 = 9.80665;

/// A car, what pushes, and what is done.
#[derive(Debug, Clone)]
pub struct Flush {
    /// The car before the first task.
    pub car: ReferenceCar,
    /// Old and new fluid.
    pub mixture: Mixture,
    /// What costs pressure.
    pub elements: Vec<Element>,
    /// For each path of the car: its elements, and the height of its bleeder above the reservoir's level, m.
    pub ways: Vec<(Vec<usize>, f64)>,
    /// What pushes.
    pub push: Push,
    /// The reservoir when it is full to the brim, mL.
    pub brim_ml: f64,
    /// What is done.
    pub tasks: Vec<Task>,
}

/// Something the technician does.
#[derive(Debug, Clone, PartialEq)]
pub enum Task {
    /// Opens bleeders together, each closed by the rule.
    Open {
        /// Indices of the paths.
        paths: Vec<usize>,
        /// When to close.
        rule: Rule,
    },
    /// Draws the reservoir down to this volume, mL.
    Draw(f64),
    /// Fills the reservoir up to this volume, mL.
    Fill(f64),
    /// Pumps the vessel up until the gauge reads this, Pa.
    Pump(f64),
}

/// When a bleeder is closed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// Once it has looked clean for long enough.
    pub clean: bool,
    /// What counts as clean.
    pub threshold: f64,
    /// For how much more it must stay so, mL; `None`: by what lies behind the dirtiest part.
    pub hold_ml: Option<f64>,
    /// At this volume, mL.
    pub volume_ml: Option<f64>,
    /// Not before, mL.
    pub at_least_ml: f64,
    /// In any case, mL.
    pub at_most_ml: f64,
}

/// One bleeder opened once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opened {
    /// Index of the path.
    pub path: usize,
    /// Since when it had been clean, once that had lasted, mL.
    pub clean_at_ml: Option<f64>,
    /// Drained until it was closed, mL.
    pub drained_ml: f64,
    /// Open for so long, s.
    pub seconds: f64,
}

/// What came of a job.
#[derive(Debug, Clone)]
pub struct Done {
    /// The bleeders, in the order in which they were closed.
    pub opened: Vec<Opened>,
    /// Time with a bleeder open, s.
    pub seconds: f64,
    /// Times the vessel was pumped up while a bleeder was open.
    pub pumped: usize,
    /// What is left in the car.
    pub left: ReferenceLeft,
}

impl Done {
    /// Drained at all bleeders, mL.
    pub fn drained_ml(&self) -> f64 {
        self.opened.iter().map(|o| o.drained_ml).sum()
    }
}

impl Flush {
    /// Does it all on a grid of this step (mL).
    ///
    /// # Panics
    /// If air would reach an outlet of the reservoir, or nothing flows.
    pub fn run(&self, step_ml: f64) -> Done {
        let state = State::new(&self.car);
        let mut run = Run { of: self, state, push: self.push.clone(), step_ml, pumped: 0 };
        let (mut opened, mut seconds) = (Vec::new(), 0.0);
        for task in &self.tasks {
            match task {
                Task::Draw(leave_ml) => run.state.draw(run.state.level_ml() - leave_ml),
                Task::Fill(to_ml) => run.state.pour(&self.car, to_ml - run.state.level_ml()),
                Task::Pump(gauge_pa) => run.pump(*gauge_pa),
                Task::Open { paths, rule } => seconds += run.open(paths, rule, &mut opened),
            }
        }
        Done { opened, seconds, pumped: run.pumped, left: run.state.left(&self.car) }
    }
}

/// A bleeder while it is open.
#[derive(Clone)]
struct Bleeder {
    path: usize,
    hose: LaminarLine,
    drained_ml: f64,
    seconds: f64,
    /// Since when it has been clean, and for how much more it must stay so, mL.
    since: Option<(f64, f64)>,
    first_held_ml: Option<f64>,
}

impl Bleeder {
    /// Drained volume at which it is to be closed as things are, mL.
    fn closes_at_ml(&self, rule: &Rule) -> f64 {
        let clean = self.since.filter(|_| rule.clean).map(|(since, hold)| since + hold);
        let met = [clean, rule.volume_ml].into_iter().flatten().fold(f64::INFINITY, f64::min);
        met.max(rule.at_least_ml).min(rule.at_most_ml)
    }

    fn held(&self) -> Option<f64> {
        self.since.filter(|(s, hold)| self.drained_ml - s >= hold - NOTHING_ML).map(|(s, _)| s)
    }

    /// Where in a stretch it turns clean for the first time after having been dirty, if it does.
    fn turns_clean(&self, seen: &Signal, threshold: f64) -> Option<f64> {
        let mut dirty = self.since.is_none();
        for k in 0..seen.grid.cells() {
            let (a, b) = (seen.node(k)[0], seen.node(k + 1)[0]);
            if dirty && b <= threshold {
                let (from, to) = (seen.grid.at(k), seen.grid.at(k + 1));
                return Some(from + (to - from) * ((a - threshold) / (a - b)).clamp(0.0, 1.0));
            }
            dirty = b > threshold;
        }
        None
    }
}

struct Run<'a> {
    of: &'a Flush,
    state: State,
    push: Push,
    step_ml: f64,
    pumped: usize,
}

impl Run<'_> {
    fn space_ml(&self) -> f64 {
        self.of.brim_ml - self.state.level_ml()
    }

    fn pump(&mut self, gauge_pa: f64) {
        let space_ml = self.space_ml();
        if let Push::Vessel(vessel) = &mut self.push {
            let rise_ml = vessel.pump(gauge_pa, space_ml);
            self.state.pour(&self.of.car, rise_ml);
        }
    }

    /// Flow at each open bleeder, mL/s.
    fn flows(&self, open: &[Bleeder]) -> Vec<f64> {
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
        let fluids: Vec<(f64, f64)> = (self.of.elements.iter().enumerate())
            .map(|(i, e)| match used(i) {
                true => self.of.mixture.at(self.old_fraction(e.fluid).clamp(0.0, 1.0)),
                false => (0.0, 0.0),
            })
            .collect();
        let flows = branches::flows(&self.of.elements, &fluids, &ways, start_pa);
        assert!(flows.iter().all(|q| *q > 0.0), "nothing flows: {flows:?}");
        flows.iter().map(|q| 1e6 * q).collect()
    }

    fn old_fraction(&self, of: FluidOf) -> f64 {
        match of {
            FluidOf::Supply => self.of.car.feed[0],
            FluidOf::Inside(part) => self.state.mean(part)[0],
            FluidOf::Leaving(part) => self.state.leaving[part][0],
            FluidOf::Outlet(k) => match &self.state.compartments[k] {
                (ml, _) if *ml == 0.0 => self.state.common.1[0],
                (_, content) => content[0],
            },
        }
    }

    /// For how much more a bleeder must stay clean: what lies between the dirtiest part on its path (its
    /// part of the reservoir among them) and the bleeder, if one is dirtier than what counts as clean, but
    /// the watched length at least.
    fn hold_ml(&self, path: usize, rule: &Rule) -> f64 {
        if let Some(hold_ml) = rule.hold_ml {
            return hold_ml;
        }
        let car = &self.of.car;
        let way = &car.paths[path];
        let (mut dirtiest, mut between, mut behind) = (rule.threshold, 0.0, 0.0);
        for &part in way.parts.iter().rev() {
            let old = self.state.mean(part)[0];
            if old > dirtiest * (1.0 + 1e-6) {
                (dirtiest, between) = (old, behind);
            }
            behind += car.parts[part].kind.volume_ml();
        }
        let pools = [&self.state.common, &self.state.compartments[way.compartment]];
        let held: f64 = pools.iter().map(|p| p.0).sum();
        let old: f64 = pools.iter().map(|p| p.0 * p.1[0]).sum();
        if old > dirtiest * held * (1.0 + 1e-6) {
            between = behind;
        }
        between.max(car.watched_ml)
    }

    /// Opens bleeders and runs until all are closed; gives the time, s.
    fn open(&mut self, paths: &[usize], rule: &Rule, opened: &mut Vec<Opened>) -> f64 {
        let space_ml = self.space_ml();
        if let Push::Vessel(vessel) = &mut self.push {
            let rise_ml = vessel.settle(space_ml);
            self.state.pour(&self.of.car, rise_ml);
        }
        let car = &self.of.car;
        let full = car.compartments.iter().zip(&self.state.compartments);
        assert!(full.clone().all(|(f, c)| (f.0 - c.0).abs() < NOTHING_ML), "air at an outlet");
        let clean = car.filling[0] <= rule.threshold;
        let mut open: Vec<Bleeder> = paths
            .iter()
            .map(|&path| Bleeder {
                path,
                hose: LaminarLine::new(car.watched_ml, &car.filling),
                drained_ml: 0.0,
                seconds: 0.0,
                since: clean.then(|| (0.0, self.hold_ml(path, rule))),
                first_held_ml: None,
            })
            .collect();
        let mut seconds = 0.0;
        while !open.is_empty() {
            seconds += self.stretch(&mut open, rule);
            open.retain(|b| {
                let closes = b.drained_ml >= b.closes_at_ml(rule) - NOTHING_ML;
                if closes {
                    opened.push(Opened {
                        path: b.path,
                        clean_at_ml: b.held().or(b.first_held_ml),
                        drained_ml: b.drained_ml,
                        seconds: b.seconds,
                    });
                }
                !closes
            });
        }
        seconds
    }

    /// Runs until something happens: a bleeder turns clean or is to be closed, the supply needs a hand,
    /// or the stretch is over. Gives the time, s.
    fn stretch(&mut self, open: &mut [Bleeder], rule: &Rule) -> f64 {
        let mut length_ml = (STRETCH_CELLS * self.step_ml).min(self.until_help_ml());
        let shares = shares(&self.flows(open));
        for (b, share) in open.iter().zip(&shares) {
            length_ml = length_ml.min((b.closes_at_ml(rule) - b.drained_ml) / share);
        }
        let before = (self.state.clone(), self.push.clone());
        let mut after = self.advance(open, length_ml);
        // The first to turn clean ends the stretch there.
        let turns = open.iter().zip(&after.shares).zip(&after.seen).enumerate();
        let first = turns
            .filter_map(|(i, ((b, share), seen))| {
                Some((i, b.turns_clean(seen, rule.threshold)? / share))
            })
            .min_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((_, at_ml)) = first
            && at_ml < length_ml - NOTHING_ML
        {
            (self.state, self.push) = before;
            length_ml = at_ml.max(NOTHING_ML);
            after = self.advance(open, length_ml);
        }
        for (i, b) in open.iter_mut().enumerate() {
            let seen = after.seen[i].last()[0];
            b.hose = after.hoses[i].clone();
            b.drained_ml += after.shares[i] * length_ml;
            b.seconds += after.seconds;
            let turned = first.is_some_and(|(turned, _)| turned == i);
            if !turned && seen > rule.threshold {
                b.since = None;
            } else if turned {
                b.since = Some((b.drained_ml, self.hold_ml(b.path, rule)));
            }
            b.first_held_ml = b.first_held_ml.or(b.held());
        }
        self.help();
        after.seconds
    }

    /// Moves the fluid, the flow's shares taken in the middle.
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
        let mut by = shares(&at_first);
        let before = (open.len() > 1).then(|| self.state.clone());
        let mut leaving = self.state.drain(car, &draws(&by), rise, grid);
        let mut at_last = self.flows(open);
        if let Some(before) = before {
            let ends = shares(&at_last);
            by = by.iter().zip(ends).map(|(a, b)| 0.5 * (a + b)).collect();
            self.state = before;
            leaving = self.state.drain(car, &draws(&by), rise, grid);
            at_last = self.flows(open);
        }
        let slowness = |flows: &[f64]| 1.0 / flows.iter().sum::<f64>();
        let mut hoses: Vec<LaminarLine> = open.iter().map(|b| b.hose.clone()).collect();
        let pairs = hoses.iter_mut().zip(&leaving);
        let seen = pairs.map(|(hose, out)| hose.advance(out, Kernel::Inside)).collect();
        After {
            seconds: 0.5 * length_ml * (slowness(&at_first) + slowness(&at_last)),
            shares: by,
            seen,
            hoses,
        }
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
    seconds: f64,
    shares: Vec<f64>,
    /// What was seen at each bleeder, over its own share of the stretch.
    seen: Vec<Signal>,
    hoses: Vec<LaminarLine>,
}

fn shares(flows: &[f64]) -> Vec<f64> {
    let all: f64 = flows.iter().sum();
    flows.iter().map(|q| q / all).collect()
}
