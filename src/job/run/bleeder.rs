//! One bleeder from the moment it is opened to the record it leaves.

use super::clear_hose::{CLOSE, ClearHose, FINEST, Rule, Sight, Watcher};
use crate::circuit::Node;
use crate::circuit::species::{ANOTHER_CIRCUIT, Group, NEW_FLUID};
use crate::job::record::{ClosedBy, CurvePoint, Opening, Origins, WarningKind, at_line};
use crate::job::state::path::Path;
use crate::job::state::{Job, Position, Setting};
use crate::keys::{Place, Role};
use crate::measures::to_ml;
use std::sync::Arc;

/// The first step is this share of the usual one.
const FIRST: f64 = 1.0 / 18.0;
/// Early steps are this share of what has been drained, at most.
const EARLY: f64 = 0.5;

/// The middle of what leaves in a step may differ from that of its ends by the square of this share of a usual step's part
/// of a path, and for that a step is made no shorter than this share of the usual one (estimates: tried on random cars).
const STRAIGHT: f64 = 0.25;
const SHORTER: f64 = 0.4;

/// What a step drains at the most after so much. Begin with short steps: what lies close to the bleeder may have run
/// clean before the first usual steps are done.
pub(super) fn early(drained: f64, usual: f64) -> f64 {
    (EARLY * drained).clamp(FIRST * usual, usual)
}

/// One bleeder while it is open.
#[derive(Debug, Clone)]
pub(crate) struct Open {
    pub bleeder: usize,
    pub rule: Rule,
    hose: ClearHose,
    pub watcher: Watcher,
    pub path: Arc<Path>,
    pub drained: f64,
    /// What the last step drained, m³.
    pub step_m3: f64,
    /// Flow in the last step, m³/s.
    pub flow_m3_s: f64,
    /// What left last, and how far the mean of the last step lay from the middle of its ends.
    left: f64,
    crooked: f64,
    drained_row: Vec<f64>,
    reynolds: f64,
    pub opened_s: f64,
    strokes_before: u32,
    /// Flow time of the job when it was opened, s.
    flow_before_s: f64,
    gauge_start_kpa: f64,
    curve: Vec<CurvePoint>,
}

impl Open {
    pub(crate) fn new(job: &Job, bleeder: usize, rule: Rule) -> Self {
        let hose = ClearHose::new(&job.setting.scenario.clear_hose, &job.setting.lanes);
        let (seen, path) = (hose.seen(), Arc::clone(&job.setting.paths[bleeder]));
        let sight = Sight {
            threshold: rule.threshold,
            watched_m3: hose.volume(),
            least_look_s: job.setting.scenario.clear_hose.least_look.value,
        };
        let hold = hold(&rule, &hose, &path, job);
        let dirt_comes = if rule.hold.is_none() { hold } else { 0.0 };
        let mut o = Self {
            bleeder,
            rule,
            path,
            watcher: Watcher::new(sight, seen, hold, dirt_comes),
            hose,
            drained: 0.0,
            step_m3: 0.0,
            flow_m3_s: 0.0,
            left: job
                .setting
                .species
                .old(job.system.leaves(job.setting.circuit.bleeders[bleeder].node)),
            crooked: 0.0,
            drained_row: vec![0.0; job.setting.species.len()],
            reynolds: 0.0,
            opened_s: job.clock_s,
            strokes_before: job.strokes,
            flow_before_s: job.flow_s,
            gauge_start_kpa: job.gauge_kpa(),
            curve: Vec::new(),
        };
        if !job.setting.options.detail {
            return o;
        }
        let path = o.path.old_fraction(job.fluid());
        o.curve.push(CurvePoint {
            at_s: job.clock_s,
            drained_ml: 0.0,
            seen_old_fraction: seen,
            // Behind a shut valve that leaks, rounding may leave a little more than the whole.
            leaving_old_fraction: job
                .setting
                .species
                .old(job.system.leaves(job.setting.circuit.bleeders[bleeder].node))
                .clamp(0.0, 1.0),
            path_old_fraction: path,
            flow_ml_per_s: 0.0,
        });
        o
    }

    /// What it has drained so far, mL, and where that came from; less than the rounding is nothing.
    pub(crate) fn drawn(&self, setting: &Setting, rounding_m3: f64) -> (f64, Origins) {
        let drained = (self.drained_row.as_slice(), self.drained);
        (to_ml(self.drained), origins(setting, self.bleeder, drained, rounding_m3))
    }

    /// For how long fluid has flowed since it was opened, s: without pauses for pumping up the supply.
    pub(crate) fn flowed_s(&self, job: &Job) -> f64 {
        job.flow_s - self.flow_before_s
    }

    /// What a step drains where nothing asks for less, m³.
    pub(crate) fn usual_step(&self, setting: &Setting) -> f64 {
        setting.usual_step(self.bleeder)
    }

    /// What a step of its own job drains at the most, m³: so much that what leaves is a straight line but for the share
    /// that may be, judged by the last step, how crooked it is going by the square of its length.
    pub(crate) fn straight_step(&self, setting: &Setting) -> f64 {
        let usual = self.usual_step(setting);
        let share = STRAIGHT / setting.options.steps_per_path;
        let straight = share * share;
        if self.crooked > straight {
            (self.step_m3 * (straight / self.crooked).sqrt()).clamp(SHORTER * usual, usual)
        } else {
            usual
        }
    }

    /// The least that a step drains where nothing ends it, m³.
    pub(crate) fn least_step(&self, setting: &Setting) -> f64 {
        FINEST.1 * self.usual_step(setting)
    }

    /// Volumes at which it is to be closed, and by what, in rising precedence.
    pub(crate) fn closings(&self) -> impl Iterator<Item = (f64, ClosedBy)> {
        let r = &self.rule;
        let clean = self.watcher.clean_until().filter(|_| r.clean);
        let of = |v: Option<f64>, by| v.map(|v| (v.max(r.at_least), by));
        let bound = (r.at_most, ClosedBy::Bound);
        [of(clean, ClosedBy::Clean), of(r.volume, ClosedBy::Volume), Some(bound)]
            .into_iter()
            .flatten()
            .filter(|(v, _)| v.is_finite())
    }

    /// By what it is to be closed at once, if it has been drained as far as that.
    pub(crate) fn due(&self) -> Option<ClosedBy> {
        let reached = |(v, by): &(f64, ClosedBy)| {
            *v <= self.drained * (1.0 + CLOSE) && (*by != ClosedBy::Clean || self.watcher.counts())
        };
        self.closings().filter(reached).last().map(|(_, by)| by).filter(|_| self.drained > 0.0)
    }

    pub(crate) fn take(&mut self, job: &Job, dv: f64, row: &[f64], flow: f64, reynolds: f64) {
        let old = job.setting.species.old(row);
        let node = job.setting.circuit.bleeders[self.bleeder].node;
        let leaves = job.setting.species.old(job.system.leaves(node));
        self.hose.take(dv, old, leaves);
        self.crooked = (old / dv - 0.5 * (self.left + leaves)).abs();
        self.left = leaves;
        for (d, x) in self.drained_row.iter_mut().zip(row) {
            *d += x;
        }
        self.drained += dv;
        self.step_m3 = dv;
        self.flow_m3_s = flow;
        self.reynolds = self.reynolds.max(reynolds);
        let seen = self.hose.seen();
        let flowed_s = self.flowed_s(job);
        let Self { rule, hose, path, .. } = self;
        let before = |dv| hose.seen_before(dv);
        self.watcher.see(self.drained, flowed_s, seen, before, || hold(rule, hose, path, job));
        if !job.setting.options.detail {
            return;
        }
        self.curve.push(CurvePoint {
            at_s: job.clock_s,
            drained_ml: to_ml(self.drained),
            seen_old_fraction: seen,
            leaving_old_fraction: leaves,
            path_old_fraction: self.path.old_fraction(job.fluid()),
            flow_ml_per_s: to_ml(flow),
        });
    }

    /// What to say of a bleeder that was closed at its bound without having run clean.
    fn why_not_clean(&self, name: &str) -> String {
        let (drained, seen) = (to_ml(self.drained), 100.0 * self.watcher.seen());
        let threshold = 100.0 * self.rule.threshold;
        let (bound, remedy) = if self.rule.own_bound {
            (" (the program's own bound, ten times the fluid in the system)", "")
        } else {
            ("", "raise `at most`, or ")
        };
        if !self.rule.clean {
            let less = if self.rule.volume.is_some() { "fewer millilitres" } else { "less time" };
            format!(
                "{name} was closed at {drained:.0} mL{bound} before its stop rule was met: ask for {less}, or split it into several openings"
            )
        } else if seen <= threshold {
            format!(
                "{name} was closed at {drained:.0} mL{bound} before enough millilitres in a row had run clean: {remedy}lower `hold`"
            )
        } else {
            format!(
                "{name} was closed at {drained:.0} mL{bound} with {seen:.2} % old fluid to be seen, where {threshold:.2} % counts as clean: {remedy}raise the threshold if no fluid gets that clean"
            )
        }
    }

    pub(crate) fn close(self, job: &mut Job, by: ClosedBy, place: Position) -> Opening {
        let name = job.setting.circuit.bleeders[self.bleeder].name.clone();
        let (clean_at, clean_state) = self.watcher.verdict();
        let flowed = self.flowed_s(job);
        if by == ClosedBy::Bound && (self.rule.clean || self.rule.own_bound) {
            let line = job
                .setting
                .scenario
                .procedure
                .steps
                .get(place.step.wrapping_sub(1))
                .map_or(Place::Nowhere, |s| s.line);
            let text = self.why_not_clean(&name) + &at_line(line);
            job.warn(WarningKind::TargetNotReached, text);
        }
        let path_old_fraction = self.path.old_fraction(job.fluid());
        self.warn_of_dirt(job, by, place, path_old_fraction);
        Opening {
            pass: place.pass,
            step: place.step,
            flow_seconds: flowed,
            opened_s: self.opened_s,
            closed_s: job.clock_s,
            closed_by: by,
            drained_ml: to_ml(self.drained),
            clean_at_ml: clean_at.map(to_ml),
            clean_since_ml: self.watcher.since().map(to_ml),
            clean_state,
            seen_old_fraction: self.watcher.seen(),
            path_old_fraction,
            mean_flow_ml_per_s: if flowed > 0.0 { to_ml(self.drained) / flowed } else { 0.0 },
            reynolds: self.reynolds,
            gauge_start_kpa: self.gauge_start_kpa,
            gauge_end_kpa: job.gauge_kpa(),
            origins_ml: origins(
                &job.setting,
                self.bleeder,
                (&self.drained_row, self.drained),
                job.rounding_m3(),
            ),
            strokes: job.supply.strokes().is_some().then(|| job.strokes - self.strokes_before),
            threshold: self.rule.threshold,
            hold_ml: self.watcher.hold().map(to_ml),
            waited_for: (by == ClosedBy::Clean)
                .then(|| self.watcher.waited_for(self.rule.at_least))
                .flatten(),
            curve: self.curve,
            part: part_of(&job.setting, self.bleeder),
            bleeder: name,
        }
    }

    /// Says so where it was closed with old fluid to be seen, or behind it though none was. Dirt that is left to a
    /// later opening is not told.
    fn warn_of_dirt(&self, job: &mut Job, by: ClosedBy, place: Position, on_path: f64) {
        let name = &job.setting.circuit.bleeders[self.bleeder].name;
        let threshold = self.rule.threshold;
        // What is opened by hand stands in no procedure: nobody knows what comes later.
        let planned = place.step > 0;
        if planned && job.setting.scenario.procedure.opens_again(name, (place.pass, place.step)) {
            return;
        }
        let drained = to_ml(self.drained);
        match by {
            ClosedBy::Volume | ClosedBy::Time | ClosedBy::Hand
                if self.watcher.seen() > threshold => job.warn(
                WarningKind::ClosedWhileDirty,
                format!(
                    "{name} was closed at {drained:.0} mL with {:.1} % old fluid still to be seen in the clear hose",
                    100.0 * self.watcher.seen()
                ),
            ),
            ClosedBy::Clean | ClosedBy::Hand if on_path > threshold => job.warn(
                WarningKind::NotCleanOnThePath,
                format!(
                    "{name} looked clean at {drained:.0} mL ({:.2} % old fluid to be seen) and was closed, but on its path {:.2} % is still old, where {:.2} % counts as clean: let more millilitres run out (`at least`, `hold`)",
                    100.0 * self.watcher.seen(),
                    100.0 * on_path,
                    100.0 * threshold
                ),
            ),
            _ => {}
        }
    }
}

/// The part that a bleeder is on.
fn part_of(setting: &Setting, bleeder: usize) -> String {
    let c = &setting.circuit;
    c.nodes[c.bleeders[bleeder].node].part.clone()
}

/// For how much it must stay clean: what was asked for, or what must run out first of what is dirty on the path, in any
/// case the watched length once over.
fn hold(rule: &Rule, hose: &ClearHose, path: &Path, job: &Job) -> f64 {
    rule.hold.unwrap_or_else(|| hose.volume().max(path.to_run_out(job.fluid(), rule.threshold)))
}

/// Names the origins as seen from one bleeder, mL.
fn origins(
    setting: &Setting,
    bleeder: usize,
    (row, drained): (&[f64], f64),
    rounding_m3: f64,
) -> Origins {
    let c = &setting.circuit;
    let outlet = c.nodes[c.bleeders[bleeder].node].tag.outlet;
    let mut origins: Origins = Vec::new();
    if setting.options.origins {
        for (tag, amount) in setting.species.tags.iter().zip(row) {
            let own = tag.outlet.is_none() || tag.outlet == outlet;
            let name = match tag.group {
                _ if !own => ANOTHER_CIRCUIT,
                Group::WheelBrake => match &c.nodes[c.bleeders[bleeder].node] {
                    Node { role: Role::WheelCylinder | Role::ClutchSlave, kind, .. } => kind,
                    _ => tag.group.name(),
                },
                group => group.name(),
            };
            match origins.iter_mut().find(|o| o.0 == name) {
                Some(o) => o.1 += to_ml(*amount),
                None => origins.push((name, to_ml(*amount))),
            }
        }
        origins.retain(|o| o.0 != ANOTHER_CIRCUIT || o.1 > 1e-9);
    }
    let old = setting.species.old(row);
    origins.push((NEW_FLUID, to_ml(drained - old)));
    // All are differences of running sums: of what has not come yet, these leave their rounding, which may be less than
    // nothing.
    for (_, ml) in origins.iter_mut().filter(|(_, ml)| ml.abs() <= to_ml(rounding_m3)) {
        *ml = 0.0;
    }
    origins
}
